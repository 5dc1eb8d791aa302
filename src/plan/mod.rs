//! Which fixes, in which order, batched by machine state. Pure.

mod candidates;
mod choice;
mod costs;
mod exact;
mod gains;
mod next_job;
mod order;
mod planning_problem;
mod prices;
mod ratio;
#[cfg(test)]
mod samples;
mod search;
mod set_layout;
mod sets;
mod there;

pub use candidates::{Candidates, solve, solve_by_search, solve_exactly};
pub use choice::PlanInputs;
pub use next_job::{BatchSoFar, next_job};
pub use planning_problem::{Found, PlanFix, PlanningProblem, Sequence};

use crate::rulebook::index::{CauseAt, FixAt};
use crate::trade::MachineState;

/// A plan of work.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// Expected minutes until everything is cured, or given up.
    pub expected_minutes: f64,
    /// Chance that everything present is cured once the plan is done.
    pub cured_by_plan: f64,
    /// The batches, in order.
    pub batches: Vec<PlanBatch>,
}

/// Fixes done between one stop and one restart.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanBatch {
    /// [`State::LockedOut`] or [`State::Running`].
    pub state: MachineState,
    /// Minutes before the work: isolation, unless the machine is locked out already.
    pub set_up_minutes: f64,
    /// Minutes of all but the work: those, the checks, restart and watch.
    pub round_minutes: f64,
    /// Chance that something is still wrong when the batch begins.
    pub needed: f64,
    /// The fixes, in order.
    pub steps: Vec<PlanStep>,
}

/// One fix of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanStep {
    /// The fix.
    pub fix: FixAt,
    /// The causes it is done for, most likely first.
    pub for_causes: Vec<CauseAt>,
    /// Planned fixes that must stand before it: in its batch what the trade looks at first, and what it needs.
    pub behind: Vec<FixAt>,
    /// Chance that doing it makes the belt run true, when the batch before it has not.
    pub gain: f64,
    /// Chance that something of it is there when its turn comes.
    pub there: f64,
    /// How sure its checks are.
    pub found: Found,
    /// Its checks that are still to be made, by their places, with their minutes as the plan counts them: one that
    /// other fixes begin with too takes as long as the longest of them, once in a batch.
    pub checks: Vec<(usize, f64)>,
    /// Minutes of the work, once the checks call for it.
    pub work_minutes: f64,
}

impl PlanStep {
    /// A fix that no plan holds.
    pub fn alone(fix: FixAt, for_causes: Vec<CauseAt>) -> Self {
        Self {
            fix,
            for_causes,
            behind: Vec::new(),
            gain: 0.0,
            there: 0.0,
            found: Found::ALWAYS,
            checks: Vec::new(),
            work_minutes: 0.0,
        }
    }
}
