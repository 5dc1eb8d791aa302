//! A cause as it is read: why it happens, what it shows, what confirms it, what cures it.

use super::sheet::{Block, ListMark, RichText, Sheet};
use super::{BookSheets, Detail, fix};
use crate::proof::separate::telling;
use crate::rulebook::index::{CauseAt, FixAt};
use crate::rulebook::links::Link;
use crate::rulebook::model::{BroughtOn, Cause};
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

/// What brings it on, what to look for, the one job, and where that comes from.
fn brought_on(sheets: &BookSheets, brought: &BroughtOn) -> RichText {
    let fill = |text: &str| sheets.fill(text);
    let mut words = RichText::plain(fill(&brought.words)).and(format!(
        " Look for: {} If so: {}. ",
        fill(&brought.look_for),
        fill(&brought.job)
    ));
    if let Some(cause) = brought.cause {
        words = words.and("See ").entry(sheets.cause(cause)).and(". ");
    }
    words.and(format!("({})", sheets.mark(&brought.source).text()))
}

/// How common it is on some conveyors.
fn on_some(sheets: &BookSheets, cause: &Cause) -> RichText {
    let words = cause.priors_on.iter().map(|(on, prior)| {
        let word = sheets.book.words.common(*prior);
        let where_so = sheets.conditions(on).text();
        format!("{word} (chance {}) where {where_so}", super::digits(*prior))
    });
    words.collect::<Vec<_>>().join("; else ").into()
}

pub(super) fn sheet(sheets: &BookSheets, sheet: &mut Sheet, at: CauseAt, depth: Detail) {
    let book = sheets.book;
    let cause = &book.causes[at];
    sheet.title(&super::anchor("cause", &cause.id), &cause.name, &cause.id);
    sheet.para(sheets.fill(&cause.happens_because));
    let common = format!(
        "{} (chance {} when somebody is called to a wandering belt)",
        book.words.common(cause.prior),
        super::digits(cause.prior)
    );
    sheet.pairs(vec![
        ("Where it shows", sheets.fill(&cause.shows_at).into()),
        ("How common", common.into()),
        ("On some conveyors", on_some(sheets, cause)),
        ("Only if", sheets.conditions(&cause.only_if)),
        ("Source", sheets.mark(&cause.source)),
    ]);
    let mut links: Vec<&Link> = sheets.links.iter().filter(|link| link.cause == at).collect();
    links.sort_by(|a, b| b.decibans().total_cmp(&a.decibans()));
    signs(sheets, sheet, &links, depth);
    mistaken(sheets, sheet, at, depth);
    fixes(sheets, sheet, at, depth);
    if !cause.brought_on_by.is_empty() {
        sheet.section("What brings it on");
        let each = cause.brought_on_by.iter().map(|brought| brought_on(sheets, brought));
        sheet.add(Block::List(ListMark::Dot, each.collect()));
    }
    if !cause.specialist.is_empty() {
        sheet.section("What to tell a specialist");
        sheet.para(sheets.fill(&cause.specialist));
    }
}

