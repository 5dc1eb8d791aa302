//! A part of the decision graph to be drawn: cards in columns and arrows between them. Answers are no cards of
//! their own; an arrow says which answer it leaves from.

use std::collections::BTreeMap;

use petgraph::visit::EdgeRef;

use super::graph::{DecisionGraph, Edge, GraphNode};
use super::index::{AnswerAt, CauseAt, List};
use super::links::Link;
use super::model::Book;

/// A part of the graph, laid out in columns.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The cards, strongest first within a column.
    pub cards: Vec<Card>,
    /// The arrows, all from a column to one further right.
    pub arrows: Vec<Arrow>,
}

/// A symptom, a cause or a fix.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Card {
    /// Which; never an answer.
    pub node: GraphNode,
    /// Its column: 0 is the entry in the middle, or the leftmost one of a whole book.
    pub column: i32,
    /// The card nearer to the middle that led to it.
    pub via: Option<usize>,
}

/// An arrow between two cards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arrow {
    /// Position of the card it leaves from.
    pub from: usize,
    /// Position of the card it leads to.
    pub to: usize,
    /// What it means.
    pub edge: Edge,
    /// The answer it leaves from, if it leaves from one.
    pub answer: Option<AnswerAt>,
    /// How strong it is; the order of work has no strength.
    pub strength: Option<Strength>,
}

/// How strong an arrow is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// The number in the book, 0..1: of an answer with the cause, or that a fix cures.
    pub written: f64,
    /// What the answer weighs for the cause, in decibans.
    pub decibans: Option<f64>,
}

/// An arrow between two entries of the book.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Between {
    from: GraphNode,
    to: GraphNode,
    edge: Edge,
    answer: Option<AnswerAt>,
    strength: Option<Strength>,
}

impl Between {
    /// Strong arrows first; what only orders work last.
    fn rank(&self) -> f64 {
        match (self.edge, self.strength) {
            (Edge::Has, _) => f64::NEG_INFINITY,
            (Edge::Opens | Edge::Sides, _) => 100.0,
            (Edge::NeededBy, _) => -10.0,
            (Edge::Before, _) => -20.0,
            (_, Some(strength)) => strength.decibans.unwrap_or(10.0 * strength.written),
            (_, None) => 0.0,
        }
    }
}

impl DecisionGraph {
    /// What leads to an entry and where it leads, `steps` arrows far on either side. Nothing for an answer.
    pub fn around(&self, book: &Book, links: &[Link], centre: GraphNode, steps: usize) -> View {
        let all = self.between(book, links);
        let mut view =
            View { cards: vec![Card { node: centre, column: 0, via: None }], arrows: Vec::new() };
        let mut placed = BTreeMap::from([(centre, 0)]);
        for side in [-1, 1] {
            let mut edge_of_known = vec![0];
            for step in 1..=steps {
                let column = side * i32::try_from(step).unwrap_or(i32::MAX);
                edge_of_known = grow(&mut view, &mut placed, &all, &edge_of_known, column);
            }
        }
        // What lies more than one arrow apart would only cross the picture.
        view.join(&all, &placed, 1);
        view
    }

    /// The whole book in four columns: opening questions, other questions, causes, fixes. Of each cause the
    /// `strongest` signs; the order of work is left out.
    pub fn whole(&self, book: &Book, links: &[Link], strongest: usize) -> View {
        let mut all = self.between(book, links);
        all.retain(|arrow| !matches!(arrow.edge, Edge::Before | Edge::NeededBy));
        all.sort_by(|a, b| b.rank().total_cmp(&a.rank()));
        let mut kept: List<CauseAt, usize> = List::filled(0, book.causes.len());
        all.retain(|arrow| match (arrow.edge, arrow.to) {
            (Edge::PointsTo, GraphNode::Cause(cause)) => {
                kept[cause] += 1;
                kept[cause] <= strongest
            }
            _ => true,
        });
        let opening =
            |node: &GraphNode| matches!(node, GraphNode::Symptom(at) if book.opening.contains(at));
        let causes: Vec<GraphNode> = book.causes.places().map(GraphNode::Cause).collect();
        let near = |nodes: Vec<GraphNode>, before: &[GraphNode]| ordered(nodes, before, &all);
        let symptoms = book.symptoms.places().map(GraphNode::Symptom);
        let (first, second): (Vec<GraphNode>, Vec<GraphNode>) = symptoms.partition(opening);
        let second = near(second, &causes);
        let fixes = near(book.fixes.places().map(GraphNode::Fix).collect(), &causes);
        let mut view = View { cards: Vec::new(), arrows: Vec::new() };
        let mut placed = BTreeMap::new();
        for (column, nodes) in (0..).zip([first, second, causes, fixes]) {
            for node in nodes {
                placed.insert(node, view.cards.len());
                view.cards.push(Card { node, column, via: None });
            }
        }
        view.join(&all, &placed, i32::MAX);
        view
    }

    /// All arrows, answers folded into their symptoms.
    fn between(&self, book: &Book, links: &[Link]) -> Vec<Between> {
        let mut weights: BTreeMap<(GraphNode, GraphNode), &Link> = BTreeMap::new();
        for link in links {
            let key = (GraphNode::Answer(link.symptom, link.answer), GraphNode::Cause(link.cause));
            let known = weights.entry(key).or_insert(link);
            if link.decibans() > known.decibans() {
                *known = link;
            }
        }
        let graph = &self.graph;
        let arrows = graph.edge_references().filter_map(|edge| {
            let from = *graph.node_weight(edge.source())?;
            let to = *graph.node_weight(edge.target())?;
            let (symptom, answer) = match from {
                GraphNode::Answer(symptom, answer) => (GraphNode::Symptom(symptom), Some(answer)),
                other => (other, None),
            };
            let strength = match (*edge.weight(), from, to) {
                (Edge::PointsTo, ..) => weights.get(&(from, to)).map(|link| Strength {
                    written: link.written,
                    decibans: Some(link.decibans()),
                }),
                (Edge::CuredBy, GraphNode::Cause(cause), GraphNode::Fix(fix)) => {
                    let cures = &book.fixes.item(fix)?.cures;
                    let cure = cures.iter().find(|(cured, _)| *cured == cause);
                    cure.map(|(_, written)| Strength { written: *written, decibans: None })
                }
                _ => None,
            };
            let arrow = Between { from: symptom, to, edge: *edge.weight(), answer, strength };
            (arrow.edge != Edge::Has).then_some(arrow)
        });
        arrows.collect()
    }
}

