//! What commonly brings on what was cured: the words of the question, and of the jobs that are left open.

use super::page::Page;
use super::words::Known;
use crate::rulebook::index::CauseAt;
use crate::rulebook::model::BroughtOn;
use crate::visit::VisitState;

/// The title of the question.
pub const TITLE: &str = "So that it stays so";
/// Its answers; the last one leaves the rest.
pub const ANSWERS: [&str; 4] =
    ["Yes, it is there", "No", "I can't tell", "Leave it: on to the end of the visit"];

/// What stands around the question, and the question.
pub fn asked(known: &Known, cause: CauseAt, brought: &BroughtOn) -> (String, String) {
    let name = &known.book().causes[cause].name;
    (format!("{name}. {} Look only.", known.fill(&brought.words)), known.fill(&brought.look_for))
}

/// That its job is noted.
pub fn noted(known: &Known, brought: &BroughtOn) -> String {
    format!("Noted as an open job: {}.", known.fill(&brought.job))
}

/// The jobs that are left open, if any are.
pub fn open_jobs(page: &mut Page, known: &Known, now: &VisitState) {
    for (place, job) in now.open_jobs().enumerate() {
        if place == 0 {
            page.blank().head("Open jobs, so that it stays so");
        }
        page.item(" - ", &known.fill(job));
    }
}
