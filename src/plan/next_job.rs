//! Which job of a batch comes next, decided afresh each time something was looked at or mended.

use super::{Plan, PlanStep};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::{Book, Minutes};
use crate::trade::MachineState;

/// What came of a locked-out batch so far.
#[derive(Debug, Clone, Copy)]
pub struct BatchSoFar<'b> {
    /// Fixes of it that were done.
    pub done: &'b [FixAt],
    /// Fixes that were taken in hand since the machine was last started and are not to be done: found sound, or
    /// impossible.
    pub left: &'b [FixAt],
}

/// The job to take next while the machine stands locked out: of the first batch of the plan as it is now, the
/// likeliest to find something, or what must stand before it. Nothing when it is better to give the machine back and
/// see how the belt runs. What shows only while the belt runs cannot be looked at now, and is not worked on either.
///
/// Once something was mended the next is taken only where k (1 - v) <= g (lock-out + restart and watch): v the chance
/// that the belt would not run true if it were started now, g that something of the job is there, k the minutes of its
/// check, or of its work where it begins with none. Of work that steers the belt there is one move between two starts,
/// so that it can be seen what each did.
pub fn next_job<'p>(book: &Book, plan: &'p Plan, so_far: BatchSoFar<'_>) -> Option<&'p PlanStep> {
    let batch = plan.batches.first().filter(|batch| batch.state == MachineState::LockedOut)?;
    let steers = |fix: FixAt| book.fixes[fix].stage.steers();
    let steered = so_far.done.iter().any(|&fix| steers(fix));
    // What was left out holds nobody back: it was looked at.
    let waiting: Vec<&PlanStep> =
        batch.steps.iter().filter(|step| !so_far.left.contains(&step.fix)).collect();
    let may_be_next = |step: &PlanStep| {
        let twice = steered && steers(step.fix);
        let waits = twice || shows_running_only(book, step);
        !waits && (so_far.done.is_empty() || pays_now(step, batch.needed, book.minutes))
    };
    let mut by_chance = waiting.clone();
    // Of equal ones the first of the plan.
    by_chance.sort_by(|a, b| b.there.total_cmp(&a.there));
    let next = by_chance.iter().find_map(|step| {
        let behind = |first: &&&PlanStep| step.behind.contains(&first.fix);
        let first = by_chance.iter().find(behind).unwrap_or(step);
        may_be_next(first).then_some(*first)
    });
    // Nobody locks out for nothing: where all that is left shows while the belt runs, the likeliest is taken all the
    // same, and that look is left out.
    let likeliest = by_chance.first().copied().filter(|_| so_far.done.is_empty());
    next.or(likeliest)
}

/// Whether one of the checks that are still to be made needs the belt running.
fn shows_running_only(book: &Book, step: &PlanStep) -> bool {
    let checks = &book.fixes[step.fix].begins_with;
    let open = step.checks.iter().filter_map(|(place, _)| checks.get(*place));
    open.into_iter().any(|check| check.state(book) == MachineState::Running)
}

/// Whether looking at this job now is worth more than seeing first how the belt runs.
fn pays_now(step: &PlanStep, not_true: f64, minutes: Minutes) -> bool {
    let look: f64 = match step.checks.is_empty() {
        true => step.work_minutes,
        false => step.checks.iter().map(|(_, minutes)| minutes).sum(),
    };
    look * (1.0 - not_true) <= step.there * (minutes.lock_out + minutes.restart_and_watch)
}
