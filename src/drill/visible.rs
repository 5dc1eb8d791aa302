//! What the shift can tell of a drawn drill, and what an expert would look at to prove it.

use super::kinds::Kind;
use super::world::World;
use crate::reason::Engine;
use crate::rulebook::index::{AnswerAt, CauseAt, Place, SymptomAt};
use crate::trade::MachineState;

/// What the shift says, by question and answer of the default book. What is not here is not spoken of.
const SAYS: &[(&str, &[(&str, &str)])] = &[
    (
        "how-it-began",
        &[
            ("at-once", "It was true one shift and off the next."),
            ("over-days", "It grew over some days."),
            ("over-months", "It crept in over months."),
            ("comes-and-goes", "Some days it is true, some days it is not."),
            ("since-new", "It has never run true."),
        ],
    ),
    (
        "last-work",
        &[
            ("nothing", "Nobody worked on it before that."),
            ("take-up", "The take-up was worked on shortly before."),
            ("belt-or-splice", "Belt or splice was worked on shortly before."),
            ("cleaner-or-skirts", "The cleaner or the skirts were worked on shortly before."),
            ("chute-or-feed", "Something changed at the feed shortly before."),
            ("rolls-or-pulleys", "Rolls or pulleys were worked on shortly before."),
        ],
    ),
    (
        "weather-link",
        &[
            ("windy", "Wind makes it worse."),
            ("wet", "Wet weather makes it worse."),
            ("cold", "Cold mornings make it worse."),
            ("sun-one-side", "It is worst when the sun stands on one side."),
        ],
    ),
    (
        "tried-before",
        &[
            ("idlers-knocked", "Somebody has knocked an idler or two."),
            ("tension-added", "Somebody has tightened the belt."),
            ("screws-turned", "Somebody has turned one of the screws."),
        ],
    ),
];

/// Places as the shift says them.
const PLACES: &[(&str, &str)] = &[
    ("tail", "at the tail"),
    ("load-zone", "under the chute"),
    ("carry-run", "along the top strand"),
    ("head", "at the head"),
    ("return-run", "along the bottom strand"),
    ("take-up", "at the take-up"),
];

/// What the learner is told: where the belt runs off, and what the shift says. Nothing that only what is hidden tells.
pub(super) fn briefing(world: &World<'_>, kind: &Kind) -> String {
    let sides = world.drill().conveyor.sides();
    let (left, right) = (sides.left.as_deref(), sides.right.as_deref());
    let place = answer(world, "where").and_then(|id| word(PLACES, id));
    let place = place.unwrap_or("somewhere");
    let toward = match answer(world, "runs-toward") {
        Some("left") => format!(" to the {} side", left.unwrap_or("left")),
        Some("right") => format!(" to the {} side", right.unwrap_or("right")),
        Some("both") => ", first to one side, then to the other".to_owned(),
        _ => String::new(),
    };
    let mut said = vec![
        format!("{} carries {}.", kind.name, kind.carries),
        format!("The belt runs off {place}{toward}."),
    ];
    said.extend(
        SAYS.iter()
            .filter_map(|(symptom, says)| word(says, answer(world, symptom)?))
            .map(str::to_owned),
    );
    said.join(" ")
}

fn word(words: &[(&'static str, &'static str)], id: &str) -> Option<&'static str> {
    words.iter().find(|(known, _)| *known == id).map(|(_, word)| *word)
}

/// The id of what anybody would answer now.
fn answer<'w>(world: &'w World<'_>, symptom: &str) -> Option<&'w str> {
    let book = world.book();
    let (at, entry) = book.symptoms.iter().find(|(_, entry)| entry.id == symptom)?;
    Some(entry.answers[world.answers()[at]?].id.as_str())
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
