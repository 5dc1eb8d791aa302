//! Whether an end pulley or a bay of the frame is square, by distances and diagonals.
//!
//! Along is from tail to head, across is from right to left. A lead is above nothing when the LEFT end is nearer
//! the head.

mod asked;
mod bay;
pub(crate) mod key;

use crate::trade::Side;
pub use bay::Bay;

use super::limits::Shipped;
use super::taken::{error_m, length, long, may_long, over, word};
use super::{Amiss, Amount, Basis, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict};
use crate::say;

pub(super) const PULLEY_SQUARE: Shipped = Shipped {
    id: "pulley-square",
    what: "lead of one end of a pulley, share of the length across",
    kind: Kind::Percent,
    si: 0.001,
    mark: Basis::CommonPractice,
};

pub(super) const BAY_DIAGONALS: Shipped = Shipped {
    id: "bay-diagonals",
    what: "difference of a frame bay's diagonals",
    kind: Kind::Length,
    si: 0.003,
    mark: Basis::Published("idler-install-sheet", "squareness, diagonals"),
};

pub(super) const BAY_WIDTH: Shipped = Shipped {
    id: "bay-width",
    what: "difference of a frame bay's widths",
    kind: Kind::Length,
    si: 0.003,
    mark: Basis::Published("idler-install-sheet", "spacing of the beams"),
};

pub(super) const BAY_LENGTH: Shipped = Shipped {
    id: "bay-length",
    what: "difference of a frame bay's lengths",
    kind: Kind::Length,
    si: 0.003,
    mark: Basis::Derived("the installation sheet's figure for the diagonals, carried over"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&PULLEY_SQUARE, &BAY_DIAGONALS, &BAY_WIDTH, &BAY_LENGTH];

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
    limits: LIMITS,
    work,
};

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    if readings.way == "bay" { bay::bay(readings, setting) } else { pulley(readings, setting) }
}

/// Where the two points of one shaft lie, seen from the middle between two points `base_m` apart on the other:
/// how far away, and how far to the left. Distances are straight and crosswise. Nothing if no such points exist.
pub fn place(base_m: f64, straight_m: f64, crosswise_m: f64) -> Option<(f64, f64)> {
    // The straight one is from the same side of the base, the crosswise one from the other side.
    let left_m = (crosswise_m - straight_m) * (crosswise_m + straight_m) / (2.0 * base_m);
    let away_m2 = straight_m * straight_m - (left_m - base_m / 2.0).powi(2);
    (away_m2 > 0.0).then(|| (away_m2.sqrt(), left_m))
}

