//! One run of a trial: what was hidden, what was found and done, and what it took.

use super::account::Split;
use super::follow::Followed;
use super::ways::{Said, Verdict};
use crate::rulebook::index::{CauseAt, FixAt};

/// A run that does not end true counts its minutes and so many times those of the clairvoyant besides: what it still
/// takes with somebody called in. Our own rule; no source.
pub const NOT_TRUE: f64 = 2.0;

/// One run.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub(super) seed: u32,
    pub(super) hidden: Vec<CauseAt>,
    pub(super) followed: Followed,
    pub(super) all_cured: bool,
    /// Minutes as they came.
    pub(super) minutes: f64,
    pub(super) split: Split,
    pub(super) expert_minutes: f64,
    pub(super) clairvoyant_minutes: f64,
    pub(super) judged: Judged,
}

/// The words of a run's work.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Judged {
    /// Each side that was named, for which fix, and whether it was the right one.
    pub sides: Vec<(FixAt, Said, Verdict)>,
    /// Steering steps done with strand and side told.
    pub steering: usize,
    /// Those of them whose words named both.
    pub sided: usize,
}

impl Judged {
    /// How many sides of what was out of order were named wrongly.
    pub(super) fn wrong(&self) -> usize {
        self.sides.iter().filter(|(_, _, verdict)| *verdict == Verdict::Wrong).count()
    }
}

impl Run {
    pub(super) fn leads(&self) -> Option<CauseAt> {
        self.followed.ranked.first().map(|(cause, _)| *cause)
    }

    pub(super) fn right_first(&self) -> bool {
        self.leads().is_some_and(|cause| self.hidden.contains(&cause))
    }

    pub(super) fn right_in_three(&self) -> bool {
        self.hidden.iter().any(|cause| self.in_three(*cause))
    }

    pub(super) fn minutes_to_true(&self) -> f64 {
        let besides = if self.followed.runs_true { 0.0 } else { NOT_TRUE };
        self.minutes + besides * self.clairvoyant_minutes
    }

    pub(super) fn minutes_over(&self) -> f64 {
        self.minutes_to_true() - self.clairvoyant_minutes
    }

    pub(super) fn in_three(&self, cause: CauseAt) -> bool {
        self.followed.ranked.iter().take(3).any(|(named, _)| *named == cause)
    }

    /// The chance stated for each cause, and whether it was hidden.
    pub(super) fn stated(&self) -> Vec<(f64, bool)> {
        let ranked = self.followed.ranked.iter();
        ranked.map(|(cause, chance)| (*chance, self.hidden.contains(cause))).collect()
    }
}
