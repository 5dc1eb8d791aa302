//! The decision graph: answers open symptoms and point to causes, causes lead to fixes, fixes wait for
//! what must come before. Circles, reachability and drawings come from it.

use std::collections::{BTreeSet, VecDeque};

use petgraph::Direction;
use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use super::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use super::links::{self, Link};
use super::model::{About, Book};

/// What stands in the graph.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GraphNode {
    /// A question.
    Symptom(SymptomAt),
    /// An answer to one.
    Answer(SymptomAt, AnswerAt),
    /// A cause.
    Cause(CauseAt),
    /// A fix.
    Fix(FixAt),
}

/// What an arrow means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edge {
    /// From a symptom to an answer of it.
    Has,
    /// From an answer to a symptom that it lets be asked, or a cause or fix that it lets apply.
    Opens,
    /// From a parent symptom to one that is relative to it.
    Sides,
    /// From an answer to a cause that it makes more likely.
    PointsTo,
    /// From a cause to a fix that cures it.
    CuredBy,
    /// From a fix to one that comes after it when both are planned.
    Before,
    /// From a fix to one that needs it.
    NeededBy,
}

/// The graph of one book.
#[derive(Debug)]
pub struct DecisionGraph {
    pub(super) graph: DiGraph<GraphNode, Edge>,
    symptoms: List<SymptomAt, NodeIndex>,
    /// Of marks each alone and none of them.
    answers: List<SymptomAt, Vec<(AnswerAt, NodeIndex)>>,
    causes: List<CauseAt, NodeIndex>,
    fixes: List<FixAt, NodeIndex>,
}

impl DecisionGraph {
    /// Builds the graph of a book.
    pub fn new(book: &Book) -> Self {
        let mut graph = DiGraph::new();
        let symptoms: List<_, _> =
            book.symptoms.places().map(|at| graph.add_node(GraphNode::Symptom(at))).collect();
        let causes = book.causes.places().map(|at| graph.add_node(GraphNode::Cause(at))).collect();
        let fixes = book.fixes.places().map(|at| graph.add_node(GraphNode::Fix(at))).collect();
        let mut answers = List::default();
        for ((at, symptom), from) in book.symptoms.iter().zip(symptoms.values()) {
            let nodes = symptom.listed().map(|(answer, _)| {
                let node = graph.add_node(GraphNode::Answer(at, answer));
                graph.add_edge(*from, node, Edge::Has);
                (answer, node)
            });
            answers.push(nodes.collect::<Vec<_>>());
        }
        let mut this = Self { graph, symptoms, answers, causes, fixes };
        this.symptom_edges(book);
        this.cause_edges(book);
        this.fix_edges(book);
        this
    }

    /// Circles of symptoms that open each other: one shortest circle for each knot.
    pub fn symptom_circles(&self) -> Vec<Vec<SymptomAt>> {
        let round = self.circles(|edge| matches!(edge, Edge::Has | Edge::Opens));
        let symptoms = |nodes: Vec<GraphNode>| {
            nodes.into_iter().filter_map(|node| match node {
                GraphNode::Symptom(at) => Some(at),
                _ => None,
            })
        };
        round.into_iter().map(|nodes| symptoms(nodes).collect()).collect()
    }

    /// Circles of fixes that wait for each other: one shortest circle for each knot.
    pub fn fix_circles(&self) -> Vec<Vec<FixAt>> {
        let round = self.circles(|edge| matches!(edge, Edge::Before | Edge::NeededBy));
        let fixes = |nodes: Vec<GraphNode>| {
            nodes.into_iter().filter_map(|node| match node {
                GraphNode::Fix(at) => Some(at),
                _ => None,
            })
        };
        round.into_iter().map(|nodes| fixes(nodes).collect()).collect()
    }

    /// The answers that make a cause more likely.
    pub fn pointing_to(&self, cause: CauseAt) -> Vec<(SymptomAt, AnswerAt)> {
        let Some(node) = self.causes.item(cause) else {
            return Vec::new();
        };
        let mut answers: Vec<_> = self
            .graph
            .edges_directed(*node, Direction::Incoming)
            .filter_map(|edge| match (edge.weight(), self.graph.node_weight(edge.source())) {
                (Edge::PointsTo, Some(GraphNode::Answer(symptom, answer))) => {
                    Some((*symptom, *answer))
                }
                _ => None,
            })
            .collect();
        answers.sort_unstable();
        answers
    }

    /// The symptoms that nothing uses: no cause speaks of them, nothing opens by them, no side follows.
    pub fn idle_symptoms(&self) -> Vec<SymptomAt> {
        let leads =
            |node: NodeIndex| self.graph.edges(node).any(|edge| *edge.weight() != Edge::Has);
        let answers = |at: SymptomAt| self.answers.item(at).into_iter().flatten();
        self.symptoms
            .iter()
            .filter(|(at, node)| !leads(**node) && !answers(*at).any(|(_, node)| leads(*node)))
            .map(|(at, _)| at)
            .collect()
    }

