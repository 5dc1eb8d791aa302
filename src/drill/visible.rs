//! What the shift can tell of a drawn drill, and what an expert would look at to prove it.

use super::kinds::Kind;
use super::world::World;
use crate::reason::Engine;
use crate::rulebook::index::{AnswerAt, CauseAt, Place, SymptomAt};
use crate::rulebook::model::Meaning;
use crate::trade::MachineState;

/// What the learner is told: where the belt runs off, and what the shift says. Nothing that only what is hidden tells.
pub(super) fn briefing(world: &World<'_>, kind: &Kind) -> String {
    let book = world.book();
    let place = meaning(world, book.roles.place).and_then(place_words).unwrap_or("somewhere");
    let sides = world.drill().conveyor.sides();
    let toward = match meaning(world, book.roles.belt_side) {
        Some(Meaning::Left) => format!(" to the {} side", sides.left.as_deref().unwrap_or("left")),
        Some(Meaning::Right) => {
            format!(" to the {} side", sides.right.as_deref().unwrap_or("right"))
        }
        Some(Meaning::Both) => ", first to one side, then to the other".to_owned(),
        _ => String::new(),
    };
    let mut said = vec![
        format!("{} carries {}.", kind.name, kind.carries),
        format!("The belt runs off {place}{toward}."),
    ];
    let told =
        book.symptoms.iter().filter_map(|(at, entry)| Some((at, entry.shift_says.as_ref()?)));
    let mut told: Vec<_> = told.collect();
    told.sort_by_key(|(at, says)| (says.place, *at));
    said.extend(told.into_iter().filter_map(|(at, says)| {
        let answer = world.answers()[at]?;
        says.says.iter().find(|(known, _)| *known == answer).map(|(_, words)| words.clone())
    }));
    said.join(" ")
}

/// A place as the shift says it.
fn place_words(place: Meaning) -> Option<&'static str> {
    match place {
        Meaning::Tail => Some("at the tail"),
        Meaning::LoadZone => Some("under the chute"),
        Meaning::CarryRun => Some("along the top strand"),
        Meaning::Head => Some("at the head"),
        Meaning::ReturnRun => Some("along the bottom strand"),
        Meaning::TakeUp => Some("at the take-up"),
        _ => None,
    }
}

/// What anybody's answer would mean now.
fn meaning(world: &World<'_>, symptom: Option<SymptomAt>) -> Option<Meaning> {
    let symptom = symptom?;
    world.book().symptoms[symptom].answers[world.answers()[symptom]?].means
}

/// For each hidden cause the look or measurement in which it has the strongest voice, in that order, each once.
pub(super) fn expert(world: &World<'_>, engine: &Engine<'_>) -> Vec<String> {
    let mut looks: Vec<SymptomAt> = Vec::new();
    for cause in world.hidden_causes() {
        let loudest = loudest(world, engine, cause);
        looks.extend(loudest.filter(|look| !looks.contains(look)));
    }
    let book = world.book();
    looks.into_iter().map(|look| book.symptoms[look].id.clone()).collect()
}

fn loudest(world: &World<'_>, engine: &Engine<'_>, cause: CauseAt) -> Option<SymptomAt> {
    let book = world.book();
    let voice = |symptom: SymptomAt| {
        let parent = |parent: SymptomAt| world.answers()[parent].map(AnswerAt::position);
        let with = engine.row(symptom, &[cause], parent);
        let without = engine.row(symptom, &[], parent);
        // How many times more likely the answers are with the cause, in bits, on the mean.
        let bits = with.iter().zip(&without).map(|(with, without)| with * (with / without).log2());
        bits.sum::<f64>()
    };
    book.symptoms
        .iter()
        .filter(|(at, entry)| {
            world.answers()[*at].is_some()
                && !book.opening.contains(at)
                && entry.state != MachineState::Anywhere
        })
        .map(|(at, _)| (at, voice(at)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(at, _)| at)
}
