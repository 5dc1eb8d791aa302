//! Heat: the bearings of both sides of one pulley, by infrared.

mod asked;
mod bands;
pub(crate) mod key;
mod told;

pub use bands::{Band, Dust};

use super::asked::Asked;
use super::limits::shipped;
use super::{Amiss, CanTell, Gauge, Kind, Outcome, Readings, Setting, Tell, Wanted, read_by};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::Side;
use asked::{AMBIENT, DUST, ERROR, GREASED, Greased, LEFT, LEFT_BEFORE, RIGHT, RIGHT_BEFORE};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "heat",
    title: "Bearing heat",
    about: "How hot the bearings of a pulley are on both sides, and what that points to. It also tells what to do: \
            watch, report, call or stop.",
    ways: &[asked::WAY],
    tells: &[
        Tell { id: "bearings", words: &["normal", "one-hotter", "both-hot"] },
        Tell { id: "band", words: &["usual", "watch", "report", "call", "stop"] },
    ],
    limits: shipped::OF_HEAT,
    foretell,
    work,
};

/// What comes before everything else, in the same words wherever heat is spoken of (`rules/cautions.ron`).
pub const GLOW_OR_SMOKE: &str =
    "Glow or smoke: raise the alarm first. Then keep away and follow the fire plan.";

/// Nothing on a conveyor that still turns reads less or more than this, K.
const COLDEST_K: f64 = -60.0 + 273.15;
const HOTTEST_K: f64 = 600.0 + 273.15;

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

    /// How much hotter the one on a side is than the air, if that is known.
    pub fn over_air(&self, side: Side) -> Option<f64> {
        Some(self.now(side) - self.ambient_k?)
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

fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let two = 2.0_f64.sqrt() * asked.error(&ERROR, &read_by::INFRARED).ok()?;
    let limit = setting.limit(&shipped::BEARING_DIFFERENCE);
    Some(CanTell::of("the difference of both bearings", Kind::Rise, two, limit))
}

/// A temperature, if it was given.
fn temperature(asked: &Asked, wanted: &Wanted) -> Result<Option<f64>, Amiss> {
    match asked.may(wanted)? {
        Some(kelvin) if !(COLDEST_K..=HOTTEST_K).contains(&kelvin) => Err(Amiss::with(
            wanted.key,
            say!("No bearing is that cold or hot: check the figure and whether it is C or F."),
        )),
        given => Ok(given),
    }
}

fn pair(asked: &Asked) -> Result<Pair, Amiss> {
    let must = |wanted: &Wanted| {
        temperature(asked, wanted)?.ok_or_else(|| {
            Amiss::with(wanted.key, say!("Both sides are needed: one alone tells nothing."))
        })
    };
    Ok(Pair {
        now_k: [must(&LEFT)?, must(&RIGHT)?],
        before_k: [temperature(asked, &LEFT_BEFORE)?, temperature(asked, &RIGHT_BEFORE)?],
        ambient_k: temperature(asked, &AMBIENT)?,
        dust: match asked.chosen(&DUST).or(asked.setting.facts.dust_burns()) {
            Some(false) => Dust::DoesNotBurn,
            Some(true) => Dust::Burns,
            None => Dust::NotSaid,
        },
        greased: asked.chosen(&GREASED) == Some(Greased::Yes),
        error_k: asked.error(&ERROR, &read_by::INFRARED)?,
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let pair = pair(&asked)?;
    let mut outcome = told::outcome(&pair, setting);
    if !asked.has(&ERROR) {
        let error = Quantity::of(Kind::Rise, pair.error_k);
        outcome.notes.push(say!("One reading is taken to be off by up to ", error, "."));
    }
    Ok(outcome)
}
