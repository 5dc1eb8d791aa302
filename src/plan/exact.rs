//! The plan with the least expected minutes, over all subsets of the fixes.
//!
//! A plan's cost to go depends on the set of fixes done and nothing else, so the best next batch is found
//! once for every set. Batches are of one machine state.

use super::order::{Orders, members};
use super::planning_problem::{PlanFix, PlanningProblem, Sequence};
use super::sets::Sets;
use crate::rulebook::index::{sure, sure_mut};

/// The best sequence for these sets, and nothing else: for up to about 20 fixes.
pub(super) fn best(problem: &PlanningProblem, sets: &Sets) -> Sequence {
    let n = problem.fixes.len().min(24);
    let orders = Orders::new(problem);
    let mut table = CostTable::new(problem, sets, &orders, n);
    table.fill();
    let mut sequence = Sequence::new();
    let mut done = 0;
    while let Some(&batch) = table.next.get(done)
        && batch != 0
    {
        let mut members: Vec<usize> = members(u128::from(batch)).collect();
        orders.arrange(&mut members);
        sequence.push(members);
        done |= batch as usize;
    }
    sequence
}

/// The exact plan of the first `most` fixes of an order that holds what they need, in one row.
pub(super) fn best_of_first(
    problem: &PlanningProblem,
    sets: &Sets,
    order: &[usize],
    most: usize,
) -> Vec<usize> {
    let mut kept: Vec<usize> = order.iter().take(most).copied().collect();
    kept.sort_unstable();
    let renumber =
        |list: &[usize]| list.iter().filter_map(|f| kept.binary_search(f).ok()).collect();
    let part = PlanningProblem {
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
        ..*problem
    };
    best(&part, sets).into_iter().flatten().map(|f| *sure(&kept, f)).collect()
}

struct CostTable<'p> {
    problem: &'p PlanningProblem,
    /// Chance that something is left, by the set of fixes done.
    uncured: Vec<f64>,
    /// Minutes of work, by set of fixes.
    work: Vec<f64>,
    /// Least cost to go, by the set of fixes done; infinite where it is not known yet.
    to_go: Vec<f64>,
    /// The least of those over all sets that hold this one.
    least: Vec<f64>,
    /// The batch to do next (0: give up).
    next: Vec<u32>,
    /// Fixes that must come after each, and those that each needs.
    before: Vec<u32>,
    needs: Vec<u32>,
    locked: u32,
    n: usize,
}

/// The best batch found so far from one set of fixes done.
struct From {
    done: usize,
    uncured: f64,
    /// Minutes of a batch besides its work.
    fixed: f64,
    /// Cost to go, and the batch.
    best: (f64, u32),
}

#[expect(clippy::indexing_slicing, reason = "all sets are below 1 << n, the length of the tables")]
impl<'p> CostTable<'p> {
    fn new(problem: &'p PlanningProblem, sets: &Sets, orders: &Orders, n: usize) -> Self {
        let mut work = vec![0.0; 1 << n];
        for done in 1..1_usize << n {
            let fix = problem.fix(done.trailing_zeros() as usize);
            work[done] = work[done & (done - 1)] + fix.minutes;
        }
        let low = |mask: &u128| u32::try_from(mask & u128::from(u32::MAX)).unwrap_or(0);
        let locked = (0..n).filter(|&f| problem.fix(f).locked).fold(0, |m, f| m | 1 << f);
        Self {
            problem,
            uncured: uncured_by_fixes(problem, sets, n),
            work,
            to_go: vec![f64::INFINITY; 1 << n],
            least: vec![f64::INFINITY; 1 << n],
            next: vec![0; 1 << n],
            before: orders.before.iter().map(low).collect(),
            needs: orders.needs.iter().map(low).collect(),
            locked,
            n,
        }
    }

    /// Finds the least cost to go and the best batch for every set of fixes done.
    fn fill(&mut self) {
        for done in (0..1_usize << self.n).rev() {
            let (cost, batch) = self.best_next(done);
            (self.to_go[done], self.next[done]) = (cost, batch);
            self.least[done] = (0..self.n)
                .map(|f| done | 1 << f)
                .filter(|&more| more != done)
                .fold(cost, |least, more| least.min(self.least[more]));
        }
    }

    /// Least cost to go once `done` is done, and the batch to do next.
    fn best_next(&self, done: usize) -> (f64, u32) {
        let uncured = self.uncured[done];
        let mut from =
            From { done, uncured, fixed: 0.0, best: (uncured * self.problem.give_up, 0) };
        let done_bits = u32::try_from(done).unwrap_or(u32::MAX);
        let free = (0..self.n)
            .filter(|&f| {
                done & (1 << f) == 0
                    && self.before[f] & done_bits == 0
                    && self.needs[f] & !done_bits == 0
            })
            .fold(0_u32, |mask, f| mask | 1 << f);
        for (pool, locked) in [(free & self.locked, true), (free & !self.locked, false)] {
            from.fixed = self.problem.set_up(locked, done) + self.problem.restart_and_watch;
            self.extend(&mut from, 0, pool);
        }
        from.best
    }

    /// Tries `batch` with any more fixes of `pool`. Work only grows that way, and no set that may be done
    /// then has less to go than the least of them; so most batches need no look.
    fn extend(&self, from: &mut From, batch: u32, pool: u32) {
        let mut rest = pool;
        while rest != 0 {
            let batch = batch | (rest & rest.wrapping_neg());
            rest &= rest - 1;
            let at = from.done | batch as usize;
            let spent = from.uncured * (from.fixed + self.work[batch as usize]);
            if spent + self.least[at] >= from.best.0 {
                continue;
            }
            let cost = spent + self.to_go[at];
            if cost < from.best.0 {
                from.best = (cost, batch);
            }
            self.extend(from, batch, rest);
        }
    }
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

    #[test]
    fn the_first_of_an_order_are_planned_exactly() {
        let mut rng = fastrand::Rng::with_seed(4);
        for case in 0..60 {
            let problem = problem(&mut rng, 8);
            let (orders, sets) = (Orders::new(&problem), Sets::from_problem(&problem, 0.0));
            let mut order: Vec<usize> = (0..8).collect();
            rng.shuffle(&mut order);
            // Now the first always hold what they need.
            orders.settle(&mut order);
            for most in 0..=4 {
                let row = best_of_first(&problem, &sets, &order, most);
                assert!(row.iter().all(|f| order[..most].contains(f)), "case {case}: {row:?}");
                let mut best = f64::INFINITY;
                each_sequence(&problem, &order[..most], &mut |sequence| {
                    best = best.min(problem.cost(sequence));
                });
                let mut costs = Costs::new(&problem, &orders, &sets);
                close(costs.least_of(&row), best, &format!("case {case}, first {most}"));
            }
        }
    }
}
