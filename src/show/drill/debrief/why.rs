//! WhyCostly a step cost what it cost against the best that could be done.

use super::Debrief;
use crate::drill::moves::{Done, Move};
use crate::drill::world::Step;
use crate::rulebook::index::SymptomAt;
use crate::trade::MachineState;

/// Less than this is no difference, minutes.
const SAME: f64 = 0.5;

/// What is to be said of a step that cost minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WhyCostly {
    /// An expert spends them too.
    ExpertToo,
    /// This is why.
    Because(&'static str),
    /// It cannot be said in a sentence.
    Unsaid,
}

/// WhyCostly this step cost what it did; `nth` is its place in the run.
pub(super) fn why(debrief: &Debrief<'_, '_>, nth: usize) -> WhyCostly {
    let world = debrief.world;
    let Some(step) = world.steps().get(nth) else {
        return WhyCostly::Unsaid;
    };
    let before = world.steps().get(..nth).unwrap_or_default();
    match (&step.what, &step.done) {
        (Move::Look(symptom), _) => look(debrief, before, *symptom, step),
        (Move::Measure(gauge), _) => {
            let book = world.book();
            let expert = debrief.score.expert.looks.iter().any(|symptom| {
                let by = book.symptoms[*symptom].measured.as_ref();
                by.is_some_and(|by| by.gauge.id == gauge.id)
            });
            if !expert {
                WhyCostly::Because("An expert does not measure that here.")
            } else if before.iter().any(|earlier| earlier.what == step.what) {
                WhyCostly::Because("It was measured before.")
            } else {
                WhyCostly::ExpertToo
            }
        }
        (Move::LockOut | Move::Restore, _) => isolation(debrief, before, step),
        (Move::Check(fix, _), _) => {
            let after = world.steps().get(nth + 1..).unwrap_or_default();
            let done = after.iter().any(|later| later.what == Move::Work(*fix));
            WhyCostly::Because(match done {
                true => "The look that the job begins with.",
                false => "A look before a job that was not done then.",
            })
        }
        (Move::Work(_), Done::Worked(found)) => {
            let there = found.iter().any(|(_, was_there)| *was_there);
            if before.iter().any(|earlier| earlier.what == step.what) {
                WhyCostly::Because("It was done before.")
            } else if !there {
                WhyCostly::Because("What it cures was not there.")
            } else if step.regret < step.minutes - SAME {
                WhyCostly::Because("It put something right; other work does so in less time.")
            } else {
                WhyCostly::Because("What it is for was there, but this work does not take it away.")
            }
        }
        (Move::Shift { .. } | Move::Screw { .. }, _) => {
            WhyCostly::Because(if step.regret > step.minutes + SAME {
                "That is steering, no cure: it has to be taken back, and the way back is counted."
            } else {
                "That is steering, no cure: it took nothing away of what was hidden."
            })
        }
        (Move::Wait(_), _) => WhyCostly::Because("The belt is watched after each restart anyway."),
        _ => WhyCostly::Unsaid,
    }
}

fn look(debrief: &Debrief<'_, '_>, before: &[Step], symptom: SymptomAt, step: &Step) -> WhyCostly {
    let worked = before.iter().rev();
    let since_work = worked.take_while(|earlier| {
        !matches!(earlier.what, Move::Work(_) | Move::Shift { .. } | Move::Screw { .. })
    });
    let mut since_work = since_work;
    if since_work.any(|earlier| earlier.what == step.what) {
        WhyCostly::Because("It was looked at before, and nothing had been done since.")
    } else if before.iter().any(|earlier| earlier.what == step.what) {
        WhyCostly::Because("It was looked at before.")
    } else if debrief.score.expert.looks.contains(&symptom) {
        WhyCostly::ExpertToo
    } else {
        WhyCostly::Because("An expert leaves that look out here.")
    }
}

/// Locking out and giving back cost only if the work could do without, or is torn in two.
fn isolation(debrief: &Debrief<'_, '_>, before: &[Step], step: &Step) -> WhyCostly {
    let (book, expert) = (debrief.world.book(), &debrief.score.expert);
    let looks_dead = |symptom: &SymptomAt| book.symptoms[*symptom].state == MachineState::LockedOut;
    let works_dead =
        expert.fixes.iter().any(|fix| book.fixes[*fix].state() == MachineState::LockedOut);
    let again = before.iter().any(|earlier| earlier.what == step.what);
    if !again && !works_dead && expert.looks.iter().any(looks_dead) {
        return WhyCostly::ExpertToo;
    }
    WhyCostly::Because(match (&step.what, again) {
        (Move::Restore, _) => "Work on the dead machine was still to be done: one more isolation.",
        (_, true) => "Locked out once more: what needs a dead machine is best done in one go.",
        (_, false) => "What was hidden needed no dead machine by then.",
    })
}
