//! Local search over orders: for more fixes than the exact way can take.

use super::exact;
use super::order::{Orders, bit};
use super::problem::{Problem, Sequence, Sets};
use super::quick::{Chains, cut, piece, ratio_order};

/// Sets of causes less likely than this do not decide between plans.
const FLOOR: f64 = 1e-6;
/// Rounds without end would be a fault; this many were never needed.
const MOST_ROUNDS: usize = 60;

/// So many fixes are ordered exactly for one of the starts.
const EXACT_START: usize = 13;

/// A good sequence: from orders by gain per minute and from the exact plan of the fixes that gain most,
/// each improved by moving, leaving out and putting in fixes.
pub(super) fn best(problem: &Problem) -> Sequence {
    let orders = Orders::of(problem);
    let sets = Sets::of(problem, FLOOR);
    let by_ratio = ratio_order(problem, &orders, &sets, Chains::Needs);
    let by_chain = ratio_order(problem, &orders, &sets, Chains::NeedsAndAfter);
    let exact = exact::best_of_first(problem, &sets, &by_chain, EXACT_START);
    [exact, by_ratio, by_chain]
        .into_iter()
        .map(|start| improve(problem, &orders, &sets, start))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map_or_else(Sequence::new, |(_, sequence)| sequence)
}

fn improve(problem: &Problem, orders: &Orders, sets: &Sets, start: Vec<usize>) -> (f64, Sequence) {
    let mut order = orders.settle(start);
    let mut best = cut(problem, orders, sets, &order);
    for _ in 0..MOST_ROUNDS {
        let better = neighbours(orders, &order, problem.fixes.len()).find_map(|candidate| {
            let candidate = orders.settle(candidate);
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

/// All orders one step away: up to three fixes in a row moved elsewhere, one put in with what it takes
/// along, one left out.
fn neighbours<'o>(
    orders: &'o Orders,
    order: &'o [usize],
    fixes: usize,
) -> impl Iterator<Item = Vec<usize>> + use<'o> {
    let n = order.len();
    let planned = order.iter().fold(0, |mask, &f| mask | bit(f));
    let moves = (1..=3_usize).flat_map(move |run| {
        (0..n.saturating_sub(run - 1)).flat_map(move |from| {
            (0..=n - run).filter(move |&to| to != from).map(move |to| {
                let mut next = order.to_vec();
                let moved: Vec<usize> = next.drain(from..from + run).collect();
                next.splice(to..to, moved);
                next
            })
        })
    });
    let insertions = (0..fixes)
        .filter(move |&f| planned & bit(f) == 0)
        .flat_map(move |fix| {
            [Chains::Needs, Chains::NeedsAndAfter]
                .into_iter()
                .flat_map(move |chains| {
                    let piece = piece(orders, fix, 0, fixes, chains).unwrap_or_default();
                    (0..=n).map(move |at| {
                        let mut next: Vec<usize> = order.get(..at).unwrap_or(&[]).to_vec();
                        next.extend(piece.iter().filter(|&&f| planned & bit(f) == 0));
                        next.extend(order.get(at..).unwrap_or(&[]));
                        next
                    })
                })
        });
    let removals = (0..n).map(move |at| {
        let mut next = order.to_vec();
        next.remove(at);
        next
    });
    insertions.chain(removals).chain(moves)
}
