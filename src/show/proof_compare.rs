//! Two rule books side by side: a page for people, a document for programs.

use serde::Serialize;

use super::chance::{count, of_hundred};
use super::page::{Page, Screen};
use super::proof_policy::{JsonBook, share};
use crate::proof::compare::{BookView, Compared, Row, Shift, Totals, Turn, What, WhichBook};
use crate::proof::paired::{Paired, Verdict, Wanted};
use crate::proof::score::{Mean, Share};
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;

/// So many cases, and so many visits, are told of on a page.
const MOST_SHOWN: usize = 15;
/// What stands before the lines under a row.
const UNDER: &str = "       ";
/// So many fixes are named that a plan lost or gained.
const MOST_FIXES: usize = 4;

/// What was compared.
#[derive(Debug, Clone, Copy)]
pub struct ComparisonHead<'h> {
    /// The old book, and what it was called on the command line.
    pub old: (&'h Book, &'h str),
    /// The new one.
    pub new: (&'h Book, &'h str),
    /// The seed of the visits.
    pub seed: u64,
}

/// The page.
pub fn page(screen: Screen, head: ComparisonHead<'_>, compared: &Compared) -> String {
    let mut page = Page::new(screen);
    page.title("What changes");
    let (ink, sentence) = sentence(compared);
    page.para_in(ink, &sentence);
    for (which, (book, called)) in [("old: ", head.old), ("new: ", head.new)] {
        let print = book.fingerprint.get(..8).unwrap_or("");
        page.item(which, &format!("{called} ({}, version {}, {print})", book.name, book.version));
    }
    page.blank();
    let all = compared.cases.iter().chain(&compared.visits);
    if all.clone().all(|row| row.turn() == Turn::Same) {
        let of = [
            count(compared.cases.len(), "case", "cases"),
            count(compared.visits.len(), "visit", "visits"),
        ];
        page.para(&format!("Nothing changes in {}.", of.join(" and ")));
        return page.finish();
    }
    if !compared.cases.is_empty() {
        page.head("Cases");
        cases(&mut page, &Totals::from_rows(&compared.cases));
        rows(&mut page, &compared.cases, "case", "cases");
    }
    if !compared.visits.is_empty() {
        page.blank().head("Visits drawn from the old book");
        visits(&mut page, &Totals::from_rows(&compared.visits), head.seed);
        rows(&mut page, &compared.visits, "visit", "visits");
    }
    page.finish()
}

/// What it comes to, for people without statistics.
fn sentence(compared: &Compared) -> (Ink, String) {
    let lost = compared.cases.iter().filter(|row| row.turn() == Turn::Lost).count();
    let pairs: Vec<(f64, f64)> = (compared.visits.iter())
        .filter_map(|row| Some((row.old.right?, row.new.right?)))
        .map(|(old, new)| (f64::from(u8::from(old)), f64::from(u8::from(new))))
        .collect();
    let visits = Paired::new(&pairs);
    let verdict = visits.verdict(Wanted::More);
    let leads = (!pairs.is_empty()).then(|| {
        let [old, new] = [visits.old, visits.new].map(of_hundred);
        if old == new {
            format!("the right cause leads in {new} of 100 visits by both")
        } else {
            format!("the right cause leads in {new} of 100 visits, was {old}")
        }
    });
    if lost > 0 {
        let cases = count(lost, "case that held fails", "cases that held fail");
        let leads = leads.map_or(String::new(), |leads| format!("; {leads}"));
        return (Ink::Warn, format!("Worse: {cases} now{leads}."));
    }
    let Some(leads) = leads else {
        return (Ink::Good, "No case that held fails now.".to_owned());
    };
    match verdict {
        Verdict::Worse => (Ink::Warn, format!("Worse: {leads}.")),
        Verdict::Better => {
            (Ink::Good, format!("Better: {leads}, and no case that held fails now."))
        }
        Verdict::Same => (
            Ink::Strong,
            format!("No difference that counts: {leads}, and no case that held fails now."),
        ),
        Verdict::CannotBeTold => (
            Ink::Strong,
            format!("Cannot be told which is better: {leads}. More visits (--runs) tell more."),
        ),
    }
}

