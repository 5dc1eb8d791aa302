//! Orders between fixes as bit masks, and linear extensions inside a batch.

use super::planning_problem::PlanningProblem;
use crate::rulebook::index::{sure, sure_mut};

/// Which fixes must stand before which, by bits. At most 128 fixes.
#[derive(Debug, Clone)]
pub(super) struct Orders {
    /// Fixes that must be done in an earlier batch.
    pub(super) needs: Vec<u128>,
    /// Fixes that must not be done before this one: the same orders read from the other side.
    pub(super) before: Vec<u128>,
    /// Fixes that come first when both are planned, and those that must.
    first: Vec<u128>,
}

impl Orders {
    pub(super) fn new(problem: &PlanningProblem) -> Self {
        let needs: Vec<u128> = problem.fixes.iter().map(|f| mask(&f.needs)).collect();
        let first: Vec<u128> =
            problem.fixes.iter().map(|f| mask(&f.after) | mask(&f.needs)).collect();
        let mut before = vec![0; first.len()];
        for (later, &first) in first.iter().enumerate() {
            for earlier in members(first) {
                *sure_mut(&mut before, earlier) |= bit(later);
            }
        }
        Self { needs, before, first }
    }

    /// Whether everything that `fix` needs is done.
    pub(super) fn supplied(&self, fix: usize, done: u128) -> bool {
        sure(&self.needs, fix) & !done == 0
    }

    /// Takes out the fixes that lack a need, and puts the rest right as [`Self::arrange`] does.
    pub(super) fn settle(&self, order: &mut Vec<usize>) {
        loop {
            let planned = mask(order);
            let before = order.len();
            order.retain(|&f| self.supplied(f, planned));
            if order.len() == before {
                break;
            }
        }
        self.arrange(order);
    }

    /// Puts an order right where it breaks `after` or `needs`, and leaves it as it is where it is free.
    pub(super) fn arrange(&self, order: &mut [usize]) {
        let mut waiting = mask(order);
        let mut rest = order;
        while !rest.is_empty() {
            let ready = |&f: &usize| sure(&self.first, f) & waiting & !bit(f) == 0;
            let next = rest.iter().position(ready);
            debug_assert!(next.is_some(), "the orders of a checked book form no circle");
            let next = next.unwrap_or(0);
            if let Some(up_to_next) = rest.get_mut(..=next) {
                up_to_next.rotate_right(1);
            }
            let Some((arranged, others)) = rest.split_first_mut() else {
                break;
            };
            waiting &= !bit(*arranged);
            rest = others;
        }
    }
}

/// The bits of several fixes.
pub(super) fn mask(fixes: &[usize]) -> u128 {
    fixes.iter().fold(0, |mask, &f| mask | bit(f))
}

/// The fixes whose bits are set, in rising order.
pub(super) fn members(mask: u128) -> impl Iterator<Item = usize> {
    let mut rest = mask;
    std::iter::from_fn(move || {
        let next = usize::try_from(rest.trailing_zeros()).ok()?;
        (rest != 0).then(|| {
            rest &= rest - 1;
            next
        })
    })
}

/// The bit of a fix.
#[inline]
pub(super) fn bit(fix: usize) -> u128 {
    debug_assert!(fix < 128, "a plan has at most 120 candidates");
    1_u128.checked_shl(u32::try_from(fix).unwrap_or(u32::MAX)).unwrap_or(0)
}