    /// The causes that no fix cures.
    pub fn uncured(&self) -> Vec<CauseAt> {
        let cured =
            |node: NodeIndex| self.graph.edges(node).any(|edge| *edge.weight() == Edge::CuredBy);
        self.causes.iter().filter(|(_, node)| !cured(**node)).map(|(at, _)| at).collect()
    }

    fn symptom_edges(&mut self, book: &Book) {
        let symptoms =
            book.symptoms.values().map(|symptom| &symptom.only_if).zip(self.symptoms.values());
        let causes = book.causes.values().map(|cause| &cause.only_if).zip(self.causes.values());
        let fixes = book.fixes.values().map(|fix| &fix.only_if).zip(self.fixes.values());
        for (conditions, to) in symptoms.chain(causes).chain(fixes) {
            for condition in conditions {
                let About::Answer { symptom: asked, is } = &condition.about else {
                    continue;
                };
                for (answer, from) in self.answers.item(*asked).into_iter().flatten() {
                    if is.contains(answer) != condition.not {
                        self.graph.add_edge(*from, *to, Edge::Opens);
                    }
                }
            }
        }
        for ((_, node), to) in book.network.nodes.iter().zip(self.symptoms.values()) {
            for parent in node.parents() {
                if let Some(from) = self.symptoms.item(parent) {
                    self.graph.add_edge(*from, *to, Edge::Sides);
                }
            }
        }
    }

    fn cause_edges(&mut self, book: &Book) {
        for (at, node) in book.network.nodes.iter() {
            let raised: BTreeSet<_> = links::linked(at, node)
                .into_iter()
                .filter(Link::raises)
                .map(|link| (link.answer, link.cause))
                .collect();
            for (answer, cause) in raised {
                let mut nodes = self.answers.item(at).into_iter().flatten();
                let from = nodes.find(|(known, _)| *known == answer).map(|(_, node)| node);
                if let (Some(from), Some(to)) = (from, self.causes.item(cause)) {
                    self.graph.add_edge(*from, *to, Edge::PointsTo);
                }
            }
        }
    }

    fn fix_edges(&mut self, book: &Book) {
        for ((_, fix), me) in book.fixes.iter().zip(self.fixes.values()) {
            for (cause, _) in &fix.cures {
                if let Some(from) = self.causes.item(*cause) {
                    self.graph.add_edge(*from, *me, Edge::CuredBy);
                }
            }
            for (list, edge) in [(&fix.after, Edge::Before), (&fix.needs, Edge::NeededBy)] {
                for before in list {
                    if let Some(from) = self.fixes.item(*before) {
                        self.graph.add_edge(*from, *me, edge);
                    }
                }
            }
        }
    }

    fn circles(&self, follow: fn(Edge) -> bool) -> Vec<Vec<GraphNode>> {
        let part =
            self.graph.filter_map(|_, node| Some(*node), |_, edge| follow(*edge).then_some(()));
        let mut circles = Vec::new();
        for knot in tarjan_scc(&part) {
            // Begin with the first entry of the book: symptoms and fixes come before answers.
            let first =
                knot.iter().filter_map(|node| Some((*part.node_weight(*node)?, *node))).min();
            if let Some((_, first)) = first
                && (knot.len() > 1 || part.contains_edge(first, first))
            {
                let round = shortest_round(&part, first);
                circles.push(
                    round.into_iter().filter_map(|node| part.node_weight(node).copied()).collect(),
                );
            }
        }
        circles.sort();
        circles
    }
}

/// The shortest way from a node back to itself, beginning with it.
fn shortest_round(graph: &DiGraph<GraphNode, ()>, start: NodeIndex) -> Vec<NodeIndex> {
    let mut came: Vec<Option<NodeIndex>> = vec![None; graph.node_count()];
    let mut queue = VecDeque::from([start]);
    while let Some(node) = queue.pop_front() {
        for next in graph.neighbors(node) {
            if next == start {
                let mut round = vec![node];
                let mut back = node;
                while back != start
                    && let Some(before) = came.get(back.index()).copied().flatten()
                {
                    back = before;
                    round.push(back);
                }
                round.reverse();
                return round;
            }
            if let Some(slot) = came.get_mut(next.index())
                && slot.is_none()
            {
                *slot = Some(node);
                queue.push_back(next);
            }
        }
    }
    vec![start]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::load;

    #[test]
    fn the_default_book_hangs_together() {
        let book = load::default_book().unwrap();
        let graph = DecisionGraph::new(&book);
        assert!(graph.symptom_circles().is_empty() && graph.fix_circles().is_empty());
        assert!(graph.uncured().is_empty());
        for (at, cause) in book.causes.iter() {
            assert!(!graph.pointing_to(at).is_empty(), "{}", cause.id);
        }
    }
}
