//! What anybody would answer at this conveyor: from the running belt, from the parts, else from the rule book.

use super::belt::Belt;
use super::hints::Parts;
use super::noise;
use super::picture::Picture;
use crate::mechanics::{Fault, Line, Run};
use crate::proof::draw::all_answers;
use crate::reason::{Engine, draw};
use crate::rulebook::index::{AnswerAt, CauseAt, List, Place, SymptomAt};
use crate::rulebook::model::{Book, Meaning, Sight};
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
        let ground = Ground { line: scene.line, faults: scene.faults, belt: scene.belt };
        let seen = entry.drilled_as.and_then(|sight| seen(ground, &picture, sight));
        let known = seen.and_then(|meaning| entry.meant(meaning)).map(AnswerAt::position);
        debug_assert!(seen.is_none() || known.is_some(), "the check of a book sees to it");
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

/// What answers come from that nobody has to draw.
#[derive(Debug, Clone, Copy)]
struct Ground<'s> {
    line: &'s Line,
    faults: &'s [Fault],
    belt: &'s Belt,
}

/// The answer that the conveyor itself gives to a question at the start, if one is settled there: by the running belt, or
/// by the parts.
pub(super) fn settled(
    book: &Book,
    (line, faults, belt): (&Line, &[Fault], &Belt),
    symptom: SymptomAt,
    seed: u64,
) -> Option<AnswerAt> {
    let entry = &book.symptoms[symptom];
    let picture = Picture::of(belt, line, seed, "look 0");
    entry.meant(seen(Ground { line, faults, belt }, &picture, entry.drilled_as?)?)
}

/// What of the conveyor answers a question, if it is settled: the running belt, or the parts.
fn seen(scene: Ground<'_>, picture: &Picture, sight: Sight) -> Option<Meaning> {
    let parts = Parts::new(scene.faults, scene.line);
    match sight {
        Sight::FirstSplit => Some(picture.first_split()),
        Sight::PlaceOff => picture.place_off(),
        Sight::StrandOff => Some(picture.strand_off()),
        Sight::SideOff => picture.side_off(),
        Sight::FedOrEmpty => Some(picture.fed_or_empty()),
        Sight::Movement => picture.movement(),
        Sight::LengthOff => picture.length_off(),
        Sight::OffAtTail => picture.off_at_tail(),
        Sight::Snakes => Some(picture.snakes().into()),
        Sight::OtherSideInReverse => in_reverse(scene),
        Sight::IdlerMetFirst => Some(parts.first_met()),
        Sight::IdlersTrimmedBothWays => Some(parts.trimmed_both_ways().into()),
        Sight::LowIdlerEnd => Some(parts.low_idler_end()),
        Sight::LowFrameSide => Some(parts.low_frame_side()),
        Sight::LowPulleyEnd => Some(parts.low_pulley_end()),
        Sight::FrameLine => Some(parts.frame()),
        Sight::StandOffCentre => Some(parts.stand_off_centre().into()),
        Sight::PulleyNearerSide => Some(parts.pulley_nearer_side(picture.place_off())),
        Sight::SlackScrew => Some(parts.slack_screw()),
        Sight::HeavySide => Some(parts.heavy_side()),
        Sight::WindFrom => parts.wind_from(),
        Sight::CrookedSplice => Some(parts.crooked_splice().into()),
        Sight::BeltBow => Some(parts.bow()),
        Sight::CakedRoll => Some(parts.caked_roll().into()),
        Sight::ReturnSag => Some(parts.return_sag(scene.belt.pull_n().1)),
        Sight::Crown => parts.crown(),
        // Nothing of the model tells worn lagging from cake.
        Sight::ThickerEnd => None,
    }
}

/// Whether the belt runs off to the other side in reverse, or off one way only.
fn in_reverse(scene: Ground<'_>) -> Option<Meaning> {
    let mut line = scene.line.clone();
    line.run = Run::Backward;
    let back = Belt::begin(&line, scene.faults).ok()?;
    let (fore, aft) = (scene.belt.furthest_m(), back.furthest_m());
    Some(Meaning::from(fore * aft < 0.0 || aft.abs() < 0.5 * fore.abs()))
}
