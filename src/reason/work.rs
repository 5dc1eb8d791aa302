//! What was found and done on the way, as evidence about the causes present at the start.
//!
//! A fix cures each present cause independently; of several fixes for one cause the best single chance
//! counts. So each cause carries one draw `u`, and is cured by the first batch whose best chance so far
//! reaches it. An outcome speaks of the whole work so far, against the start of the visit.

use super::sorted::union;
use crate::rulebook::index::CauseAt;

/// What the work brought to light.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WorkDone {
    /// What was found about causes.
    pub found: Vec<Found>,
    /// Batches of fixes that were done, in order.
    pub batches: Vec<Batch>,
    /// Share of outcomes reported wrongly, in all.
    pub wrong: f64,
}

/// What was found about one cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// The cause.
    pub cause: CauseAt,
    /// Chance of that report if the cause was present at the start.
    pub if_present: f64,
    /// Chance of that report if it was not.
    pub if_absent: f64,
}

/// One batch of fixes that was done, and how the belt ran after it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Batch {
    /// Chance of cure by this batch for each cause it may cure, the best single fix counting.
    pub cures: Vec<(CauseAt, f64)>,
    /// How the belt ran after it, if that was said.
    pub outcome: Option<Outcome>,
}

/// How the belt runs after a batch, against the start of the visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// It runs true now: everything present is cured.
    True,
    /// Better: some of it is cured.
    Better,
    /// No change: nothing is cured.
    NoChange,
    /// Worse: no evidence; the last change is to be put back first.
    Worse,
    /// It runs off to the other side now: no evidence of its own, what is seen then is.
    OtherSide,
    /// It runs off at another place now: likewise.
    Elsewhere,
    /// It runs differently now in some other way: likewise.
    Different,
}

impl Outcome {
    /// All of them by the words that files use.
    pub const WORDS: [(&'static str, Self); 7] = [
        ("true", Self::True),
        ("better", Self::Better),
        ("no-change", Self::NoChange),
        ("worse", Self::Worse),
        ("other-side", Self::OtherSide),
        ("elsewhere", Self::Elsewhere),
        ("different", Self::Different),
    ];

    /// The word that files use.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, outcome)| *outcome == self).map_or("", |(word, _)| word)
    }

    /// Whether it has a likelihood of its own.
    pub fn tells(self) -> bool {
        matches!(self, Self::True | Self::Better | Self::NoChange)
    }
}

impl WorkDone {
    /// Whether nothing was found and nothing done.
    pub fn is_empty(&self) -> bool {
        self.found.is_empty() && self.batches.is_empty()
    }

    /// Whether an outcome speaks about the causes present.
    pub fn says_something(&self) -> bool {
        self.batches.iter().any(|b| b.outcome.is_some_and(Outcome::tells))
    }

    /// Best chance of cure so far for a cause, after all batches.
    pub fn cured(&self, cause: CauseAt) -> f64 {
        self.chances(cause).last().unwrap_or(0.0)
    }

    /// The batch, from 0, that cures a cause whose draw between 0 and 1 is this; their number if none does.
    pub fn cured_in(&self, cause: CauseAt, draw: f64) -> usize {
        self.chances(cause).position(|chance| draw < chance).unwrap_or(self.batches.len())
    }

    /// The causes that some batch may have cured, sorted.
    pub fn touched(&self) -> Vec<CauseAt> {
        union(self.batches.iter().map(|b| b.cures.iter().map(|(c, _)| *c)))
    }

    /// Best chance so far after each batch.
    pub(super) fn chances(&self, cause: CauseAt) -> impl Iterator<Item = f64> {
        self.batches.iter().scan(0.0_f64, move |best, batch| {
            let mut cures = batch.cures.iter();
            let here = cures.find(|(c, _)| *c == cause).map_or(0.0, |(_, p)| *p);
            *best = best.max(here);
            Some(*best)
        })
    }
}
