//! Whether a line squared off the belt's middle line is square: what other gauges measure from is proved itself.
//!
//! A lean is above nothing when the LEFT end of the line is nearer the head.

mod asked;
pub(crate) mod key;
mod told;

use super::asked::Asked;
use super::limits::{Limit, shipped};
use super::{
    Amiss, Amount, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Verdict,
    read_by,
};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::Side;
use asked::Toward;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "line",
    title: "Proof of a squared line",
    about: "Tells whether a line squared off the belt's middle line is square, and what error it hands on.",
    ways: asked::WAYS,
    tells: &[],
    limits: shipped::OF_LINE,
    foretell,
    work,
};

/// A lean of the line, rad, and how far the readings may put it off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lean {
    /// The lean.
    pub rad: f64,
    /// How far off it may be.
    pub error_rad: f64,
}

/// The lean of one arm, and how much of its error comes from the leg that both arms share.
#[derive(Debug, Clone, Copy)]
struct Arm {
    lean: Lean,
    along_rad: f64,
}

/// The lean of one arm toward the point on the middle line, from the two legs and the slant between their ends, by the
/// law of cosines. Nothing if there is no such triangle.
pub fn of_triangle(along_m: f64, out_m: f64, slant_m: f64, error_m: f64) -> Option<Lean> {
    arm(along_m, out_m, slant_m, error_m).map(|arm| arm.lean)
}

fn arm(along_m: f64, out_m: f64, slant_m: f64, error_m: f64) -> Option<Arm> {
    let cosine = (along_m.powi(2) + out_m.powi(2) - slant_m.powi(2)) / (2.0 * along_m * out_m);
    let sine = (1.0 - cosine * cosine).max(0.0).sqrt();
    // How each of the three lengths moves the cosine.
    let by_slant = slant_m / (along_m * out_m);
    let by_along = (along_m - out_m * cosine) / (along_m * out_m);
    let by_out = (out_m - along_m * cosine) / (along_m * out_m);
    let error_rad = by_slant.hypot(by_along).hypot(by_out) * error_m / sine;
    let lean = Lean { rad: cosine.asin(), error_rad };
    (cosine.abs() < 1.0).then_some(Arm { lean, along_rad: by_along * error_m / sine })
}

/// How far the mean of the arms' leans may be off, and the difference of both. The leg that both share leans them
/// against each other, so in the mean it falls out as far as they are alike. Nothing without arms.
fn errors_of(arms: &[Arm]) -> Option<(f64, f64)> {
    match arms {
        [one] => Some((one.lean.error_rad, one.lean.error_rad)),
        [left, right] => {
            let own = |arm: &Arm| arm.lean.error_rad.powi(2) - arm.along_rad.powi(2);
            let apart = own(left) + own(right);
            let (less, more) = (left.along_rad - right.along_rad, left.along_rad + right.along_rad);
            Some(((apart + less.powi(2)).sqrt() / 2.0, (apart + more.powi(2)).sqrt()))
        }
        _ => None,
    }
}

/// The lean of a straight line toward the point on the middle line on its LEFT side, from arms alike on both sides and
/// the two slants. Nothing if there is no such figure.
pub fn of_diagonals(
    along_m: f64,
    out_m: f64,
    (left_m, right_m): (f64, f64),
    error_m: f64,
) -> Option<Lean> {
    let sine = (right_m - left_m) * (right_m + left_m) / (4.0 * along_m * out_m);
    let cosine = (1.0 - sine * sine).max(0.0).sqrt();
    let error_rad = left_m.hypot(right_m) * error_m / (2.0 * along_m * out_m * cosine);
    (sine.abs() < 1.0).then(|| Lean { rad: sine.asin(), error_rad })
}

/// What tape on such legs tells.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let error_m = asked.error(&asked::ERROR, &read_by::TAPE).ok()?;
    let along_m = asked.may(&asked::ALONG).ok()??;
    let out = |wanted| asked.may(wanted).ok().flatten();
    let error_rad = if asked::by_triangles(&asked) {
        let outs = [out(&asked::LEFT_OUT), out(&asked::RIGHT_OUT)];
        let arms = outs.into_iter().flatten();
        let arms = arms.filter_map(|out_m| arm(along_m, out_m, along_m.hypot(out_m), error_m));
        errors_of(&arms.collect::<Vec<Arm>>())?.0
    } else {
        let out_m = out(&asked::OUT)?;
        let slant_m = along_m.hypot(out_m);
        of_diagonals(along_m, out_m, (slant_m, slant_m), error_m)?.error_rad
    };
    let limit = setting.limit(&shipped::LINE_SQUARE);
    Some(
        CanTell::of("lean of the line", Kind::Percent, error_rad, limit)
            .better(say!("Or make both legs longer.")),
    )
}

/// The line as it was found.
struct Found {
    lean: Lean,
    /// The LEFT arm's lean less the RIGHT one's, if both were measured by themselves.
    bend: Option<Lean>,
    /// Out to the mark that is furthest from the crossing.
    out_m: f64,
    limit: Limit,
    verdict: Verdict,
}

impl Found {
    /// What the line hands on to whatever is measured from it, as it stands: per length across.
    fn hands_on(&self) -> f64 {
        self.lean.rad.tan().abs() + self.lean.error_rad
    }
}

