//! The joint to the belt on both sides of it, from marks or from diagonals.

use super::super::asked::{Asked, length};
use super::super::{Amiss, Basis, Wanted, Words, read_by};
use super::asked::{
    AHEAD_LEFT, AHEAD_RIGHT, ALONG, HEAD_FROM_LEFT, HEAD_FROM_RIGHT, JOINT, LEFT, MARKS_ERROR,
    PLACE, RIGHT, TAIL_FROM_LEFT, TAIL_FROM_RIGHT, WIDTH, X_ERROR,
};
use super::skew::mean_diagonal_m;
use super::{MiddleMark, Skew, from_diagonals, from_marks};
use crate::say;

/// The splicing text asks for at least so much along both edges, m.
const SHORT_M: f64 = 1.27;
/// No joint lies steeper to its belt, rad.
const STEEPEST: f64 = 1.2;

/// How the joint lies to the belt behind it and ahead of it.
pub(super) struct Measured {
    pub(super) width_m: f64,
    pub(super) behind: Option<Skew>,
    pub(super) ahead: Option<Skew>,
    pub(super) mark: Basis,
    pub(super) notes: Vec<Words>,
}

/// The marks along the string.
struct Marks {
    behind: Vec<MiddleMark>,
    ahead: Vec<MiddleMark>,
    widths_m: Vec<f64>,
}

fn marked(asked: &Asked, joint_m: f64) -> Result<Marks, Amiss> {
    let mut marks = Marks { behind: Vec::new(), ahead: Vec::new(), widths_m: Vec::new() };
    let mut last: Option<f64> = None;
    for row in asked.rows() {
        let along_m = row.must(&PLACE)?;
        if last.is_some_and(|last| along_m - last < 0.01) {
            return Err(row.amiss(
                &PLACE,
                say!(
                    "each mark must lie further along than the one before it: put them in order, none twice"
                ),
            ));
        }
        last = Some(along_m);
        let (left_m, right_m) = (row.must(&LEFT)?, row.must(&RIGHT)?);
        if left_m + right_m < 0.01 {
            return Err(row.amiss(
                &LEFT,
                say!(
                    "the string must lie on the belt, between its edges: measure to both edges again"
                ),
            ));
        }
        marks.widths_m.push(left_m + right_m);
        let mark = MiddleMark { along_m, middle_m: (left_m - right_m) / 2.0 };
        if along_m < joint_m {
            marks.behind.push(mark);
        } else {
            marks.ahead.push(mark);
        }
    }
    Ok(marks)
}

/// The belt's width by the marks, and what is to be said of it.
fn width_m(widths_m: &[f64], error_m: f64) -> Result<(f64, Vec<Words>), Amiss> {
    let width_m = widths_m.iter().sum::<f64>() / widths_m.len() as f64;
    if !width_m.is_finite() {
        return Err(Amiss::all(say!("no marks: measure the edges at three places at least")));
    }
    let odd = widths_m.iter().position(|width| (width - width_m).abs() > 0.1 * width_m);
    if let Some(row) = odd {
        return Err(Amiss::at(
            row,
            LEFT.key,
            say!(
                "both edges together make a belt far from as wide as at the other marks: measure here again"
            ),
        ));
    }
    let most = widths_m.iter().copied().fold(f64::MIN, f64::max);
    let least = widths_m.iter().copied().fold(f64::MAX, f64::min);
    let mut notes = Vec::new();
    if most - least > (0.01 * width_m).max(4.0 * error_m) {
        notes.push(say!(
            "The belt's width differs by ",
            length(most - least),
            " between marks: an edge is worn or cut there, and the middle may be off."
        ));
    }
    Ok((width_m, notes))
}

/// By marks of the belt's middle line.
pub(super) fn marks(asked: &Asked) -> Result<Measured, Amiss> {
    let error_m = asked.error(&MARKS_ERROR, &read_by::STRING)?;
    let joint_m = asked.must(&JOINT)?;
    let lead_m = asked.must(&AHEAD_LEFT)? - asked.must(&AHEAD_RIGHT)?;
    let marks = marked(asked, joint_m)?;
    let (width_m, notes) = width_m(&marks.widths_m, error_m)?;
    if lead_m.abs() > 2.0 * width_m {
        return Err(Amiss::with(
            AHEAD_LEFT.key,
            say!(
                "the joint cannot slant by more than twice the belt's width: read both ends again"
            ),
        ));
    }
    let skew = |marks: &[MiddleMark]| from_marks(marks, lead_m, width_m, error_m);
    let (behind, ahead) = (skew(&marks.behind), skew(&marks.ahead));
    if [&behind, &ahead].into_iter().flatten().any(|skew| skew.angle_rad.abs() > STEEPEST) {
        return Err(Amiss::all(say!(
            "the middles run far off along the belt: check that places are along the string and edges across it"
        )));
    }
    let mark = Basis::Derived("least squares through the middles of the belt");
    Ok(Measured { width_m, behind, ahead, mark, notes })
}

