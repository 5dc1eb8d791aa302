//! The plan with the least expected minutes, over all subsets of the fixes.
//!
//! A plan's cost to go depends on the set of fixes done and nothing else, so the best next batch is found
//! once for every set. What a fix costs within a batch hangs on what was cured before it, so each set that a batch may
//! hold is reached in the order that makes its work least. Batches are of one machine state.

use super::order::Orders;
use super::planning_problem::{PlanFix, PlanningProblem, Sequence};
use super::prices::{Price, Prices};
use super::sets::Sets;
use super::there::Parts;
use crate::rulebook::index::{sure, sure_mut};

/// The best sequence for these sets, and nothing else: for up to about 20 fixes.
pub(super) fn best(problem: &PlanningProblem, sets: &Sets, parts: &Parts<'_>) -> Sequence {
    let all: Vec<usize> = (0..problem.fixes.len().min(24)).collect();
    CostTable::new(problem, sets, parts, &all).sequence()
}

/// The exact plan of the first `most` fixes of an order that holds what they need, in one row.
pub(super) fn best_of_first(
    problem: &PlanningProblem,
    sets: &Sets,
    parts: &Parts<'_>,
    order: &[usize],
    most: usize,
) -> Vec<usize> {
    let mut kept: Vec<usize> = order.iter().take(most).copied().collect();
    kept.sort_unstable();
    let part = CostTable::new(problem, sets, parts, &kept).sequence();
    part.into_iter().flatten().map(|f| *sure(&kept, f)).collect()
}

/// These fixes of a problem alone, numbered anew.
fn among(problem: &PlanningProblem, kept: &[usize]) -> PlanningProblem {
    let renumber =
        |list: &[usize]| list.iter().filter_map(|f| kept.binary_search(f).ok()).collect();
    PlanningProblem {
        fixes: kept
            .iter()
            .map(|&f| problem.fix(f))
            .map(|fix| PlanFix {
                after: renumber(&fix.after),
                needs: renumber(&fix.needs),
                ..fix.clone()
            })
            .collect(),
        remain: Vec::new(),
        besides: Vec::new(),
        check_minutes: problem.check_minutes.clone(),
        ..*problem
    }
}

struct CostTable {
    problem: PlanningProblem,
    prices: Prices,
    /// Chance that something is left, by the set of fixes done.
    uncured: Vec<f64>,
    /// Minutes that each fix costs for what is there of it, by the set of fixes done before.
    there_minutes: Vec<Vec<f64>>,
    /// Least cost to go, by the set of fixes done; infinite where it is not known yet.
    to_go: Vec<f64>,
    /// The least of those over all sets that hold this one.
    least: Vec<f64>,
    /// The batch to do next (0: give up).
    next: Vec<u32>,
    /// Fixes that each must not follow in a batch, and those that each needs.
    not_behind: Vec<u32>,
    needs: Vec<u32>,
    locked: u32,
    n: usize,
}

/// Batches that may begin once some fixes are done, by the set of fixes in them.
struct Batches {
    /// Minutes of what is there in each, in the order that makes them least; infinite for what is not reached.
    work: Vec<f64>,
    /// The fix that stands last in that order.
    last: Vec<u8>,
    /// The sets that are reached, smaller ones first.
    reached: Vec<u32>,
}

#[expect(clippy::indexing_slicing, reason = "all sets are below 1 << n, the length of the tables")]
impl CostTable {
    /// For these fixes of a problem, given in rising order.
    fn new(problem: &PlanningProblem, sets: &Sets, parts: &Parts<'_>, kept: &[usize]) -> Self {
        let whole = problem;
        let problem = among(whole, kept);
        let n = kept.len();
        let prices = Prices::new(&problem);
        let mut there_minutes = vec![vec![0.0; 1 << n]; n];
        for done in 0..1_usize << n {
            let cured = problem.cured_by(numbers(done as u32));
            for (fix, minutes) in there_minutes.iter_mut().enumerate() {
                let price = prices.of(fix).there;
                if price > 0.0 && done & (1 << fix) == 0 {
                    minutes[done] = price * parts.there(kept[fix], &cured);
                }
            }
        }
        let orders = Orders::new(&problem);
        let low = |mask: &u128| u32::try_from(mask & u128::from(u32::MAX)).unwrap_or(0);
        let locked = (0..n).filter(|&f| problem.fix(f).locked).fold(0, |m, f| m | 1 << f);
        let mut table = Self {
            uncured: uncured_by_fixes(&problem, sets, n),
            there_minutes,
            to_go: vec![f64::INFINITY; 1 << n],
            least: vec![f64::INFINITY; 1 << n],
            next: vec![0; 1 << n],
            not_behind: orders.not_behind.iter().map(low).collect(),
            needs: orders.needs.iter().map(low).collect(),
            locked,
            n,
            prices,
            problem,
        };
        table.fill();
        table
    }

