//! The book has nothing left: a page for a specialist, filled in with what this visit knows.

use super::chance::{self, NONE_OF_THE_BOOK};
use super::happened::{Told, measured_words, outcome_words};
use super::page::{Page, Screen};
use super::words::Known;
use crate::rulebook::index::FixAt;
use crate::rulebook::model::Book;
use crate::trade::Units;
use crate::visit::event::How;
use crate::visit::{Finding, Measured, Reply, VisitState};

/// A cause less likely than this is not named as still possible.
const POSSIBLE: f64 = 0.01;
/// So many are named at most.
const NAMED: usize = 8;

/// What a visit knows besides its finding; nothing of an answers file.
#[derive(Debug, Clone, Copy, Default)]
pub struct LookedBack<'v> {
    jobs: &'v [(FixAt, How)],
    measured: &'v [Measured],
    units: Units,
    work_waits: bool,
    not_in_the_book: bool,
}

impl<'v> LookedBack<'v> {
    /// Of a visit.
    pub fn on(visit: &'v VisitState) -> Self {
        let units = visit.conveyor.units.unwrap_or_default();
        Self { jobs: &visit.jobs, measured: &visit.measured, units, ..Self::default() }
    }

    /// The same where work waits until it is clearer what is wrong.
    pub fn with_work_that_waits(self, work_waits: bool) -> Self {
        Self { work_waits, ..self }
    }

    /// The same where it is likely no cause of the book, and work may be left.
    pub fn that_is_not_in_the_book(self) -> Self {
        Self { not_in_the_book: true, ..self }
    }

    fn that_went(&self, how: How) -> Vec<FixAt> {
        let mut fixes: Vec<FixAt> = Vec::new();
        for (fix, _) in self.jobs.iter().filter(|(_, went)| *went == how) {
            if !fixes.contains(fix) {
                fixes.push(*fix);
            }
        }
        fixes
    }
}

/// What was looked at, found sound, done, put off and not possible; what is still possible; what else to tell.
pub fn page(screen: Screen, known: &Known, finding: &Finding, back: LookedBack) -> String {
    let book = known.book();
    let mut page = Page::new(screen);
    if back.work_waits {
        page.title("No work until it is clearer").para(
            "The belt still does not run true. No work is planned on a guess. Bring the people and things named on the page before, or call a specialist. This page is for them.",
        );
    } else if back.not_in_the_book {
        page.title("For a specialist").para(
            "Your answers fit no cause in the book well. Call a specialist and hand over this page.",
        );
    } else if finding.observed.put_off.is_empty() {
        page.title("The book has nothing left").para(
            "The belt still does not run true. No work left in the book is worth the time now. Call a specialist. This page is for them.",
        );
    } else {
        page.title("Nothing left but what was put off").para(
            "No other work in the book is worth the time now. You can still pick what was put off, today or another day. If it will not be done, call a specialist. This page is for them.",
        );
    }
    looked_at(&mut page, known, finding, back);
    sound(&mut page, book, finding, back);
    done(&mut page, book, finding);
    let titles = |page: &mut Page, head: &str, fixes: &[FixAt]| {
        if !fixes.is_empty() {
            page.blank().head(head);
        }
        for fix in fixes {
            page.item(" - ", &book.fixes[*fix].title);
        }
    };
    titles(&mut page, "Put off", &finding.observed.put_off);
    titles(&mut page, "Could not be done", &back.that_went(How::CouldNot));
    still_possible(&mut page, known, finding);
    page.blank().head("Tell them as well");
    for what in &book.tell_specialist {
        page.item(" * ", &known.fill(what));
    }
    for ranked in super::belief::leading(finding) {
        let cause = &book.causes[ranked.cause];
        if !cause.specialist.is_empty() {
            let lead =
                format!("If it is \"{}\" ({}): ", cause.name, chance::percent(ranked.probability));
            page.item(" * ", &format!("{lead}{}", known.fill(&cause.specialist)));
        }
    }
    page.finish()
}

fn looked_at(page: &mut Page, known: &Known, finding: &Finding, back: LookedBack) {
    let book = known.book();
    let answered = finding.answers.iter().filter_map(|(symptom, answer)| {
        let asked = &book.symptoms[symptom];
        let says = known.fill(&asked.answers[(*answer)?].says);
        Some(format!("{} - {says}", known.fill(&asked.ask)))
    });
    let answered: Vec<String> = answered.collect();
    if !answered.is_empty() || !back.measured.is_empty() {
        page.blank().head("Looked at");
    }
    for line in &answered {
        page.item(" - ", line);
    }
    for measured in back.measured {
        page.item(" - ", &measured_words(measured, back.units));
    }
    let replies = finding.observed.replies.iter();
    let untold = replies.filter(|(_, reply)| **reply == Reply::CantTell);
    for (place, (symptom, _)) in untold.enumerate() {
        if place == 0 {
            page.blank().head("Could not be told");
        }
        page.item(" - ", &known.fill(&book.symptoms[symptom].ask));
    }
}

fn sound(page: &mut Page, book: &Book, finding: &Finding, back: LookedBack) {
    let causes = finding.ranked.iter().filter(|ranked| finding.found_fine(ranked.cause));
    let causes: Vec<&str> = causes.map(|r| book.causes[r.cause].name.as_str()).collect();
    let jobs = back.that_went(How::NotNeeded);
    if causes.is_empty() && jobs.is_empty() {
        return;
    }
    page.blank().head("Found sound");
    for name in causes {
        page.item(" - ", &format!("{name}: found fine"));
    }
    for fix in jobs {
        page.item(" - ", &format!("{}: looked at, not needed", book.fixes[fix].title));
    }
}

fn done(page: &mut Page, book: &Book, finding: &Finding) {
    let observed = &finding.observed;
    if observed.done.is_empty() && observed.something_else.is_empty() {
        return;
    }
    page.blank().head("Done");
    for (place, fixes) in observed.done.iter().enumerate() {
        let jobs = fixes.iter().map(|fix| book.fixes[*fix].title.clone());
        let besides = observed.something_else.iter().filter(|told| told.batch == Some(place));
        let besides = besides.map(|told| format!("also put right: {}", told.words()));
        let what: Vec<String> = jobs.chain(besides).collect();
        let ran = observed.outcomes.get(place).map_or("not watched yet", |ran| outcome_words(*ran));
        page.item(&format!("{:>2}  ", place + 1), &format!("{}. Then: {ran}.", what.join("; ")));
    }
    for told in observed.something_else.iter().filter(|told| !told.is_put_right()) {
        page.item(" - ", &format!("Found besides, {}: {}", Told(told.became), told.words()));
    }
}

/// A cause that was found fine is told as that, without a chance.
fn still_possible(page: &mut Page, known: &Known, finding: &Finding) {
    let left = finding.ranked.iter().filter(|ranked| !finding.found_fine(ranked.cause));
    let left: Vec<_> = left.filter(|ranked| ranked.probability >= POSSIBLE).take(NAMED).collect();
    page.blank().head("Still possible");
    if finding.something_else_leads() {
        let percent = chance::percent(finding.something_else);
        page.item(" - ", &format!("{NONE_OF_THE_BOOK}: {percent}"));
    }
    if left.is_empty() {
        page.para("No cause of the book with a chance of 1 % or more.");
    }
    for ranked in left {
        let name = &known.book().causes[ranked.cause].name;
        page.item(" - ", &format!("{name}: {}", chance::percent(ranked.probability)));
    }
    super::belief::set_apart(page, known, finding);
}
