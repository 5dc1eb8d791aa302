//! The decision graph in the DOT language, for drawing programs.

use std::fmt::Write as _;

use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

use super::graph::{DecisionGraph, Edge, GraphNode};
use super::model::Book;

impl DecisionGraph {
    /// The graph in the DOT language, for drawing programs. Order of work between stages is left out:
    /// it would hide everything else.
    pub fn dot(&self, book: &Book) -> String {
        let mut out = String::from("digraph rules {\n  rankdir=LR;\n  node [shape=box];\n");
        let stage = |node: NodeIndex| match self.graph.node_weight(node) {
            Some(GraphNode::Fix(at)) => book.fixes.item(*at).map(|fix| fix.stage),
            _ => None,
        };
        for node in self.graph.node_weights() {
            let (name, words, look) = name(*node, book);
            let _ = writeln!(
                out,
                "  \"{name}\" [label=\"{}\"{look}];",
                words.replace('\\', "").replace('"', "'")
            );
        }
        for edge in self.graph.edge_references() {
            let (from, to) = (edge.source(), edge.target());
            if matches!(edge.weight(), Edge::Before | Edge::NeededBy) && stage(from) != stage(to) {
                continue;
            }
            if let (Some(one), Some(two)) =
                (self.graph.node_weight(from), self.graph.node_weight(to))
            {
                let look = match edge.weight() {
                    Edge::Has => " [arrowhead=none]",
                    Edge::Sides => " [style=dotted, label=\"side\"]",
                    Edge::Before | Edge::NeededBy => " [style=dashed]",
                    Edge::Opens | Edge::PointsTo | Edge::CuredBy => "",
                };
                let _ = writeln!(
                    out,
                    "  \"{}\" -> \"{}\"{look};",
                    name(*one, book).0,
                    name(*two, book).0
                );
            }
        }
        out.push_str("}\n");
        out
    }
}

fn name(node: GraphNode, book: &Book) -> (String, &str, &'static str) {
    match node {
        GraphNode::Symptom(at) => {
            let symptom = book.symptoms.item(at);
            let id = symptom.map_or("", |symptom| symptom.id.as_str());
            (format!("symptom {id}"), symptom.map_or("", |symptom| symptom.ask.as_str()), "")
        }
        GraphNode::Answer(at, answer) => {
            let symptom = book.symptoms.item(at);
            let id = symptom.map_or("", |symptom| symptom.id.as_str());
            let answer = symptom
                .and_then(|symptom| symptom.answers.item(answer))
                .map_or("", |answer| answer.id.as_str());
            (format!("answer {id} {answer}"), answer, ", shape=plaintext")
        }
        GraphNode::Cause(at) => {
            let cause = book.causes.item(at);
            let id = cause.map_or("", |cause| cause.id.as_str());
            (
                format!("cause {id}"),
                cause.map_or("", |cause| cause.name.as_str()),
                ", shape=ellipse",
            )
        }
        GraphNode::Fix(at) => {
            let fix = book.fixes.item(at);
            let id = fix.map_or("", |fix| fix.id.as_str());
            (format!("fix {id}"), fix.map_or("", |fix| fix.title.as_str()), ", style=rounded")
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::rulebook::{graph::DecisionGraph, load};

    #[test]
    fn every_arrow_joins_two_boxes() {
        let book = load::default_book().unwrap();
        let dot = DecisionGraph::new(&book).dot(&book);
        assert!(dot.starts_with("digraph rules {") && dot.ends_with("}\n"));
        let boxes: std::collections::BTreeSet<_> = dot
            .lines()
            .filter(|line| line.contains("[label="))
            .filter_map(|line| line.split('"').nth(1))
            .collect();
        assert!(boxes.len() > book.symptoms.len() + book.causes.len() + book.fixes.len());
        for line in dot.lines().filter(|line| line.contains(" -> ")) {
            let ends: Vec<_> = line.split('"').collect();
            assert!(boxes.contains(ends[1]) && boxes.contains(ends[3]), "{line}");
        }
    }
}
