//! The plan with the least expected minutes, over all subsets of the fixes.
//!
//! A plan's cost to go depends on the set of fixes done and nothing else, so the best next batch is found
//! once for every set. Batches are of one machine state.

use super::order::Orders;
use super::problem::{PlanFix, Problem, Sequence, Sets};

/// The best sequence for these sets, and nothing else: for up to about 20 fixes.
pub(super) fn best(problem: &Problem, sets: &Sets) -> Sequence {
    let n = problem.fixes.len().min(24);
    let orders = Orders::of(problem);
    let table = Table::new(problem, sets, &orders, n);
    let mut to_go = vec![f64::INFINITY; 1 << n];
    let mut next = vec![0_u32; 1 << n];
    for done in (0..1_usize << n).rev() {
        let (cost, batch) = table.best_next(done, &to_go);
        if let (Some(slot), Some(choice)) = (to_go.get_mut(done), next.get_mut(done)) {
            (*slot, *choice) = (cost, batch);
        }
    }
    let mut sequence = Sequence::new();
    let mut done = 0;
    while let Some(&batch) = next.get(done)
        && batch != 0
    {
        let members: Vec<usize> = (0..n).filter(|f| batch & (1 << f) != 0).collect();
        sequence.push(orders.arrange(&members));
        done |= batch as usize;
    }
    sequence
}

/// The exact plan of the first `most` fixes of an order that holds what they need, in one row.
pub(super) fn best_of_first(
    problem: &Problem,
    sets: &Sets,
    order: &[usize],
    most: usize,
) -> Vec<usize> {
    let mut kept: Vec<usize> = order.iter().take(most).copied().collect();
    kept.sort_unstable();
    let renumber = |list: &[usize]| {
        list.iter()
            .filter_map(|f| kept.binary_search(f).ok())
            .collect()
    };
    let part = Problem {
        fixes: kept
            .iter()
            .filter_map(|&f| problem.fixes.get(f))
            .map(|fix| PlanFix {
                after: renumber(&fix.after),
                needs: renumber(&fix.needs),
                ..fix.clone()
            })
            .collect(),
        remain: Vec::new(),
        ..*problem
    };
    best(&part, sets)
        .into_iter()
        .flatten()
        .filter_map(|f| kept.get(f))
        .copied()
        .collect()
}

struct Table<'p> {
    problem: &'p Problem,
    /// Chance that something is left, by the set of fixes done.
    uncured: Vec<f64>,
    /// Minutes of work, by set of fixes.
    work: Vec<f64>,
    /// Fixes that must come after each, and those that each needs.
    before: Vec<u32>,
    needs: Vec<u32>,
    locked: u32,
    n: usize,
}

impl<'p> Table<'p> {
    fn new(problem: &'p Problem, sets: &Sets, orders: &Orders, n: usize) -> Self {
        let mut work = vec![0.0; 1 << n];
        let mut uncured = Vec::with_capacity(1 << n);
        let mut cured = vec![0.0; problem.causes];
        for done in 0..1_usize << n {
            cured.fill(0.0);
            let mut minutes = 0.0;
            for f in (0..n).filter(|f| done & (1 << f) != 0) {
                problem.cure(&mut cured, f);
                minutes += problem.fixes.get(f).map_or(0.0, |fix| fix.minutes);
            }
            uncured.push(sets.uncured(&cured));
            if let Some(slot) = work.get_mut(done) {
                *slot = minutes;
            }
        }
        let low = |mask: &u128| u32::try_from(mask & u128::from(u32::MAX)).unwrap_or(0);
        let locked = (0..n)
            .filter(|&f| problem.fixes.get(f).is_some_and(|f| f.locked))
            .fold(0, |m, f| m | 1 << f);
        Self {
            problem,
            uncured,
            work,
            before: orders.before.iter().map(low).collect(),
            needs: orders.needs.iter().map(low).collect(),
            locked,
            n,
        }
    }

    /// Least cost to go once `done` is done, and the batch to do next (0: give up).
    #[expect(
        clippy::indexing_slicing,
        reason = "all sets are below 1 << n, the length of the tables"
    )]
    fn best_next(&self, done: usize, to_go: &[f64]) -> (f64, u32) {
        let uncured = self.uncured[done];
        let mut best = (uncured * self.problem.give_up, 0);
        let done_bits = u32::try_from(done).unwrap_or(u32::MAX);
        let free = (0..self.n)
            .filter(|&f| {
                done & (1 << f) == 0
                    && self.before[f] & done_bits == 0
                    && self.needs[f] & !done_bits == 0
            })
            .fold(0_u32, |mask, f| mask | 1 << f);
        for (pool, locked) in [(free & self.locked, true), (free & !self.locked, false)] {
            if pool == 0 {
                continue;
            }
            let fixed = self.problem.set_up(locked, done == 0) + self.problem.restart_and_watch;
            let mut batch = pool;
            while batch != 0 {
                let at = batch as usize;
                let cost = uncured * (fixed + self.work[at]) + to_go[done | at];
                if cost < best.0 {
                    best = (cost, batch);
                }
                batch = (batch - 1) & pool;
            }
        }
        best
    }
}
