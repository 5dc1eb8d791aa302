//! What anybody would answer at this conveyor: from the running belt, from the parts, else from the rule book.

use super::belt::Belt;
use super::picture::Picture;
use super::{hints, noise};
use crate::mechanics::{Fault, Line, Run};
use crate::proof::draw::all_answers;
use crate::reason::{Engine, draw};
use crate::rulebook::index::{AnswerAt, CauseAt, List, Place, SymptomAt};
use crate::rulebook::model::Book;
use crate::trade::MachineState;
use crate::visit::ConveyorFacts;

/// A conveyor as it stands.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'s> {
    /// The book whose questions are asked.
    pub book: &'s Book,
    /// Its chances.
    pub engine: &'s Engine<'s>,
    /// What is known of the conveyor.
    pub facts: &'s ConveyorFacts,
    /// The conveyor, all in order.
    pub line: &'s Line,
    /// What is out of order.
    pub faults: &'s [Fault],
    /// How the belt runs.
    pub belt: &'s Belt,
    /// The causes that are present now.
    pub present: &'s [CauseAt],
    /// Those that were present at the start: history tells of these.
    pub at_start: &'s [CauseAt],
    /// Answers that stand whatever else is the case.
    pub shows: &'s [(SymptomAt, AnswerAt)],
    /// Settles all errors and chances.
    pub seed: u64,
    /// When it is looked at: another occasion, other errors of the eye.
    pub occasion: &'s str,
}

/// The answer to every question; nothing where it does not apply.
pub fn answers(scene: &Scene<'_>) -> List<SymptomAt, Option<AnswerAt>> {
    let book = scene.book;
    let picture = Picture::of(scene.belt, scene.line, scene.seed, scene.occasion);
    all_answers(book, scene.facts, |symptom, before| {
        let entry = &book.symptoms[symptom];
        if let Some((_, answer)) = scene.shows.iter().find(|(known, _)| *known == symptom) {
            return answer.position();
        }
        let id = picture
            .answer(&entry.id)
            .or_else(|| hints::answer(&entry.id, scene.faults, scene.line, scene.belt.pull_n().1))
            .or_else(|| (entry.id == "flips-in-reverse").then(|| in_reverse(scene))?);
        let known = id.and_then(|id| entry.answers.values().position(|answer| answer.id == id));
        known.unwrap_or_else(|| {
            // The same number for the same question each time, so that only what changed changes the answer.
            let mut rng = noise::rng(scene.seed, &entry.id);
            let present = match entry.state {
                MachineState::Anywhere => scene.at_start,
                MachineState::Running | MachineState::LockedOut => scene.present,
            };
            draw::answer(scene.engine, symptom, present, before, &mut rng)
        })
    })
}

/// Whether the belt runs off to the other side in reverse, or off one way only.
fn in_reverse(scene: &Scene<'_>) -> Option<&'static str> {
    let mut line = scene.line.clone();
    line.run = Run::Backward;
    let back = Belt::begin(&line, scene.faults).ok()?;
    let (fore, aft) = (scene.belt.furthest_m(), back.furthest_m());
    let flips = fore * aft < 0.0 || aft.abs() < 0.5 * fore.abs();
    Some(if flips { "yes" } else { "no" })
}
