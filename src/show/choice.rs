//! Pages round what a person decides otherwise than the plan: a job picked, one put off, something else found.

use super::chance;
use super::page::{Page, Screen};
use super::words::Known;
use crate::plan::PlanStep;
use crate::rulebook::index::{CauseAt, FixAt};
use crate::rulebook::model::Book;
use crate::stream::paint::Ink;
use crate::visit::Finding;

/// A job for a cause less likely than this is not missed.
const MISSED: f64 = 0.03;

/// A job that the person wants done first, with what comes before it.
#[derive(Debug, Clone)]
pub struct Pick {
    /// The job as planned.
    pub step: PlanStep,
    /// What must be done before it.
    pub must: Vec<FixAt>,
    /// What the usual order of work puts before it.
    pub usual: Vec<FixAt>,
}

/// The job picked, what it promises, and what comes before it.
pub fn picked(screen: Screen, known: &Known, pick: &Pick) -> String {
    let book = known.book();
    let fix = &book.fixes[pick.step.fix];
    let mut page = Page::new(screen);
    page.title("Picked as the first job").head(&fix.title).para(&format!(
        "It takes {}. Chance that it alone makes the belt run true: {}.",
        chance::minutes(fix.minutes),
        chance::percent(pick.step.gain)
    ));
    if pick.must.is_empty() && pick.usual.is_empty() {
        page.para("Nothing has to come before it.");
    }
    if !pick.must.is_empty() {
        page.para_in(Ink::Strong, "These must be done before it:");
        list(&mut page, book, &pick.must);
    }
    if !pick.usual.is_empty() {
        page.para("These usually come before it. Done later, they may undo this job:");
        list(&mut page, book, &pick.usual);
    }
    page.finish()
}

/// A job was picked that the plan does not hold.
pub fn not_planned(screen: Screen, known: &Known, fix: FixAt) -> String {
    let mut page = Page::new(screen);
    page.title("Picked, but not in the plan").head(&known.book().fixes[fix].title).para(
        "This job is not in the plan now. It is not worth the time yet, or a job that must come first is not done. It is offered again when that changes.",
    );
    page.finish()
}

/// What was put off, and what waits with it.
pub fn put_off(screen: Screen, known: &Known, finding: &Finding) -> String {
    let book = known.book();
    let off = &finding.observed.put_off;
    let mut page = Page::new(screen);
    page.title("Put off")
        .para("Not today. It is left out of the plan, but it is not given up. Pick it again and it is planned as before.");
    list(&mut page, book, off);
    let planned: Vec<FixAt> =
        finding.plan.batches.iter().flat_map(|batch| &batch.steps).map(|step| step.fix).collect();
    let waits = book.fixes.iter().filter(|(at, fix)| {
        finding.fixes_apply[*at]
            && !planned.contains(at)
            && !off.contains(at)
            && !finding.observed.done.iter().flatten().any(|done| done == at)
            && fix.cures.iter().any(|(cause, _)| still_there(finding, *cause))
            && fix.needs.iter().any(|needed| off.contains(needed))
    });
    let waits: Vec<FixAt> = waits.map(|(at, _)| at).collect();
    if !waits.is_empty() {
        page.para("These can only be done after it, so they wait too:");
        list(&mut page, book, &waits);
    }
    page.finish()
}

fn still_there(finding: &Finding, cause: CauseAt) -> bool {
    let mut ranked = finding.ranked.iter();
    ranked.any(|ranked| ranked.cause == cause && ranked.probability >= MISSED)
}

fn list(page: &mut Page, book: &Book, fixes: &[FixAt]) {
    for fix in fixes {
        let fix = &book.fixes[*fix];
        page.item(" - ", &format!("{} ({})", fix.title, chance::minutes(fix.minutes)));
    }
}

/// Asks for what else was found, in three lines.
pub fn something_else(screen: Screen) -> String {
    let mut page = Page::new(screen);
    page.title("Something else")
        .para("What did you find, where, and on which part? Use your own words, one line each. Press Enter to skip a line. If you skip all three, nothing is noted.")
        .para_in(Ink::Warn, "Put nothing right while the belt moves.");
    page.finish()
}
