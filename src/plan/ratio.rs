//! Orders of fixes by gain per minute, and how much of such an order is worth its while.

use super::costs::Costs;
use super::gains::Gains;
use super::order::{Orders, bit, mask, members};
use super::planning_problem::PlanningProblem;
use super::prices::Prices;
use super::sets::Sets;
use super::there::Parts;
use crate::rulebook::index::sure;

/// As many of the first fixes of an order by gain per minute as are worth their while, put right; then
/// without those that are not. In a book whose stages follow each other an order put right as a whole
/// would begin with all that hardly helps.
pub(super) fn best_beginning(
    by_ratio: &[usize],
    orders: &Orders,
    costs: &mut Costs<'_>,
) -> Vec<usize> {
    let mut best = (costs.least_of(&[]), Vec::new());
    for end in 1..=by_ratio.len() {
        let mut order = sure(by_ratio, ..end).to_vec();
        orders.settle(&mut order);
        if let Some(cost) = costs.less_than(&order, 0, best.0) {
            best = (cost, order);
        }
    }
    let mut at = 0;
    while at < best.1.len() {
        let mut order = best.1.clone();
        order.remove(at);
        orders.settle(&mut order);
        let out = mask(&best.1) & !mask(&order);
        match costs.less_than(&order, out, best.0) {
            Some(cost) => best = (cost, order),
            None => at += 1,
        }
    }
    best.1
}

/// An order of fixes by gain in the chance that everything is cured, per minute of checks, of the work that is
/// expected to be called for, and of its share of the set-up; a fix and what it needs count as one piece. What must
/// come before what is for [`Orders::arrange`] to put right afterwards.
pub(super) fn ratio_order(
    problem: &PlanningProblem,
    orders: &Orders,
    sets: &Sets,
    parts: &Parts<'_>,
) -> Vec<usize> {
    let prices = Prices::new(problem);
    let nothing_cured = vec![0.0; problem.causes];
    let minutes: Vec<f64> = (0..problem.fixes.len())
        .map(|fix| prices.alone(fix, parts.there(fix, &nothing_cured)))
        .collect();
    let set_up = 0.5 * (problem.lock_out + problem.restart_and_watch);
    let mut gains = Gains::new(problem, sets);
    let mut left: Vec<usize> = (0..problem.fixes.len()).collect();
    let mut done = 0_u128;
    let mut order = Vec::with_capacity(left.len());
    let (mut piece, mut taken) = (Vec::new(), Vec::new());
    loop {
        // Of equal ones the first.
        let mut best = 0.0;
        taken.clear();
        for &fix in &left {
            piece.clear();
            put_piece(orders, fix, &mut done.clone(), &mut piece);
            let work = piece.iter().map(|&f| *sure(&minutes, f));
            let minutes = set_up + work.sum::<f64>();
            let rate = gains.together(&piece) / minutes;
            if rate > best {
                best = rate;
                std::mem::swap(&mut piece, &mut taken);
            }
        }
        if taken.is_empty() {
            break;
        }
        gains.take(&taken);
        taken.iter().for_each(|&f| done |= bit(f));
        left.retain(|&f| done & bit(f) == 0);
        order.append(&mut taken);
    }
    order
}

/// A fix with what it needs, that first.
pub(super) fn piece(orders: &Orders, fix: usize) -> Vec<usize> {
    let mut piece = Vec::new();
    put_piece(orders, fix, &mut 0, &mut piece);
    piece
}

