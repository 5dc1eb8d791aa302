//! What each fix costs by what its cost hangs on: being reached at all, and something of it being there.

use super::planning_problem::PlanningProblem;
use crate::rulebook::index::sure;

/// Prices of the fixes of a problem.
#[derive(Debug, Clone)]
pub(super) struct Prices {
    fixes: Vec<Price>,
    /// Minutes of the checks that more than one fix begins with.
    shared: Vec<f64>,
}

/// What a fix costs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Price {
    /// Minutes for each chance that its batch is needed: checks that are its own, and work that nothing calls for.
    pub(super) reached: f64,
    /// Minutes more for each chance that something of it is there.
    pub(super) there: f64,
    /// Checks that it shares with others, by bits.
    pub(super) shared: u128,
}

impl Prices {
    pub(super) fn new(problem: &PlanningProblem) -> Self {
        let fixes = |check: usize| problem.fixes.iter().filter(move |f| f.checks.contains(&check));
        // There are as many bits as that; what is beyond would be paid by each fix that begins with it.
        let shared: Vec<usize> = (0..problem.check_minutes.len())
            .filter(|&check| fixes(check).nth(1).is_some())
            .take(128)
            .collect();
        let price = |fix: &super::PlanFix| {
            let (found, work) = (fix.found, fix.work_minutes);
            let mut price = Price {
                reached: work * found.if_not,
                there: work * (found.if_there - found.if_not),
                shared: 0,
            };
            for check in &fix.checks {
                match shared.iter().position(|known| known == check) {
                    Some(bit) => price.shared |= 1 << bit,
                    None => price.reached += sure(&problem.check_minutes, *check),
                }
            }
            price
        };
        Self {
            fixes: problem.fixes.iter().map(price).collect(),
            shared: shared.iter().map(|&check| *sure(&problem.check_minutes, check)).collect(),
        }
    }

    /// The price of a fix.
    pub(super) fn of(&self, fix: usize) -> Price {
        *sure(&self.fixes, fix)
    }

    /// Minutes of checks that are shared.
    pub(super) fn shared_minutes(&self, checks: u128) -> f64 {
        let mut rest = checks;
        let mut minutes = 0.0;
        while rest != 0 {
            minutes += *sure(&self.shared, rest.trailing_zeros() as usize);
            rest &= rest - 1;
        }
        minutes
    }

    /// Minutes of a fix alone, if this is the chance that something of it is there once it is reached.
    pub(super) fn alone(&self, fix: usize, there: f64) -> f64 {
        let price = self.of(fix);
        price.reached + self.shared_minutes(price.shared) + price.there * there
    }
}
