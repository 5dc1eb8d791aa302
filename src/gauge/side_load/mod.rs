//! Side load: what one take-up screw moved does to the bearings of both sides.

mod asked;
pub(crate) mod key;
mod left_out;
pub mod model;
mod shared;
mod told;
mod typical;

use crate::trade::{RollingElement, Side};
pub use typical::{ScrewTurned, consequence, of_screw};

use super::asked::{Asked, length, modulus};
use super::limits::shipped;
use super::shaft::Shaft;
use super::{Amiss, CanTell, Gauge, Kind, Outcome, Readings, Setting, read_by, tension};
use crate::say;
use asked::{
    ARM, BEARING_CENTRES, BEARINGS, CENTRES, CORRECTIONS, DIAMETER, ERROR, LOAD, LOAD_ERROR,
    MODULUS, MOVED, RATING, SHAFT, SIDE, SPEED, WIDTH,
};
use model::Turn;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "side-load",
    title: "Side load",
    about: "What one take-up screw turned by itself does to the bearings, the shaft and the belt on both sides.",
    ways: &[asked::WAY],
    tells: &[],
    limits: shipped::OF_SIDE_LOAD,
    foretell,
    work,
};

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
    /// How far the load before may be off, as a share.
    load_off: f64,
}

/// Belt slip and creep aside: turns of a pulley a minute.
fn turns_per_minute(speed_m_s: f64, diameter_m: f64) -> f64 {
    60.0 * speed_m_s / (std::f64::consts::PI * diameter_m)
}

/// The shaft and the life in hours, as far as they are known.
fn extras(asked: &Asked, case: &mut Case) -> Result<(), Amiss> {
    let arm = asked.may(&ARM)?;
    let diameter = asked.may(&SHAFT)?;
    if let (Some(arm_m), Some(diameter_m)) = (arm, diameter) {
        let bearing_centres_m = case.turn.bearing_centres_m;
        if 2.0 * arm_m >= bearing_centres_m {
            return Err(Amiss::with(
                ARM.key,
                say!(
                    "The hubs would lie beyond the middle between the bearings: measure it again."
                ),
            ));
        }
        case.shaft = Some(Shaft { diameter_m, arm_m, bearing_centres_m });
    }
    let rating = asked.may(&RATING)?;
    let diameter = asked.may(&DIAMETER)?;
    let speed = asked.may(&SPEED)?;
    if let (Some(rating), Some(diameter), Some(speed)) = (rating, diameter, speed) {
        case.life = Some((rating, turns_per_minute(speed, diameter)));
    }
    case.rolling = asked.chosen(&BEARINGS).or(asked.setting.facts.bearings());
    Ok(())
}

/// What the errors of screw and load before come to in the load of a bearing, as far as the conveyor is known.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let error_m = asked.error(&ERROR, &read_by::TAPE).ok()?;
    let modulus_n_per_m = modulus(&asked).ok()??.modulus_n_per_m;
    let turn = turn(&asked, modulus_n_per_m, error_m).ok()?;
    let off_n = turn.loads().ok()?.moved_side_n - turn.load_n;
    let off_n = off_n.hypot(asked.or(&LOAD_ERROR, 0.0).ok()? * turn.load_n);
    let better =
        say!("Better: read the screw's thread with calipers, and find the load by its sag.");
    Some(
        CanTell::least("a change of the load on one bearing of", Kind::Force, off_n).better(better),
    )
}

/// A screw that is moved so far, on this conveyor.
fn turn(asked: &Asked, modulus_n_per_m: f64, moved_m: f64) -> Result<Turn, Amiss> {
    Ok(Turn {
        width_m: asked.must(&WIDTH)?,
        bearing_centres_m: asked.must(&BEARING_CENTRES)?,
        centres_m: asked.must(&CENTRES)?,
        modulus_n_per_m,
        load_n: asked.must(&LOAD)?,
        moved_m,
        tension_kept: tension::Holds::of(asked.setting.facts.take_up()) == tension::Holds::ByItself,
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let estimate = modulus(&asked)?.ok_or_else(|| {
        Amiss::with(
            MODULUS.key,
            say!("Give the modulus of the belt or its rated tension: its data sheet or the print on it has one."),
        )
    })?;
    let turn = turn(&asked, estimate.modulus_n_per_m, asked.must(&MOVED)?)?;
    let mut case = Case {
        side: asked.side(&SIDE)?,
        turn,
        error_m: asked.error(&ERROR, &read_by::TAPE)?,
        corrections: asked.count(&CORRECTIONS).unwrap_or(3),
        rolling: None,
        shaft: None,
        life: None,
        estimate,
        load_off: asked.or(&LOAD_ERROR, 0.0)?,
    };
    extras(&asked, &mut case)?;
    let mut outcome = told::outcome(&case, setting)?;
    if !asked.has(&ERROR) {
        outcome.notes.push(say!(
            "The movement of the screw is taken to be off by up to ",
            length(case.error_m),
            "."
        ));
    }
    Ok(outcome)
}
