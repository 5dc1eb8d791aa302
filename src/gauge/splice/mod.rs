//! How far the belt's joint is out of square, and what it does each time it passes.
//!
//! Angles are counted from square, above nothing when the LEFT end of the joint is nearer the head. A joint that
//! is out of square by different angles to the belt behind it and the belt ahead of it is a kink; the kink is what
//! throws the belt aside.

mod asked;
pub(crate) mod key;
mod skew;

use crate::trade::Side;
use skew::mean_diagonal_m;
pub use skew::{MiddleMark, Skew, from_diagonals, from_marks, off_square_rad};

use super::limits::Shipped;
use super::taken::{error_m, length, long, may, may_long, must, over};
use super::{Amiss, Basis, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, Words};
use crate::say;

pub(super) const SPLICE_LEAD: Shipped = Shipped {
    id: "splice-lead",
    what: "lead of one end of the joint, share of the belt's width",
    kind: Kind::Percent,
    si: 0.005,
    mark: Basis::CommonPractice,
};

pub(super) const SPLICE_KINK: Shipped = Shipped {
    id: "splice-kink",
    what: "how far the belt may leave its line across the joint, share of the length along it",
    kind: Kind::Percent,
    si: 0.002,
    mark: Basis::Published("package-manual-snub", "p. 27, splice straightness, package conveyors"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&SPLICE_LEAD, &SPLICE_KINK];

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "splice",
    title: "Squareness of the joint",
    about: "Tells whether the belt's joint is square to the belt, by how much one end leads, and what that does at each turn of the belt.",
    ways: asked::WAYS,
    tells: &[Tell { id: "joint", words: &["square", "out-of-square"] }],
    limits: LIMITS,
    work,
};

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let error_m = error_m(readings)?;
    let mut notes = Vec::new();
    let (width_m, behind, ahead) = if readings.way == "diagonals" {
        diagonals(readings, error_m, &mut notes)?
    } else {
        marks(readings, error_m, &mut notes)?
    };
    let slant_m = may(readings, None, key::SLANT)?.unwrap_or(0.0);
    if slant_m.abs() > 2.0 * width_m {
        return Err(Amiss::with(
            key::SLANT,
            say!("no joint slants by more than twice the belt's width: read it again"),
        ));
    }
    let meant_rad = (slant_m / width_m).atan();
    let sides: Vec<Skew> = [behind, ahead]
        .into_iter()
        .flatten()
        .map(|skew| Skew { angle_rad: skew.angle_rad - meant_rad, ..skew })
        .collect();
    let Some(worst) =
        sides.iter().copied().max_by(|a, b| a.angle_rad.abs().total_cmp(&b.angle_rad.abs()))
    else {
        return Err(Amiss::all(say!(
            "on neither side of the joint are there two marks: mark at least three in all"
        )));
    };
    let mark = if readings.way == "diagonals" {
        Basis::Derived("the law of cosines for a figure with equal opposite sides")
    } else {
        Basis::Derived("least squares through the middles of the belt")
    };
    let lead_m = width_m * worst.angle_rad.tan();
    let lead_error_m = width_m * worst.error_rad / worst.angle_rad.cos().powi(2);
    let lead = Figure::of(
        "lead",
        say!("lead of one end of the joint, plus: the ", Side::Left, " end nearer the head"),
        Kind::Length,
        lead_m,
        mark,
    )
    .off_by(Kind::Length, lead_error_m)
    .against(over(setting.limit(&SPLICE_LEAD), width_m));
    let angle = Figure::of(
        "angle",
        say!("the joint's angle from square"),
        Kind::Angle,
        worst.angle_rad,
        mark,
    )
    .off_by(Kind::Angle, worst.error_rad);
    let mut verdict = lead.verdict;
    let mut figures = vec![lead, angle];
    let kink = match (behind, ahead) {
        (Some(behind), Some(ahead)) => {
            let skew = Skew {
                angle_rad: ahead.angle_rad - behind.angle_rad,
                error_rad: ahead.error_rad.hypot(behind.error_rad),
            };
            let kink = kink_figure(skew, setting);
            verdict = verdict.worse(kink.verdict);
            figures.push(kink);
            Some(skew)
        }
        _ => {
            notes.push(say!("Only one side of the joint was measured: whether the belt has a kink there is not known."));
            None
        }
    };
    figures.extend(jump(readings, kink.unwrap_or(worst), kink.is_some(), &mut notes)?);
    let told = match verdict {
        Verdict::Within => Some("square"),
        Verdict::Beyond => Some("out-of-square"),
        Verdict::TooClose | Verdict::NoLimit => None,
    };
    let work = match verdict {
        Verdict::Beyond => vec![say!(
            "Mark the joint for renewal: cut it out and join the belt anew, squared from the belt's middle line, by licensed hands. Nothing at the idlers cures it."
        )],
        _ => Vec::new(),
    };
    notes.push(say!("The limit of the lead is common practice; that of the kink is from a maker of package conveyors and carried over to others."));
    Ok(Outcome {
        says: says(lead_m, kink, width_m, verdict),
        verdict,
        figures,
        tells: vec![("joint", told)],
        work,
        notes,
        amount: None,
        plot: None,
    })
}

