//! Heat: the bearings of both sides of one pulley, by infrared.

mod bands;
pub(crate) mod key;
mod told;

pub use bands::{Band, Dust};

use super::limits::Shipped;
use super::readings::Keyed;
use super::{
    Amiss, Basis, Gauge, Kind, Need, Outcome, Readings, Setting, Takes, Tell, Wanted, Way, known,
};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::{MachineState, Side};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "heat",
    title: "Bearing heat",
    about: "How hot the bearings of a pulley are on both sides, and what that points to. What to do: \
            watch, report, call or stop.",
    ways: &[INFRARED],
    tells: &[
        Tell { id: "bearings", words: &["normal", "one-hotter", "both-hot"] },
        Tell { id: "band", words: &["usual", "watch", "report", "call", "stop"] },
    ],
    limits: LIMITS,
    work,
};

/// What comes before everything else, in the same words wherever heat is spoken of (`rules/cautions.ron`).
pub const GLOW_OR_SMOKE: &str =
    "Glow or smoke: raise the alarm first. Then keep away and follow the fire plan.";

const INFRARED: Way = Way {
    id: "infrared",
    title: "Infrared thermometer, machine running",
    state: MachineState::Running,
    tools: &["infrared thermometer"],
    how: &[
        GLOW_OR_SMOKE,
        "A burning smell: have it stopped by the site's procedure.",
        "Stay outside the guards; touch nothing, and never feel for heat by hand.",
        "Where dust burns, take only a thermometer that is rated for it.",
        "Let the conveyor run under its usual load for an hour before you read.",
        "Aim at the same dull or painted spot of both housings of one pulley, from the same distance. Bright \
         metal reads too cold.",
        "Read {left}, {right}, and {left} again. If the first and the last differ by more than a few degrees, aim again.",
        "Read the air beside it, in the shade.",
    ],
    drawing: &[
        "  L [housing]          [housing] R",
        "      [o]=====pulley=====[o]",
        "       ^                  ^",
        "       : same spot, same  :",
        "       : distance         :",
        " ---- guard --------- guard ----",
        "     (gun)              (gun)",
    ],
    wanted: &[LEFT, RIGHT, AMBIENT, LEFT_BEFORE, RIGHT_BEFORE, DUST, GREASED, ERROR],
    rows: None,
};

const LEFT: Wanted = Wanted {
    key: key::LEFT,
    ask: "Temperature of the {left} bearing",
    takes: Takes::Signed(Kind::Temperature),
    from: None,
    need: Need::Must,
};
const RIGHT: Wanted = Wanted { key: key::RIGHT, ask: "Temperature of the {right} bearing", ..LEFT };
const AMBIENT: Wanted = Wanted {
    key: key::AMBIENT,
    ask: "Temperature of the air",
    need: Need::May("rises over the air are left out"),
    ..LEFT
};
const LEFT_BEFORE: Wanted = Wanted {
    key: key::LEFT_BEFORE,
    ask: "Last reading of the {left} bearing, under like load",
    need: Need::May("changes are left out"),
    ..LEFT
};
const RIGHT_BEFORE: Wanted = Wanted {
    key: key::RIGHT_BEFORE,
    ask: "Last reading of the {right} bearing, under like load",
    ..LEFT_BEFORE
};
/// The key of a conveyor file's fact as well.
const DUST: Wanted = Wanted {
    key: key::DUST_BURNS,
    ask: "Does dust that burns lie here (coal, grain, wood, sulphur, sugar, rubber)?",
    takes: Takes::Choice(&[
        ("no", "No, none of these"),
        ("yes", "Yes: then stop begins lower, and when it rises"),
    ]),
    from: None,
    need: Need::May("from the conveyor's file, else taken as yes"),
};
const GREASED: Wanted = Wanted {
    key: key::GREASED,
    ask: "Were they greased within the last day?",
    takes: Takes::Choice(&[("no", "No"), ("yes", "Yes, one or both")]),
    from: None,
    need: Need::May("taken as no"),
};
const ERROR: Wanted = Wanted {
    key: key::ERROR,
    ask: "How far off may one reading be?",
    takes: Takes::NotNegative(Kind::Rise),
    from: None,
    need: Need::May("taken as 3 °C"),
};

const fn celsius(degrees: f64) -> f64 {
    degrees + 273.15
}

pub(super) const BEARING_WATCH: Shipped = Shipped {
    id: "bearing-watch",
    what: "bearing temperature, watch from",
    kind: Kind::Temperature,
    si: celsius(82.0),
    mark: Basis::Published("bearing-temp-page", "caution band 82 to 93 C"),
};

pub(super) const BEARING_REPORT: Shipped = Shipped {
    id: "bearing-report",
    what: "bearing temperature, report from",
    kind: Kind::Temperature,
    si: celsius(93.0),
    mark: Basis::Published("lubrication-journal", "alert band 93 to 121 C"),
};

