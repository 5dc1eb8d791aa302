//! A run made by straybelt itself: its own questions, its own plan, nothing known of what is hidden.

use super::job;
use super::moves::Move;
use super::told::told;
use super::world::World;
use crate::rulebook::index::{CauseAt, SymptomAt};
use crate::visit::{Depth, Diagnosis, Finding, Machine, Stop, askable, asking};

/// What came of it.
#[derive(Debug, Clone)]
pub struct Followed {
    /// The causes as they stood when asking ended, with the chance stated for each.
    pub ranked: Vec<(CauseAt, f64)>,
    /// Questions asked.
    pub questions: usize,
    /// Minutes to the finding: until the first job is taken in hand, its isolation and its check not counted.
    pub minutes_asking: f64,
    /// Whether the first job taken in hand was the leading cause's own fix, or one that this must stand behind;
    /// nothing where nothing was. See [`begins_with_the_leader`](super::account::begins_with_the_leader).
    pub led_first: Option<bool>,
    /// Whether the belt ran true in the end.
    pub runs_true: bool,
}

/// Runs a drill by straybelt's own questions and plan; the steps are in the world.
pub fn follow(diagnosis: &Diagnosis<'_>, world: &mut World<'_>) -> Followed {
    let mut questions = 0;
    while let Some(symptom) =
        next(diagnosis, &diagnosis.applicability(&world.facts().facts, &told(world)))
    {
        let (_, machine) = asking(world.book(), symptom, world.machine());
        bring(world, machine);
        if world.make(Move::Look(symptom)).is_err() {
            break;
        }
        questions += 1;
    }
    let minutes_asking = world.minutes();
    let finding = diagnosis.finding_to(&world.facts().facts, &told(world), Depth::Ranking);
    let leader = finding.ranked.first().map(|ranked| ranked.cause);
    let ranked = finding.ranked.iter().map(|ranked| (ranked.cause, ranked.was_present)).collect();
    let led_first = job::work(diagnosis, world, leader);
    let runs_true = world.runs_true();
    let _ = world.make(Move::Declare);
    Followed { ranked, questions, minutes_asking, led_first, runs_true }
}

/// The question that straybelt would put now; nothing when it goes on to the plan.
pub fn next(diagnosis: &Diagnosis<'_>, applicable: &Finding) -> Option<SymptomAt> {
    let book = diagnosis.book();
    if !applicable.causes_apply.values().any(|applies| *applies) {
        return None;
    }
    let open: Vec<SymptomAt> = askable(book, applicable).collect();
    let opening = book.opening.iter().copied().find(|symptom| open.contains(symptom));
    opening.or_else(|| match diagnosis.stop(applicable) {
        Stop::LookOn(symptom) => Some(symptom),
        _ => None,
    })
}

/// Brings the machine into a state by the learner's moves.
pub(super) fn bring(world: &mut World<'_>, machine: Machine) {
    if world.machine() != machine {
        let _ = world.make(match machine {
            Machine::LockedOut => Move::LockOut,
            Machine::Running => Move::Restore,
        });
    }
}
