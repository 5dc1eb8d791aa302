//! The decision graph for programs that draw: the DOT and the Mermaid language.

use std::fmt::Write as _;

use super::{arrow_words, card_words};
use crate::rulebook::graph::{Edge, GraphNode};
use crate::rulebook::view::{Arrow, View};
use crate::show::entries::BookSheets;

/// In the DOT language.
pub fn dot(sheets: &BookSheets, view: &View) -> String {
    let quoted = |text: &str| {
        let text = text.replace('\\', "\\\\").replace('"', "\\\"");
        format!("\"{}\"", text.replace('\n', "\\n"))
    };
    let mut out = String::from("digraph rules {\n  rankdir=LR;\n  node [shape=box];\n");
    for (at, card) in view.cards.iter().enumerate() {
        let words = card_words(sheets, card.node);
        let look = match card.node {
            GraphNode::Cause(_) => ", shape=ellipse",
            GraphNode::Fix(_) => ", style=rounded",
            GraphNode::Symptom(_) | GraphNode::Answer(..) => "",
        };
        let label = quoted(&format!("{}\n{} {}", words.title, words.kind, words.id));
        let _ = writeln!(out, "  n{at} [label={label}{look}];");
    }
    for (from, to, edge, says) in lines(sheets, view) {
        let style = match edge {
            Edge::PointsTo | Edge::Has => "solid",
            Edge::CuredBy => "bold",
            Edge::Opens => "dashed",
            Edge::Sides | Edge::Before | Edge::NeededBy => "dotted",
        };
        let _ = writeln!(out, "  n{from} -> n{to} [style={style}, label={}];", quoted(&says));
    }
    out.push_str("}\n");
    out
}

/// In the Mermaid language, as many wikis and text editors draw it.
pub fn mermaid(sheets: &BookSheets, view: &View) -> String {
    let mut out = String::from("flowchart LR\n");
    for (at, card) in view.cards.iter().enumerate() {
        let words = card_words(sheets, card.node);
        let label = format!("{}<br/>{} {}", safe(&words.title), words.kind, safe(&words.id));
        let (open, close) = match card.node {
            GraphNode::Cause(_) => ("([", "])"),
            GraphNode::Fix(_) => ("[[", "]]"),
            GraphNode::Symptom(_) | GraphNode::Answer(..) => ("[", "]"),
        };
        let _ = writeln!(out, "  n{at}{open}\"{label}\"{close}");
    }
    for (from, to, edge, says) in lines(sheets, view) {
        let arrow = match edge {
            Edge::PointsTo | Edge::Has => "-->",
            Edge::CuredBy => "==>",
            Edge::Opens | Edge::Sides | Edge::Before | Edge::NeededBy => "-.->",
        };
        let _ = writeln!(out, "  n{from} {arrow}|\"{}\"| n{to}", safe(&says));
    }
    out
}

/// Text that no sign of the Mermaid language is left in.
fn safe(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '#' => safe.push_str("#35;"),
            '"' => safe.push_str("#quot;"),
            '<' => safe.push_str("#lt;"),
            '>' => safe.push_str("#gt;"),
            '&' => safe.push_str("#amp;"),
            '`' => safe.push_str("#96;"),
            '\n' => safe.push(' '),
            other => safe.push(other),
        }
    }
    safe
}

/// One line for each pair of cards and kind of arrow, with the words of all answers.
fn lines(sheets: &BookSheets, view: &View) -> Vec<(usize, usize, Edge, String)> {
    let mut lines: Vec<(usize, usize, Edge, String)> = Vec::new();
    for arrow in &view.arrows {
        let Arrow { from, to, edge, .. } = *arrow;
        let says = arrow_words(sheets, view, arrow);
        match lines.last_mut() {
            Some((last_from, last_to, last_edge, words))
                if (*last_from, *last_to, *last_edge) == (from, to, edge) =>
            {
                words.push_str("; ");
                words.push_str(&says);
            }
            _ => lines.push((from, to, edge, says)),
        }
    }
    lines
}
