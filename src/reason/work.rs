//! What was found and done on the way, as evidence about the causes present at the start.
//!
//! A fix cures each present cause independently; of several fixes for one cause the best single chance
//! counts. So each cause carries one draw `u`, and is cured by the first batch whose best chance so far
//! reaches it. An outcome speaks of the whole work so far, against the start of the visit.

use super::ways::Ways;
use crate::rulebook::index::CauseAt;

/// What the work brought to light.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Work {
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
}

impl Work {
    /// Whether nothing was found and nothing done.
    pub fn is_empty(&self) -> bool {
        self.found.is_empty() && self.batches.is_empty()
    }

    /// Whether an outcome speaks about the causes present.
    pub fn says_something(&self) -> bool {
        self.batches.iter().any(|b| b.outcome.is_some_and(|o| o != Outcome::Worse))
    }

    /// Best chance of cure so far for a cause, after all batches.
    pub fn cured(&self, cause: CauseAt) -> f64 {
        self.chances(cause).last().unwrap_or(0.0)
    }

    /// The causes that some batch may have cured, sorted.
    pub fn touched(&self) -> Vec<CauseAt> {
        super::engine::union(self.batches.iter().map(|b| b.cures.iter().map(|(c, _)| *c)))
    }

    /// Chance of the outcomes reported, split by which of the causes present remain: calls
    /// `each(bits of the remaining members, chance)`, where the chance includes that of the outcomes.
    pub fn split(&self, present: &[CauseAt], each: impl FnMut(usize, f64)) {
        let places: Vec<usize> = (0..present.len()).collect();
        Ways::of(self, present).split(&places, each);
    }

    /// Chance of the outcomes reported if these causes were present at the start.
    pub fn chance(&self, present: &[CauseAt]) -> f64 {
        let mut sum = 0.0;
        self.split(present, |_, weight| sum += weight);
        sum
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::index::Place;

    fn work(outcomes: &[Option<Outcome>]) -> Work {
        let cures =
            [vec![(CauseAt::at(0), 0.8)], vec![(CauseAt::at(0), 0.5), (CauseAt::at(1), 0.9)]];
        let batches =
            cures.into_iter().zip(outcomes).map(|(cures, &outcome)| Batch { cures, outcome });
        Work { found: Vec::new(), batches: batches.collect(), wrong: 0.05 }
    }

    #[test]
    fn chances_of_outcomes_by_hand() {
        let (a, b) = (CauseAt::at(0), CauseAt::at(1));
        let one = work(&[Some(Outcome::True), None]);
        assert!((one.chance(&[a]) - (0.8 * 0.95 + 0.2 * 0.025)).abs() < 1e-12);
        let none = work(&[Some(Outcome::NoChange), None]);
        assert!((none.chance(&[b]) - 0.95).abs() < 1e-12);
        let both = work(&[Some(Outcome::Better), Some(Outcome::True)]);
        // a cured first (0.8) and b second (0.9); else wrong reports.
        let expected = 0.8 * 0.95 * (0.9 * 0.95 + 0.1 * 0.025) + 0.2 * 0.025 * 0.025;
        assert!((both.chance(&[a, b]) - expected).abs() < 1e-12);
    }

    #[test]
    fn worse_says_nothing_and_the_best_single_chance_counts() {
        let (a, b) = (CauseAt::at(0), CauseAt::at(1));
        let worse = work(&[Some(Outcome::Worse), Some(Outcome::Worse)]);
        assert!((worse.chance(&[a, b]) - 1.0).abs() < 1e-12);
        assert!(!worse.says_something());
        assert_eq!(worse.cured(a), 0.8);
        let mut gone = 0.0;
        worse.split(&[a], |left, weight| gone += if left == 0 { weight } else { 0.0 });
        assert!((gone - 0.8).abs() < 1e-12);
    }
}
