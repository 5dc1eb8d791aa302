//! Whether an end pulley or a bay of the frame is square, by distances and diagonals.
//!
//! Along is from tail to head, across is from right to left. A lead is above nothing when the LEFT end is nearer
//! the head.

mod asked;
mod bay;
pub(crate) mod key;
mod told;

use crate::trade::Side;
pub use bay::Bay;

use super::asked::Asked;
use super::limits::{Limit, shipped};
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, read_by,
};
use crate::say;
use asked::{Pulley, To};

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "square",
    title: "Square by distances and diagonals",
    about: "Tells whether an end pulley or a bay of the frame is square, and which end to move which way.",
    ways: asked::WAYS,
    tells: &[
        Tell { id: "short-side", words: &["equal", "left", "right"] },
        Tell { id: "bay", words: &["square", "racked"] },
    ],
    limits: shipped::OF_SQUARE,
    foretell,
    work,
};

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    if asked::is_bay(&asked) { bay::bay(&asked) } else { pulley(&asked) }
}

/// What the readings can tell over the length across: of the pulley, or of the bay.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let asked = Asked::of(readings, setting);
    let error_m = asked.error(&asked::ERROR, &read_by::TAPE).ok()?;
    let two = 2.0_f64.sqrt() * error_m;
    if asked::is_bay(&asked) {
        let limit = setting.limit(&shipped::BAY_DIAGONALS);
        return Some(CanTell::of("squareness of the bay", Kind::Length, two, limit));
    }
    let bearings = || setting.dimension("tail.bearing_centres");
    let across_m = asked.may(&asked::ACROSS).ok()?.or_else(bearings)?;
    let off_m = difference_error_m(&asked, across_m).ok()?;
    let limit = setting.limit(&shipped::PULLEY_SQUARE).over(across_m);
    Some(
        CanTell::of("squareness of the pulley", Kind::Length, off_m, limit)
            .better(say!("Or take points further apart, at the ends of the shaft.")),
    )
}

/// Where the two points of one shaft lie, seen from the middle between two points `base_m` apart on the other:
/// how far away, and how far to the left. Distances are straight and crosswise. Nothing if no such points exist.
pub fn place(base_m: f64, straight_m: f64, crosswise_m: f64) -> Option<(f64, f64)> {
    // The straight one is from the same side of the base, the crosswise one from the other side.
    let left_m = (crosswise_m - straight_m) * (crosswise_m + straight_m) / (2.0 * base_m);
    let away_m2 = straight_m * straight_m - (left_m - base_m / 2.0).powi(2);
    (away_m2 > 0.0).then(|| (away_m2.sqrt(), left_m))
}

/// How far off the difference of both sides may be: two readings and, if it was measured from one, the squared line.
fn difference_error_m(asked: &Asked, across_m: f64) -> Result<f64, Amiss> {
    let error_m = asked.error(&asked::ERROR, &read_by::TAPE)?;
    let line = match asked.chosen::<To>(&asked::TO) {
        Some(To::Pulley) => 0.0,
        Some(To::Line) | None => asked.error(&asked::LINE, &read_by::SQUARED_LINE)? * across_m,
    };
    Ok((2.0_f64.sqrt() * error_m).hypot(line))
}

/// A pulley's readings, checked, and what the two distances and the diagonals say.
struct Measured {
    pulley: Pulley,
    to: To,
    across_m: f64,
    /// Left distance less right distance.
    short_m: f64,
    /// How far off that may be.
    off_m: f64,
    /// Between the bearings, if that is known.
    bearings_m: Option<f64>,
    limit: Limit,
}

/// What the pulley's readings come to. Headline, verdict, answer and work follow from it alike.
#[derive(Clone, Copy, PartialEq)]
enum Stands {
    /// Nearer on this side than the limit allows.
    Nearer(Side),
    /// The diagonals say that it is askew, whatever the distances say.
    AskewAlike,
    /// Nearer to a limit than the reading error.
    TooClose,
    /// Both distances alike, which alone proves nothing.
    Unproved,
    /// Square.
    Square,
}

impl Stands {
    fn of(to: To, short_m: f64, straight: Verdict, alike: Option<Verdict>) -> Self {
        match (straight, alike) {
            (Verdict::Beyond, _) => Self::Nearer(Side::of_sign(-short_m).unwrap_or(Side::Left)),
            (_, Some(Verdict::Beyond)) => Self::AskewAlike,
            (Verdict::TooClose, _) | (_, Some(Verdict::TooClose)) => Self::TooClose,
            (_, None) if to == To::Pulley => Self::Unproved,
            _ => Self::Square,
        }
    }

    fn verdict(self) -> Verdict {
        match self {
            Self::Nearer(_) | Self::AskewAlike => Verdict::Beyond,
            Self::TooClose => Verdict::TooClose,
            Self::Unproved | Self::Square => Verdict::Within,
        }
    }

    fn word(self) -> Option<&'static str> {
        match self {
            Self::Nearer(side) => Some(side.id()),
            Self::Square => Some("equal"),
            Self::AskewAlike | Self::TooClose | Self::Unproved => None,
        }
    }
}

