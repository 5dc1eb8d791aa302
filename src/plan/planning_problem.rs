//! The planning problem in numbers, and what a sequence of batches costs.
//!
//! Expected minutes = sum over batches of P(not all cured before) x (set-up + work + restart and watch),
//! plus P(not all cured at the end) x giving up.

use crate::rulebook::index::{sure, sure_mut};

/// One fix as the planner sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanFix {
    /// Whether it needs isolation.
    pub locked: bool,
    /// Minutes of work.
    pub minutes: f64,
    /// Chance of cure for causes, by their number in the problem.
    pub cures: Vec<(usize, f64)>,
    /// Fixes, by number, that come first when both are planned.
    pub after: Vec<usize>,
    /// Fixes, by number, that must be done in an earlier batch.
    pub needs: Vec<usize>,
}

/// A planning problem.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlanningProblem {
    /// How many causes it speaks of.
    pub causes: usize,
    /// Sets of causes (numbers) that may remain, each with its chance. What is missing to 1 is never
    /// cured by any plan.
    pub remain: Vec<(Vec<usize>, f64)>,
    /// The fixes to choose from.
    pub fixes: Vec<PlanFix>,
    /// Minutes to stop, isolate, lock, tag and try.
    pub lock_out: f64,
    /// Minutes to restart and watch.
    pub restart_and_watch: f64,
    /// Minutes that an uncured belt costs in the end.
    pub give_up: f64,
    /// Whether the machine is locked out already.
    pub locked_out_now: bool,
}

/// Batches of fixes, by number, in order.
pub type Sequence = Vec<Vec<usize>>;

impl PlanningProblem {
    /// Chance of each cause to be cured once these fixes are done: the best single chance counts.
    pub fn cured_by(&self, fixes: impl IntoIterator<Item = usize>) -> Vec<f64> {
        let mut cured = vec![0.0; self.causes];
        for fix in fixes {
            self.cure(&mut cured, fix);
        }
        cured
    }

    /// The fix with this number.
    #[inline]
    pub(super) fn fix(&self, number: usize) -> &PlanFix {
        sure(&self.fixes, number)
    }

    /// Whether a batch needs isolation; an empty one does not.
    pub(super) fn is_locked(&self, batch: &[usize]) -> bool {
        batch.first().is_some_and(|&f| self.fix(f).locked)
    }

    /// Takes one more fix into the chances of cure.
    #[inline]
    pub(super) fn cure(&self, cured: &mut [f64], fix: usize) {
        for &(cause, chance) in &self.fix(fix).cures {
            let slot = sure_mut(cured, cause);
            *slot = slot.max(chance);
        }
    }

    /// Chance that everything is cured once these fixes are done.
    pub fn all_cured(&self, fixes: impl IntoIterator<Item = usize>) -> f64 {
        let cured = self.cured_by(fixes);
        self.remain
            .iter()
            .map(|(set, chance)| chance * set.iter().map(|&c| sure(&cured, c)).product::<f64>())
            .sum()
    }

    /// Minutes of one batch behind so many others: set-up, work, restart and watch.
    pub fn batch_minutes(&self, batch: &[usize], before: usize) -> f64 {
        let work: f64 = batch.iter().map(|&f| self.fix(f).minutes).sum();
        self.set_up(self.is_locked(batch), before) + work + self.restart_and_watch
    }

    /// Minutes before a batch can begin, so many others being before it.
    pub fn set_up(&self, locked: bool, before: usize) -> f64 {
        if locked && !(before == 0 && self.locked_out_now) { self.lock_out } else { 0.0 }
    }

    /// Expected minutes of a sequence of batches, giving up at its end included.
    pub fn cost(&self, sequence: &[Vec<usize>]) -> f64 {
        let mut done = Vec::new();
        let mut cost = 0.0;
        for (number, batch) in sequence.iter().enumerate() {
            let uncured = 1.0 - self.all_cured(done.iter().copied());
            cost += uncured * self.batch_minutes(batch, number);
            done.extend_from_slice(batch);
        }
        cost + (1.0 - self.all_cured(done)) * self.give_up
    }

    /// Whether a sequence keeps every order: batches of one machine state, nothing twice, `after` and
    /// `needs` kept.
    pub fn allows(&self, sequence: &[Vec<usize>]) -> bool {
        let mut done: Vec<usize> = Vec::new();
        let planned: Vec<usize> = sequence.iter().flatten().copied().collect();
        for batch in sequence {
            let before = done.clone();
            let state = batch.first().and_then(|&f| self.fixes.get(f)).map(|f| f.locked);
            for &number in batch {
                let Some(fix) = self.fixes.get(number) else {
                    return false;
                };
                let ordered = fix.after.iter().all(|a| !planned.contains(a) || done.contains(a));
                let supplied = fix.needs.iter().all(|n| before.contains(n));
                if Some(fix.locked) != state || done.contains(&number) || !ordered || !supplied {
                    return false;
                }
                done.push(number);
            }
            if batch.is_empty() {
                return false;
            }
        }
        true
    }
}
