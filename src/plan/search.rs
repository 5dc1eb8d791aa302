//! Local search over orders: for more fixes than the exact way can take.

use super::order::{Orders, bit};
use super::problem::{Problem, Sequence, Sets};
use super::quick::{cut, ratio_order};

/// Sets of causes less likely than this do not decide between plans.
const FLOOR: f64 = 1e-6;
/// Rounds without end would be a fault; this many were never needed.
const MOST_ROUNDS: usize = 60;

/// A good sequence from two starts, each improved by moving and swapping fixes and leaving some out.
pub(super) fn best(problem: &Problem) -> Sequence {
    let orders = Orders::of(problem);
    let sets = Sets::of(problem, FLOOR);
    let by_ratio = ratio_order(problem, &orders, &sets);
    let mut by_minutes: Vec<usize> = by_ratio.clone();
    by_minutes.sort_by(|&a, &b| {
        let minutes = |f: usize| problem.fixes.get(f).map_or(0.0, |f| f.minutes);
        minutes(a).total_cmp(&minutes(b)).then(a.cmp(&b))
    });
    [by_ratio, by_minutes]
        .into_iter()
        .map(|start| improve(problem, &orders, &sets, start))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or_else(Sequence::new, |(_, sequence)| sequence)
}

fn improve(problem: &Problem, orders: &Orders, sets: &Sets, start: Vec<usize>) -> (f64, Sequence) {
    let mut order = settle(orders, start);
    let mut best = cut(problem, orders, sets, &order);
    for _ in 0..MOST_ROUNDS {
        let better = neighbours(&order, problem.fixes.len()).find_map(|candidate| {
            let candidate = settle(orders, candidate);
            let found = cut(problem, orders, sets, &candidate);
            (found.0 < best.0 - 1e-9).then_some((candidate, found))
        });
        let Some((candidate, found)) = better else {
            break;
        };
        (order, best) = (candidate, found);
    }
    best
}

/// All orders one step away: one fix moved elsewhere, one left out, one put in.
fn neighbours(order: &[usize], fixes: usize) -> impl Iterator<Item = Vec<usize>> + use<> {
    let n = order.len();
    let base = order.to_vec();
    let (for_moves, for_removal, for_insertion) = (base.clone(), base.clone(), base);
    let moves = (0..n).flat_map(move |from| {
        let base = for_moves.clone();
        (0..n).filter(move |&to| to != from).map(move |to| {
            let mut next = base.clone();
            let fix = next.remove(from);
            next.insert(to, fix);
            next
        })
    });
    let removals = (0..n).map(move |at| {
        let mut next = for_removal.clone();
        next.remove(at);
        next
    });
    let insertions = (0..fixes).flat_map(move |fix| {
        let base = for_insertion.clone();
        let places = if base.contains(&fix) { 0 } else { n + 1 };
        (0..places).map(move |at| {
            let mut next = base.clone();
            next.insert(at, fix);
            next
        })
    });
    moves.chain(removals).chain(insertions)
}

/// Keeps `after` and drops what lacks a need.
fn settle(orders: &Orders, order: Vec<usize>) -> Vec<usize> {
    let mut order = order;
    loop {
        let planned = order.iter().fold(0, |mask, &f| mask | bit(f));
        let before = order.len();
        order.retain(|&f| orders.supplied(f, planned));
        if order.len() == before {
            break;
        }
    }
    orders.arrange(&order)
}
