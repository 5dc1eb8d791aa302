//! Take-up: how the two bearings of the take-up pulley stand, and what was added since the last reading.

mod asked;
pub(crate) mod key;
mod screws;
mod told;

use crate::trade::{Carcass, Side};
pub use screws::Screws;

use super::asked::{Asked, modulus};
use super::limits::{Limit, shipped};
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, ReadingKey, Readings, Setting, Tell,
    Verdict, read_by, tension,
};
use crate::say;
use asked::{
    BEARING_CENTRES, CENTRES, DATUM, LEFT, LEFT_BEFORE, LOAD, Marks, PITCH, RIGHT, RIGHT_BEFORE,
    SHAFT_ERROR, THREAD, THREAD_ERROR, TIGHTENING, Tightening, WIDTH,
};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "takeup",
    title: "Take-up screws",
    about: "Whether both bearings of the take-up pulley stand the same, and what was added since the last reading.",
    ways: &[asked::SHAFT, asked::THREAD],
    tells: &[Tell { id: "nearer", words: &["equal", "left", "right"] }],
    limits: shipped::OF_TAKEUP,
    foretell,
    work,
};

/// What the two take-up bearings may differ by on this conveyor.
pub fn lead_limit(setting: &Setting) -> Limit {
    setting.limit(&shipped::TAKE_UP_LEAD)
}

/// What a belt may stretch in its life, as a share of its length, and what that rests on. An unknown carcass counts as
/// fabric.
pub fn life_stretch(carcass: Option<Carcass>) -> (f64, Basis) {
    match carcass {
        Some(Carcass::SteelCord) => (
            0.002,
            Basis::Derived(
                "0.2 % stretch of steel cord of all kinds (from a weak copy of a maker's text)",
            ),
        ),
        _ => (
            0.015,
            Basis::Published("stretch-article", "1.5 % at full rating, one range of fabric belts"),
        ),
    }
}

/// How far off one reading may be.
fn error_m(asked: &Asked) -> Result<f64, Amiss> {
    if asked.by(&THREAD) {
        asked.error(&THREAD_ERROR, &read_by::SCREW_THREAD)
    } else {
        asked.error(&SHAFT_ERROR, &read_by::TAPE)
    }
}

fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let two = 2.0_f64.sqrt() * error_m(&Asked::of(readings, setting)).ok()?;
    Some(CanTell::of("the difference of the bearings", Kind::Length, two, lead_limit(setting)))
}

fn screws(asked: &Asked) -> Result<Screws, Amiss> {
    // Counted so that more always means further out.
    let out = if asked.by(&THREAD) {
        match asked.choice(&TIGHTENING)? {
            Tightening::More => 1.0,
            Tightening::Less => -1.0,
        }
    } else {
        match asked.choice(&DATUM)? {
            Marks::Inward => 1.0,
            Marks::Outward => -1.0,
        }
    };
    let alone = |key: ReadingKey| {
        let words = say!("The last reading of one side alone tells nothing: give both or none.");
        Err(Amiss::with(key, words))
    };
    let before = match (asked.may(&LEFT_BEFORE)?, asked.may(&RIGHT_BEFORE)?) {
        (Some(left), Some(right)) => Some((left * out, right * out)),
        (None, None) => None,
        (Some(_), None) => return alone(RIGHT_BEFORE.key),
        (None, Some(_)) => return alone(LEFT_BEFORE.key),
    };
    Ok(Screws {
        left_m: asked.must(&LEFT)? * out,
        right_m: asked.must(&RIGHT)? * out,
        before,
        error_m: error_m(asked)?,
    })
}

fn belt(asked: &Asked) -> Result<told::Belt, Amiss> {
    Ok(told::Belt {
        centres_m: asked.may(&CENTRES)?,
        width_m: asked.may(&WIDTH)?,
        estimate: modulus(asked)?,
        load_n: asked.may(&LOAD)?,
        kept: tension::Holds::of(asked.setting.facts.take_up()) == tension::Holds::ByItself,
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let screws = screws(&asked)?;
    let centres_m = asked.may(&BEARING_CENTRES)?;
    screws::check(&screws, centres_m)?;
    let belt = belt(&asked)?;
    let lead = told::lead(&screws, setting);
    let (verdict, says) = (lead.verdict, told::says(&screws, &lead));
    let mut figures = vec![lead];
    if let Some(centres_m) = centres_m {
        let skew = (screws.lead_m().abs() / centres_m).atan();
        let mark = Basis::Derived("difference over the distance between the bearings");
        let error = screws.lead_error_m() / centres_m;
        figures.push(
            Figure::of("skew", say!("The pulley stands askew by"), Kind::Angle, skew, mark)
                .off_by(Kind::Angle, error),
        );
    }
    let has_error = asked.has(&SHAFT_ERROR);
    let mut notes = told::notes(asked.by(&THREAD), has_error, &screws, setting);
    told::since(&screws, &belt, &mut figures, &mut notes);
    let word = match verdict {
        Verdict::Beyond => screws.nearer().map(Side::id),
        Verdict::Within => Some("equal"),
        Verdict::TooClose | Verdict::NoLimit => None,
    };
    let beyond = verdict == Verdict::Beyond;
    let pitch_m = asked.may(&PITCH)?;
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells: vec![("nearer", word)],
        work: if beyond { told::equal(&screws, pitch_m) } else { Vec::new() },
        amount: beyond.then(|| told::amount(&screws)).flatten(),
        notes,
        plot: None,
    })
}
