//! Local search over orders: for more fixes than the exact way can take.

use super::exact;
use super::order::{Orders, bit};
use super::problem::{Problem, Sequence, Sets};
use super::quick::{Chains, cut, piece, ratio_order};

/// Sets of causes less likely than this do not decide between plans.
const FLOOR: f64 = 1e-6;
/// So many sets, the likeliest, stand for all.
const MOST_SETS: usize = 200;
/// So many orders are tried; a plan must not keep anybody waiting.
const MOST_TRIES: usize = 2_500;
/// So many fixes are ordered exactly for one of the starts.
const EXACT_START: usize = 13;

/// A good sequence: the best of the orders by gain per minute and of the exact plan of the fixes that gain
/// most, improved by moving, leaving out and putting in fixes.
pub(super) fn best(problem: &Problem) -> Sequence {
    let orders = Orders::of(problem);
    let sets = Sets::of(problem, FLOOR, MOST_SETS);
    let by_ratio = ratio_order(problem, &orders, &sets, Chains::Needs);
    let by_chain = ratio_order(problem, &orders, &sets, Chains::NeedsAndAfter);
    let exact = exact::best_of_first(problem, &sets, &by_chain, EXACT_START);
    [exact, by_ratio, by_chain]
        .into_iter()
        .map(|start| {
            let order = orders.settle(start);
            let found = cut(problem, &orders, &sets, &order);
            (found, order)
        })
        .min_by(|a, b| a.0.0.total_cmp(&b.0.0))
        .map_or_else(Sequence::new, |(found, order)| {
            improve(problem, &orders, &sets, order, found)
        })
}

fn improve(
    problem: &Problem,
    orders: &Orders,
    sets: &Sets,
    mut order: Vec<usize>,
    mut best: (f64, Sequence),
) -> Sequence {
    let mut tries = 0;
    loop {
        let better = neighbours(orders, &order, problem.fixes.len())
            .map(|candidate| orders.settle(candidate))
            .filter(|candidate| *candidate != order)
            .take(MOST_TRIES - tries)
            .find_map(|candidate| {
                tries += 1;
                let found = cut(problem, orders, sets, &candidate);
                (found.0 < best.0 - 1e-9).then_some((candidate, found))
            });
        let Some((candidate, found)) = better else {
            return best.1;
        };
        (order, best) = (candidate, found);
    }
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