fn found(asked: &Asked) -> Result<Found, Amiss> {
    let error_m = asked.error(&asked::ERROR, &read_by::TAPE)?;
    let along_m = asked.must(&asked::ALONG)?;
    let way = match asked.choice(&asked::TOWARD)? {
        Toward::Head => 1.0,
        Toward::Tail => -1.0,
    };
    let (lean, bend, out_m) = if asked::by_triangles(asked) {
        triangles(asked, along_m, error_m)?
    } else {
        let out_m = asked.must(&asked::OUT)?;
        let slants_m = (asked.must(&asked::LEFT_SLANT)?, asked.must(&asked::RIGHT_SLANT)?);
        let lean = of_diagonals(along_m, out_m, slants_m, error_m).ok_or_else(none)?;
        // Both slants together are settled by the legs.
        let mean_m = (slants_m.0.powi(2) / 2.0 + slants_m.1.powi(2) / 2.0).sqrt();
        if (mean_m - along_m.hypot(out_m)).abs() > (0.02 * mean_m).max(6.0 * error_m) {
            return Err(none());
        }
        (lean, None, out_m)
    };
    if lean.rad.abs() > 0.2 {
        return Err(Amiss::with(
            key::ALONG,
            say!("that is no line squared off another: measure the legs and slants again"),
        ));
    }
    let lean = Lean { rad: way * lean.rad, ..lean };
    let bend = bend.map(|bend: Lean| Lean { rad: way * bend.rad, ..bend });
    let limit = asked.setting.limit(&shipped::LINE_SQUARE);
    let verdict = Verdict::of(lean.rad.tan(), limit.size.si(), lean.error_rad);
    Ok(Found { lean, bend, out_m, limit, verdict })
}

fn none() -> Amiss {
    Amiss::with(
        key::LEFT_SLANT,
        say!("no two triangles have these legs and slants: measure all again"),
    )
}

type Leans = (Lean, Option<Lean>, f64);

/// The leans of one arm or both, above nothing when the LEFT end leans toward the point.
fn triangles(asked: &Asked, along_m: f64, error_m: f64) -> Result<Leans, Amiss> {
    let (mut leans, mut arms) = (Vec::new(), Vec::new());
    let mut furthest_m: f64 = 0.0;
    for (sign, out, slant) in [
        (1.0, &asked::LEFT_OUT, &asked::LEFT_SLANT),
        (-1.0, &asked::RIGHT_OUT, &asked::RIGHT_SLANT),
    ] {
        match (asked.may(out)?, asked.may(slant)?) {
            (Some(out_m), Some(slant_m)) => {
                let no_such = || {
                    Amiss::with(
                        slant.key,
                        say!("no triangle has these three lengths: measure all again"),
                    )
                };
                let arm = arm(along_m, out_m, slant_m, error_m).ok_or_else(no_such)?;
                leans.push(sign * arm.lean.rad);
                arms.push(arm);
                furthest_m = furthest_m.max(out_m);
            }
            (None, None) => {}
            (Some(_), None) => {
                return Err(Amiss::with(
                    slant.key,
                    say!("the way out alone tells nothing: measure the slant too"),
                ));
            }
            (None, Some(_)) => {
                return Err(Amiss::with(
                    out.key,
                    say!("the slant alone tells nothing: measure the way out too"),
                ));
            }
        }
    }
    let rad = leans.iter().sum::<f64>() / leans.len() as f64;
    let (error_rad, bend_error_rad) = errors_of(&arms).ok_or_else(|| {
        Amiss::with(key::LEFT_OUT, say!("measure at least one side: the way out and the slant"))
    })?;
    let bend = match leans.as_slice() {
        [left, right] => Some(Lean { rad: left - right, error_rad: bend_error_rad }),
        _ => None,
    };
    Ok((Lean { rad, error_rad }, bend, furthest_m))
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let found = found(&Asked::of(readings, setting))?;
    let Found { lean, limit, .. } = found;
    let by_lengths = Basis::Derived("the law of cosines, from legs and slants");
    let what =
        say!("lean of the line per length across, plus: the ", Side::Left, " end nearer the head");
    let share = Figure::of("lead-share", what, Kind::Percent, lean.rad.tan(), by_lengths)
        .off_by(Kind::Percent, lean.error_rad)
        .against(limit);
    let off = Figure::of(
        "off",
        say!("the same as an angle from square"),
        Kind::Angle,
        lean.rad,
        by_lengths,
    )
    .off_by(Kind::Angle, lean.error_rad);
    let hands_on = Figure::of(
        "hands-on",
        say!("error that it hands on, per length across"),
        Kind::Percent,
        found.hands_on(),
        Basis::Derived("its lean and the error of that"),
    );
    let says = told::says(&found, &share);
    let mut figures = vec![share, off, hands_on];
    figures.extend(found.bend.map(|bend| {
        let what =
            say!("lean of the ", Side::Left, " half less that of the ", Side::Right, " half");
        Figure::of("bend", what, Kind::Angle, bend.rad, by_lengths)
            .off_by(Kind::Angle, bend.error_rad)
    }));
    let beyond = found.verdict == Verdict::Beyond;
    let shift_m = found.out_m * lean.rad.tan().abs();
    let ahead = Side::of_sign(lean.rad).unwrap_or(Side::Left);
    let amount = beyond.then(|| {
        let at = say!("the ", ahead, " end of the squared line, toward the tail");
        Amount::length(shift_m, found.out_m * lean.error_rad, at)
    });
    Ok(Outcome {
        says,
        verdict: found.verdict,
        figures,
        tells: Vec::new(),
        work: if beyond { told::work(&found, ahead, shift_m) } else { Vec::new() },
        amount,
        notes: told::notes(&found),
        plot: None,
    })
}

/// A share in the form in which a flag takes it.
fn as_share(size: f64) -> Quantity {
    Quantity::of(Kind::Percent, size)
}
