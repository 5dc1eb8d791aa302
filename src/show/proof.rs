//! What a supervisor reads of cases and of what they cover.

use super::chance::{self, count};
use super::page::{Page, Screen};
use super::steps::{Preface, fix_text};
use super::words::{Known, Sides};
use crate::proof::case::Case;
use crate::proof::coverage::Coverage;
use crate::proof::run::{CaseVerdict, CaseWording, Failure, Weighty};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::Book;
use crate::source::Place;
use crate::stream::paint::Ink;
use crate::visit::Finding;

/// The words of a person's page, for those who judge cases.
pub const WORDING: CaseWording =
    CaseWording { fix: all_of_fix, chance: chance::percent, minutes: chance::minutes };

/// A case and how it came out.
pub type RanCase<'r> = (&'r Case, &'r CaseVerdict);

/// What is said of cases that were not run.
#[derive(Debug, Clone, Copy, Default)]
pub struct Besides<'b> {
    /// Those that name what the site has switched off: the case's id, and what it names.
    pub aside: &'b [(String, String)],
    /// Those in whose place a case of the site stands: the id, and where that one stands.
    pub replaced: &'b [(String, Place)],
    /// Drills that need what the site has switched off.
    pub drills: &'b [(String, String)],
}

impl Besides<'_> {
    /// The share of the cases that rests.
    pub fn share_at_rest(&self, ran: usize) -> f64 {
        let rest = self.aside.len();
        if rest == 0 { 0.0 } else { rest as f64 / (ran + rest) as f64 }
    }
}

/// All that a person reads of a fix at the finding of a case, piece by piece.
fn all_of_fix(case: &Case, book: &Book, finding: &Finding, fix: FixAt) -> Vec<String> {
    let sides = case.conveyor.sides();
    let sides = Sides::named(sides.left.as_deref(), sides.right.as_deref());
    let known =
        Known::new(book, case.conveyor.facts(), &sides, &finding.latest).after(&finding.observed);
    let words = fix_text(book, &known, fix, Preface::Isolation);
    let mut all = words.text;
    all.push(words.done_when);
    all.extend(words.cautions);
    all.extend(words.never);
    all.push(words.worked);
    all
}

/// Everything that is to be said of a run of cases: failures first, the sum last.
pub fn run(screen: Screen, book: &Book, ran: &[RanCase], besides: Besides) -> String {
    let mut page = Page::new(screen);
    for (case, verdict) in ran {
        if !verdict.holds() && !case.todo {
            page.line(Ink::Warn, &format!("FAILS  {}", case.id));
            what(&mut page, book, case, &verdict.failures);
        }
    }
    for (case, verdict) in ran {
        if case.todo && verdict.holds() {
            page.line(Ink::Good, &format!("HOLDS NOW  {}", case.id));
            page.item("  ", &format!("{} ({})", case.title, case.place));
            page.item("  ", "It is marked `todo: true`: take the mark out.");
            page.blank();
        }
    }
    for (id, place) in besides.replaced {
        page.para(&format!(
            "The site's own {id} ({place}) stands in place of the default book's case."
        ));
    }
    for (id, gone) in besides.aside.iter().chain(besides.drills) {
        page.item("", &format!("Left aside: {id} {}", why_aside(gone)));
    }
    page.para(&summed_up(ran));
    if let Some(rest) = at_rest(besides, ran.len()) {
        page.para(&rest);
    }
    page.finish()
}

/// What it names, or why it does not fit.
fn why_aside(gone: &str) -> String {
    if gone.contains(' ') {
        format!("does not fit this book: {gone}.")
    } else {
        format!("names {gone}, which the site has switched off.")
    }
}

/// How much is not tried because of what is switched off.
fn at_rest(besides: Besides, ran: usize) -> Option<String> {
    let (cases, drills) = (besides.aside.len(), besides.drills.len());
    let mut parts = Vec::new();
    if cases > 0 {
        parts.push(count(cases, "case", "cases"));
    }
    if drills > 0 {
        parts.push(count(drills, "drill", "drills"));
    }
    let verb = if cases + drills == 1 { "rests" } else { "rest" };
    let share = 100.0 * besides.share_at_rest(ran);
    let of = if cases > 0 { format!(" That is {share:.1} % of the cases.") } else { String::new() };
    (!parts.is_empty())
        .then(|| format!("{} {verb}: what they need is switched off.{of}", parts.join(" and ")))
}

/// How many hold, fail and wait.
fn summed_up(ran: &[RanCase]) -> String {
    let of = |todo: bool, holds: bool| {
        ran.iter().filter(|(case, verdict)| case.todo == todo && verdict.holds() == holds).count()
    };
    let mut parts = vec![
        count(of(false, true), "case holds", "cases hold"),
        count(of(false, false), "fails", "fail"),
    ];
    let (waiting, done) = (of(true, false), of(true, true));
    if waiting > 0 {
        parts.push(format!("{waiting} todo"));
    }
    if done > 0 {
        parts.push(format!("{done} todo no longer"));
    }
    format!("{}.", parts.join(", "))
}

fn what(page: &mut Page, book: &Book, case: &Case, failures: &[Failure]) {
    page.item("  ", &format!("{} ({})", case.title, case.place));
    for failure in failures {
        page.item("  expected  ", &failure.expected);
        page.item("  got       ", &failure.got);
        if !failure.because.is_empty() {
            let because: Vec<String> = failure.because.iter().map(|w| weighty(book, *w)).collect();
            page.item("  because   ", &because.join("; "));
        }
    }
    page.blank();
}

fn weighty(book: &Book, weight: Weighty) -> String {
    let symptom = &book.symptoms[weight.symptom];
    format!(
        "{}: {} ({})",
        symptom.id,
        symptom.answers[weight.answer].id,
        chance::decibans(weight.decibans)
    )
}

/// What the cases reach and what they do not. `place` tells where an entry stands.
pub fn coverage(
    screen: Screen,
    book: &Book,
    coverage: &Coverage,
    place: &dyn Fn(&crate::proof::coverage::Missing) -> Option<String>,
) -> String {
    let mut page = Page::new(screen);
    if !coverage.missing.is_empty() {
        page.head("No case exercises");
    }
    for missing in &coverage.missing {
        let part = missing.part.as_ref().map(|part| format!(", {part}")).unwrap_or_default();
        let stands = place(missing).map(|p| format!(" ({p})")).unwrap_or_default();
        page.item("  ", &format!("{} {}{part}{stands}", missing.kind.word(), missing.id));
    }
    if !coverage.missing.is_empty() {
        page.blank();
    }
    if !coverage.never_first.is_empty() {
        let names = coverage.never_first.iter().map(|c| book.causes[*c].id.as_str());
        let names: Vec<&str> = names.collect();
        page.para(&format!("No case puts first: {}.", names.join(", "))).blank();
    }
    for counted in &coverage.counts {
        page.line(
            Ink::Plain,
            &format!("{:>5} of {:<5} {}", counted.reached, counted.all, counted.what),
        );
    }
    page.line(Ink::Strong, &format!("Exercised: {:.1} %", coverage.per_cent()));
    if !coverage.missing.is_empty() {
        page.para(
            "To reach more, write cases that give these answers and expect these causes and fixes:",
        );
        page.line(Ink::Plain, "  straybelt rules new case DIR");
    }
    page.finish()
}
