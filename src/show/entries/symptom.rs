//! A symptom as it is read: the question, how to look, and what each answer speaks for.

use super::sheet::{Block, ListMark, RichText, Sheet};
use super::{BookSheets, Detail, look};
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, Place, SymptomAt};
use crate::rulebook::links::{Link, background};
use crate::rulebook::model::{About, Book, Condition, Symptom};
use crate::rulebook::network::{Kind, Node};
use crate::show::chance::{self, minutes};

/// In the handbook each answer names so many causes at most.
const NAMED: usize = 5;
/// Answers that weigh less, in decibans, are not listed.
const LISTED: f64 = 1.0;

pub(super) fn sheet(sheets: &BookSheets, sheet: &mut Sheet, at: SymptomAt, depth: Detail) {
    let book = sheets.book;
    let symptom = &book.symptoms[at];
    let ask = sheets.fill(&symptom.ask);
    sheet.title(&super::anchor("symptom", &symptom.id), &ask, &symptom.id);
    let node = &book.network.nodes[at];
    let opening = book.opening.iter().position(|other| *other == at);
    let group = symptom.group.and_then(|group| book.groups.get(group));
    let group = group.into_iter().flatten().filter(|other| **other != at);
    sheet.pairs(vec![
        ("How to look", sheets.fill(&symptom.how_to_look).into()),
        ("Why it matters", sheets.fill(&symptom.why).into()),
        ("Looked at in", look::that_shows(sheets, symptom.look)),
        ("Known", look::told_by(symptom.told_by).into()),
        ("Ticked as", sheets.fill(&ticked_as(symptom)).into()),
        ("Machine", super::state(symptom.state).into()),
        ("Takes", minutes(symptom.minutes).into()),
        ("Tools", symptom.tools.join(", ").into()),
        ("Kind", kind(node).into()),
        (
            "Opening question",
            opening.map_or(String::new(), |place| format!("number {}", place + 1)).into(),
        ),
        (
            "Counts once together with",
            RichText::default().entries(group.map(|other| sheets.symptom(*other))),
        ),
        ("Measured by", measured(symptom).into()),
        ("Asked only if", sheets.conditions(&symptom.only_if)),
        ("Source", sheets.mark(&symptom.source)),
    ]);
    for follows in &symptom.follows {
        let from = sheets.conditions(std::slice::from_ref(&follows.from));
        let is = sheets.answer(at, follows.is);
        sheet.pairs(vec![("Known without asking", from.and(format!(": \"{is}\"")))]);
    }
    match depth {
        Detail::Names => answers(sheets, sheet, at),
        Detail::Whole => answers_in_short(sheets, sheet, at),
    }
    neighbours(sheets, sheet, at);
}

/// What is ticked, where that is no answer's own words.
fn ticked_as(symptom: &Symptom) -> String {
    let said = symptom.answers.values().any(|answer| answer.says == symptom.tick);
    if said { String::new() } else { symptom.tick.clone() }
}

fn measured(symptom: &Symptom) -> String {
    let all = symptom.measured.iter().chain(&symptom.also_measured);
    let all: Vec<String> =
        all.map(|by| format!("the gauge {} ({})", by.gauge.id, by.tell.id)).collect();
    all.join(", ")
}

fn kind(node: &Node) -> &'static str {
    match &node.kind {
        Kind::Sign { .. } => "sign: each linked cause can produce a yes by itself",
        Kind::Pattern { .. } => "pattern: answers without an order",
        Kind::Grade { .. } => "grade: answers from least to most severe",
        Kind::Marks { .. } => "marks: several answers at once, each brought by causes of its own",
    }
}

/// Each answer with its chance by itself and all the causes it speaks for.
fn answers(sheets: &BookSheets, sheet: &mut Sheet, at: SymptomAt) {
    let book = sheets.book;
    let by_itself = background(&book.network.nodes[at]);
    for (answer, entry) in book.symptoms[at].listed() {
        let says = format!("Answer: {}", sheets.fill(&entry.says));
        sheet.head(2, None, &says, &entry.id);
        if let Some(chance) = by_itself.get(answer.position()) {
            sheet.para(format!(
                "By itself, without a cause that speaks of it: {}.",
                sheets.likelihood(*chance)
            ));
        }
        let items: Vec<RichText> =
            speaks_for(sheets, at, answer).into_iter().map(|link| item(sheets, link)).collect();
        if items.is_empty() {
            sheet.para("It speaks for no cause.");
        }
        sheet.list("", ListMark::Dot, items);
        sheet.para(opens(sheets, at, answer));
    }
}

