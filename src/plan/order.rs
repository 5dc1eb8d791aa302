//! Orders between fixes as bit masks, and linear extensions inside a batch.

use super::problem::Problem;

/// Which fixes must stand before which, by bits. At most 128 fixes.
#[derive(Debug, Clone)]
pub(super) struct Orders {
    /// Fixes that come first when both are planned.
    pub(super) after: Vec<u128>,
    /// Fixes that must be done in an earlier batch.
    pub(super) needs: Vec<u128>,
    /// Fixes that must not be done before this one: the same orders read from the other side.
    pub(super) before: Vec<u128>,
}

impl Orders {
    pub(super) fn of(problem: &Problem) -> Self {
        let bits = |list: &[usize]| list.iter().fold(0, |mask, &f| mask | bit(f));
        let after: Vec<u128> = problem.fixes.iter().map(|f| bits(&f.after)).collect();
        let needs: Vec<u128> = problem.fixes.iter().map(|f| bits(&f.needs)).collect();
        let before = (0..after.len())
            .map(|f| {
                let mut mask = 0;
                for (later, (a, n)) in after.iter().zip(&needs).enumerate() {
                    if (a | n) & bit(f) != 0 {
                        mask |= bit(later);
                    }
                }
                mask
            })
            .collect();
        Self {
            after,
            needs,
            before,
        }
    }

    /// Whether `fix` may still be done once `done` is: nothing done had to come after it.
    pub(super) fn not_too_late(&self, fix: usize, done: u128) -> bool {
        self.before.get(fix).is_some_and(|later| later & done == 0)
    }

    /// Whether everything that `fix` needs is done.
    pub(super) fn supplied(&self, fix: usize, done: u128) -> bool {
        self.needs.get(fix).is_some_and(|needs| needs & !done == 0)
    }

    /// The order without the fixes that lack a need, and so that it keeps `after` and `needs`.
    pub(super) fn settle(&self, mut order: Vec<usize>) -> Vec<usize> {
        loop {
            let planned = order.iter().fold(0, |mask, &f| mask | bit(f));
            let before = order.len();
            order.retain(|&f| self.supplied(f, planned));
            if order.len() == before {
                return self.arrange(&order);
            }
        }
    }

    /// The fixes in an order that keeps `after` and `needs`, the given order where it is free.
    pub(super) fn arrange(&self, fixes: &[usize]) -> Vec<usize> {
        let mut left = fixes.to_vec();
        let mut arranged = Vec::with_capacity(left.len());
        while !left.is_empty() {
            let waiting = left.iter().fold(0, |mask, &f| mask | bit(f));
            let next = left
                .iter()
                .position(|&f| {
                    let first = self.after.get(f).copied().unwrap_or(0)
                        | self.needs.get(f).copied().unwrap_or(0);
                    first & waiting & !bit(f) == 0
                })
                .unwrap_or(0);
            arranged.push(left.remove(next));
        }
        arranged
    }
}

/// The bit of a fix.
#[inline]
pub(super) fn bit(fix: usize) -> u128 {
    1_u128
        .checked_shl(u32::try_from(fix).unwrap_or(u32::MAX))
        .unwrap_or(0)
}
