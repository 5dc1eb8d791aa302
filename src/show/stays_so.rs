//! What commonly brings on what was cured: the words of the question, and of the jobs that are left open.

use super::page::Page;
use super::words::Known;
use crate::reason::Outcome;
use crate::rulebook::index::CauseAt;
use crate::rulebook::model::{Book, BroughtOn};
use crate::visit::{Finding, VisitState};

/// The title of the question.
pub const TITLE: &str = "To keep it running true";
/// Its answers; the last one leaves the rest.
pub const ANSWERS: [&str; 3] = ["Yes", "No", "Skip this: go to the end of the visit"];

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
            page.blank().head("Open jobs, to keep it running true");
        }
        page.item(" - ", &known.fill(job));
    }
}

/// What commonly brings on a cause that was cured, for programs.
#[derive(Debug, serde::Serialize)]
pub struct BroughtOnLine<'b> {
    cause: &'b str,
    words: &'b str,
    look_for: &'b str,
    job: &'b str,
    is: Option<&'b str>,
}

impl<'b> BroughtOnLine<'b> {
    /// Of a finding; nothing while the belt does not run true.
    pub fn of(book: &'b Book, finding: &Finding) -> Vec<Self> {
        if finding.observed.outcomes.last() != Some(&Outcome::True) {
            return Vec::new();
        }
        let lines = finding.cured(book).into_iter().flat_map(|cured| {
            let cause = &book.causes[cured.cause];
            cause.brought_on_by.iter().map(|brought| Self {
                cause: &cause.id,
                words: &brought.words,
                look_for: &brought.look_for,
                job: &brought.job,
                is: brought.cause.map(|at| book.causes[at].id.as_str()),
            })
        });
        lines.collect()
    }
}