fn cases(page: &mut Page, of: &Totals) {
    let [lost, _, gained, _, same] = of.turns;
    page.para(&format!(
        "{}: {same} unchanged; {lost} held and no longer do, {gained} hold now; another cause leads in {}, another look comes next in {}, another plan is made in {}.",
        count(of.of, "case", "cases"),
        of.other_lead,
        of.other_next,
        of.other_plan
    ));
    let [old, new] = &of.right;
    page.para(&format!(
        "Hold by the old book: {} of {}; by the new: {} of {}. Largest change of a chance, mean: {}.",
        old.hits,
        old.of,
        new.hits,
        new.of,
        points(of.largest.mean)
    ));
}

fn visits(page: &mut Page, of: &Totals, seed: u64) {
    let [lost, _, gained, _, same] = of.turns;
    page.para(&format!(
        "{} (seed {seed}): {same} unchanged; in {lost} the leading cause was right and is wrong now, in {gained} it is right now; another cause leads in {}, another plan is made in {}.",
        count(of.of, "visit", "visits"),
        of.other_lead,
        of.other_plan
    ));
    let both = |[old, new]: &[Mean; 2]| {
        let more = new.mean - old.mean;
        format!("{:.1} -> {:.1} ({more:+.1})", old.mean, new.mean)
    };
    let [old, new] = &of.right;
    let rows = [
        ("Leading cause right", format!("{} -> {}", share(old), share(new))),
        ("Questions asked", both(&of.questions)),
        ("Minutes asking", both(&of.minutes_asking)),
        ("Minutes to true, stated", both(&of.minutes_expected)),
        ("Largest change, mean", points(of.largest.mean)),
    ];
    for (label, value) in rows {
        page.item(&format!("  {label:<24}"), &value);
    }
}

/// A difference of chances.
fn points(by: f64) -> String {
    format!("{:.1} percentage points", by * 100.0)
}

fn rows(page: &mut Page, rows: &[Row], one: &str, many: &str) {
    let changed: Vec<&Row> = rows.iter().filter(|r| r.turn() != Turn::Same).collect();
    if changed.is_empty() {
        return;
    }
    page.para_in(Ink::Faint, "Worst first:");
    for (number, row) in changed.iter().take(MOST_SHOWN).enumerate() {
        told(page, number + 1, row);
    }
    let more = changed.len().saturating_sub(MOST_SHOWN);
    if more > 0 {
        let more = count(more, one, many);
        page.para_in(
            Ink::Faint,
            &format!("And {more} more that change; --format json lists all of them."),
        );
    }
}

fn told(page: &mut Page, number: usize, row: &Row) {
    let ink = if row.turn() == Turn::Lost { Ink::Warn } else { Ink::Plain };
    let lead = format!("{number:>3}  ");
    page.item_in(ink, &lead, &format!("{}: {}", name(&row.what), turned(row)));
    leads(page, row);
    let led = |shift: &Shift| {
        let leads = |view: &BookView| view.leads.as_ref().is_some_and(|(id, _)| *id == shift.cause);
        leads(&row.old) && leads(&row.new)
    };
    if let Some(shift) = row.largest().filter(|shift| !led(shift)) {
        page.item(UNDER, &format!("changed most: {}", shifted(&shift)));
    }
    if row.old.next != row.new.next {
        let next = |view: &BookView| view.next.clone().unwrap_or("nothing".to_owned());
        let (old, new) = (next(&row.old), next(&row.new));
        page.item(UNDER, &format!("looked at next: {old} -> {new}"));
    }
    let figures = figures(row);
    if !figures.is_empty() {
        page.item(UNDER, &figures.join(", "));
    }
    if row.old.plan != row.new.plan {
        page.item(UNDER, &format!("plan: {}", replanned(row)));
    }
}

