//! Whether a bay of the frame is square.

use super::super::splice::off_square_rad;
use super::super::taken::{error_m, length, long};
use super::super::{
    Amiss, Amount, Basis, Figure, Kind, Outcome, Readings, Setting, Verdict, Words,
};
use super::key;
use super::{BAY_DIAGONALS, BAY_LENGTH, BAY_WIDTH};
use crate::say;
use crate::trade::Side;

/// A bay's six lengths, in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bay {
    /// Along the left beam.
    pub left_m: f64,
    /// Along the right beam.
    pub right_m: f64,
    /// Across at the tail end.
    pub tail_m: f64,
    /// Across at the head end.
    pub head_m: f64,
    /// From the left beam's tail end to the right beam's head end.
    pub from_left_m: f64,
    /// From the right beam's tail end to the left beam's head end.
    pub from_right_m: f64,
}

impl Bay {
    /// How far the left beam leads the right one toward the head: the bay's mean width times the tangent of its
    /// departure from square. Nothing if there is no such bay.
    pub fn lead_m(self) -> Option<f64> {
        let (along_m, across_m) =
            (f64::midpoint(self.left_m, self.right_m), f64::midpoint(self.tail_m, self.head_m));
        // The longer diagonal starts at the end that lags.
        off_square_rad(along_m, across_m, self.from_right_m, self.from_left_m)
            .map(|off| across_m * off.tan())
    }

    /// What the second diagonal must be, from the four sides and the first: flat figures have no choice.
    /// Nothing if the sides and the first diagonal make no triangles.
    pub fn second_m(self) -> Option<f64> {
        // Corners seen along the first diagonal, from the left beam's tail end.
        let far = corner(self.from_left_m, self.left_m, self.head_m)?;
        let near = corner(self.from_left_m, self.tail_m, self.right_m)?;
        Some((far.0 - near.0).hypot(far.1 + near.1))
    }
}

/// The corner of a triangle over a base, from its sides at the start and the end of the base: along and off it.
fn corner(base_m: f64, start_m: f64, end_m: f64) -> Option<(f64, f64)> {
    let along_m = (base_m * base_m + (start_m - end_m) * (start_m + end_m)) / (2.0 * base_m);
    let off_m2 = start_m * start_m - along_m * along_m;
    (off_m2 >= 0.0).then(|| (along_m, off_m2.sqrt()))
}

/// Works out the bay way.
pub(super) fn bay(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let get = |key| long(readings, None, key);
    let bay = Bay {
        left_m: get(key::LEFT)?,
        right_m: get(key::RIGHT)?,
        tail_m: get(key::TAIL)?,
        head_m: get(key::HEAD)?,
        from_left_m: get(key::FROM_LEFT)?,
        from_right_m: get(key::FROM_RIGHT)?,
    };
    let error_m = error_m(readings)?;
    let none = || {
        Amiss::with(
            key::FROM_LEFT,
            say!("no bay has these four sides and diagonals: measure all six again"),
        )
    };
    let (lead_m, second_m) = bay.lead_m().zip(bay.second_m()).ok_or_else(none)?;
    let misfit_m = (second_m - bay.from_right_m).abs();
    if misfit_m > (10.0 * error_m).max(0.01) {
        return Err(Amiss::with(
            key::FROM_RIGHT,
            say!(
                "the six lengths do not fit together: with the others this diagonal would be ",
                length(second_m),
                ". Measure all again, in one plane"
            ),
        ));
    }
    let mut notes = Vec::new();
    if misfit_m > 4.0 * error_m {
        notes.push(say!(
            "The six lengths fit together badly, by ",
            length(misfit_m),
            ": one is off, or the bay is twisted."
        ));
    }
    let two = 2.0_f64.sqrt() * error_m;
    let derived = Basis::Derived("the readings");
    let figure = |id, what: Words, size_m: f64, limit| {
        Figure::of(id, what, Kind::Length, size_m, derived)
            .off_by(Kind::Length, two)
            .against(setting.limit(limit))
    };
    let diagonals = figure(
        "diagonals",
        say!("difference of the diagonals"),
        bay.from_left_m - bay.from_right_m,
        &BAY_DIAGONALS,
    );
    let widths = figure(
        "widths",
        say!("width at the head end less width at the tail end"),
        bay.head_m - bay.tail_m,
        &BAY_WIDTH,
    );
    let lengths = figure(
        "lengths",
        say!(Side::Left, " length less ", Side::Right, " length"),
        bay.left_m - bay.right_m,
        &BAY_LENGTH,
    );
    let lead_error_m = two * bay.from_left_m / (bay.left_m + bay.right_m);
    let lead = Figure::of(
        "lead",
        say!("lead of one beam, plus: the ", Side::Left, " one toward the head"),
        Kind::Length,
        lead_m,
        Basis::Derived("the law of cosines for a figure with equal opposite sides"),
    )
    .off_by(Kind::Length, lead_error_m);
    let uneven = widths.verdict.worse(lengths.verdict);
    let verdict = diagonals.verdict.worse(uneven);
    let told = match verdict {
        Verdict::Beyond => Some("racked"),
        Verdict::Within => Some("square"),
        _ => None,
    };
    let ahead = Side::of_sign(lead_m).unwrap_or(Side::Left);
    let mut work = Vec::new();
    if uneven == Verdict::Beyond {
        notes.push(say!("Opposite sides differ, so the diagonals prove nothing by themselves: a bay that narrows to one end can have equal diagonals. First make opposite sides equal."));
        work.push(say!(
            "Make opposite sides of the bay equal first: now they differ by ",
            length(widths.size.si().abs()),
            " across and ",
            length(lengths.size.si().abs()),
            " along."
        ));
    }
    if diagonals.verdict == Verdict::Beyond {
        work.push(say!(
            "Prop the frame, loosen the cross members of the bay, shift the ",
            ahead,
            " beam ",
            length(lead_m.abs()),
            " toward the tail, brace and tighten."
        ));
        work.push(say!("Measure all six lengths again before any idler is judged."));
    }
    let says = match (diagonals.verdict, uneven) {
        (Verdict::Beyond, _) => {
            say!("The bay is racked: its ", ahead, " beam leads by ", length(lead_m.abs()), ".")
        }
        (_, Verdict::Beyond) => {
            say!("The bay is not square: its opposite sides differ, whatever the diagonals say.")
        }
        _ if verdict == Verdict::Within => say!(
            "The bay is square: its diagonals differ by ",
            length(diagonals.size.si().abs()),
            " only."
        ),
        _ => say!(
            "Too close to call: measure again with a steel tape at the same pull, from centre-punched marks."
        ),
    };
    let diagonals_beyond = diagonals.verdict == Verdict::Beyond;
    let figures = vec![diagonals, lead, widths, lengths];
    let amount = (diagonals_beyond).then(|| {
        Amount::length(lead_m.abs(), lead_error_m, say!("the ", ahead, " beam, along the conveyor"))
    });
    Ok(Outcome {
        says,
        verdict,
        figures,
        tells: vec![("bay", told)],
        work,
        amount,
        notes,
        plot: None,
    })
}
