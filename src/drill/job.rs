//! The work of a run made by straybelt itself: look before you work, one change at a time, as the conversation asks
//! for it.

use super::moves::Move;
use super::told::told;
use super::world::World;
use crate::plan::{BatchSoFar, Plan, PlanStep, next_job};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::Verdict;
use crate::trade::MachineState;
use crate::visit::{Diagnosis, Machine};

/// Works through one batch: the first job that was taken in hand, with the plan that it was taken from; what is looked
/// at while the belt runs, before anybody locks out, is a look. Nothing where nothing is planned.
pub(super) fn batch(diagnosis: &Diagnosis<'_>, world: &mut World<'_>) -> Option<(Plan, FixAt)> {
    let mut first = None;
    // What shows only while it runs is looked at before anybody locks out.
    world.bring(Machine::Running);
    let plan = loop {
        let plan = plan(diagnosis, world);
        let Some(step) = running_check(world, &plan) else {
            break plan;
        };
        look(world, step.fix, MachineState::Running);
    };
    let batch = plan.batches.first()?;
    if batch.state != MachineState::LockedOut {
        let job = batch.steps.first()?.fix;
        look(world, job, MachineState::Running);
        if told(world).verdict(world.book(), job) != Verdict::Sound {
            let _ = world.make(Move::Work(job));
        }
        return Some(first.unwrap_or((plan, job)));
    }
    world.bring(Machine::LockedOut);
    let isolated = world.steps().len();
    let (mut done, mut left) = (Vec::new(), Vec::new());
    loop {
        let plan = self::plan(diagnosis, world);
        let so_far = BatchSoFar { done: &done, left: &left };
        let Some(job) = next_job(world.book(), &plan, so_far).map(|step| step.fix) else {
            break;
        };
        first.get_or_insert((plan, job));
        look(world, job, MachineState::LockedOut);
        let calls =
            matches!(told(world).verdict(world.book(), job), Verdict::NeedsWork | Verdict::Unclear);
        if calls && world.make(Move::Work(job)).is_ok() {
            done.push(job);
        } else {
            left.push(job);
        }
    }
    let nothing = world.steps().len() == isolated;
    world.bring(Machine::Running);
    // What is left may show only while it runs: the plan on the isolated machine can begin with another job.
    let running = world.steps().len();
    if nothing {
        left.iter().for_each(|&job| look(world, job, MachineState::Running));
    }
    // A batch in which nothing could be looked at or done brings nobody on.
    first.filter(|_| !nothing || world.steps().len() > running)
}

fn plan(diagnosis: &Diagnosis<'_>, world: &World<'_>) -> Plan {
    diagnosis.plan_after(&world.facts().facts, &told(world))
}

/// The first job of the first batch with a check that is open and shows only while it runs.
fn running_check<'p>(world: &World<'_>, plan: &'p Plan) -> Option<&'p PlanStep> {
    let batch = plan.batches.first().filter(|batch| batch.state == MachineState::LockedOut)?;
    batch.steps.iter().find(|step| open_check(world, step.fix, MachineState::Running).is_some())
}

/// The check of a job that is next, if it can be made in this state of the machine.
fn open_check(world: &World<'_>, job: FixAt, state: MachineState) -> Option<usize> {
    let book = world.book();
    let told = told(world);
    let fix = &book.fixes[job];
    let mut open = fix.open_checks(|place, _| told.shown(book, job, place)).into_iter();
    let locked = |state| state == MachineState::LockedOut;
    open.find(|place| {
        let check = fix.begins_with.get(*place);
        check.is_some_and(|check| locked(check.state(book)) == locked(state))
    })
}

/// Makes the checks of a job that can be made in this state of the machine, until they say whether it is needed. What
/// was found sound before and comes again is looked at once more.
fn look(world: &mut World<'_>, job: FixAt, state: MachineState) {
    if told(world).verdict(world.book(), job) == Verdict::Sound {
        for place in 0..world.book().fixes[job].begins_with.len() {
            let _ = world.make(Move::Check(job, place));
        }
    }
    while let Some(place) = open_check(world, job, state) {
        if world.make(Move::Check(job, place)).is_err() {
            break;
        }
    }
}