fn says(lead_m: f64, kink: Option<Skew>, width_m: f64, verdict: Verdict) -> Words {
    let side = Side::of_sign(lead_m).unwrap_or(Side::Left);
    let lead = length(lead_m.abs());
    match verdict {
        Verdict::Beyond
            if kink.is_some_and(|kink| (kink.angle_rad * width_m).abs() > lead_m.abs()) =>
        {
            say!(
                "The joint is out of square: the belt bends there, and the ",
                side,
                " end of the joint is ",
                lead,
                " too near the head."
            )
        }
        Verdict::Beyond => {
            say!("The joint is out of square: its ", side, " end is ", lead, " too near the head.")
        }
        Verdict::TooClose => say!(
            "Too close to call: the ",
            side,
            " end leads by ",
            lead,
            ". Measure again over a longer stretch, with more marks and a steel rule."
        ),
        Verdict::Within | Verdict::NoLimit => {
            say!("The joint is square: its ", side, " end leads by ", lead, " only.")
        }
    }
}

fn kink_figure(kink: Skew, setting: &Setting) -> Figure {
    // Over one metre, so that it can be held against a length.
    Figure::of(
        "kink",
        say!("how far the belt leaves its line in 1 m past the joint, plus: to the ", Side::Left),
        Kind::Length,
        kink.angle_rad.tan(),
        Basis::Derived("the angles of the joint to the belt on both sides of it"),
    )
    .off_by(Kind::Length, kink.error_rad)
    .against(over(setting.limit(&SPLICE_KINK), 1.0))
}

/// The time between jumps and the order of their size.
fn jump(
    readings: &Readings,
    skew: Skew,
    kinked: bool,
    notes: &mut Vec<Words>,
) -> Result<Vec<Figure>, Amiss> {
    let mut figures = Vec::new();
    if let Some(span_m) = may_long(readings, None, key::SPAN)? {
        let mark = Basis::Derived("angle times the free length between two rolls");
        let size_m = (skew.angle_rad.tan() * span_m).abs();
        figures.push(
            Figure::of(
                "jump",
                say!("sideways jump at each turn, about"),
                Kind::Length,
                size_m,
                mark,
            )
            .off_by(Kind::Length, skew.error_rad * span_m),
        );
        notes.push(say!("The jump is right in order of size only: a stiff or tight belt jumps less at each roll and carries it further."));
        if !kinked {
            notes.push(say!("The jump is for a belt that bends at the joint by the whole angle."));
        }
    }
    let (length_m, speed) =
        (may_long(readings, None, key::BELT_LENGTH)?, may(readings, None, key::SPEED)?);
    if let (Some(length_m), Some(speed_m_s)) = (length_m, speed) {
        if speed_m_s < 1e-3 {
            return Err(Amiss::with(
                key::SPEED,
                say!("the belt must move to pass a joint: give its running speed"),
            ));
        }
        let mark = Basis::Derived("belt length over speed");
        figures.push(Figure::of(
            "between",
            say!("time between two jumps"),
            Kind::Time,
            length_m / speed_m_s,
            mark,
        ));
    }
    Ok(figures)
}

type Measured = (f64, Option<Skew>, Option<Skew>);

fn marks(readings: &Readings, error_m: f64, notes: &mut Vec<Words>) -> Result<Measured, Amiss> {
    let joint_m = must(readings, None, key::JOINT)?;
    let lead_m = must(readings, None, key::AHEAD_LEFT)? - must(readings, None, key::AHEAD_RIGHT)?;
    let (mut behind, mut ahead, mut widths) = (Vec::new(), Vec::new(), Vec::new());
    let mut last: Option<f64> = None;
    for (row, reading) in readings.rows.iter().enumerate() {
        let along_m = must(reading, Some(row), key::ALONG)?;
        if last.is_some_and(|last| along_m - last < 0.01) {
            return Err(Amiss::at(
                row,
                key::ALONG,
                say!(
                    "each mark must lie further along than the one before it: put them in order, none twice"
                ),
            ));
        }
        last = Some(along_m);
        let (left_m, right_m) =
            (must(reading, Some(row), key::LEFT)?, must(reading, Some(row), key::RIGHT)?);
        let width_m = left_m + right_m;
        if left_m < 0.0 || right_m < 0.0 || width_m < 0.01 {
            return Err(Amiss::at(
                row,
                key::LEFT,
                say!(
                    "the string must lie on the belt, between its edges: measure to both edges again"
                ),
            ));
        }
        widths.push(width_m);
        let mark = MiddleMark { along_m, middle_m: (left_m - right_m) / 2.0 };
        if along_m < joint_m {
            behind.push(mark);
        } else {
            ahead.push(mark);
        }
    }
    let width_m =
        widths.iter().sum::<f64>() / f64::from(u32::try_from(widths.len()).unwrap_or(u32::MAX));
    if !width_m.is_finite() {
        return Err(Amiss::all(say!("no marks: measure the edges at three places at least")));
    }
    let odd = widths.iter().position(|width| (width - width_m).abs() > 0.1 * width_m);
    if let Some(row) = odd {
        return Err(Amiss::at(
            row,
            key::LEFT,
            say!(
                "both edges together make a belt far from as wide as at the other marks: measure here again"
            ),
        ));
    }
    let (most, least) = widths
        .iter()
        .fold((f64::MIN, f64::MAX), |(most, least), width| (most.max(*width), least.min(*width)));
    if most - least > (0.01 * width_m).max(4.0 * error_m) {
        notes.push(say!(
            "The belt's width differs by ",
            length(most - least),
            " between marks: an edge is worn or cut there, and the middle may be off."
        ));
    }
    if lead_m.abs() > 2.0 * width_m {
        return Err(Amiss::with(
            key::AHEAD_LEFT,
            say!(
                "the joint cannot slant by more than twice the belt's width: read both ends again"
            ),
        ));
    }
    let skew =
        |marks: &[MiddleMark]| -> Option<Skew> { from_marks(marks, lead_m, width_m, error_m) };
    let found = (skew(&behind), skew(&ahead));
    let steep = [&found.0, &found.1].into_iter().flatten().any(|skew| skew.angle_rad.abs() > 1.2);
    if steep {
        return Err(Amiss::all(say!(
            "the middles run far off along the belt: check that places are along the string and edges across it"
        )));
    }
    Ok((width_m, found.0, found.1))
}