/// Puts a fix and what it needs beyond what is `done` into a piece.
fn put_piece(orders: &Orders, fix: usize, done: &mut u128, piece: &mut Vec<usize>) {
    let wanted = *sure(&orders.needs, fix);
    for first in members(wanted & !*done) {
        if *done & bit(first) == 0 {
            put_piece(orders, first, done, piece);
        }
    }
    piece.push(fix);
    *done |= bit(fix);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::samples::problem;
    use crate::plan::there::PartLayout;

    /// A fix with what it needs and is not done, needs first.
    fn with_needs(problem: &PlanningProblem, fix: usize, done: &[usize], piece: &mut Vec<usize>) {
        for &need in &problem.fixes[fix].needs {
            if !done.contains(&need) && !piece.contains(&need) {
                with_needs(problem, need, done, piece);
            }
        }
        piece.push(fix);
    }

    /// From the definition: again and again the piece that adds most, per minute of its work and of half
    /// of what stops and starts the machine, to the chance that everything is cured.
    fn by_definition(problem: &PlanningProblem) -> Vec<usize> {
        let mut order: Vec<usize> = Vec::new();
        loop {
            let mut best: (f64, Vec<usize>) = (0.0, Vec::new());
            for fix in (0..problem.fixes.len()).filter(|f| !order.contains(f)) {
                let mut piece = Vec::new();
                with_needs(problem, fix, &order, &mut piece);
                let with = order.iter().chain(&piece).copied();
                let gain = problem.all_cured(with) - problem.all_cured(order.iter().copied());
                let work: f64 = (piece.iter())
                    .map(|&f| {
                        let checks = problem.fixes[f].checks.iter();
                        let checks: f64 = checks.map(|&c| problem.check_minutes[c]).sum();
                        checks
                            + problem.work_minutes(
                                f,
                                1.0,
                                problem.there(f, &vec![0.0; problem.causes]),
                            )
                    })
                    .sum();
                let set_up = 0.5 * (problem.lock_out + problem.restart_and_watch);
                let rate = gain / (set_up + work);
                if rate > best.0 + 1e-15 {
                    best = (rate, piece);
                }
            }
            if best.1.is_empty() {
                return order;
            }
            order.extend(best.1);
        }
    }

    #[test]
    fn fixes_are_ordered_by_gain_per_minute() {
        let mut rng = fastrand::Rng::with_seed(6);
        for case in 0..150 {
            let fixes = rng.usize(1..=9);
            let problem = problem(&mut rng, fixes);
            let (orders, sets) = (Orders::new(&problem), Sets::from_problem(&problem, 0.0));
            let layout = PartLayout::of_problem(&problem);
            let parts = layout.with_problem(&problem);
            let order = ratio_order(&problem, &orders, &sets, &parts);
            assert_eq!(order, by_definition(&problem), "case {case}");
            for fix in 0..fixes {
                let mut expected = Vec::new();
                with_needs(&problem, fix, &[], &mut expected);
                assert_eq!(piece(&orders, fix), expected, "case {case}, fix {fix}");
            }
        }
    }

    /// No beginning is better, and leaving nothing out of it makes it better.
    #[test]
    fn the_best_beginning_holds_nothing_that_is_not_worth_its_while() {
        let mut rng = fastrand::Rng::with_seed(9);
        let mut shorter = 0;
        for case in 0..150 {
            let problem = problem(&mut rng, 9);
            let (orders, sets) = (Orders::new(&problem), Sets::from_problem(&problem, 0.0));
            let layout = PartLayout::of_problem(&problem);
            let parts = layout.with_problem(&problem);
            let mut costs = Costs::new(&problem, &orders, &sets, &parts);
            let row: Vec<usize> = ratio_order(&problem, &orders, &sets, &parts);
            let best = best_beginning(&row, &orders, &mut costs);
            let cost = costs.least_of(&best);
            let mut is_least = |mut other: Vec<usize>| {
                orders.settle(&mut other);
                let other_cost = costs.least_of(&other);
                assert!(cost <= other_cost, "case {case}: {best:?}, {other:?}");
            };
            (0..=row.len()).for_each(|end| is_least(row[..end].to_vec()));
            for at in 0..best.len() {
                is_least([&best[..at], &best[at + 1..]].concat());
            }
            shorter += usize::from(!row.is_empty() && best.len() < row.len());
        }
        assert!(shorter > 20, "{shorter}");
    }
}
