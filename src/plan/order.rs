//! Orders between fixes as bit masks, and linear extensions inside a batch.

use super::planning_problem::PlanningProblem;
use crate::rulebook::index::{sure, sure_mut};

/// Which fixes must stand before which, by bits. At most 128 fixes.
#[derive(Debug, Clone)]
pub(super) struct Orders {
    /// Fixes that must be done in an earlier batch.
    pub(super) needs: Vec<u128>,
    /// Fixes that come first in the same batch.
    after: Vec<u128>,
    /// Fixes that this one must not follow in the same batch: the same orders read from the other side.
    pub(super) not_behind: Vec<u128>,
}

impl Orders {
    pub(super) fn new(problem: &PlanningProblem) -> Self {
        let needs = problem.fixes.iter().map(|f| mask(&f.needs)).collect();
        let after: Vec<u128> = problem.fixes.iter().map(|f| mask(&f.after)).collect();
        let mut not_behind = vec![0; after.len()];
        for (later, &first) in after.iter().enumerate() {
            for earlier in members(first) {
                *sure_mut(&mut not_behind, earlier) |= bit(later);
            }
        }
        Self { needs, after, not_behind }
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

    /// Puts an order right where it breaks `needs`, and leaves it as it is where it is free.
    pub(super) fn arrange(&self, order: &mut [usize]) {
        self.sort(order, |_, _| true);
    }

    /// The same, and where it can be `after` as if all stood in one batch.
    pub(super) fn arrange_as_one(&self, order: &mut [usize]) {
        self.sort(order, |fix, waiting| sure(&self.after, fix) & waiting & !bit(fix) == 0);
    }

    /// Takes again and again the first of those that need nothing still waiting, one that also suits if there is any.
    fn sort(&self, order: &mut [usize], suits: impl Fn(usize, u128) -> bool) {
        let mut waiting = mask(order);
        let mut rest = order;
        while !rest.is_empty() {
            let ready = |&f: &usize| sure(&self.needs, f) & waiting & !bit(f) == 0;
            let next = (rest.iter().position(|f| ready(f) && suits(*f, waiting)))
                .or_else(|| rest.iter().position(ready));
            debug_assert!(next.is_some(), "what fixes need forms no circle");
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
