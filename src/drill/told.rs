//! What a learner has told straybelt so far, if every move was told: the input of its advice.

use super::moves::{Done, Move};
use super::world::{Step, World};
use crate::reason::Outcome;
use crate::rulebook::index::FixAt;
use crate::rulebook::model::{Book, Verdict};
use crate::trade::MachineState;
use crate::visit::{FoundReport, Observations, Reply};

/// Less than this share of the first run-off is better, more than its inverse is worse.
const BETTER: f64 = 0.75;

/// What follows from the moves made: answers, what was found, what was done, how the belt ran afterwards.
pub fn told(world: &World<'_>) -> Observations {
    let book = world.book();
    let mut told = Observations { size: world.size(), ..Observations::none(book) };
    let mut batch: Vec<FixAt> = Vec::new();
    for step in world.steps() {
        match (&step.what, &step.done) {
            (Move::Look(symptom), Done::Looked(answer)) => {
                let reply = answer.map_or(Reply::CantTell, Reply::Answer);
                told.reply_now(book, *symptom, reply);
            }
            (Move::Measure(_), Done::Measured(measured)) => {
                for (id, answer) in &measured.answers {
                    let symptom = book.symptoms.iter().find(|(_, symptom)| symptom.id == *id);
                    let Some((at, symptom)) = symptom else {
                        continue;
                    };
                    let known = |id: &String| symptom.kept(id);
                    if let Some(answer) = answer.as_ref().and_then(known) {
                        told.reply_now(book, at, Reply::Answer(answer));
                    }
                }
            }
            (Move::Check(fix, place), Done::Checked(checked)) => {
                if let Some((symptom, answer)) = checked.answer {
                    let reply = answer.map_or(Reply::CantTell, Reply::Answer);
                    told.reply_now(book, symptom, reply);
                } else {
                    told.checked.push((*fix, *place, checked.shown));
                }
                if told.verdict(book, *fix) == Verdict::Sound {
                    found_sound(book, *fix, &mut told);
                }
            }
            (Move::Work(fix), Done::Worked(found)) => {
                batch.push(*fix);
                let spoken_for = told.spoken_for(book, *fix);
                for (cause, was_there) in found.iter().filter(|(c, _)| !spoken_for.contains(c)) {
                    // Who looks again sees the work done already.
                    if told.found.iter().all(|(known, _)| known != cause) {
                        let report = match was_there {
                            true => FoundReport::AsSuspected,
                            false => FoundReport::WasFine,
                        };
                        told.found.push((*cause, report));
                    }
                }
                if book.fixes[*fix].state() == MachineState::Running {
                    end_batch(world, step, &mut batch, &mut told);
                }
            }
            (Move::Restore, Done::Running(_)) => end_batch(world, step, &mut batch, &mut told),
            (Move::Wait(_), Done::Running(_)) => {
                if let Some(last) = told.outcomes.last_mut() {
                    *last = outcome(world, step);
                }
            }
            _ => {}
        }
    }
    if !batch.is_empty() {
        told.done.push(batch);
    }
    told.machine = world.machine();
    told.standing = world.standing();
    told
}

/// The checks of a fix call for nothing: its causes are fine, but for those that an answered symptom speaks of.
fn found_sound(book: &Book, fix: FixAt, told: &mut Observations) {
    let spoken_for = told.spoken_for(book, fix);
    for &(cause, _) in &book.fixes[fix].cures {
        if !spoken_for.contains(&cause) {
            told.found.retain(|(known, _)| *known != cause);
            told.found.push((cause, FoundReport::WasFine));
        }
    }
    told.found_sound.push(fix);
}

fn end_batch(world: &World<'_>, step: &Step, batch: &mut Vec<FixAt>, told: &mut Observations) {
    if !batch.is_empty() {
        told.done.push(std::mem::take(batch));
        told.outcomes.push(outcome(world, step));
        told.started();
        told.look_again();
    }
}

/// How the belt ran after a step, against the start.
fn outcome(world: &World<'_>, step: &Step) -> Outcome {
    let line = &world.drill().line;
    let share = step.off_share / world.start().worst_share(line).max(1e-6);
    if step.runs_true {
        Outcome::True
    } else if share <= BETTER {
        Outcome::Better
    } else if step.other_side {
        Outcome::OtherSide
    } else if share >= BETTER.recip() {
        Outcome::Worse
    } else {
        Outcome::NoChange
    }
}
