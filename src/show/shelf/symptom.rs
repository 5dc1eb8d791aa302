//! A symptom as it is read: the question, how to look, and what each answer speaks for.

use super::sheet::{Lead, Sheet, Words};
use super::{Depth, Shelf};
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::links::{Link, background};
use crate::rulebook::model::{About, Book, Condition};
use crate::rulebook::network::{Kind, Node};
use crate::show::chance::{self, minutes};

/// In the handbook each answer names so many causes at most.
const NAMED: usize = 8;
/// Answers that weigh less, in decibans, are not listed.
const LISTED: f64 = 1.0;

pub(super) fn sheet(shelf: &Shelf, sheet: &mut Sheet, at: SymptomAt, depth: Depth) {
    let book = shelf.book;
    let symptom = &book.symptoms[at];
    let ask = shelf.fill(&symptom.ask);
    sheet.title(&super::anchor("symptom", &symptom.id), &ask, &symptom.id);
    let node = &book.network.nodes[at];
    let opening = book.opening.iter().position(|other| *other == at);
    let group = symptom.group.and_then(|group| book.groups.get(group));
    let group = group.into_iter().flatten().filter(|other| **other != at);
    sheet.pairs(vec![
        ("How to look", shelf.fill(&symptom.look).into()),
        ("Why it matters", shelf.fill(&symptom.why).into()),
        ("Machine", super::state(symptom.state).into()),
        ("Takes", minutes(symptom.minutes).into()),
        ("Tools", symptom.tools.join(", ").into()),
        ("Kind", kind(node).into()),
        (
            "Opening question",
            opening
                .map_or(String::new(), |place| format!("number {}", place + 1))
                .into(),
        ),
        (
            "Counts once together with",
            Words::default().entries(group.map(|other| shelf.symptom(*other))),
        ),
        ("Asked only if", shelf.conditions(&symptom.only_if)),
        ("Source", shelf.mark(&symptom.source)),
    ]);
    answers(shelf, sheet, at, depth);
    neighbours(shelf, sheet, at);
}

fn kind(node: &Node) -> &'static str {
    match &node.kind {
        Kind::Sign { .. } => "sign: each linked cause can produce a yes by itself",
        Kind::Pattern { .. } => "pattern: answers without an order",
        Kind::Grade { .. } => "grade: answers from least to most severe",
    }
}

/// Each answer with its chance by itself and the causes it speaks for.
fn answers(shelf: &Shelf, sheet: &mut Sheet, at: SymptomAt, depth: Depth) {
    let book = shelf.book;
    let by_itself = background(&book.network.nodes[at]);
    for (answer, entry) in book.symptoms[at].answers.iter() {
        let alone = by_itself.get(crate::rulebook::index::Place::position(answer));
        sheet.head(
            2,
            None,
            &format!("Answer: {}", shelf.fill(&entry.says)),
            &entry.id,
        );
        let alone = alone.map_or(String::new(), |chance| {
            format!(
                "By itself, without a cause that speaks of it: {}.",
                shelf.likelihood(*chance)
            )
        });
        sheet.para(alone);
        let mut links: Vec<&Link> = shelf
            .links
            .iter()
            .filter(|link| link.symptom == at && link.answer == answer)
            .filter(|link| link.decibans() >= LISTED)
            .collect();
        links.sort_by(|a, b| b.decibans().total_cmp(&a.decibans()));
        let shown = match depth {
            Depth::Names => links.len(),
            Depth::Whole => links.len().min(NAMED),
        };
        let mut items: Vec<Words> = links
            .iter()
            .take(shown)
            .map(|link| item(shelf, link))
            .collect();
        if links.len() > shown {
            items.push(Words::default().faint(format!("and {} weaker", links.len() - shown)));
        }
        if items.is_empty() {
            sheet.para("It speaks for no cause.");
        }
        sheet.list("", Lead::Dot, items);
        let opened = opened(book, at, answer);
        if !opened.0.is_empty() {
            sheet.para(Words::plain("Opens: ").entries(opened.0.iter().map(|s| shelf.symptom(*s))));
        }
        if !opened.1.is_empty() {
            sheet.para(
                Words::plain("Lets apply: ")
                    .entries(opened.1.into_iter().map(|entry| entry.link(shelf))),
            );
        }
    }
}

fn item(shelf: &Shelf, link: &Link) -> Words {
    let words = Words::default().entry(shelf.cause(link.cause)).and(format!(
        ": {}, {} with it, {} without",
        shelf.likelihood(link.written),
        chance::percent(link.chance),
        chance::percent(link.without),
    ));
    let words = match link.given {
        None => words,
        Some((parent, given)) => words
            .faint(", when ")
            .entry(shelf.symptom(parent))
            .faint(format!(" is \"{}\"", shelf.answer(parent, given))),
    };
    words.faint(format!(", {:+.1} decibans", link.decibans()))
}

/// A cause or fix that an answer lets apply.
enum Applying {
    Cause(crate::rulebook::index::CauseAt),
    Fix(crate::rulebook::index::FixAt),
}

impl Applying {
    fn link(self, shelf: &Shelf) -> super::Bit {
        match self {
            Self::Cause(at) => shelf.cause(at),
            Self::Fix(at) => shelf.fix(at),
        }
    }
}

/// What an answer opens: questions, and causes and fixes that it lets apply.
fn opened(book: &Book, at: SymptomAt, answer: AnswerAt) -> (Vec<SymptomAt>, Vec<Applying>) {
    let opens = |conditions: &[Condition]| {
        conditions.iter().any(|condition| match &condition.about {
            About::Answer { symptom, is } => {
                *symptom == at && is.contains(&answer) != condition.not
            }
            About::Conveyor { .. } => false,
        })
    };
    let symptoms = book
        .symptoms
        .iter()
        .filter(|(_, entry)| opens(&entry.only_if));
    let causes = book
        .causes
        .iter()
        .filter(|(_, entry)| opens(&entry.only_if));
    let fixes = book.fixes.iter().filter(|(_, entry)| opens(&entry.only_if));
    (
        symptoms.map(|(at, _)| at).collect(),
        causes
            .map(|(at, _)| Applying::Cause(at))
            .chain(fixes.map(|(at, _)| Applying::Fix(at)))
            .collect(),
    )
}

/// Questions that take their side from this one, and those it takes its side from.
fn neighbours(shelf: &Shelf, sheet: &mut Sheet, at: SymptomAt) {
    let nodes = &shelf.book.network.nodes;
    let named = |list: Vec<SymptomAt>| -> Vec<Words> {
        list.into_iter()
            .map(|other| Words::default().entry(shelf.symptom(other)))
            .collect()
    };
    sheet.list("Takes its side from", Lead::Dot, named(nodes[at].parents()));
    let children = nodes
        .iter()
        .filter(|(_, node)| node.parents().contains(&at));
    sheet.list(
        "Gives the side to",
        Lead::Dot,
        named(children.map(|(child, _)| child).collect()),
    );
}