fn measured(asked: &Asked) -> Result<Measured, Amiss> {
    let pulley: Pulley = asked.choice(&asked::PULLEY)?;
    let across_m = asked.must(&asked::ACROSS)?;
    let short_m = asked.must(&asked::LEFT)? - asked.must(&asked::RIGHT)?;
    if short_m.abs() >= 0.5 * across_m {
        return Err(Amiss::with(
            key::LEFT,
            say!("the two sides differ by more than half of the length across: read both again"),
        ));
    }
    let path = match pulley {
        Pulley::Tail => "tail.bearing_centres",
        Pulley::Head => "head.bearing_centres",
    };
    let filed = || asked.setting.dimension(path).filter(|size_m| *size_m > 0.0);
    Ok(Measured {
        pulley,
        to: asked.choice(&asked::TO)?,
        across_m,
        short_m,
        off_m: difference_error_m(asked, across_m)?,
        bearings_m: asked.may(&asked::BEARINGS)?.or_else(filed),
        limit: asked.setting.limit(&shipped::PULLEY_SQUARE).over(across_m),
    })
}

fn pulley(asked: &Asked) -> Result<Outcome, Amiss> {
    let measured = measured(asked)?;
    let Measured { across_m, short_m, off_m, limit, .. } = measured;
    let nearer_on = say!(
        Side::Left,
        " distance less ",
        Side::Right,
        " distance; minus: nearer on the ",
        Side::Left,
        " side"
    );
    let difference = Figure::of(
        "difference",
        nearer_on,
        Kind::Length,
        short_m,
        Basis::Derived("the two distances"),
    )
    .off_by(Kind::Length, off_m)
    .against(limit);
    let angle = Figure::of(
        "angle",
        say!("angle between the shaft and what was measured to"),
        Kind::Angle,
        (short_m.abs() / across_m).asin(),
        Basis::Derived("the two distances over the length across"),
    )
    .off_by(Kind::Angle, off_m / across_m);
    let rack = crossed(asked, &measured)?;
    let alike = rack.as_ref().map(|rack| rack.verdict);
    let stands = Stands::of(measured.to, short_m, difference.verdict, alike);
    let (work, amount) = told::work(&measured, stands);
    let says = told::says(&measured, stands, &difference, rack.as_ref());
    let mut figures = vec![difference, angle];
    figures.extend(rack);
    // What proves itself most comes first.
    if stands == Stands::AskewAlike {
        figures.rotate_right(1);
    }
    Ok(Outcome {
        says,
        verdict: stands.verdict(),
        figures,
        tells: vec![("short-side", stands.word())],
        work,
        amount,
        notes: told::notes(&measured, alike),
        plot: None,
    })
}

/// The lead by the diagonals, if both were measured.
fn crossed(asked: &Asked, measured: &Measured) -> Result<Option<Figure>, Amiss> {
    let both = (asked.may(&asked::FROM_LEFT)?, asked.may(&asked::FROM_RIGHT)?);
    let alone = |key| Err(Amiss::with(key, say!("one diagonal alone tells nothing: measure both")));
    let from_m = match both {
        (Some(from_left_m), Some(from_right_m)) => (from_left_m, from_right_m),
        (None, None) => return Ok(None),
        (None, Some(_)) => return alone(key::FROM_LEFT),
        (Some(_), None) => return alone(key::FROM_RIGHT),
    };
    let straight_m = (asked.must(&asked::LEFT)?, asked.must(&asked::RIGHT)?);
    let error_m = asked.error(&asked::ERROR, &read_by::TAPE)?;
    racked(measured, straight_m, from_m, error_m).map(|rack| Some(rack.against(measured.limit)))
}

/// How far both shafts are askew alike to the line between them, or shifted sideways: the lead of the left end.
fn racked(
    measured: &Measured,
    (left_m, right_m): (f64, f64),
    (from_left_m, from_right_m): (f64, f64),
    error_m: f64,
) -> Result<Figure, Amiss> {
    let across_m = measured.across_m;
    let none = || {
        Amiss::with(
            key::FROM_LEFT,
            say!("no four points have these distances and diagonals: measure all again"),
        )
    };
    let (away_left_m, at_left_m) = place(across_m, left_m, from_left_m).ok_or_else(none)?;
    // Seen in a mirror the right side is the left one.
    let (away_right_m, at_right_m) = place(across_m, right_m, from_right_m).ok_or_else(none)?;
    let away_m = away_left_m / 2.0 + away_right_m / 2.0;
    let shift_m = (at_left_m - at_right_m) / 2.0;
    // Further from the other end is nearer the head at the head only.
    let ahead = if measured.pulley == Pulley::Head { 1.0 } else { -1.0 };
    let lead_m = ahead * across_m * shift_m / away_m;
    // A diagonal error e moves a point sideways by e d/a; the mean of two has 1/sqrt 2 of that.
    let sideways_m = error_m * (from_left_m.hypot(left_m) / across_m) / 2.0_f64.sqrt();
    let apart_m = at_left_m + at_right_m;
    if (apart_m - across_m).abs() > 0.1 * across_m + 6.0 * sideways_m {
        return Err(none());
    }
    let what = say!(
        "lead over the length across if both ends are askew alike, by the diagonals; plus: the ",
        Side::Left,
        " nearer the head"
    );
    let from = Basis::Derived("the place of four points from two distances and two diagonals");
    Ok(Figure::of("askew-alike", what, Kind::Length, lead_m, from)
        .off_by(Kind::Length, across_m * sideways_m / away_m))
}