/// What leads by either book.
fn leads(page: &mut Page, row: &Row) {
    let words = match (&row.old.leads, &row.new.leads) {
        (Some((old, before)), Some((new, after))) if old == new => {
            let (before, after) = (exactly(*before), exactly(*after));
            if before == after {
                return;
            }
            format!("{old} {before} -> {after}")
        }
        (old, new) => {
            let words = |leads: &Option<(String, f64)>| match leads {
                Some((id, chance)) => format!("{id} {}", exactly(*chance)),
                None => "no cause applies".to_owned(),
            };
            format!("{} -> {}", words(old), words(new))
        }
    };
    page.item(UNDER, &format!("leads: {words}"));
}

fn name(what: &What) -> String {
    match what {
        What::Case { id, only_in: None } => format!("case {id}"),
        What::Case { id, only_in: Some(WhichBook::Old) } => {
            format!("case {id} (the old book's alone)")
        }
        What::Case { id, only_in: Some(WhichBook::New) } => {
            format!("case {id} (the new book's alone)")
        }
        What::Visit { number, present } => {
            format!("visit {number} (really {})", present.join(" and "))
        }
    }
}

fn turned(row: &Row) -> &'static str {
    let case = matches!(row.what, What::Case { .. });
    match (row.turn(), case) {
        (Turn::Lost, true) => "HELD, FAILS NOW",
        (Turn::Lost, false) => "WAS RIGHT, IS WRONG NOW",
        (Turn::Gained, true) => "failed, holds now",
        (Turn::Gained, false) => "was wrong, is right now",
        (Turn::OtherLead, _) => "another cause leads",
        (Turn::Shifted, _) => "the same cause leads",
        (Turn::Same, _) => "unchanged",
    }
}

fn shifted(shift: &Shift) -> String {
    let chance = |chance: Option<f64>| chance.map_or("does not apply".to_owned(), exactly);
    format!("{} {} -> {}", shift.cause, chance(shift.old), chance(shift.new))
}

/// A chance to a tenth of a per cent: small changes are to be seen.
fn exactly(chance: f64) -> String {
    format!("{:.1} %", chance * 100.0)
}

fn figures(row: &Row) -> Vec<String> {
    let mut figures = Vec::new();
    if row.old.questions != row.new.questions {
        figures.push(format!("questions {} -> {}", row.old.questions, row.new.questions));
    }
    let minutes = [
        ("asking", row.old.minutes_asking, row.new.minutes_asking),
        ("to true", row.old.minutes_expected, row.new.minutes_expected),
    ];
    for (what, old, new) in minutes {
        let (old, new) = (format!("{old:.0}"), format!("{new:.0}"));
        if old != new {
            figures.push(format!("{what} {old} -> {new} min"));
        }
    }
    figures
}

fn replanned(row: &Row) -> String {
    let fixes = |view: &BookView| -> Vec<String> { view.plan.iter().flatten().cloned().collect() };
    let (old, new) = (fixes(&row.old), fixes(&row.new));
    let lost: Vec<&String> = old.iter().filter(|f| !new.contains(f)).collect();
    let gained: Vec<&String> = new.iter().filter(|f| !old.contains(f)).collect();
    let named = |what: &str, fixes: &[&String]| {
        let mut names: Vec<&str> = fixes.iter().take(MOST_FIXES).map(|f| f.as_str()).collect();
        let more = format!("{} more", fixes.len().saturating_sub(MOST_FIXES));
        if fixes.len() > MOST_FIXES {
            names.push(&more);
        }
        (!names.is_empty()).then(|| format!("{what} {}", names.join(", ")))
    };
    let parts: Vec<String> =
        [named("without", &lost), named("with", &gained)].into_iter().flatten().collect();
    if !parts.is_empty() {
        return parts.join("; ");
    }
    if old == new {
        "the same fixes in other batches".to_owned()
    } else {
        format!(
            "the same fixes in another order, {} first",
            new.first().map_or("none", String::as_str)
        )
    }
}

