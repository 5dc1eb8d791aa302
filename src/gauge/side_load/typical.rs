//! Side load for a conveyor as far as it is known, and for a typical one of its class where it is not.

use super::super::asked::length;
use super::super::{Basis, Kind, Outcome, Setting, Words, tension};
use super::Case;
use super::model::Turn;
use crate::conveyor::quantity::Quantity;
use crate::gauge::shaft::Shaft;
use crate::say;
use crate::trade::{ConveyorClass, Side};

/// The half inch that is turned.
const MOVED_M: f64 = 0.0127;
/// Bearing centres of a typical conveyor, of its belt width.
const BEARINGS_OF_WIDTH: f64 = 1.25;
/// A pound per inch in N/m.
const LB_PER_IN: f64 = 4.448_221_615_260_5 / 0.0254;

/// A conveyor such as is often met. Nothing of it is measured on the conveyor at hand.
struct Typical {
    name: &'static str,
    width_m: f64,
    centres_m: f64,
    modulus_n_per_m: f64,
    /// Load on each screw, per belt width.
    load_n_per_m: f64,
}

/// The small, lightly loaded conveyor of common practice: 24 in belt, 30 ft, 15,000 lbf/in, 700 lb.
const SMALL: Typical = Typical {
    name: "small, lightly loaded conveyor",
    width_m: 24.0 * 0.0254,
    centres_m: 30.0 * 0.3048,
    modulus_n_per_m: 15_000.0 * LB_PER_IN,
    load_n_per_m: 700.0 / 24.0 * LB_PER_IN,
};

fn typical(class: Option<ConveyorClass>) -> Typical {
    match class {
        Some(ConveyorClass::TroughedBulk) => Typical {
            name: "troughed conveyor with screw take-up",
            width_m: 0.8,
            centres_m: 24.0,
            modulus_n_per_m: 2.6e6,
            load_n_per_m: 8_000.0,
        },
        Some(ConveyorClass::Package) => Typical {
            name: "package conveyor",
            width_m: 18.0 * 0.0254,
            centres_m: 15.0 * 0.3048,
            modulus_n_per_m: 10_000.0 * LB_PER_IN,
            ..SMALL
        },
        Some(ConveyorClass::Flat) | None => SMALL,
    }
}

/// What is assumed, and the sentences that say so.
struct Assumed<'s> {
    setting: &'s Setting,
    said: Vec<Words>,
}

impl Assumed<'_> {
    /// A dimension of the conveyor, or what is assumed for it.
    fn or(&mut self, path: &str, what: &'static str, kind: Kind, assumed_si: f64) -> f64 {
        let known = self.setting.dimension(path).filter(|si| si.is_finite() && *si > 0.0);
        known.unwrap_or_else(|| {
            self.said.push(say!("Assumed: ", what, " ", Quantity::of(kind, assumed_si), "."));
            assumed_si
        })
    }
}

/// What a take-up screw turned by half an inch would do on this conveyor. What its file does not have is taken from
/// a typical conveyor of its class: the outcome says so first, and names each value that is assumed.
pub fn consequence(setting: &Setting) -> Outcome {
    let half_an_inch = ScrewTurned { side: Side::Left, moved_m: MOVED_M };
    of(setting, half_an_inch, Some(half_an_inch_words()))
}

/// One take-up screw set further out than the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScrewTurned {
    /// Its side.
    pub side: Side,
    /// How much further out.
    pub moved_m: f64,
}

/// What a take-up screw does that stands further out than the other, as far as the conveyor is known. What its file does
/// not have is taken from a typical conveyor of its class, as in [`consequence`].
pub fn of_screw(setting: &Setting, turned: ScrewTurned) -> Outcome {
    of(setting, turned, None)
}

