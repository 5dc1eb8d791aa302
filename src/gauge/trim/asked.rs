//! What the gauge `trim` asks for, and reading it.

use super::super::asked::{self, Asked, error, may, must};
use super::super::{Amiss, Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::{MachineState, Side, Strand};

const SIDE: Wanted = must(key::SIDE, "To which side has the belt run?", Takes::Side);
pub(super) const DRIFT: Wanted = must(
    key::DRIFT,
    "How far is it off centre where it is worst?",
    Takes::NotNegative(Kind::Length),
);
const STRAND: Wanted = must(
    key::STRAND,
    "On which strand?",
    Takes::Choice(&[
        ("carry", "Carry strand: the top one, with the load"),
        ("return", "Return strand: the bottom one, going back"),
    ]),
);
pub(super) const PLACE: Wanted = must(
    key::PLACE,
    "How far is the worst place from the tail pulley?",
    Takes::NotNegative(Kind::Distance),
);
const CENTRES: Wanted = asked::CENTRES.asking("How far is it from tail pulley to head pulley?");
const CARRY_PITCH: Wanted = may(
    key::CARRY_PITCH,
    "How far apart are the carry idlers?",
    Takes::Positive(Kind::Length),
    "needed for the carry strand",
)
.filed("idlers.carry_pitch");
const RETURN_PITCH: Wanted = may(
    key::RETURN_PITCH,
    "How far apart are the return idlers?",
    Takes::Positive(Kind::Length),
    "needed for the return strand",
)
.filed("idlers.return_pitch");
const FEET: Wanted = may(
    key::FOOT_SPACING,
    "How far apart are the two feet of an idler, across the belt?",
    Takes::Positive(Kind::Length),
    "the step is 6 mm, and its angle is not shown",
)
.filed("idlers.foot_spacing");
const BELT_LENGTH: Wanted = asked::BELT_LENGTH
    .asking("How long is the belt, once round?")
    .or_else("taken as twice the centres");
const SPEED: Wanted = asked::SPEED
    .asking("How fast does the belt run?")
    .or_else("the time to watch is counted in belt turns");
const TURN: Wanted = may(
    key::TURN,
    "How long does one belt turn take?",
    Takes::Positive(Kind::Time),
    "worked out from belt length and speed",
);
pub(super) const WIDTH: Wanted =
    asked::WIDTH.asking("How wide is the belt?").or_else("held against 50 mm only");
pub(super) const ERROR: Wanted = error("How far may the drift be misjudged?", &read_by::BY_EYE);

/// The way to measure.
pub(super) const WAY: Way = Way {
    id: "drift",
    title: "how far the belt runs off, and where it is worst",
    state: MachineState::Running,
    tools: &["torch", "watch", "paper"],
    how: &[
        "Trim last: clean rolls and pulleys, straight and level frame, square pulleys, equal take-up and square idlers come first.",
        "Run the belt empty. Stand outside the guards, touch nothing.",
        "Find the place where it is furthest off. Judge how far against something fixed, such as roll ends.",
        "Note the strand, the side it has run to, and how far the place is from the tail pulley along the conveyor.",
        "Time one belt turn: from a splice or patch passing until it passes again.",
    ],
    drawing: &[
        "tail   carry: travels this way >  head",
        " (o)==|=====|=====|=====|====*==(o)",
        "      4th   3rd   2nd   1st  trouble",
        " shift 2nd to 4th, leave the 1st",
        " L belt off to L: L ends with travel",
        " R belt off to R: R ends with travel",
    ],
    wanted: &[
        SIDE,
        DRIFT,
        STRAND,
        PLACE,
        CENTRES,
        CARRY_PITCH,
        RETURN_PITCH,
        FEET,
        BELT_LENGTH,
        SPEED,
        TURN,
        WIDTH,
        ERROR,
    ],
    rows: None,
};

/// What was asked, checked.
pub(super) struct Run {
    pub(super) side: Side,
    pub(super) drift_m: f64,
    pub(super) error_m: f64,
    pub(super) strand: Strand,
    pub(super) place_m: f64,
    pub(super) centres_m: f64,
    pub(super) pitch_m: f64,
    pub(super) feet_m: Option<f64>,
    pub(super) turn_s: Option<f64>,
    pub(super) turn_is_guess: bool,
    pub(super) width_m: Option<f64>,
}

/// Reads what was asked.
///
/// # Errors
/// What is missing or cannot be.
pub(super) fn run(asked: &Asked) -> Result<Run, Amiss> {
    let strand: Strand = asked.choice(&STRAND)?;
    let pitch = match strand {
        Strand::Carry => &CARRY_PITCH,
        Strand::Return => &RETURN_PITCH,
    };
    let (centres_m, place_m) = (asked.must(&CENTRES)?, asked.must(&PLACE)?);
    if place_m > centres_m {
        return Err(Amiss::with(
            PLACE.key,
            say!(
                "The place lies beyond the head pulley, which is ",
                Quantity::of(Kind::Distance, centres_m),
                " from the tail. Count from the tail pulley."
            ),
        ));
    }
    let pitch_m = asked.may(pitch)?.ok_or_else(|| {
        Amiss::with(
            pitch.key,
            say!("Measure how far apart the idlers of that strand stand: it says which ones to shift."),
        )
    })?;
    let (length_m, speed) = (asked.may(&BELT_LENGTH)?, asked.may(&SPEED)?);
    if length_m.is_some_and(|length_m| length_m < 2.0 * centres_m) {
        return Err(Amiss::with(
            BELT_LENGTH.key,
            say!(
                "The belt would be shorter than twice the centres. Give its length once round: at least ",
                Quantity::of(Kind::Distance, 2.0 * centres_m),
                "."
            ),
        ));
    }
    let turn_s = asked.may(&TURN)?;
    Ok(Run {
        side: asked.side(&SIDE)?,
        drift_m: asked.must(&DRIFT)?,
        error_m: asked.error(&ERROR, &read_by::BY_EYE)?,
        strand,
        place_m,
        centres_m,
        pitch_m,
        feet_m: asked.may(&FEET)?,
        turn_s: turn_s.or_else(|| speed.map(|speed| length_m.unwrap_or(2.0 * centres_m) / speed)),
        turn_is_guess: turn_s.is_none() && length_m.is_none(),
        width_m: asked.may(&WIDTH)?,
    })
}
