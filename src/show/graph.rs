//! The decision graph drawn: the words of its cards, which every form of drawing shares, and the forms.

pub mod diagram;
pub mod matrix;
pub mod svg;
pub mod text;

use crate::rulebook::graph::{Edge, GraphNode};
use crate::rulebook::index::AnswerAt;
use crate::rulebook::view::{Arrow, Card, View};
use crate::show::entries::BookSheets;

/// The words of one card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardWords {
    /// What kind of entry it is.
    pub kind: &'static str,
    /// Its question, name or title.
    pub title: String,
    /// Its id in the files.
    pub id: String,
}

/// What an entry's card says.
pub fn card_words(sheets: &BookSheets, node: GraphNode) -> CardWords {
    let book = sheets.book;
    match node {
        GraphNode::Symptom(at) | GraphNode::Answer(at, _) => CardWords {
            kind: "question",
            title: sheets.fill(&book.symptoms[at].ask),
            id: book.symptoms[at].id.clone(),
        },
        GraphNode::Cause(at) => CardWords {
            kind: "cause",
            title: book.causes[at].name.clone(),
            id: book.causes[at].id.clone(),
        },
        GraphNode::Fix(at) => CardWords {
            kind: "fix",
            title: book.fixes[at].title.clone(),
            id: book.fixes[at].id.clone(),
        },
    }
}

/// What an arrow says, apart from where it leads.
pub fn arrow_words(sheets: &BookSheets, view: &View, arrow: &Arrow) -> String {
    let answer = arrow.answer.and_then(|answer| {
        let from = view.cards.get(arrow.from)?;
        Some(answer_words(sheets, from, answer))
    });
    let answer = answer.map_or(String::new(), |says| format!("\"{says}\" "));
    match (arrow.edge, arrow.strength) {
        (Edge::PointsTo, Some(strength)) => format!(
            "{answer}{}{}",
            sheets.likelihood(strength.written),
            strength.decibans.map_or(String::new(), |weight| format!(", {weight:+.1} decibans"))
        ),
        (Edge::CuredBy, Some(strength)) => {
            format!("cures it {}", sheets.likelihood(strength.written))
        }
        (Edge::PointsTo, None) => format!("{answer}speaks for it"),
        (Edge::CuredBy, None) => "cures it".to_owned(),
        (Edge::Opens | Edge::Has, _) => format!("{answer}opens it"),
        (Edge::Sides, _) => "gives it its side".to_owned(),
        (Edge::Before, _) => "comes before it".to_owned(),
        (Edge::NeededBy, _) => "is needed by it".to_owned(),
    }
}

fn answer_words(sheets: &BookSheets, from: &Card, answer: AnswerAt) -> String {
    match from.node {
        GraphNode::Symptom(at) | GraphNode::Answer(at, _) => sheets.answer(at, answer),
        GraphNode::Cause(_) | GraphNode::Fix(_) => String::new(),
    }
}

/// What the columns of a drawing around an entry are called: left and right of it.
pub fn sides(node: GraphNode) -> (&'static str, &'static str) {
    match node {
        GraphNode::Symptom(_) | GraphNode::Answer(..) => {
            ("What opens it or gives it its side", "What it speaks for or opens")
        }
        GraphNode::Cause(_) => ("What speaks for it or lets it apply", "What cures it"),
        GraphNode::Fix(_) => ("What it cures, and what comes before it", "What comes after it"),
    }
}