impl View {
    /// Adds the arrows to the right over at most so many columns, each once.
    fn join(&mut self, all: &[Between], placed: &BTreeMap<GraphNode, usize>, over: i32) {
        let mut arrows: Vec<Arrow> = all
            .iter()
            .filter_map(|arrow| {
                let (from, to) = (*placed.get(&arrow.from)?, *placed.get(&arrow.to)?);
                let column = |at: usize| self.cards.get(at).map(|card| card.column);
                let columns = column(to)?.saturating_sub(column(from)?);
                (1..=over).contains(&columns).then_some(Arrow {
                    from,
                    to,
                    edge: arrow.edge,
                    answer: arrow.answer,
                    strength: arrow.strength,
                })
            })
            .collect();
        arrows.sort_by_key(|arrow| (arrow.from, arrow.to, arrow.edge, arrow.answer));
        arrows.dedup_by_key(|arrow| (arrow.from, arrow.to, arrow.edge, arrow.answer));
        self.arrows = arrows;
    }
}

/// Places the neighbours of a column's cards in the next one outward, strongest first, and says which they are.
fn grow(
    view: &mut View,
    placed: &mut BTreeMap<GraphNode, usize>,
    all: &[Between],
    known: &[usize],
    column: i32,
) -> Vec<usize> {
    let mut found: BTreeMap<GraphNode, (f64, usize)> = BTreeMap::new();
    for &at in known {
        let Some(node) = view.cards.get(at).map(|card| card.node) else {
            continue;
        };
        for arrow in all {
            let (here, there) =
                if column < 0 { (arrow.to, arrow.from) } else { (arrow.from, arrow.to) };
            if here != node || placed.contains_key(&there) {
                continue;
            }
            let best = found.entry(there).or_insert((arrow.rank(), at));
            if arrow.rank() > best.0 {
                *best = (arrow.rank(), at);
            }
        }
    }
    let mut found: Vec<_> = found.into_iter().collect();
    found.sort_by(|a, b| b.1.0.total_cmp(&a.1.0).then(a.0.cmp(&b.0)));
    let mut grown = Vec::with_capacity(found.len());
    for (node, (_, via)) in found {
        placed.insert(node, view.cards.len());
        grown.push(view.cards.len());
        view.cards.push(Card { node, column, via: Some(via) });
    }
    grown
}

/// Nodes in the order of the mean place of what they are joined to, so that fewer arrows cross.
fn ordered(mut nodes: Vec<GraphNode>, beside: &[GraphNode], all: &[Between]) -> Vec<GraphNode> {
    let places: BTreeMap<GraphNode, f64> =
        beside.iter().copied().zip((0..).map(f64::from)).collect();
    let mut sums: BTreeMap<GraphNode, (f64, f64)> = BTreeMap::new();
    for arrow in all {
        for (node, other) in [(arrow.from, arrow.to), (arrow.to, arrow.from)] {
            if let Some(place) = places.get(&other) {
                let sum = sums.entry(node).or_default();
                *sum = (sum.0 + place, sum.1 + 1.0);
            }
        }
    }
    let mean = |node: &GraphNode| sums.get(node).map_or(f64::MAX, |(sum, count)| sum / count);
    nodes.sort_by(|a, b| mean(a).total_cmp(&mean(b)).then(a.cmp(b)));
    nodes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::{links, load};

    #[test]
    fn a_cause_has_its_signs_on_the_left_and_its_fixes_on_the_right() {
        let book = load::default_book().unwrap();
        let links = links::all(&book);
        let graph = DecisionGraph::new(&book);
        for (at, cause) in book.causes.iter() {
            let view = graph.around(&book, &links, GraphNode::Cause(at), 1);
            for card in &view.cards {
                let fits = match card.node {
                    GraphNode::Symptom(_) => card.column == -1,
                    GraphNode::Cause(_) => card.column == 0,
                    GraphNode::Fix(_) => card.column == 1,
                    GraphNode::Answer(..) => false,
                };
                assert!(fits, "{}: {card:?}", cause.id);
            }
            let cured = book.fixes.values();
            let cured = cured.filter(|fix| fix.cures.iter().any(|(cause, _)| *cause == at));
            let fixes = view.cards.iter().filter(|card| card.column == 1);
            assert_eq!(fixes.count(), cured.count(), "{}", cause.id);
        }
    }

    #[test]
    fn the_whole_book_has_every_entry_once_and_few_signs_a_cause() {
        let book = load::default_book().unwrap();
        let view = DecisionGraph::new(&book).whole(&book, &links::all(&book), 3);
        let entries = book.symptoms.len() + book.causes.len() + book.fixes.len();
        assert_eq!(view.cards.len(), entries);
        for (at, card) in view.cards.iter().enumerate() {
            let signs =
                view.arrows.iter().filter(|arrow| arrow.to == at && arrow.edge == Edge::PointsTo);
            assert!(!matches!(card.node, GraphNode::Cause(_)) || signs.count() <= 3);
        }
    }
}
