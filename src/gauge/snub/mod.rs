//! Whether a snub or bend pulley is square, measured from the squared pulley or line that the belt comes from.
//!
//! The end with the shorter distance is the one that the belt meets first.

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
use asked::From;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "snub",
    title: "Squareness of a snub or bend pulley",
    about: "Tells whether a snub or bend pulley is square, which end the belt meets first, and how far to move it.",
    ways: &[asked::TAPE],
    tells: &[Tell { id: "leads", words: &["square", "left", "right"] }],
    limits: shipped::OF_SNUB,
    foretell,
    work,
};

/// How far off the difference of both sides may be: two readings, and what was measured from.
fn error_m(asked: &Asked, across_m: f64) -> Result<f64, Amiss> {
    let base_m = asked.error(&asked::BASE, &read_by::SQUARED_LINE)? * across_m;
    let two_m = 2.0_f64.sqrt() * asked.error(&asked::ERROR, &read_by::TAPE)?;
    Ok(two_m.hypot(base_m))
}

/// What tape tells over the length across.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let across_m = asked.may(&asked::ACROSS).ok()??;
    let error_m = error_m(&asked, across_m).ok()?;
    let limit = setting.limit(&shipped::SNUB_SQUARE).over(across_m);
    Some(
        CanTell::of("squareness of the snub", Kind::Length, error_m, limit)
            .better(say!("Or take points further apart, at the ends of the shaft.")),
    )
}

/// A snub as it was found.
struct Found {
    from: From,
    /// Left distance less right distance.
    short_m: f64,
    error_m: f64,
    across_m: f64,
    bearings_m: Option<f64>,
    limit: Limit,
    verdict: Verdict,
}

impl Found {
    /// The end that the belt meets first.
    fn first(&self) -> Side {
        Side::of_sign(-self.short_m).unwrap_or(Side::Left)
    }

    /// From the points measured to where it is moved.
    fn wider(&self) -> f64 {
        self.bearings_m.unwrap_or(self.across_m) / self.across_m
    }
}

fn found(asked: &Asked) -> Result<Found, Amiss> {
    let across_m = asked.must(&asked::ACROSS)?;
    let short_m = asked.must(&asked::LEFT)? - asked.must(&asked::RIGHT)?;
    if short_m.abs() >= 0.5 * across_m {
        return Err(Amiss::with(
            key::LEFT,
            say!("the two sides differ by more than half of the length across: read both again"),
        ));
    }
    let error_m = error_m(asked, across_m)?;
    let limit = asked.setting.limit(&shipped::SNUB_SQUARE).over(across_m);
    Ok(Found {
        from: asked.choice(&asked::FROM)?,
        short_m,
        error_m,
        across_m,
        bearings_m: asked.may(&asked::BEARINGS)?,
        limit,
        verdict: Verdict::of(short_m, limit.size.si(), error_m),
    })
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let found = found(&Asked::of(readings, setting))?;
    let what = say!(
        Side::Left,
        " distance less ",
        Side::Right,
        " distance; minus: the ",
        Side::Left,
        " end is met first"
    );
    let difference = Figure::of(
        "difference",
        what,
        Kind::Length,
        found.short_m,
        Basis::Derived("the two distances"),
    )
    .off_by(Kind::Length, found.error_m)
    .against(found.limit);
    let angle = Figure::of(
        "angle",
        say!("angle between the shaft and what was measured from"),
        Kind::Angle,
        (found.short_m.abs() / found.across_m).asin(),
        Basis::Derived("the two distances over the length across"),
    )
    .off_by(Kind::Angle, found.error_m / found.across_m);
    let says = told::says(&found, &difference);
    let beyond = found.verdict == Verdict::Beyond;
    let word = match found.verdict {
        Verdict::Beyond => Some(found.first().id()),
        Verdict::Within => Some("square"),
        Verdict::TooClose | Verdict::NoLimit => None,
    };
    let amount = beyond.then(|| {
        let place =
            if found.bearings_m.is_some() { "bearing" } else { "end, at the points measured" };
        let at = say!("the snub or bend pulley's ", found.first(), format!(" {place}"));
        Amount::length(found.short_m.abs() * found.wider(), found.error_m * found.wider(), at)
    });
    Ok(Outcome {
        says,
        verdict: found.verdict,
        figures: vec![difference, angle],
        tells: vec![("leads", word)],
        work: if beyond { told::work(&found) } else { Vec::new() },
        amount,
        notes: told::notes(&found),
        plot: None,
    })
}