/// Which side of the joint an X lies on.
#[derive(Clone, Copy, PartialEq)]
enum Toward {
    Tail,
    Head,
}

/// By diagonals over the same length along both edges.
pub(super) fn diagonals(asked: &Asked) -> Result<Measured, Amiss> {
    let (along_m, width_m) = (asked.must(&ALONG)?, asked.must(&WIDTH)?);
    let mut x =
        X { along_m, width_m, error_m: asked.error(&X_ERROR, &read_by::TAPE)?, notes: Vec::new() };
    let tail_m = (asked.must(&TAIL_FROM_LEFT)?, asked.must(&TAIL_FROM_RIGHT)?);
    let behind = x.skew(tail_m, Toward::Tail)?;
    let alone = |wanted: &Wanted| {
        let words = say!("one diagonal toward the head alone tells nothing: measure this one too");
        Err(Amiss::with(wanted.key, words))
    };
    let ahead = match (asked.may(&HEAD_FROM_LEFT)?, asked.may(&HEAD_FROM_RIGHT)?) {
        (Some(left_m), Some(right_m)) => Some(x.skew((left_m, right_m), Toward::Head)?),
        (None, None) => None,
        (None, Some(_)) => return alone(&HEAD_FROM_LEFT),
        (Some(_), None) => return alone(&HEAD_FROM_RIGHT),
    };
    let mut notes = x.notes;
    if along_m < SHORT_M {
        notes.push(say!(
            "The length along the edges is short. The splicing text asks for at least ",
            length(SHORT_M),
            "."
        ));
    }
    notes.push(say!("Diagonals rest on the edges: where one is worn or cut, measure from the middle line instead."));
    let mark = Basis::Derived("the law of cosines for a figure with equal opposite sides");
    Ok(Measured { width_m, behind: Some(behind), ahead, mark, notes })
}

/// An X over the belt.
struct X {
    along_m: f64,
    width_m: f64,
    error_m: f64,
    notes: Vec<Words>,
}

impl X {
    fn skew(&mut self, x_m: (f64, f64), toward: Toward) -> Result<Skew, Amiss> {
        let Self { along_m, width_m, error_m, .. } = *self;
        let key = if toward == Toward::Tail { TAIL_FROM_LEFT.key } else { HEAD_FROM_LEFT.key };
        // Across its slant the joint is longer than the belt is wide.
        let possible = |skew: &Skew| {
            let joint_m = width_m / skew.angle_rad.cos();
            let (most_m, least_m) = (along_m + joint_m, (along_m - joint_m).abs());
            let between = least_m - error_m..=most_m + error_m;
            skew.angle_rad.abs() < STEEPEST && between.contains(&x_m.0) && between.contains(&x_m.1)
        };
        let skew = from_diagonals(along_m, width_m, x_m, toward == Toward::Tail, error_m);
        let Some(skew) = skew.filter(possible) else {
            let words = say!(
                "there is no belt with these two diagonals, this length and this width: measure all again"
            );
            return Err(Amiss::with(key, words));
        };
        // In such a figure the mean square of the diagonals is settled by the sides.
        let mean_m = (x_m.0 * x_m.0 / 2.0 + x_m.1 * x_m.1 / 2.0).sqrt();
        let should_m = mean_diagonal_m(along_m, width_m, skew.angle_rad);
        let off_m = (mean_m - should_m).abs();
        if off_m > (0.02 * should_m).max(4.0 * error_m) {
            let words = say!(
                "the diagonals do not fit the length and width: they should be about ",
                length(should_m),
                ". Measure all again"
            );
            return Err(Amiss::with(key, words));
        }
        if off_m > 4.0 * error_m {
            self.notes.push(say!(
                "The diagonals fit the length and width badly: they should be about ",
                length(should_m),
                ". A length, the width or an edge is not as typed."
            ));
        }
        Ok(skew)
    }
}