pub(super) const BEARING_CALL: Shipped = Shipped {
    id: "bearing-call",
    what: "bearing temperature, call from",
    kind: Kind::Temperature,
    si: celsius(121.0),
    mark: Basis::Published("lubrication-journal", "alarm band 121 to 149 C"),
};

pub(super) const BEARING_STOP: Shipped = Shipped {
    id: "bearing-stop",
    what: "bearing temperature, stop from",
    kind: Kind::Temperature,
    si: celsius(149.0),
    mark: Basis::Published("bearing-temp-page", "shutdown above 149 C"),
};

pub(super) const BEARING_STOP_DUST: Shipped = Shipped {
    id: "bearing-stop-dust",
    what: "bearing temperature where dust burns, stop from",
    kind: Kind::Temperature,
    si: celsius(93.0),
    mark: Basis::CommonPractice,
};

pub(super) const BEARING_DIFFERENCE: Shipped = Shipped {
    id: "bearing-difference",
    what: "difference between the two bearings",
    kind: Kind::Rise,
    si: 15.0,
    mark: Basis::CommonPractice,
};

pub(super) const BEARING_CHANGE: Shipped = Shipped {
    id: "bearing-change",
    what: "change of a bearing since the last reading",
    kind: Kind::Rise,
    si: 28.0,
    mark: Basis::Published("lubrication-journal", "a change of more than 28 C at any level"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[
    &BEARING_WATCH,
    &BEARING_REPORT,
    &BEARING_CALL,
    &BEARING_STOP,
    &BEARING_STOP_DUST,
    &BEARING_DIFFERENCE,
    &BEARING_CHANGE,
];

/// Nothing on a conveyor that still turns reads less or more than this, K.
const COLDEST_K: f64 = celsius(-60.0);
const HOTTEST_K: f64 = celsius(600.0);

/// Both bearings of a pulley; temperatures in kelvin, left first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Now.
    pub now_k: [f64; 2],
    /// At the last reading, each if known.
    pub before_k: [Option<f64>; 2],
    /// The air.
    pub ambient_k: Option<f64>,
    /// Whether dust that burns lies there.
    pub dust: Dust,
    /// Whether one of them has fresh grease.
    pub greased: bool,
    /// How far off one reading may be.
    pub error_k: f64,
}

impl Pair {
    /// How much hotter the left one is; below nothing when it is the right one.
    pub fn difference_k(&self) -> f64 {
        let [left, right] = self.now_k;
        left - right
    }

    /// How far off the difference may be: two errors added as squares.
    pub fn difference_error_k(&self) -> f64 {
        self.error_k * 2.0_f64.sqrt()
    }

    /// The temperature on a side.
    pub fn now(&self, side: Side) -> f64 {
        let [left, right] = self.now_k;
        match side {
            Side::Left => left,
            Side::Right => right,
        }
    }

    /// How much hotter the one on a side is than at the last reading, if that is known.
    pub fn rise(&self, side: Side) -> Option<f64> {
        let [left, right] = self.before_k;
        let before = match side {
            Side::Left => left,
            Side::Right => right,
        };
        Some(self.now(side) - before?)
    }

    /// The temperature of the hotter one.
    pub fn hotter_k(&self) -> f64 {
        let [left, right] = self.now_k;
        left.max(right)
    }

    /// The temperature of the cooler one.
    pub fn cooler_k(&self) -> f64 {
        let [left, right] = self.now_k;
        left.min(right)
    }
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let temperature = |wanted: &'static Wanted| -> Result<Option<f64>, Amiss> {
        let Some(kelvin) = known::maybe(readings, setting, wanted)? else {
            return Ok(None);
        };
        if (COLDEST_K..=HOTTEST_K).contains(&kelvin) {
            Ok(Some(kelvin))
        } else {
            Err(Amiss::with(
                wanted.key,
                say!("No bearing is that cold or hot: check the figure and whether it is C or F."),
            ))
        }
    };
    let must = |wanted: &'static Wanted| {
        temperature(wanted)?.ok_or_else(|| {
            Amiss::with(wanted.key, say!("Both sides are needed: one alone tells nothing."))
        })
    };
    let pair = Pair {
        now_k: [must(&LEFT)?, must(&RIGHT)?],
        before_k: [temperature(&LEFT_BEFORE)?, temperature(&RIGHT_BEFORE)?],
        ambient_k: temperature(&AMBIENT)?,
        dust: match known::chosen(readings, DUST.key).or(setting.facts.dust_burns()) {
            Some(false) => Dust::DoesNotBurn,
            Some(true) => Dust::Burns,
            None => Dust::NotSaid,
        },
        greased: readings.choice(key::GREASED) == Some("yes"),
        error_k: known::or(readings, setting, &ERROR, 3.0)?,
    };
    let mut outcome = told::outcome(&pair, setting);
    if readings.given(key::ERROR).is_none() {
        let error = Quantity::of(Kind::Rise, pair.error_k);
        outcome.notes.push(say!("One reading is taken to be off by up to ", error, "."));
    }
    Ok(outcome)
}