    /// Finds the least cost to go and the best batch for every set of fixes done.
    fn fill(&mut self) {
        let mut batches = Batches {
            work: vec![f64::INFINITY; 1 << self.n],
            last: vec![0; 1 << self.n],
            reached: Vec::new(),
        };
        for done in (0..1_usize << self.n).rev() {
            let (cost, batch) = self.best_next(done, &mut batches);
            (self.to_go[done], self.next[done]) = (cost, batch);
            self.least[done] = (0..self.n)
                .map(|f| done | 1 << f)
                .filter(|&more| more != done)
                .fold(cost, |least, more| least.min(self.least[more]));
        }
    }

    /// The batches of the least cost.
    fn sequence(&self) -> Sequence {
        let mut batches = Batches {
            work: vec![f64::INFINITY; 1 << self.n],
            last: vec![0; 1 << self.n],
            reached: Vec::new(),
        };
        let mut sequence = Sequence::new();
        let mut done = 0;
        while self.next[done] != 0 {
            let batch = self.next[done];
            let locked = self.locked & batch != 0;
            self.reach(done, locked, f64::INFINITY, &mut batches);
            let mut order = Vec::new();
            let mut rest = batch;
            while rest != 0 {
                let last = batches.last[rest as usize];
                order.push(usize::from(last));
                rest &= !(1 << last);
            }
            order.reverse();
            sequence.push(order);
            done |= batch as usize;
        }
        sequence
    }

    /// Least cost to go once `done` is done, and the batch to do next.
    fn best_next(&self, done: usize, batches: &mut Batches) -> (f64, u32) {
        let mut best = (self.uncured[done] * self.problem.give_up, 0);
        for locked in [true, false] {
            let found = self.reach(done, locked, best.0, batches);
            if found.0 < best.0 {
                best = found;
            }
        }
        best
    }

    /// Finds the batches of one machine state that may begin once `done` is done, each in the order that makes its
    /// work least, and the best of them if it costs less than `limit`. More fixes only cost more, and no set that may
    /// be done then has less to go than the least of them; so most batches need no look.
    fn reach(&self, done: usize, locked: bool, limit: f64, batches: &mut Batches) -> (f64, u32) {
        for &batch in &batches.reached {
            batches.work[batch as usize] = f64::INFINITY;
        }
        batches.reached.clear();
        let done_bits = u32::try_from(done).unwrap_or(u32::MAX);
        let of_state = if locked { self.locked } else { !self.locked };
        let free: Vec<usize> = (0..self.n)
            .filter(|&f| (1 << f) & of_state & !done_bits != 0 && self.needs[f] & !done_bits == 0)
            .collect();
        let fixed = self.problem.set_up(locked, done) + self.problem.restart_and_watch;
        let mut best = (limit, 0);
        batches.work[0] = 0.0;
        batches.reached.push(0);
        let mut at = 0;
        while let Some(&batch) = batches.reached.get(at) {
            at += 1;
            let work = batches.work[batch as usize];
            let spent = self.uncured[done] * (fixed + self.reached_minutes(batch)) + work;
            if batch != 0 {
                let whole = done | batch as usize;
                let cost = spent + self.to_go[whole];
                if cost < best.0 {
                    best = (cost, batch);
                }
                if limit.is_finite() && spent + self.least[whole] >= best.0 {
                    continue;
                }
            }
            for &fix in &free {
                let own = 1_u32 << fix;
                if batch & own != 0 || self.not_behind[fix] & batch != 0 {
                    continue;
                }
                let with = (batch | own) as usize;
                let work = work + self.there_minutes[fix][done | batch as usize];
                let known = batches.work[with];
                if known.is_infinite() {
                    batches.reached.push(batch | own);
                }
                if work < known {
                    (batches.work[with], batches.last[with]) = (work, fix as u8);
                }
            }
        }
        best
    }

    /// Minutes of a batch for each chance that it is needed.
    fn reached_minutes(&self, batch: u32) -> f64 {
        let mut minutes = 0.0;
        let mut checks = 0;
        for fix in numbers(batch) {
            let Price { reached, shared, .. } = self.prices.of(fix);
            minutes += reached + self.prices.shared_minutes(shared & !checks);
            checks |= shared;
        }
        minutes
    }
}

