//! Whether a pulley is level.
//!
//! A fall is above nothing when the LEFT end is the higher one.

mod asked;
pub(crate) mod key;
mod told;

use super::asked::Asked;
use super::limits::{Limit, shipped};
use super::{
    Amiss, Amount, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict,
    read_by,
};
use crate::say;
use crate::trade::Side;
use asked::Bigger;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "level",
    title: "Level of a pulley",
    about: "Tells whether a pulley is level, which of its ends is lower, and how much to shim there.",
    ways: asked::WAYS,
    tells: &[Tell { id: "low-side", words: &["level", "left", "right"] }],
    limits: shipped::OF_LEVEL,
    foretell,
    work,
};

/// No pulley falls more than this, as a share of the length across.
const STEEPEST: f64 = 0.2;

/// What a level of that length, or points so far apart, can tell.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let (error_m, base) = if asked::by_water(&asked) {
        let error_m = asked.error(&asked::WATER_ERROR, &read_by::LEVEL).ok()?;
        (2.0_f64.sqrt() * error_m, &asked::ACROSS)
    } else {
        // The mean of two settings.
        let error_m = asked.error(&asked::SPIRIT_ERROR, &read_by::FEELERS).ok()?;
        (error_m / 2.0_f64.sqrt(), &asked::BASE)
    };
    let base_m = asked.may(base).ok()??;
    let limit = setting.limit(&shipped::PULLEY_LEVEL).over(base_m);
    Some(
        CanTell::of("fall of the pulley", Kind::Length, error_m, limit)
            .better(say!("Or a longer level, or points further apart.")),
    )
}

/// A pulley's fall as it was found.
struct Found {
    /// How much higher the left end is.
    fall_m: f64,
    error_m: f64,
    /// Over which length.
    base_m: f64,
    /// What the level itself is off by over its length, if it was turned.
    own_m: Option<f64>,
    /// Whether the level was laid on and never turned.
    not_turned: bool,
    bearings_m: Option<f64>,
    limit: Limit,
    verdict: Verdict,
}

impl Found {
    fn new(asked: &Asked, fall_m: f64, error_m: f64, base_m: f64) -> Result<Self, Amiss> {
        let limit = asked.setting.limit(&shipped::PULLEY_LEVEL).over(base_m);
        Ok(Self {
            fall_m,
            error_m,
            base_m,
            own_m: None,
            not_turned: false,
            bearings_m: asked.may(&asked::BEARINGS)?,
            limit,
            verdict: Verdict::of(fall_m, limit.size.si(), error_m),
        })
    }

    /// The end that is lower.
    fn low(&self) -> Side {
        Side::of_sign(-self.fall_m).unwrap_or(Side::Left)
    }

    /// From the points measured to where it is shimmed.
    fn wider(&self) -> f64 {
        self.bearings_m.unwrap_or(self.base_m) / self.base_m
    }
}

fn by_spirit(asked: &Asked) -> Result<Found, Amiss> {
    let error_m = asked.error(&asked::SPIRIT_ERROR, &read_by::FEELERS)?;
    let base_m = asked.must(&asked::BASE)?;
    // Packing under an end means that this end is low.
    let first_m = asked.must(&asked::RIGHT_PACKING)? - asked.must(&asked::LEFT_PACKING)?;
    match (asked.may(&asked::LEFT_TURNED)?, asked.may(&asked::RIGHT_TURNED)?) {
        (None, None) => {
            let found = Found::new(asked, first_m, error_m, base_m)?;
            Ok(Found { not_turned: true, ..found })
        }
        (left_m, right_m) => {
            let turned_m = right_m.unwrap_or(0.0) - left_m.unwrap_or(0.0);
            let fall_m = f64::midpoint(first_m, turned_m);
            let found = Found::new(asked, fall_m, error_m / 2.0_f64.sqrt(), base_m)?;
            Ok(Found { own_m: Some((first_m - turned_m) / 2.0), ..found })
        }
    }
}

fn by_heights(asked: &Asked) -> Result<Found, Amiss> {
    let error_m = 2.0_f64.sqrt() * asked.error(&asked::WATER_ERROR, &read_by::LEVEL)?;
    let sign = match asked.choice(&asked::BIGGER)? {
        Bigger::Higher => 1.0,
        Bigger::Lower => -1.0,
    };
    let fall_m = sign * (asked.must(&asked::LEFT)? - asked.must(&asked::RIGHT)?);
    Found::new(asked, fall_m, error_m, asked.must(&asked::ACROSS)?)
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let water = asked::by_water(&asked);
    let found = if water { by_heights(&asked)? } else { by_spirit(&asked)? };
    if found.fall_m.abs() > STEEPEST * found.base_m {
        let key = if water { key::LEFT } else { key::LEFT_PACKING };
        return Err(Amiss::with(key, say!("no pulley falls that much: read both ends again")));
    }
    let read = Basis::Derived("the readings of both ends");
    let what = say!("fall over the points measured, plus: the ", Side::Left, " end is higher");
    let fall = Figure::of("fall", what, Kind::Length, found.fall_m, read)
        .off_by(Kind::Length, found.error_m)
        .against(found.limit);
    let share = |size_m: f64| size_m / found.base_m;
    let slope = Figure::of(
        "slope",
        say!("the same, of the length across"),
        Kind::Percent,
        share(found.fall_m),
        read,
    )
    .off_by(Kind::Percent, share(found.error_m));
    let says = told::says(&found, &fall);
    let mut figures = vec![fall, slope];
    figures.extend(found.own_m.map(|own_m| {
        let what = say!("error of the level itself, of its length");
        Figure::of(
            "own",
            what,
            Kind::Percent,
            share(own_m),
            Basis::Derived("half of what turning it changed"),
        )
    }));
    // A level that was never turned may be the one that is off.
    let sure = !found.not_turned;
    let word = match found.verdict {
        Verdict::Beyond if sure => Some(found.low().id()),
        Verdict::Within if sure => Some("level"),
        _ => None,
    };
    let beyond = found.verdict == Verdict::Beyond;
    let amount = (beyond && sure).then(|| {
        let place =
            if found.bearings_m.is_some() { " bearing" } else { " end, at the points measured" };
        let at = say!("the ", found.low(), place);
        Amount::length(found.fall_m.abs() * found.wider(), found.error_m * found.wider(), at)
    });
    Ok(Outcome {
        says,
        verdict: found.verdict,
        figures,
        tells: vec![("low-side", word)],
        work: if beyond { told::work(&found) } else { Vec::new() },
        amount,
        notes: told::notes(&found),
        plot: None,
    })
}
