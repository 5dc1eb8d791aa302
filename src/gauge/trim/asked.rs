//! What the gauge `trim` asks for, and checking it.

use super::key;
use crate::conveyor::quantity::Quantity;
use crate::gauge::ReadingKey;
use crate::gauge::Way;
use crate::gauge::asked::filed_or_left_out;
use crate::gauge::readings::{Amiss, Keyed, Kind, Need, Readings, Takes, Wanted};
use crate::say;
use crate::trade::MachineState;
use crate::trade::{Side, Strand};

/// The way to measure.
pub(super) const DRIFT: Way = Way {
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
        Wanted {
            key: key::SIDE,
            ask: "To which side has the belt run?",
            takes: Takes::Side,
            from: None,
            need: Need::Must,
        },
        Wanted {
            key: key::DRIFT,
            ask: "How far is it off centre where it is worst?",
            takes: Takes::NotNegative(Kind::Length),
            from: None,
            need: Need::Must,
        },
        Wanted {
            key: key::STRAND,
            ask: "On which strand?",
            takes: Takes::Choice(&[
                ("carry", "Carry strand: the top one, with the load"),
                ("return", "Return strand: the bottom one, going back"),
            ]),
            from: None,
            need: Need::Must,
        },
        Wanted {
            key: key::PLACE,
            ask: "How far is the worst place from the tail pulley?",
            takes: Takes::NotNegative(Kind::Distance),
            from: None,
            need: Need::Must,
        },
        Wanted {
            key: key::CENTRES,
            ask: "How far is it from tail pulley to head pulley?",
            takes: Takes::Positive(Kind::Distance),
            from: Some("centres"),
            need: Need::Must,
        },
        filed_or_left_out(
            key::CARRY_PITCH,
            "How far apart are the carry idlers?",
            Kind::Length,
            "idlers.carry_pitch",
            "needed for the carry strand",
        ),
        filed_or_left_out(
            key::RETURN_PITCH,
            "How far apart are the return idlers?",
            Kind::Length,
            "idlers.return_pitch",
            "needed for the return strand",
        ),
        filed_or_left_out(
            key::FOOT_SPACING,
            "How far apart are the two feet of an idler, across the belt?",
            Kind::Length,
            "idlers.foot_spacing",
            "the step is 6 mm, and its angle is not shown",
        ),
        filed_or_left_out(
            key::BELT_LENGTH,
            "How long is the belt, once round?",
            Kind::Distance,
            "belt.length",
            "taken as twice the centres",
        ),
        filed_or_left_out(
            key::SPEED,
            "How fast does the belt run?",
            Kind::Speed,
            "speed",
            "the time to watch is counted in belt turns",
        ),
        Wanted {
            key: key::TURN,
            ask: "How long does one belt turn take?",
            takes: Takes::Positive(Kind::Time),
            from: None,
            need: Need::May("worked out from belt length and speed"),
        },
        Wanted {
            key: key::WIDTH,
            ask: "How wide is the belt?",
            takes: Takes::Positive(Kind::Length),
            from: Some("belt.width"),
            need: Need::May("held against 50 mm only"),
        },
        Wanted {
            key: key::ERROR,
            ask: "How far may the drift be misjudged?",
            takes: Takes::NotNegative(Kind::Length),
            from: None,
            need: Need::May("taken as 5 mm"),
        },
    ],
    rows: None,
};

const ERROR_M: f64 = 0.005;

/// What was asked, checked.
pub(super) struct Asked {
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
pub(super) fn asked(readings: &Readings) -> Result<Asked, Amiss> {
    let must = |key: ReadingKey| {
        readings.si(key).filter(|size| size.is_finite() && *size >= 0.0).ok_or_else(|| {
            Amiss::with(key, say!("This is needed, and not below nothing: measure it."))
        })
    };
    let may = |key: ReadingKey| match readings.si(key) {
        None => Ok(None),
        Some(size) if size.is_finite() && size > 0.0 => Ok(Some(size)),
        Some(_) => Err(Amiss::with(
            key,
            say!("This must be above nothing: check the number and its unit."),
        )),
    };
    let side = readings.side(key::SIDE).ok_or_else(|| {
        Amiss::with(key::SIDE, say!("To which side has the belt run: left or right?"))
    })?;
    let (strand, pitch_key) = match readings.choice(key::STRAND) {
        Some("carry") => (Strand::Carry, key::CARRY_PITCH),
        Some("return") => (Strand::Return, key::RETURN_PITCH),
        _ => {
            return Err(Amiss::with(key::STRAND, say!("On which strand: carry or return?")));
        }
    };
    let centres_m = must(key::CENTRES)?;
    let place_m = must(key::PLACE)?;
    if place_m > centres_m {
        return Err(Amiss::with(
            key::PLACE,
            say!(
                "The place lies beyond the head pulley, which is ",
                Quantity::of(Kind::Distance, centres_m),
                " from the tail. Count from the tail pulley."
            ),
        ));
    }
    let pitch_m = may(pitch_key)?.ok_or_else(|| {
        Amiss::with(
            pitch_key,
            say!("Measure how far apart the idlers of that strand stand: it says which ones to shift."),
        )
    })?;
    let (length_m, speed) = (may(key::BELT_LENGTH)?, may(key::SPEED)?);
    if let Some(length_m) = length_m
        && length_m < 2.0 * centres_m
    {
        return Err(Amiss::with(
            key::BELT_LENGTH,
            say!(
                "The belt would be shorter than twice the centres. Give its length once round: at least ",
                Quantity::of(Kind::Distance, 2.0 * centres_m),
                "."
            ),
        ));
    }
    let turn_s = may(key::TURN)?;
    Ok(Asked {
        side,
        drift_m: must(key::DRIFT)?,
        error_m: readings.si(key::ERROR).unwrap_or(ERROR_M),
        strand,
        place_m,
        centres_m,
        pitch_m,
        feet_m: may(key::FOOT_SPACING)?,
        turn_s: turn_s.or_else(|| speed.map(|speed| length_m.unwrap_or(2.0 * centres_m) / speed)),
        turn_is_guess: turn_s.is_none() && length_m.is_none(),
        width_m: may(key::WIDTH)?,
    })
}