/// The fixes whose bits are set.
fn numbers(fixes: u32) -> impl Iterator<Item = usize> {
    super::order::members(u128::from(fixes))
}

/// Chance that something is left, for every set of the first `n` fixes done.
///
/// With the fixes of a cause from the surest to the least sure, its chance of cure is that of the surest,
/// less a step for each beginning of that row of which none is done. A set of causes multiplies such sums
/// to terms "none of these fixes is done"; so all terms are put where their fixes stand, and each set of
/// fixes done takes those that lie within what is not done.
#[expect(clippy::indexing_slicing, reason = "all sets are below 1 << n, the length of the table")]
fn uncured_by_fixes(problem: &PlanningProblem, sets: &Sets, n: usize) -> Vec<f64> {
    let steps: Vec<Vec<(usize, f64)>> =
        (0..problem.causes).map(|cause| steps(problem, cause, n)).collect();
    let mut terms = vec![0.0; 1 << n];
    sets.for_each(|set, chance| scatter(&steps, set, 0, chance, &mut terms));
    for bit in (0..n).map(|f| 1 << f) {
        for fixes in (0..1_usize << n).filter(|fixes| fixes & bit != 0) {
            terms[fixes] += terms[fixes ^ bit];
        }
    }
    let all = (1 << n) - 1;
    let left = |done: usize| sets.never_cured() + sets.chance_of_all() - terms[all ^ done];
    (0..1_usize << n).map(left).collect()
}

/// A cause's chance of cure as a sum of terms, each of which counts when none of its fixes is done.
fn steps(problem: &PlanningProblem, cause: usize, n: usize) -> Vec<(usize, f64)> {
    let fixes = problem.fixes.iter().enumerate().take(n);
    let mut cures: Vec<(f64, usize)> = fixes
        .flat_map(|(f, fix)| fix.cures.iter().map(move |(c, p)| (*c, *p, f)))
        .filter(|(c, ..)| *c == cause)
        .map(|(_, chance, fix)| (chance, fix))
        .collect();
    cures.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut steps = vec![(0, cures.first().map_or(0.0, |(chance, _)| *chance))];
    let mut fixes = 0;
    for (number, &(chance, fix)) in cures.iter().enumerate() {
        fixes |= 1 << fix;
        let then = cures.get(number + 1).map_or(0.0, |(chance, _)| *chance);
        steps.push((fixes, then - chance));
    }
    steps
}

/// Puts every product of one term for each cause of the set where its fixes stand.
fn scatter(
    steps: &[Vec<(usize, f64)>],
    set: &[u32],
    fixes: usize,
    product: f64,
    terms: &mut [f64],
) {
    let Some((&cause, others)) = set.split_first() else {
        *sure_mut(terms, fixes) += product;
        return;
    };
    for &(more, step) in sure(steps, cause as usize) {
        // Of a cause that none of the fixes cures.
        if step == 0.0 {
            continue;
        }
        scatter(steps, others, fixes | more, product * step, terms);
    }
}

#[cfg(test)]
mod tests {
    use super::super::costs::Costs;
    use super::*;
    use crate::plan::samples::{close, each_sequence, problem};
    use crate::plan::there::PartLayout;

    #[test]
    fn the_first_of_an_order_are_planned_exactly() {
        let mut rng = fastrand::Rng::with_seed(4);
        for case in 0..60 {
            let problem = problem(&mut rng, 8);
            let (orders, sets) = (Orders::new(&problem), Sets::from_problem(&problem, 0.0));
            let layout = PartLayout::of_problem(&problem);
            let parts = layout.with_problem(&problem);
            let mut order: Vec<usize> = (0..8).collect();
            rng.shuffle(&mut order);
            // Now the first always hold what they need.
            orders.settle(&mut order);
            for most in 0..=4 {
                let row = best_of_first(&problem, &sets, &parts, &order, most);
                assert!(row.iter().all(|f| order[..most].contains(f)), "case {case}: {row:?}");
                let mut best = f64::INFINITY;
                each_sequence(&problem, &order[..most], &mut |sequence| {
                    best = best.min(problem.cost(sequence));
                });
                let mut costs = Costs::new(&problem, &orders, &sets, &parts);
                close(costs.least_of(&row), best, &format!("case {case}, first {most}"));
            }
        }
    }
}