/// The same as a table, with the strongest causes alone.
fn answers_in_short(sheets: &BookSheets, sheet: &mut Sheet, at: SymptomAt) {
    let book = sheets.book;
    let by_itself = background(&book.network.nodes[at]);
    let rows = book.symptoms[at].listed().map(|(answer, entry)| {
        let chance = by_itself.get(answer.position()).copied();
        let mut causes = RichText::default();
        let mut named: Vec<CauseAt> = Vec::new();
        for link in speaks_for(sheets, at, answer) {
            if !named.contains(&link.cause) {
                named.push(link.cause);
            }
        }
        causes = causes.entries(named.iter().take(NAMED).map(|cause| sheets.cause(*cause)));
        if named.len() > NAMED {
            causes = causes.and(format!(" and {} more", named.len() - NAMED));
        }
        if named.is_empty() {
            causes = causes.and("no cause");
        }
        vec![
            sheets.fill(&entry.says).into(),
            chance.map_or(String::new(), |chance| sheets.likelihood(chance)).into(),
            causes,
            opens(sheets, at, answer),
        ]
    });
    let rows = rows.collect();
    sheet.add(Block::Table { head: vec!["answer", "by itself", "speaks most for", ""], rows });
}

/// The links by which an answer speaks for causes, strongest first.
fn speaks_for<'s>(sheets: &'s BookSheets, at: SymptomAt, answer: AnswerAt) -> Vec<&'s Link> {
    let mut links: Vec<&Link> = sheets
        .links
        .iter()
        .filter(|link| link.symptom == at && link.answer == answer)
        .filter(|link| link.decibans() >= LISTED)
        .collect();
    links.sort_by(|a, b| b.decibans().total_cmp(&a.decibans()));
    links
}

/// What an answer opens, in words; nothing if it opens nothing.
fn opens(sheets: &BookSheets, at: SymptomAt, answer: AnswerAt) -> RichText {
    let (symptoms, others) = opened(sheets.book, at, answer);
    let mut words = RichText::default();
    if !symptoms.is_empty() {
        words = words.and("Opens: ").entries(symptoms.into_iter().map(|at| sheets.symptom(at)));
    }
    if !others.is_empty() {
        let gap = if words.0.is_empty() { "" } else { ". " };
        words = words
            .and(format!("{gap}Lets apply: "))
            .entries(others.into_iter().map(|entry| entry.link(sheets)));
    }
    words
}

fn item(sheets: &BookSheets, link: &Link) -> RichText {
    let words = RichText::default().entry(sheets.cause(link.cause)).and(format!(
        ": {}, {} with it, {} without",
        sheets.likelihood(link.written),
        chance::percent(link.chance),
        chance::percent(link.without),
    ));
    let words = match link.given {
        None => words,
        Some((parent, given)) => words
            .faint(", when ")
            .entry(sheets.symptom(parent))
            .faint(format!(" is \"{}\"", sheets.answer(parent, given))),
    };
    words.faint(format!(", {:+.1} decibans", link.decibans()))
}

/// A cause or fix that an answer lets apply.
enum Applying {
    Cause(CauseAt),
    Fix(FixAt),
}

impl Applying {
    fn link(self, sheets: &BookSheets) -> super::Bit {
        match self {
            Self::Cause(at) => sheets.cause(at),
            Self::Fix(at) => sheets.fix(at),
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
    let symptoms = book.symptoms.iter().filter(|(_, entry)| opens(&entry.only_if));
    let causes = book.causes.iter().filter(|(_, entry)| opens(&entry.only_if));
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
fn neighbours(sheets: &BookSheets, sheet: &mut Sheet, at: SymptomAt) {
    let nodes = &sheets.book.network.nodes;
    let named = |list: Vec<SymptomAt>| -> Vec<RichText> {
        list.into_iter().map(|other| RichText::default().entry(sheets.symptom(other))).collect()
    };
    sheet.list("Takes its side from", ListMark::Dot, named(nodes[at].parents()));
    let children = nodes.iter().filter(|(_, node)| node.parents().contains(&at));
    sheet.list(
        "Gives the side to",
        ListMark::Dot,
        named(children.map(|(child, _)| child).collect()),
    );
}
