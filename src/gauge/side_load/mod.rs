//! Side load: what one take-up screw moved does to the bearings of both sides.

pub(crate) mod key;
mod left_out;
pub mod model;
mod shared;
mod told;
mod typical;

use crate::trade::{RollingElement, Side};
pub use typical::{ScrewTurned, consequence, of_screw};

use super::limits::Shipped;
use super::shaft::Shaft;
use super::{
    Amiss, Basis, Gauge, Kind, Need, Outcome, Readings, Setting, Takes, Wanted, Way, asked, known,
    tension,
};
use crate::gauge::readings::Keyed;
use crate::say;
use crate::trade::MachineState;
use model::Turn;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "side-load",
    title: "Side load",
    about: "What one take-up screw turned by itself does to the bearings, the shaft and the belt on both sides.",
    ways: &[SCREW],
    tells: &[],
    limits: LIMITS,
    work,
};

const SCREW: Way = Way {
    id: "screw",
    title: "One take-up screw turned by itself",
    state: MachineState::Anywhere,
    tools: &["drawing or data sheet of the conveyor", "data sheet of the belt"],
    how: &[
        "Turn no screw for this: it is worked out on paper.",
        "Find the belt width, the distance between the two bearings of the take-up pulley, and the distance \
         between the end pulleys. Look on the drawing, or use a tape while the machine is locked out.",
        "Find the modulus or the rated tension on the belt's data sheet.",
        "The load on one screw, both set alike, is the pull in one strand. Take it from the drawing, or work it out \
         from the sag with the gauge sag.",
        "Say which screw, and how far it moves its bearing.",
    ],
    drawing: &[
        "   to the other end pulley",
        "      |  |          |  |",
        " L    |  |   belt   |  |    R",
        " [o]==|##|##########|##|==[o]",
        "  :   pulley, askew        :",
        "  :  one screw moved       :",
        "  V                        .",
        "  |<-- bearing centres --->|",
    ],
    wanted: &[
        SIDE,
        MOVED,
        LOAD,
        asked::WIDTH,
        asked::BEARING_CENTRES,
        asked::CENTRES,
        asked::MODULUS,
        asked::RATED,
        BEARINGS,
        CORRECTIONS,
        ARM,
        SHAFT,
        RATING,
        DIAMETER,
        SPEED,
        ERROR,
    ],
    rows: None,
};

const SIDE: Wanted = Wanted {
    key: key::SIDE,
    ask: "Which screw is turned: left or right?",
    takes: Takes::Side,
    from: None,
    need: Need::Must,
};
const MOVED: Wanted = Wanted {
    key: key::MOVED,
    ask: "How far does that screw move its bearing out? With a minus if slackened",
    takes: Takes::Signed(Kind::Length),
    from: None,
    need: Need::Must,
};
const LOAD: Wanted = Wanted {
    key: key::LOAD,
    ask: "Load on each screw before, both alike",
    takes: Takes::Positive(Kind::Force),
    from: Some("screws.load"),
    need: Need::Must,
};
const BEARINGS: Wanted = Wanted {
    key: key::BEARINGS,
    ask: "Which bearings does the pulley run in?",
    takes: Takes::Choice(&[("ball", "Ball bearings"), ("roller", "Roller bearings")]),
    from: None,
    need: Need::May("shown for both kinds"),
};
const CORRECTIONS: Wanted = Wanted {
    key: key::CORRECTIONS,
    ask: "How many such turns, now one side, now the other, to look ahead?",
    takes: Takes::Count,
    from: None,
    need: Need::May("taken as 3"),
};
const ARM: Wanted = Wanted {
    key: key::HUB_ARM,
    ask: "From the middle of a bearing to the hub of the pulley",
    takes: Takes::Positive(Kind::Length),
    from: Some("tail.hub_arm"),
    need: Need::May("the shaft is left out"),
};
const SHAFT: Wanted = Wanted {
    key: key::SHAFT,
    ask: "Shaft diameter",
    takes: Takes::Positive(Kind::Length),
    from: Some("tail.shaft"),
    need: Need::May("the shaft is left out"),
};
const RATING: Wanted = Wanted {
    key: key::BEARING_RATING,
    ask: "Basic dynamic rating C of one bearing",
    takes: Takes::Positive(Kind::Force),
    from: Some("tail.bearing_rating"),
    need: Need::May("life in hours is left out"),
};
const DIAMETER: Wanted = Wanted {
    key: key::DIAMETER,
    ask: "Diameter of the pulley",
    takes: Takes::Positive(Kind::Length),
    from: Some("tail.diameter"),
    need: Need::May("life in hours is left out"),
};
const SPEED: Wanted = Wanted { need: Need::May("life in hours is left out"), ..asked::SPEED };
const ERROR: Wanted = Wanted {
    key: key::ERROR,
    ask: "How far off may the movement of the screw be?",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::May("taken as 1 mm"),
};