/// The answers that speak for it, those that confirm it first, and those that speak against it.
fn signs(sheets: &BookSheets, sheet: &mut Sheet, links: &[&Link], depth: Detail) {
    let least = match depth {
        Detail::Names => LISTED,
        Detail::Whole => CLEAR,
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
            rows: links.into_iter().map(|link| row(sheets, link)).collect(),
        });
    }
    let against: Vec<&&Link> =
        links.iter().rev().take_while(|link| link.decibans() <= AGAINST).collect();
    let words = |link: &Link| {
        RichText::default()
            .entry(sheets.symptom(link.symptom))
            .and(format!(" \"{}\"", answer(sheets, link).text()))
            .faint(format!(", {:+.1} decibans", link.decibans()))
    };
    match depth {
        Detail::Names => {
            let against = against.into_iter().map(|link| words(link));
            sheet.list("Speaks against it", ListMark::Dot, against.collect());
        }
        Detail::Whole => {
            let some = against.iter().take(AGAINST_NAMED);
            let mut all = RichText::default().strong("Speaks against it, strongest first: ");
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

fn row(sheets: &BookSheets, link: &Link) -> Vec<RichText> {
    let symptom = &sheets.book.symptoms[link.symptom];
    let look = match symptom.state {
        MachineState::LockedOut => RichText::default().strong("LOCKED OUT"),
        MachineState::Running => RichText::plain("running"),
        MachineState::Anywhere => RichText::plain("anywhere"),
    };
    let chance = RichText::plain(chance::percent(link.chance))
        .said(" with it")
        .and(format!(", {}", chance::percent(link.without)))
        .said(" without");
    vec![
        RichText::default().entry(sheets.symptom(link.symptom)),
        answer(sheets, link),
        sheets.likelihood(link.written).into(),
        chance,
        RichText::plain(format!("{:+.1}", link.decibans())).said(" decibans"),
        look.and(format!(", {}", minutes(symptom.minutes))),
    ]
}

/// What it is mistaken for, and the question that tells the two best apart.
fn mistaken(sheets: &BookSheets, sheet: &mut Sheet, at: CauseAt, depth: Detail) {
    let book = sheets.book;
    let items = |list: Vec<CauseAt>| -> Vec<RichText> {
        let pairs: Vec<_> = list.iter().map(|other| (at, *other)).collect();
        let best = telling(book, sheets.nothing_known(), &pairs);
        let both = list.into_iter().zip(best);
        both.map(|(other, best)| {
            let words = RichText::default().entry(sheets.cause(other));
            let Some(best) = best else {
                return words.and(". No question tells the two apart");
            };
            words
                .and(". Best told apart by ")
                .entry(sheets.symptom(best.symptom))
                .and(format!(
                    " Here \"{}\", there \"{}\"",
                    sheets.answer(best.symptom, best.answers.0),
                    sheets.answer(best.symptom, best.answers.1)
                ))
                .faint(format!(" ({:.2} of 1 bit)", best.bits))
        })
        .collect()
    };
    let list = items(book.causes[at].mistaken_for.clone());
    sheet.list("Often mistaken for", ListMark::Dot, list);
    if depth == Detail::Names {
        let others = book.causes.iter();
        let others = others.filter(|(_, other)| other.mistaken_for.contains(&at));
        let list = items(others.map(|(other, _)| other).collect());
        sheet.list("Others are mistaken for it", ListMark::Dot, list);
    }
}

/// The answer; for a voice relative to another symptom, with the answer that picks it.
fn answer(sheets: &BookSheets, link: &Link) -> RichText {
    let says = sheets.answer(link.symptom, link.answer);
    match link.given {
        None => RichText::plain(says),
        Some((parent, given)) => RichText::plain(says)
            .faint(" when ")
            .entry(sheets.symptom(parent))
            .faint(format!(" is \"{}\"", sheets.answer(parent, given))),
    }
}

fn fixes(sheets: &BookSheets, sheet: &mut Sheet, at: CauseAt, depth: Detail) {
    let mut fixes: Vec<_> = sheets
        .book
        .fixes
        .iter()
        .filter_map(|(fix, entry)| {
            let cure = entry.cures.iter().find(|(cause, _)| *cause == at)?;
            Some((fix, entry, cure.1))
        })
        .collect();
    fixes.sort_by(|a, b| b.2.total_cmp(&a.2).then(a.0.cmp(&b.0)));
    if depth == Detail::Names {
        let list = fixes.into_iter().map(|(fix, entry, chance)| {
            RichText::default().entry(sheets.fix(fix)).and(format!(
                ": cures it {}, {}, {}",
                sheets.likelihood(chance),
                minutes(entry.minutes),
                super::state(entry.state())
            ))
        });
        sheet.list("Fixes", ListMark::Dot, list.collect());
        return;
    }
    let all: Vec<FixAt> = fixes.iter().map(|(fix, ..)| *fix).collect();
    fix::cautions(sheets, sheet, &all);
    for (fix, entry, chance) in fixes {
        sheet.head(2, None, &format!("Fix: {}", entry.title), &entry.id);
        let cures = format!("Cures it {}", sheets.likelihood(chance));
        fix::work(sheets, sheet, fix, &cures);
    }
}
