//! A fix as it is read: the work, what must come before it, and what it cures.

use super::sheet::{Lead, Sheet, Words};
use super::{Depth, Shelf, entry};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::State;
use crate::show::chance::{minutes, people};
use crate::show::steps::fix_text;

pub(super) fn sheet(shelf: &Shelf, sheet: &mut Sheet, at: FixAt, depth: Depth) {
    let book = shelf.book;
    let fix = &book.fixes[at];
    sheet.title(&super::anchor("fix", &fix.id), &fix.title, &fix.id);
    let cures = fix.cures.iter().map(|(cause, chance)| {
        Words::default()
            .entry(shelf.cause(*cause))
            .and(format!(": {}", shelf.likelihood(*chance)))
    });
    let cures = cures.collect();
    if depth == Depth::Names {
        work(shelf, sheet, at, None);
        sheet.list("Cures", Lead::Dot, cures);
    } else {
        place_in_work(shelf, sheet, at);
        sheet.list("Cures; the steps stand with each cause", Lead::Dot, cures);
    }
    let names = |list: &[FixAt]| -> Vec<Words> {
        list.iter()
            .map(|fix| Words::default().entry(shelf.fix(*fix)))
            .collect()
    };
    sheet.list(
        "Needs these done, found fine or unlikely to matter first",
        Lead::Dot,
        names(&fix.needs),
    );
    sheet.list(
        "Comes after these, when they are planned too",
        Lead::Dot,
        names(&fix.after),
    );
    if depth == Depth::Names {
        let followers = |of: fn(&crate::rulebook::model::Fix) -> &Vec<FixAt>| -> Vec<Words> {
            let all = book.fixes.iter();
            let all = all.filter(|(_, other)| of(other).contains(&at));
            all.map(|(other, _)| Words::default().entry(shelf.fix(other)))
                .collect()
        };
        sheet.list("Needed by", Lead::Dot, followers(|fix| &fix.needs));
        sheet.list("Followed by", Lead::Dot, followers(|fix| &fix.after));
    }
}

fn place_in_work(shelf: &Shelf, sheet: &mut Sheet, at: FixAt) {
    let fix = &shelf.book.fixes[at];
    sheet.pairs(vec![
        ("Stage", format!("{:?}", fix.stage).into()),
        ("Machine", super::state(fix.state).into()),
        ("Takes", takes(shelf, at).into()),
        ("Only if", shelf.conditions(&fix.only_if)),
        ("Source", shelf.mark(&fix.source)),
    ]);
}

fn takes(shelf: &Shelf, at: FixAt) -> String {
    let fix = &shelf.book.fixes[at];
    format!("{}, {}", minutes(fix.minutes), people(fix.people))
}

/// The work itself: cautions first, then steps, when it is done, what not to do.
pub(super) fn work(shelf: &Shelf, sheet: &mut Sheet, at: FixAt, cures: Option<String>) {
    let book = shelf.book;
    let fix = &book.fixes[at];
    let words = fix_text(book, &shelf.known(), at, false);
    sheet.pairs(vec![
        ("Chance", cures.unwrap_or_default().into()),
        ("Stage", format!("{:?}", fix.stage).into()),
        ("Machine", super::state(fix.state).into()),
        ("Takes", takes(shelf, at).into()),
        ("Tools", shelf.fill(&fix.tools.join(", ")).into()),
        ("Only if", shelf.conditions(&fix.only_if)),
        ("Source", shelf.mark(&fix.source)),
    ]);
    for (caution, text) in fix.cautions.iter().zip(words.cautions) {
        let id = &book.cautions[*caution].id;
        sheet.warn(Words::plain(format!("{text} ")).entry(entry("caution", id, id).without_id()));
    }
    let mut steps: Vec<Words> = Vec::new();
    if fix.state == State::LockedOut {
        steps.push(
            Words::default()
                .strong("Lock out first, in full: ")
                .entry(safety()),
        );
    }
    steps.extend(words.text.into_iter().map(Words::plain));
    sheet.list("", Lead::Number, steps);
    sheet.para(Words::default().strong("Done when: ").and(words.done_when));
    for text in words.do_not {
        sheet.para(
            Words::default()
                .strong("Do not: ")
                .and(text_of_do_not(&text)),
        );
    }
    if !words.worked.is_empty() {
        sheet.para(Words::default().strong("It worked: ").and(words.worked));
    }
}

/// The texts begin with "Do not" themselves, mostly.
fn text_of_do_not(text: &str) -> String {
    text.strip_prefix("Do not ")
        .or_else(|| text.strip_prefix("Never "))
        .unwrap_or(text)
        .to_owned()
}

/// The page that says how a machine is made dead.
pub(super) fn safety() -> super::Bit {
    super::Bit::Entry {
        anchor: "safety".to_owned(),
        text: "see the safety page".to_owned(),
        id: String::new(),
    }
}
