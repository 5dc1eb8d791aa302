//! A cause as it is read: why it happens, what it shows, what confirms it, what cures it.

use super::sheet::{Block, Lead, Sheet, Words};
use super::{Depth, Shelf, cause_name, fix};
use crate::rulebook::index::CauseAt;
use crate::rulebook::links::Link;
use crate::rulebook::model::State;
use crate::show::chance::{self, minutes};

/// Answers that weigh less, in decibans, are counted but not listed.
const LISTED: f64 = 1.0;
/// Answers that weigh so much confirm a cause.
const CONFIRMS: f64 = 6.0;
/// Answers that weigh so much against a cause are listed.
const AGAINST: f64 = -3.0;

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
    signs(shelf, sheet, &links);
    checks(shelf, sheet, &links);
    let mistaken = |list: &[CauseAt]| -> Vec<Words> {
        list.iter()
            .map(|other| Words::default().entry(shelf.cause(*other)))
            .collect()
    };
    sheet.list(
        "Often mistaken for",
        Lead::Dot,
        mistaken(&cause.mistaken_for),
    );
    if depth == Depth::Names {
        let others = book.causes.iter();
        let others: Vec<CauseAt> = others
            .filter(|(_, other)| other.mistaken_for.contains(&at))
            .map(|(other, _)| other)
            .collect();
        sheet.list("Others are mistaken for it", Lead::Dot, mistaken(&others));
    }
    fixes(shelf, sheet, at, depth);
    if !cause.specialist.is_empty() {
        sheet.section("What to tell a specialist");
        sheet.para(shelf.fill(&cause.specialist));
    }
}

fn signs(shelf: &Shelf, sheet: &mut Sheet, links: &[&Link]) {
    let listed = links.iter().filter(|link| link.decibans() >= LISTED);
    let rows: Vec<Vec<Words>> = listed
        .map(|link| {
            vec![
                Words::default().entry(shelf.symptom(link.symptom)),
                answer(shelf, link),
                shelf.likelihood(link.written).into(),
                format!(
                    "{} with it, {} without",
                    chance::percent(link.chance),
                    chance::percent(link.without)
                )
                .into(),
                format!("{:+.1} decibans", link.decibans()).into(),
            ]
        })
        .collect();
    if !rows.is_empty() {
        sheet.section("Signs, strongest first");
        sheet.add(Block::Table {
            head: vec!["question", "answer", "as written", "chance", "weight"],
            rows,
        });
    }
    let mut against: Vec<&&Link> = links
        .iter()
        .filter(|link| link.decibans() <= AGAINST)
        .collect();
    against.reverse();
    let against = against.into_iter().map(|link| {
        Words::default()
            .entry(shelf.symptom(link.symptom))
            .and(" ")
            .and(answer(shelf, link).text())
            .faint(format!(", {:+.1} decibans", link.decibans()))
    });
    sheet.list("Speaks against it", Lead::Dot, against.collect());
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

/// The questions that confirm it best, with how to look.
fn checks(shelf: &Shelf, sheet: &mut Sheet, links: &[&Link]) {
    let mut seen = Vec::new();
    let mut checks = Vec::new();
    for link in links.iter().filter(|link| link.decibans() >= CONFIRMS) {
        if seen.contains(&link.symptom) {
            continue;
        }
        seen.push(link.symptom);
        let symptom = &shelf.book.symptoms[link.symptom];
        let locked = symptom.state == State::LockedOut;
        let words = if locked {
            Words::default().strong("LOCKED OUT: ")
        } else {
            Words::default()
        };
        checks.push(
            words
                .entry(shelf.symptom(link.symptom))
                .and(format!(
                    " \"{}\" speaks {} for it. {}",
                    shelf.answer(link.symptom, link.answer),
                    chance::weight(link.decibans()),
                    shelf.fill(&symptom.look)
                ))
                .faint(format!(" ({})", minutes(symptom.minutes))),
        );
    }
    sheet.list("Checks that confirm it", Lead::Dot, checks);
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
                super::state(entry.state)
            ))
        });
        sheet.list("Fixes", Lead::Dot, list.collect());
        return;
    }
    for (fix, entry, chance) in fixes {
        sheet.head(2, None, &format!("Fix: {}", entry.title), &entry.id);
        let cures = format!("cures it {}", shelf.likelihood(chance));
        fix::work(shelf, sheet, fix, Some(cures));
    }
}