fn pulley(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let (which, to) = (word(readings, None, key::PULLEY)?, word(readings, None, key::TO)?);
    let (left_m, right_m) = (long(readings, None, key::LEFT)?, long(readings, None, key::RIGHT)?);
    let across_m = long(readings, None, key::ACROSS)?;
    let error_m = error_m(readings)?;
    let short_m = left_m - right_m;
    if short_m.abs() >= 0.5 * across_m {
        return Err(Amiss::with(
            key::LEFT,
            say!("the two sides differ by more than half of the length across: read both again"),
        ));
    }
    let mut notes = Vec::new();
    let limit = over(setting.limit(&PULLEY_SQUARE), across_m);
    let two = 2.0_f64.sqrt() * error_m;
    let difference = Figure::of(
        "difference",
        say!(
            Side::Left,
            " distance less ",
            Side::Right,
            " distance; minus: nearer on the ",
            Side::Left,
            " side"
        ),
        Kind::Length,
        short_m,
        Basis::Derived("the two distances"),
    )
    .off_by(Kind::Length, two)
    .against(limit);
    let angle = Figure::of(
        "angle",
        say!("angle between the shaft and what was measured to"),
        Kind::Angle,
        (short_m.abs() / across_m).asin(),
        Basis::Derived("the two distances over the length across"),
    )
    .off_by(Kind::Angle, two / across_m);
    let mut verdict = difference.verdict;
    let mut figures = vec![difference, angle];
    let crossed =
        (may_long(readings, None, key::FROM_LEFT)?, may_long(readings, None, key::FROM_RIGHT)?);
    let rack = match crossed {
        (Some(from_left_m), Some(from_right_m)) => {
            let rack =
                racked(which, across_m, (left_m, right_m), (from_left_m, from_right_m), error_m)?
                    .against(limit);
            figures.push(rack.clone());
            Some(rack)
        }
        (None, None) => None,
        (None, Some(_)) => {
            return Err(Amiss::with(
                key::FROM_LEFT,
                say!("one diagonal alone tells nothing: measure both"),
            ));
        }
        (Some(_), None) => {
            return Err(Amiss::with(
                key::FROM_RIGHT,
                say!("one diagonal alone tells nothing: measure both"),
            ));
        }
    };
    let alike = rack.as_ref().map(|rack| rack.verdict);
    if let Some(alike) = alike {
        verdict = verdict.worse(alike);
    }
    let straight = figures.first().map_or(Verdict::NoLimit, |figure| figure.verdict);
    // Both ends askew alike, or one shifted sideways, look equal from end to end.
    let sound = to == "line" || alike == Some(Verdict::Within);
    let nearer = Side::of_sign(-short_m).unwrap_or(Side::Left);
    let told = match straight {
        Verdict::Beyond => Some(nearer.id()),
        Verdict::Within if sound => Some("equal"),
        _ => None,
    };
    if to == "pulley" {
        notes.push(say!("Measured to the other pulley: which of the two is askew is not known yet. Measure both from a line squared off the belt's middle line."));
        match alike {
            None => notes.push(say!("Without the diagonals both pulleys may be askew alike: equal distances alone prove nothing.")),
            Some(Verdict::Beyond) => notes.push(say!("The diagonals differ: both pulleys are askew alike, or one sits to one side. Measure from a squared line before you move anything.")),
            Some(_) => {}
        }
    } else if alike == Some(Verdict::Beyond) {
        notes.push(say!("The diagonals differ: the points are not opposite each other, or the line is not square. Check the line."));
    }
    let mut work = Vec::new();
    let mut amount = None;
    if straight == Verdict::Beyond {
        let given_m = may_long(readings, None, key::BEARINGS)?;
        let path = if which == "head" { "head.bearing_centres" } else { "tail.bearing_centres" };
        let bearings_m = given_m
            .or_else(|| setting.dimension(path))
            .filter(|size_m| size_m.is_finite() && *size_m > 0.0);
        let wider = bearings_m.unwrap_or(across_m) / across_m;
        let amount_m = short_m.abs() * wider;
        let far = nearer.other();
        let at = match bearings_m {
            Some(_) => say!(format!("the {which} pulley's "), far, " end, at its bearing"),
            None => say!(format!("the {which} pulley's "), far, " end, at the points measured"),
        };
        amount = Some(Amount::length(amount_m, two * wider, at));
        let other_end = if which == "head" { "tail" } else { "head" };
        if to == "pulley" {
            work.push(say!("First measure both end pulleys from a line squared off the belt's middle line: move the one that is askew."));
        }
        work.push(say!("Block the belt and release its tension by the site's procedure before any bearing bolt is loosened."));
        work.push(say!(
            format!("At the {which} pulley shift the "),
            far,
            " end ",
            length(amount_m),
            format!(" toward the {other_end}"),
            if to == "pulley" { ", if this is the pulley that is askew." } else { "." }
        ));
        work.push(say!(
            "Then bring both sides to the right tension by the same amount, and measure again."
        ));
        if bearings_m.is_none() {
            notes.push(say!("The amount is for the points measured. At the bearings it grows with their distance: ", length(across_m), " was measured across."));
        }
    }
    let says = match (straight, told) {
        (Verdict::Beyond, _) => say!(
            format!("The {which} pulley is not square: it is "),
            length(short_m.abs()),
            " nearer on the ",
            nearer,
            " side. The belt goes to that side."
        ),
        (Verdict::Within, Some(_)) => say!(
            format!("The {which} pulley is square: both sides differ by "),
            length(short_m.abs()),
            " only."
        ),
        (Verdict::Within, None) if alike == Some(Verdict::Beyond) => {
            say!("Both distances are equal, but the diagonals are not: this is not square yet.")
        }
        (Verdict::Within, None) => say!(
            "Both distances are equal. That alone does not prove it square: measure the diagonals, or from a squared line."
        ),
        _ => say!(
            "Too close to call: both sides differ by ",
            length(short_m.abs()),
            ". Measure again with a steel tape at the same pull."
        ),
    };
    notes.push(say!(
        "No limit for the squareness of a pulley is published: 1 mm in 1 m is common practice."
    ));
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells: vec![("short-side", told)],
        work,
        amount,
        notes,
        plot: None,
    })
}

/// How far both shafts are askew alike to the line between them, or shifted sideways: the lead of the left end.
fn racked(
    which: &str,
    across_m: f64,
    (left_m, right_m): (f64, f64),
    (from_left_m, from_right_m): (f64, f64),
    error_m: f64,
) -> Result<Figure, Amiss> {
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
    let ahead = if which == "head" { 1.0 } else { -1.0 };
    let lead_m = ahead * across_m * shift_m / away_m;
    // A diagonal error e moves a point sideways by e d/a; the mean of two has 1/sqrt 2 of that.
    let sideways_m = error_m * (from_left_m.hypot(left_m) / across_m) / 2.0_f64.sqrt();
    let apart_m = at_left_m + at_right_m;
    if (apart_m - across_m).abs() > 0.1 * across_m + 6.0 * sideways_m {
        return Err(none());
    }
    let figure = Figure::of(
        "askew-alike",
        say!("lead over the length across if both ends are askew alike, by the diagonals; plus: the ", Side::Left, " nearer the head"),
        Kind::Length,
        lead_m,
        Basis::Derived("the place of four points from two distances and two diagonals"),
    )
    .off_by(Kind::Length, across_m * sideways_m / away_m);
    Ok(figure)
}
