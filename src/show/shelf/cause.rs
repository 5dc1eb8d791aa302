//! A cause as it is read: why it happens, what it shows, what confirms it, what cures it.

use super::sheet::{Block, Lead, Sheet, Words};
use super::{Depth, Shelf, cause_name, fix};
use crate::proof::separate::telling;
use crate::rulebook::index::{CauseAt, FixAt};
use crate::rulebook::links::Link;
use crate::show::chance::{self, minutes};
use crate::trade::MachineState;

/// Answers that weigh less, in decibans, are not listed when one entry is shown.
const LISTED: f64 = 1.0;
/// Answers that weigh less are not listed in the handbook.
const CLEAR: f64 = 3.0;
/// Answers that weigh so much confirm a cause.
const CONFIRMS: f64 = 6.0;
/// Answers that weigh so much against a cause are listed.
const AGAINST: f64 = -3.0;
/// In the handbook so many of them.
const AGAINST_NAMED: usize = 8;

pub(super) fn sheet(shelf: &Shelf, sheet: &mut Sheet, at: CauseAt, depth: Depth) {
    let book = shelf.book;
    let cause = &book.causes[at];
    let name = cause_name(&cause.code, &cause.name);
    sheet.title(&super::anchor("cause", &cause.id), &name, &cause.id);
    sheet.para(shelf.fill(&cause.happens_because));
    let common = format!(
        "{} (chance {} when somebody is called to a wandering belt)",
        book.words.common(cause.prior),
        super::digits(cause.prior)
    );
    sheet.pairs(vec![
        ("Where it shows", shelf.fill(&cause.shows_at).into()),
        ("How common", common.into()),
        ("Only if", shelf.conditions(&cause.only_if)),
        ("Source", shelf.mark(&cause.source)),
    ]);
    let mut links: Vec<&Link> = shelf.links.iter().filter(|link| link.cause == at).collect();
    links.sort_by(|a, b| b.decibans().total_cmp(&a.decibans()));
    signs(shelf, sheet, &links, depth);
    mistaken(shelf, sheet, at, depth);
    fixes(shelf, sheet, at, depth);
    if !cause.specialist.is_empty() {
        sheet.section("What to tell a specialist");
        sheet.para(shelf.fill(&cause.specialist));
    }
}

/// The answers that speak for it, those that confirm it first, and those that speak against it.
fn signs(shelf: &Shelf, sheet: &mut Sheet, links: &[&Link], depth: Depth) {
    let least = match depth {
        Depth::Names => LISTED,
        Depth::Whole => CLEAR,
    };
    let (checks, others): (Vec<&Link>, Vec<&Link>) = links
        .iter()
        .copied()
        .filter(|link| link.decibans() >= least)
        .partition(|link| link.decibans() >= CONFIRMS);
    for (head, links) in [("Checks that confirm it", checks), ("Other signs", others)] {
        if links.is_empty() {
            continue;
        }
        sheet.section(head);
        sheet.add(Block::Table {
            head: vec![
                "question",
                "answer",
                "as written",
                "chance with, without",
                "weight, decibans",
                "look",
            ],
            rows: links.into_iter().map(|link| row(shelf, link)).collect(),
        });
    }
    let against: Vec<&&Link> =
        links.iter().rev().take_while(|link| link.decibans() <= AGAINST).collect();
    let words = |link: &Link| {
        Words::default()
            .entry(shelf.symptom(link.symptom))
            .and(format!(" \"{}\"", answer(shelf, link).text()))
            .faint(format!(", {:+.1} decibans", link.decibans()))
    };
    match depth {
        Depth::Names => {
            let against = against.into_iter().map(|link| words(link));
            sheet.list("Speaks against it", Lead::Dot, against.collect());
        }
        Depth::Whole => {
            let some = against.iter().take(AGAINST_NAMED);
            let mut all = Words::default().strong("Speaks against it, strongest first: ");
            for (place, link) in some.enumerate() {
                if place > 0 {
                    all = all.and("; ");
                }
                all.0.extend(words(link).0);
            }
            if !against.is_empty() {
                sheet.para(all.and("."));
            }
        }
    }
}