/// The document for programs. Rows in which nothing changes are counted, not listed.
#[derive(Debug, Serialize)]
pub struct ComparisonJson<'j> {
    format: u32,
    old: JsonBook<'j>,
    new: JsonBook<'j>,
    seed: u64,
    cases: JsonPart<'j>,
    visits: JsonPart<'j>,
}

#[derive(Debug, Serialize)]
struct JsonPart<'j> {
    of: usize,
    unchanged: usize,
    lost: usize,
    gained: usize,
    other_lead: usize,
    other_next: usize,
    other_plan: usize,
    right: [Share; 2],
    questions: [Mean; 2],
    minutes_asking: [Mean; 2],
    minutes_expected: [Mean; 2],
    largest_change: Mean,
    changed: Vec<JsonRow<'j>>,
}

#[derive(Debug, Serialize)]
struct JsonRow<'j> {
    #[serde(skip_serializing_if = "Option::is_none")]
    case: Option<&'j str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    only_in: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    visit: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    present: Option<&'j [String]>,
    turn: &'static str,
    largest: Option<JsonShift>,
    old: JsonView<'j>,
    new: JsonView<'j>,
}

#[derive(Debug, Serialize)]
struct JsonShift {
    cause: String,
    old: Option<f64>,
    new: Option<f64>,
}

#[derive(Debug, Serialize)]
struct JsonView<'j> {
    leads: Option<&'j str>,
    probability: Option<f64>,
    right: Option<bool>,
    next: Option<&'j str>,
    questions: usize,
    minutes_asking: f64,
    minutes_expected: f64,
    plan: &'j [Vec<String>],
}

impl<'j> ComparisonJson<'j> {
    /// The document.
    pub fn new(head: ComparisonHead<'j>, compared: &'j Compared) -> Self {
        Self {
            format: 1,
            old: head.old.0.into(),
            new: head.new.0.into(),
            seed: head.seed,
            cases: part(&compared.cases),
            visits: part(&compared.visits),
        }
    }
}

fn part(rows: &[Row]) -> JsonPart<'_> {
    let of = Totals::from_rows(rows);
    let [lost, _, gained, _, unchanged] = of.turns;
    let changed = rows.iter().filter(|row| row.turn() != Turn::Same);
    JsonPart {
        of: of.of,
        unchanged,
        lost,
        gained,
        other_lead: of.other_lead,
        other_next: of.other_next,
        other_plan: of.other_plan,
        right: of.right,
        questions: of.questions,
        minutes_asking: of.minutes_asking,
        minutes_expected: of.minutes_expected,
        largest_change: of.largest,
        changed: changed.map(json_row).collect(),
    }
}

fn json_row(row: &Row) -> JsonRow<'_> {
    let (case, only_in, visit, present) = match &row.what {
        What::Case { id, only_in } => (Some(id.as_str()), *only_in, None, None),
        What::Visit { number, present } => (None, None, Some(*number), Some(present.as_slice())),
    };
    JsonRow {
        case,
        only_in: only_in.map(|which| match which {
            WhichBook::Old => "old",
            WhichBook::New => "new",
        }),
        visit,
        present,
        turn: match row.turn() {
            Turn::Lost => "lost",
            Turn::OtherLead => "other-lead",
            Turn::Gained => "gained",
            Turn::Shifted => "shifted",
            Turn::Same => "same",
        },
        largest: row.largest().map(|shift| JsonShift {
            cause: shift.cause,
            old: shift.old,
            new: shift.new,
        }),
        old: json_view(&row.old),
        new: json_view(&row.new),
    }
}

fn json_view(view: &BookView) -> JsonView<'_> {
    JsonView {
        leads: view.leads.as_ref().map(|(id, _)| id.as_str()),
        probability: view.leads.as_ref().map(|(_, chance)| *chance),
        right: view.right,
        next: view.next.as_deref(),
        questions: view.questions,
        minutes_asking: view.minutes_asking,
        minutes_expected: view.minutes_expected,
        plan: &view.plan,
    }
}
