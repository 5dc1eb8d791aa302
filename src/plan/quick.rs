//! The quick planner: an order by gain per minute, cut into batches as well as that order allows.

use super::exact;
use super::order::{Orders, bit};
use super::problem::{Problem, Sequence, Sets};

/// Sets of causes less likely than this are left to the likelier ones.
const FLOOR: f64 = 1e-4;
/// So many sets, the likeliest, stand for all.
const MOST_SETS: usize = 120;

/// So many fixes, those that gain most, are ordered exactly.
const EXACT_START: usize = 6;

/// A good sequence in little time, and its expected minutes. What comes first when both are planned is
/// taken along, since an order that comes to it too late would leave it out.
pub(super) fn best(problem: &Problem) -> (f64, Sequence) {
    let orders = Orders::of(problem);
    let sets = Sets::of(problem, FLOOR, MOST_SETS);
    let by_chain = ratio_order(problem, &orders, &sets, Chains::NeedsAndAfter);
    let mut exact = exact::best_of_first(problem, &sets, &by_chain, EXACT_START);
    exact.extend(by_chain.iter().skip(EXACT_START));
    let by_chain = cut(problem, &orders, &sets, &by_chain);
    let exact = cut(problem, &orders, &sets, &orders.settle(exact));
    if exact.0 < by_chain.0 {
        exact
    } else {
        by_chain
    }
}

/// An order of fixes by gain in the chance that everything is cured, per minute of work and its share of
/// the set-up; a fix and what must come before it count as one piece.
pub(super) fn ratio_order(
    problem: &Problem,
    orders: &Orders,
    sets: &Sets,
    chains: Chains,
) -> Vec<usize> {
    let n = problem.fixes.len();
    let set_up = 0.5 * (problem.lock_out + problem.restart_and_watch);
    let mut cured = vec![0.0; problem.causes];
    let mut done = 0_u128;
    let mut order = Vec::with_capacity(n);
    let mut all = sets.all_cured(&cured);
    let mut trial = cured.clone();
    loop {
        let mut best: Option<(f64, Vec<usize>)> = None;
        for fix in (0..n).filter(|&f| done & bit(f) == 0) {
            let Some(piece) = piece(orders, fix, done, n, chains) else {
                continue;
            };
            trial.copy_from_slice(&cured);
            let mut minutes = set_up;
            for &f in &piece {
                problem.cure(&mut trial, f);
                minutes += problem.fixes.get(f).map_or(0.0, |f| f.minutes);
            }
            let rate = (sets.all_cured(&trial) - all) / minutes;
            if rate > 0.0 && best.as_ref().is_none_or(|(r, _)| rate > *r) {
                best = Some((rate, piece));
            }
        }
        let Some((_, piece)) = best else { break };
        for f in piece {
            problem.cure(&mut cured, f);
            done |= bit(f);
            order.push(f);
        }
        all = sets.all_cured(&cured);
    }
    order
}

/// What is taken along with a fix.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Chains {
    /// What it needs.
    Needs,
    /// That, and what would come first if it were planned at all.
    NeedsAndAfter,
}

/// A fix with what it takes along, that first; nothing when it comes too late.
pub(super) fn piece(
    orders: &Orders,
    fix: usize,
    done: u128,
    n: usize,
    chains: Chains,
) -> Option<Vec<usize>> {
    if !orders.not_too_late(fix, done) {
        return None;
    }
    let mut wanted = orders.needs.get(fix).copied().unwrap_or(0);
    if chains == Chains::NeedsAndAfter {
        wanted |= orders.after.get(fix).copied().unwrap_or(0);
    }
    wanted &= !done;
    let mut piece: Vec<usize> = Vec::new();
    for first in (0..n).filter(|&f| wanted & bit(f) != 0) {
        let so_far = piece.iter().fold(done, |mask, &f| mask | bit(f));
        if so_far & bit(first) == 0 {
            piece.extend(self::piece(orders, first, so_far, n, chains)?);
        }
    }
    piece.push(fix);
    Some(piece)
}

/// Puts an order right where it breaks `after`, then cuts it into the best batches for that order.
pub(super) fn cut(
    problem: &Problem,
    orders: &Orders,
    sets: &Sets,
    order: &[usize],
) -> (f64, Sequence) {
    let order = orders.arrange(order);
    let n = order.len();
    let mut cured = vec![0.0; problem.causes];
    let mut uncured = Vec::with_capacity(n + 1);
    uncured.push(sets.uncured(&cured));
    for &fix in &order {
        problem.cure(&mut cured, fix);
        uncured.push(sets.uncured(&cured));
    }
    let left = |i: usize| uncured.get(i).copied().unwrap_or(0.0);
    // best[i]: least cost to go from position i of the order, and where the batch that begins there ends.
    let mut best: Vec<(f64, usize)> = (0..=n).map(|i| (left(i) * problem.give_up, i)).collect();
    for begin in (0..n).rev() {
        let locked = order
            .get(begin)
            .and_then(|&f| problem.fixes.get(f))
            .is_some_and(|f| f.locked);
        let fixed = problem.set_up(locked, begin == 0) + problem.restart_and_watch;
        let (mut work, mut batch) = (0.0, 0_u128);
        for (at, &number) in order.iter().enumerate().skip(begin) {
            let Some(fix) = problem.fixes.get(number) else {
                break;
            };
            let needs = orders.needs.get(number).copied().unwrap_or(0);
            if fix.locked != locked || needs & batch != 0 {
                break;
            }
            work += fix.minutes;
            batch |= bit(number);
            let after = best.get(at + 1).map_or(f64::INFINITY, |b| b.0);
            let cost = left(begin) * (fixed + work) + after;
            if let Some(slot) = best.get_mut(begin)
                && cost < slot.0
            {
                *slot = (cost, at + 1);
            }
        }
    }
    let mut sequence = Sequence::new();
    let mut at = 0;
    while let Some(&(_, end)) = best.get(at)
        && end > at
    {
        sequence.push(order.get(at..end).unwrap_or(&[]).to_vec());
        at = end;
    }
    (best.first().map_or(0.0, |b| b.0), sequence)
}