fn row(shelf: &Shelf, link: &Link) -> Vec<Words> {
    let symptom = &shelf.book.symptoms[link.symptom];
    let look = match symptom.state {
        MachineState::LockedOut => Words::default().strong("LOCKED OUT"),
        MachineState::Running => Words::plain("running"),
        MachineState::Anywhere => Words::plain("anywhere"),
    };
    let chance = Words::plain(chance::percent(link.chance))
        .said(" with it")
        .and(format!(", {}", chance::percent(link.without)))
        .said(" without");
    vec![
        Words::default().entry(shelf.symptom(link.symptom)),
        answer(shelf, link),
        shelf.likelihood(link.written).into(),
        chance,
        Words::plain(format!("{:+.1}", link.decibans())).said(" decibans"),
        look.and(format!(", {}", minutes(symptom.minutes))),
    ]
}

/// What it is mistaken for, and the question that tells the two best apart.
fn mistaken(shelf: &Shelf, sheet: &mut Sheet, at: CauseAt, depth: Depth) {
    let book = shelf.book;
    let items = |list: Vec<CauseAt>| -> Vec<Words> {
        let pairs: Vec<_> = list.iter().map(|other| (at, *other)).collect();
        let best = telling(book, shelf.nothing_known(), &pairs);
        let both = list.into_iter().zip(best);
        both.map(|(other, best)| {
            let words = Words::default().entry(shelf.cause(other));
            let Some(best) = best else {
                return words.and(". No question tells the two apart");
            };
            words
                .and(". Best told apart by ")
                .entry(shelf.symptom(best.symptom))
                .and(format!(
                    " Here \"{}\", there \"{}\"",
                    shelf.answer(best.symptom, best.answers.0),
                    shelf.answer(best.symptom, best.answers.1)
                ))
                .faint(format!(" ({:.2} of 1 bit)", best.bits))
        })
        .collect()
    };
    let list = items(book.causes[at].mistaken_for.clone());
    sheet.list("Often mistaken for", Lead::Dot, list);
    if depth == Depth::Names {
        let others = book.causes.iter();
        let others = others.filter(|(_, other)| other.mistaken_for.contains(&at));
        let list = items(others.map(|(other, _)| other).collect());
        sheet.list("Others are mistaken for it", Lead::Dot, list);
    }
}

/// The answer; for a voice relative to another symptom, with the answer that picks it.
fn answer(shelf: &Shelf, link: &Link) -> Words {
    let says = shelf.answer(link.symptom, link.answer);
    match link.given {
        None => Words::plain(says),
        Some((parent, given)) => Words::plain(says)
            .faint(" when ")
            .entry(shelf.symptom(parent))
            .faint(format!(" is \"{}\"", shelf.answer(parent, given))),
    }
}

fn fixes(shelf: &Shelf, sheet: &mut Sheet, at: CauseAt, depth: Depth) {
    let mut fixes: Vec<_> = shelf
        .book
        .fixes
        .iter()
        .filter_map(|(fix, entry)| {
            let cure = entry.cures.iter().find(|(cause, _)| *cause == at)?;
            Some((fix, entry, cure.1))
        })
        .collect();
    fixes.sort_by(|a, b| b.2.total_cmp(&a.2).then(a.0.cmp(&b.0)));
    if depth == Depth::Names {
        let list = fixes.into_iter().map(|(fix, entry, chance)| {
            Words::default().entry(shelf.fix(fix)).and(format!(
                ": cures it {}, {}, {}",
                shelf.likelihood(chance),
                minutes(entry.minutes),
                super::state(entry.state())
            ))
        });
        sheet.list("Fixes", Lead::Dot, list.collect());
        return;
    }
    let all: Vec<FixAt> = fixes.iter().map(|(fix, ..)| *fix).collect();
    fix::cautions(shelf, sheet, &all);
    for (fix, entry, chance) in fixes {
        sheet.head(2, None, &format!("Fix: {}", entry.title), &entry.id);
        let cures = format!("Cures it {}", shelf.likelihood(chance));
        fix::work(shelf, sheet, fix, &cures);
    }
}
