//! Transition: whether the first idler of full trough angle stands far enough from the pulley.

pub(crate) mod key;
pub mod table;
mod told;

use super::asked::{self, filed, filed_or_left_out, unfiled};
use super::readings::Keyed;
use super::{
    Amiss, Gauge, Kind, Need, Outcome, Readings, Setting, Takes, Tell, Wanted, Way, known,
};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::{Carcass, ConveyorClass, MachineState};
use table::{Height, Used};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "transition",
    title: "Distance from pulley to full trough",
    about: "Whether the first idler of full trough angle stands far enough from the pulley for the belt's edges.",
    ways: &[TAPE],
    tells: &[Tell { id: "distance", words: &["fits", "too-near"] }],
    limits: &[],
    work,
};

const TAPE: Way = Way {
    id: "tape",
    title: "Tape from the pulley's shaft to the first full-trough idler",
    state: MachineState::LockedOut,
    tools: &["tape", "string line", "belt data sheet"],
    how: &[
        "Stop, isolate, lock, tag, try. Release or block the take-up and the belt's pull by the site's procedure.",
        "Tape along the belt from the middle of the pulley's shaft to the middle of the first FULL-trough idler. Tape on the {left} and on the {right} side; take the shorter.",
        "Pull a string from the top of the pulley to the top of that idler's centre roll. Is the pulley level with it, or about half the depth of the trough above it? Any other height is wrong by itself.",
        "Find in the papers how much of its rated pull the belt uses.",
    ],
    drawing: &[
        "          L and R alike",
        "   pulley   ..    full trough",
        "     ___   \\__/    \\      /",
        "    /   \\           \\____/",
        "    \\___/",
        "     |<--- distance --->|",
    ],
    wanted: &[DISTANCE, WIDTH, ANGLE, HEIGHT, USED, CARCASS, OWN_TABLE, MODULUS, RATED, ERROR],
    rows: None,
};

const DISTANCE: Wanted = unfiled(
    key::DISTANCE,
    "Distance along the belt, shaft to first full-trough idler",
    Takes::Positive(Kind::Length),
);
const WIDTH: Wanted = asked::WIDTH;
const ANGLE: Wanted = filed(
    key::TROUGH_ANGLE,
    "Trough angle of the full-trough idlers",
    Takes::Positive(Kind::Angle),
    "idlers.trough_angle",
);
const HEIGHT: Wanted = unfiled(
    key::HEIGHT,
    "How high does the top of the pulley stand?",
    Takes::Choice(&[
        ("centre-roll", "Level with the top of the centre roll"),
        ("half-trough", "About half the depth of the trough above it"),
    ]),
);
const USED: Wanted = Wanted {
    need: Need::May("the tightest row of the table is taken"),
    ..unfiled(
        key::PULL_USED,
        "How much of its rated pull does the belt use?",
        Takes::Choice(&[
            ("most", "More than 90 %"),
            ("middle", "60 to 90 %"),
            ("little", "Less than 60 %"),
        ]),
    )
};
const CARCASS: Wanted = Wanted {
    need: Need::May("taken from the conveyor's file"),
    ..unfiled(
        key::CARCASS,
        "What carries the pull in the belt?",
        Takes::Choice(&[("fabric", "Fabric plies"), ("steel-cord", "Steel cords")]),
    )
};
const OWN_TABLE: Wanted = Wanted {
    need: Need::May("the printed table is taken"),
    ..unfiled(
        key::BELT_TABLE,
        "Least distance in the belt maker's own table, in belt widths",
        Takes::Positive(Kind::Number),
    )
};
const MODULUS: Wanted = filed_or_left_out(
    key::MODULUS,
    "Belt modulus, if its maker states it",
    Kind::Modulus,
    "belt.modulus",
    "the distance by the belt's own stretch is left out",
);
const RATED: Wanted = filed_or_left_out(
    key::RATED_TENSION,
    "Rated working tension of the belt, per width",
    Kind::Modulus,
    "belt.rated_tension",
    "the distance by the belt's own stretch is left out",
);
const ERROR: Wanted = Wanted {
    key: key::ERROR,
    ask: "How far may the tape be off?",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::May("taken as 10 mm"),
};

/// A transition as it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transition {
    /// From shaft to first full-trough idler, m.
    pub distance_m: f64,
    /// Belt width, m.
    pub width_m: f64,
    /// Trough angle, rad.
    pub angle_rad: f64,
    /// How high the pulley stands.
    pub height: Height,
    /// What carries the pull.
    pub carcass: Carcass,
    /// How much of the rated pull is used; nothing if it is not known.
    pub used: Option<Used>,
    /// The belt maker's own least distance, in belt widths.
    pub own_widths: Option<f64>,
    /// Modulus over rated tension, both per width.
    pub modulus_over_rated: Option<f64>,
    /// How far the tape may be off, m.
    pub error_m: f64,
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let must = |wanted: &'static Wanted| known::must(readings, setting, wanted);
    let maybe = |wanted: &'static Wanted| known::maybe(readings, setting, wanted);
    if setting.facts.troughed() == Some(false) || setting.facts.class() == Some(ConveyorClass::Flat)
    {
        return Err(Amiss::all(say!(
            "The conveyor's file says that its belt is not troughed: there is no transition to measure."
        )));
    }
    let transition = Transition {
        distance_m: must(&DISTANCE)?,
        width_m: must(&WIDTH)?,
        angle_rad: must(&ANGLE)?,
        height: match readings.choice(key::HEIGHT) {
            Some("centre-roll") => Height::CentreRoll,
            Some("half-trough") => Height::HalfTrough,
            _ => {
                return Err(Amiss::with(
                    key::HEIGHT,
                    say!("Say how high the pulley stands: it changes the distance by half."),
                ));
            }
        },
        carcass: carcass(readings, setting)?,
        used: match readings.choice(key::PULL_USED) {
            Some("most") => Some(Used::Most),
            Some("middle") => Some(Used::Middle),
            Some("little") => Some(Used::Little),
            _ => None,
        },
        own_widths: maybe(&OWN_TABLE)?,
        modulus_over_rated: match (maybe(&MODULUS)?, maybe(&RATED)?) {
            (Some(modulus), Some(rated)) => Some(modulus / rated),
            _ => None,
        },
        error_m: known::or(readings, setting, &ERROR, 0.010)?,
    };
    if transition.error_m >= transition.distance_m {
        return Err(Amiss::with(
            key::ERROR,
            say!(
                "An error as large as the distance tells nothing: measure ",
                Quantity::of(Kind::Length, transition.distance_m),
                " anew."
            ),
        ));
    }
    told::outcome(&transition)
}

fn carcass(readings: &Readings, setting: &Setting) -> Result<Carcass, Amiss> {
    match known::chosen(readings, key::CARCASS).or(setting.facts.carcass()) {
        Some(carcass @ (Carcass::Fabric | Carcass::SteelCord)) => Ok(carcass),
        Some(Carcass::Other) | None => Err(Amiss::with(
            key::CARCASS,
            say!(
                "Say whether the belt has fabric plies or steel cords: steel cord needs twice the distance."
            ),
        )),
    }
}