fn diagonals(readings: &Readings, error_m: f64, notes: &mut Vec<Words>) -> Result<Measured, Amiss> {
    let along_m = long(readings, None, key::ALONG)?;
    let width_m = long(readings, None, key::WIDTH)?;
    let tail_m =
        (long(readings, None, key::TAIL_FROM_LEFT)?, long(readings, None, key::TAIL_FROM_RIGHT)?);
    let head_m = (
        may_long(readings, None, key::HEAD_FROM_LEFT)?,
        may_long(readings, None, key::HEAD_FROM_RIGHT)?,
    );
    let behind = one_x(along_m, width_m, tail_m, true, error_m, notes)?;
    let ahead = match head_m {
        (Some(left_m), Some(right_m)) => {
            Some(one_x(along_m, width_m, (left_m, right_m), false, error_m, notes)?)
        }
        (None, None) => None,
        (None, Some(_)) => {
            return Err(Amiss::with(
                key::HEAD_FROM_LEFT,
                say!("one diagonal toward the head alone tells nothing: measure this one too"),
            ));
        }
        (Some(_), None) => {
            return Err(Amiss::with(
                key::HEAD_FROM_RIGHT,
                say!("one diagonal toward the head alone tells nothing: measure this one too"),
            ));
        }
    };
    if along_m < 1.27 {
        notes.push(say!(
            "The length along the edges is short. The splicing text asks for at least ",
            length(1.27),
            "."
        ));
    }
    notes.push(say!("Diagonals rest on the edges: where one is worn or cut, measure from the middle line instead."));
    Ok((width_m, Some(behind), ahead))
}

fn one_x(
    along_m: f64,
    width_m: f64,
    x_m: (f64, f64),
    toward_tail: bool,
    error_m: f64,
    notes: &mut Vec<Words>,
) -> Result<Skew, Amiss> {
    let key = if toward_tail { key::TAIL_FROM_LEFT } else { key::HEAD_FROM_LEFT };
    let skew = from_diagonals(along_m, width_m, x_m, toward_tail, error_m);
    let possible = |skew: &Skew| {
        let joint_m = width_m / skew.angle_rad.cos();
        let (most_m, least_m) = (along_m + joint_m, (along_m - joint_m).abs());
        let between = least_m - error_m..=most_m + error_m;
        skew.angle_rad.abs() < 1.2 && between.contains(&x_m.0) && between.contains(&x_m.1)
    };
    let Some(skew) = skew.filter(possible) else {
        return Err(Amiss::with(
            key,
            say!(
                "there is no belt with these two diagonals, this length and this width: measure all again"
            ),
        ));
    };
    // In such a figure the mean square of the diagonals is settled by the sides.
    let mean_m = (x_m.0 * x_m.0 / 2.0 + x_m.1 * x_m.1 / 2.0).sqrt();
    let should_m = mean_diagonal_m(along_m, width_m, skew.angle_rad);
    let off_m = (mean_m - should_m).abs();
    if off_m > (0.02 * should_m).max(4.0 * error_m) {
        return Err(Amiss::with(
            key,
            say!(
                "the diagonals do not fit the length and width: they should be about ",
                length(should_m),
                ". Measure all again"
            ),
        ));
    }
    if off_m > 4.0 * error_m {
        notes.push(say!(
            "The diagonals fit the length and width badly: they should be about ",
            length(should_m),
            ". A length, the width or an edge is not as typed."
        ));
    }
    Ok(skew)
}
