//! The planning problem in numbers, and what a sequence of batches costs.
//!
//! Expected minutes = sum over batches of P(not all cured before) x (set-up + checks + restart and watch), a check
//! that several fixes of a batch begin with once; plus the work of each fix, as far as its checks are expected to call
//! for it; plus P(not all cured at the end) x giving up.

use crate::rulebook::index::{sure, sure_mut};

/// One fix as the planner sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanFix {
    /// Whether it needs isolation.
    pub locked: bool,
    /// Minutes of work, once its checks call for it.
    pub work_minutes: f64,
    /// What is looked at first, by number in [`PlanningProblem::check_minutes`]; nothing once it has called for the
    /// work.
    pub checks: Vec<usize>,
    /// Chance that its checks call for the work if something of it is there, and if nothing is. Without checks both
    /// are 1.
    pub found: Found,
    /// Chance of cure for causes, by their number in the problem, the finding counted.
    pub cures: Vec<(usize, f64)>,
    /// Fixes, by number, that come first when both stand in one batch.
    pub after: Vec<usize>,
    /// Fixes, by number, that must be done in an earlier batch.
    pub needs: Vec<usize>,
}

/// How sure checks are: the chance that they call for the work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// If something of it is there.
    pub if_there: f64,
    /// If nothing of it is.
    pub if_not: f64,
}

impl Found {
    /// Of work that nothing is looked at before.
    pub const ALWAYS: Self = Self { if_there: 1.0, if_not: 1.0 };
}

/// A planning problem.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlanningProblem {
    /// How many causes it speaks of.
    pub causes: usize,
    /// Sets of causes (numbers) that may remain, each with its chance. What is missing to 1 is never
    /// cured by any plan.
    pub remain: Vec<(Vec<usize>, f64)>,
    /// What may remain beside a cause that no plan cures: the others of such sets, each with its chance. It is not
    /// cured, but checks find it.
    pub besides: Vec<(Vec<usize>, f64)>,
    /// The fixes to choose from.
    pub fixes: Vec<PlanFix>,
    /// Minutes of each check.
    pub check_minutes: Vec<f64>,
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
        self.all_with(&self.cured_by(fixes))
    }

    fn all_with(&self, cured: &[f64]) -> f64 {
        self.remain
            .iter()
            .map(|(set, chance)| chance * set.iter().map(|&c| sure(cured, c)).product::<f64>())
            .sum()
    }

    /// Chance that something of a fix is there, `cured` being the chance of each cause to be cured by now.
    pub fn there(&self, fix: usize, cured: &[f64]) -> f64 {
        let cures = &self.fix(fix).cures;
        let of_it = |c: &usize| cures.iter().any(|(own, _)| own == c);
        let gone = |set: &[usize]| -> f64 {
            set.iter().filter(|c| of_it(c)).map(|&c| sure(cured, c)).product()
        };
        let sets = self.remain.iter().chain(&self.besides);
        sets.map(|(set, chance)| chance * (1.0 - gone(set))).sum()
    }

    /// Minutes round the work of one batch behind so many others: set-up, checks, restart and watch.
    pub fn round_minutes(&self, batch: &[usize], before: usize) -> f64 {
        let mut checks: Vec<usize> =
            batch.iter().flat_map(|&f| self.fix(f).checks.iter().copied()).collect();
        checks.sort_unstable();
        checks.dedup();
        let checks: f64 = checks.iter().map(|&check| sure(&self.check_minutes, check)).sum();
        self.set_up(self.is_locked(batch), before) + checks + self.restart_and_watch
    }

    /// Minutes before a batch can begin, so many others being before it.
    pub fn set_up(&self, locked: bool, before: usize) -> f64 {
        if locked && !(before == 0 && self.locked_out_now) { self.lock_out } else { 0.0 }
    }

    /// Minutes of work that a fix is expected to take: `uncured` is the chance that its batch is needed, `there` that
    /// something of it is there.
    pub fn work_minutes(&self, fix: usize, uncured: f64, there: f64) -> f64 {
        let PlanFix { work_minutes, found, .. } = self.fix(fix);
        work_minutes * (found.if_there * there + found.if_not * (uncured - there))
    }

    /// Expected minutes of a sequence of batches, giving up at its end included.
    pub fn cost(&self, sequence: &[Vec<usize>]) -> f64 {
        let mut cured = vec![0.0; self.causes];
        let mut cost = 0.0;
        for (number, batch) in sequence.iter().enumerate() {
            let uncured = 1.0 - self.all_with(&cured);
            cost += uncured * self.round_minutes(batch, number);
            for &fix in batch {
                cost += self.work_minutes(fix, uncured, self.there(fix, &cured));
                self.cure(&mut cured, fix);
            }
        }
        cost + (1.0 - self.all_with(&cured)) * self.give_up
    }

    /// Whether a sequence keeps every order: batches of one machine state, nothing twice, `after` kept within each
    /// batch and `needs` across them.
    pub fn allows(&self, sequence: &[Vec<usize>]) -> bool {
        let mut before: Vec<usize> = Vec::new();
        for batch in sequence {
            let state = batch.first().and_then(|&f| self.fixes.get(f)).map(|f| f.locked);
            for (place, &number) in batch.iter().enumerate() {
                let Some(fix) = self.fixes.get(number) else {
                    return false;
                };
                let done = batch.get(..place).unwrap_or_default();
                let ordered = fix.after.iter().all(|a| !batch.contains(a) || done.contains(a));
                let supplied = fix.needs.iter().all(|n| before.contains(n));
                let twice = done.contains(&number) || before.contains(&number);
                if Some(fix.locked) != state || twice || !ordered || !supplied {
                    return false;
                }
            }
            if batch.is_empty() {
                return false;
            }
            before.extend_from_slice(batch);
        }
        true
    }
}
