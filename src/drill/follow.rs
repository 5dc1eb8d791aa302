//! A run made by straybelt itself: its own questions, its own plan, nothing known of what is hidden.

use super::moves::{Done, Move};
use super::world::World;
use crate::plan::PlanBatch;
use crate::reason::Outcome;
use crate::rulebook::index::{CauseAt, SymptomAt};
use crate::rulebook::model::State;
use crate::visit::{
    Depth, Diagnosis, Finding, FoundReport, Machine, Reply, Stop, Told, askable, asking,
};

/// So many causes of one fix are reported on, most likely first, as in a visit.
const REPORTED: usize = 3;
/// After so many batches of work a person would have called somebody.
const MOST_BATCHES: usize = 12;
/// Less than this share of the first run-off is better, more than its inverse is worse.
const BETTER: f64 = 0.75;

/// What came of it.
#[derive(Debug, Clone)]
pub struct Followed {
    /// The causes as they stood when asking ended, with the chance stated for each.
    pub ranked: Vec<(CauseAt, f64)>,
    /// Questions asked.
    pub questions: usize,
    /// Minutes to the finding.
    pub minutes_asking: f64,
    /// Whether the belt ran true in the end.
    pub runs_true: bool,
}

/// Runs a drill by straybelt's own questions and plan; the steps are in the world.
pub fn follow(diagnosis: &Diagnosis<'_>, world: &mut World<'_>) -> Followed {
    let mut told = Told::nothing(diagnosis.book());
    let questions = ask(diagnosis, world, &mut told);
    let minutes_asking = world.minutes();
    let finding = diagnosis.finding_to(world.facts(), &told, Depth::Ranking);
    let ranked = finding
        .ranked
        .iter()
        .map(|r| (r.cause, r.was_present))
        .collect();
    work(diagnosis, world, &finding, told);
    let runs_true = world.runs_true();
    let _ = world.make(Move::Declare);
    Followed {
        ranked,
        questions,
        minutes_asking,
        runs_true,
    }
}

fn ask(diagnosis: &Diagnosis<'_>, world: &mut World<'_>, told: &mut Told) -> usize {
    let book = diagnosis.book();
    let mut questions = 0;
    loop {
        let outset = diagnosis.outset(world.facts(), told);
        let Some(symptom) = next(diagnosis, &outset) else {
            return questions;
        };
        let (_, machine) = asking(book, symptom, told.machine);
        bring(world, machine);
        told.machine = machine;
        questions += 1;
        told.replies[symptom] = match world.make(Move::Look(symptom)).map(|step| &step.done) {
            Ok(Done::Looked(Some(answer))) => Reply::Answer(*answer),
            _ => Reply::CantTell,
        };
    }
}

/// The question that straybelt would put now; nothing when it goes on to the plan.
pub fn next(diagnosis: &Diagnosis<'_>, outset: &Finding) -> Option<SymptomAt> {
    let book = diagnosis.book();
    if !outset.causes_apply.values().any(|applies| *applies) {
        return None;
    }
    let open: Vec<SymptomAt> = askable(book, outset).collect();
    let opening = book
        .opening
        .iter()
        .copied()
        .find(|symptom| open.contains(symptom));
    opening.or_else(|| match diagnosis.stop(outset) {
        Stop::Pays(symptom) => Some(symptom),
        _ => None,
    })
}

/// Brings the machine into a state by the learner's moves.
fn bring(world: &mut World<'_>, machine: Machine) {
    if world.machine() != machine {
        let _ = world.make(match machine {
            Machine::LockedOut => Move::LockOut,
            Machine::Running => Move::Restore,
        });
    }
}

fn work(diagnosis: &Diagnosis<'_>, world: &mut World<'_>, finding: &Finding, mut told: Told) {
    let at_start = world.start().worst_m();
    let mut plan = diagnosis.plan(finding);
    for _ in 0..MOST_BATCHES {
        let Some(batch) = plan.batches.first() else {
            break;
        };
        do_batch(world, batch, &mut told);
        let share = world.belt().worst_m() / at_start.max(1e-6);
        let outcome = if world.runs_true() {
            Outcome::True
        } else if share <= BETTER {
            Outcome::Better
        } else if share >= BETTER.recip() {
            Outcome::Worse
        } else {
            Outcome::NoChange
        };
        told.outcomes.push(outcome);
        if outcome == Outcome::True {
            return;
        }
        plan = diagnosis.plan_after(world.facts(), &told);
    }
    bring(world, Machine::Running);
}

fn do_batch(world: &mut World<'_>, batch: &PlanBatch, told: &mut Told) {
    bring(
        world,
        match batch.state {
            State::LockedOut => Machine::LockedOut,
            State::Running | State::Anywhere => Machine::Running,
        },
    );
    for step in &batch.steps {
        if let Ok(Done::Worked(found)) = world.make(Move::Work(step.fix)).map(|step| &step.done) {
            for cause in step.for_causes.iter().take(REPORTED) {
                let seen = found.iter().find(|(known, _)| known == cause);
                let new = told.found.iter().all(|(known, _)| known != cause);
                if let Some((cause, was_there)) = seen.filter(|_| new) {
                    let report = match was_there {
                        true => FoundReport::AsSuspected,
                        false => FoundReport::WasFine,
                    };
                    told.found.push((*cause, report));
                }
            }
        }
    }
    told.done
        .push(batch.steps.iter().map(|step| step.fix).collect());
    bring(world, Machine::Running);
    told.machine = Machine::Running;
}
