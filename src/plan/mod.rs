//! Which fixes, in which order, batched by machine state. Pure.

mod candidates;
mod costs;
mod exact;
mod gains;
mod order;
mod planning_problem;
mod quick;
#[cfg(test)]
mod samples;
mod search;
mod set_layout;
mod sets;

pub use candidates::{
    Candidates, PlanInputs, QuickPlanner, solve, solve_by_search, solve_exactly, solve_quickly,
};
pub use planning_problem::{PlanFix, PlanningProblem, Sequence};

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
    /// Planned fixes that must stand before it.
    pub behind: Vec<FixAt>,
    /// Chance that doing it makes the belt run true, when the batch before it has not.
    pub gain: f64,
}