fn of(setting: &Setting, turned: ScrewTurned, said_last: Option<Words>) -> Outcome {
    let (case, mut notes) = case(setting, turned);
    notes.extend(said_last.clone());
    if let Ok(mut outcome) = super::told::outcome(&case, setting) {
        outcome.notes.splice(0..0, notes);
        return outcome;
    }
    // The dimensions of the file do not go together: nothing of them is used.
    let bare = Setting { dimensions: std::collections::BTreeMap::new(), ..setting.clone() };
    let (case, mut notes) = self::case(&bare, turned);
    notes.extend(said_last);
    notes.insert(
        0,
        say!("The dimensions in this conveyor's file do not go together, so none of them is used."),
    );
    super::told::outcome(&case, &bare).map_or_else(
        |amiss| Outcome { says: amiss.words, ..Outcome::default() },
        |mut outcome| {
            outcome.notes.splice(0..0, notes);
            outcome
        },
    )
}

fn half_an_inch_words() -> Words {
    say!(
        "Shown for the ",
        Side::Left,
        " screw tightened by ",
        length(MOVED_M),
        ", which is half an inch. The ",
        Side::Right,
        " one does the same the other way round."
    )
}

fn case(setting: &Setting, turned: ScrewTurned) -> (Case, Vec<Words>) {
    let typical = typical(setting.facts.class());
    let mut assumed = Assumed { setting, said: Vec::new() };
    let width_m = assumed.or("belt.width", "belt width", Kind::Length, typical.width_m);
    let bearing_centres_m = assumed.or(
        "tail.bearing_centres",
        "bearing centres",
        Kind::Length,
        width_m * BEARINGS_OF_WIDTH,
    );
    let centres_m =
        assumed.or("centres", "distance of the end pulleys", Kind::Distance, typical.centres_m);
    let load_n = assumed.or(
        "screws.load",
        "load on each screw before",
        Kind::Force,
        typical.load_n_per_m * width_m,
    );
    let estimate = modulus(&mut assumed, typical.modulus_n_per_m);
    let mut said = assumed.said;
    if !said.is_empty() {
        let first = say!(
            "Not all of this conveyor is known: what is missing is taken from a typical ",
            typical.name,
            " (common practice, not this conveyor)."
        );
        said.insert(0, first);
    }
    let case = Case {
        side: turned.side,
        turn: Turn {
            width_m,
            bearing_centres_m,
            centres_m,
            modulus_n_per_m: estimate.modulus_n_per_m,
            load_n,
            moved_m: turned.moved_m,
            tension_kept: tension::Holds::of(setting.facts.take_up()) == tension::Holds::ByItself,
        },
        error_m: 0.0,
        load_off: 0.0,
        corrections: 3,
        rolling: setting.facts.bearings(),
        shaft: shaft(setting, bearing_centres_m),
        life: life(setting),
        estimate,
    };
    (case, said)
}

fn modulus(assumed: &mut Assumed<'_>, typical_n_per_m: f64) -> tension::Estimate {
    let setting = assumed.setting;
    if setting.dimension("belt.modulus").is_none()
        && let Some(rated) = setting.dimension("belt.rated_tension").filter(|rated| *rated > 0.0)
    {
        return tension::modulus_of(rated, setting.facts.carcass());
    }
    if let Some(stated) = setting.dimension("belt.modulus").filter(|stated| *stated > 0.0) {
        return tension::Estimate::stated(stated);
    }
    tension::Estimate {
        modulus_n_per_m: assumed.or("belt.modulus", "belt modulus", Kind::Modulus, typical_n_per_m),
        mark: Basis::CommonPractice,
        softest: 1.0,
    }
}

fn shaft(setting: &Setting, bearing_centres_m: f64) -> Option<Shaft> {
    let arm_m = setting.dimension("tail.hub_arm").filter(|arm| 2.0 * *arm < bearing_centres_m)?;
    let diameter_m = setting.dimension("tail.shaft").filter(|diameter| *diameter > 0.0)?;
    Some(Shaft { diameter_m, arm_m, bearing_centres_m })
}

fn life(setting: &Setting) -> Option<(f64, f64)> {
    let rating_n = setting.dimension("tail.bearing_rating")?;
    let turns =
        super::turns_per_minute(setting.dimension("speed")?, setting.dimension("tail.diameter")?);
    Some((rating_n, turns))
}