pub(super) const HUB_SLOPE: Shipped = Shipped {
    id: "hub-slope",
    what: "slope of the shaft at the hub",
    kind: Kind::Number,
    si: 0.0023,
    mark: Basis::Published("pulley-standard", "appendix II: tangent of 8 minutes"),
};

pub(super) const HUB_SLOPE_OLDER: Shipped = Shipped {
    id: "hub-slope-older",
    what: "slope of the shaft at the hub, older limit",
    kind: Kind::Number,
    si: 0.0015,
    mark: Basis::Memory,
};

pub(super) const SHAFT_BENDING: Shipped = Shipped {
    id: "shaft-bending",
    what: "bending of the shaft at the hub, of 8,000 psi (55 MPa)",
    kind: Kind::Percent,
    si: 1.0,
    mark: Basis::Published("shaft-paper", "drum pulleys"),
};

pub(super) const BEARING_TILT: Shipped = Shipped {
    id: "bearing-tilt",
    what: "tilt of an insert bearing in its housing, if it is to be greased",
    kind: Kind::Angle,
    si: 2.0 / 180.0 * std::f64::consts::PI,
    mark: Basis::Published("bearing-maker-misalignment", "mounted ball bearings, cast housings"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] =
    &[&HUB_SLOPE, &HUB_SLOPE_OLDER, &SHAFT_BENDING, &BEARING_TILT];

/// All that the outcome is worked out from.
#[derive(Debug, Clone, Copy)]
struct Case {
    side: Side,
    turn: Turn,
    error_m: f64,
    corrections: u32,
    rolling: Option<RollingElement>,
    shaft: Option<Shaft>,
    /// Rating of one bearing, turns of the pulley a minute.
    life: Option<(f64, f64)>,
    /// What the modulus rests on.
    estimate: tension::Estimate,
}

/// Belt slip and creep aside: turns of a pulley a minute.
fn turns_per_minute(speed_m_s: f64, diameter_m: f64) -> f64 {
    60.0 * speed_m_s / (std::f64::consts::PI * diameter_m)
}

/// The shaft and the life in hours, as far as they are known.
fn extras(readings: &Readings, setting: &Setting, case: &mut Case) -> Result<(), Amiss> {
    let arm = known::maybe(readings, setting, &ARM)?;
    let diameter = known::maybe(readings, setting, &SHAFT)?;
    if let (Some(arm_m), Some(diameter_m)) = (arm, diameter) {
        let bearing_centres_m = case.turn.bearing_centres_m;
        if 2.0 * arm_m >= bearing_centres_m {
            return Err(Amiss::with(
                key::HUB_ARM,
                say!(
                    "The hubs would lie beyond the middle between the bearings: measure it again."
                ),
            ));
        }
        case.shaft = Some(Shaft { diameter_m, arm_m, bearing_centres_m });
    }
    let rating = known::maybe(readings, setting, &RATING)?;
    let diameter = known::maybe(readings, setting, &DIAMETER)?;
    let speed = known::maybe(readings, setting, &SPEED)?;
    if let (Some(rating), Some(diameter), Some(speed)) = (rating, diameter, speed) {
        case.life = Some((rating, turns_per_minute(speed, diameter)));
    }
    case.rolling = known::chosen(readings, key::BEARINGS).or(setting.facts.bearings());
    Ok(())
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let side = readings
        .side(key::SIDE)
        .ok_or_else(|| Amiss::with(key::SIDE, say!("Say which screw: left or right.")))?;
    let estimate = asked::modulus(readings, setting)?.ok_or_else(|| {
        Amiss::with(
            key::MODULUS,
            say!("Give the modulus of the belt or its rated tension: its data sheet or the print on it has one."),
        )
    })?;
    let turn = Turn {
        width_m: known::must(readings, setting, &asked::WIDTH)?,
        bearing_centres_m: known::must(readings, setting, &asked::BEARING_CENTRES)?,
        centres_m: known::must(readings, setting, &asked::CENTRES)?,
        modulus_n_per_m: estimate.modulus_n_per_m,
        load_n: known::must(readings, setting, &LOAD)?,
        moved_m: known::must(readings, setting, &MOVED)?,
        tension_kept: tension::Holds::of(setting.facts.take_up()) == tension::Holds::ByItself,
    };
    let mut case = Case {
        side,
        turn,
        error_m: known::or(readings, setting, &ERROR, 0.001)?,
        corrections: readings.count(key::CORRECTIONS).unwrap_or(3),
        rolling: None,
        shaft: None,
        life: None,
        estimate,
    };
    extras(readings, setting, &mut case)?;
    let mut outcome = told::outcome(&case, setting)?;
    if readings.given(key::ERROR).is_none() {
        outcome.notes.push(say!(
            "The movement of the screw is taken to be off by up to ",
            known::length(case.error_m),
            "."
        ));
    }
    Ok(outcome)
}
