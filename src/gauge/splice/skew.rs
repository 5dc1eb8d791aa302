//! The joint's skew from marks and from diagonals.

use super::super::fit::{Line, least_squares};

/// How the joint lies to the belt on one side of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Skew {
    /// From square, above nothing when the LEFT end is nearer the head.
    pub angle_rad: f64,
    /// How far the reading error may have put it off.
    pub error_rad: f64,
    /// How far it may have put the belt's own line off: the readings at the joint itself do not count in that.
    pub line_error_rad: f64,
}

/// A mark of the belt's middle line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MiddleMark {
    /// Its place along the string.
    pub along_m: f64,
    /// How far left of the string the middle of the belt lies.
    pub middle_m: f64,
}

/// The joint's skew to the middle line through marks on one side of it; the joint's LEFT end lies `lead_m` ahead of
/// its right end, square to the string, over `width_m`. Nothing with fewer than two different marks.
///
/// The error is a root sum of squares: two readings at the joint and the slope of the line, for which the scatter
/// of the marks counts if it is more than the reading error.
pub fn from_marks(marks: &[MiddleMark], lead_m: f64, width_m: f64, error_m: f64) -> Option<Skew> {
    let points: Vec<(f64, f64)> = marks.iter().map(|mark| (mark.along_m, mark.middle_m)).collect();
    let fit = least_squares(&points)?;
    let Line { slope, .. } = fit.line;
    let count = points.len() as f64;
    let centre_m = points.iter().map(|(along, _)| along).sum::<f64>() / count;
    let spread_m2: f64 = points.iter().map(|(along, _)| (along - centre_m).powi(2)).sum();
    // A middle is half of the difference of two readings.
    let read = error_m / 2.0_f64.sqrt() / spread_m2.sqrt();
    let scattered = fit.errors.map_or(0.0, |(_, slope)| slope);
    let at_joint = 2.0_f64.sqrt() * error_m / width_m;
    let line_error_rad = read.max(scattered);
    Some(Skew {
        angle_rad: (lead_m / width_m).atan() + slope.atan(),
        error_rad: at_joint.hypot(line_error_rad),
        line_error_rad,
    })
}

/// The departure from a right angle of a four-sided figure with equal opposite sides, from its sides and diagonals:
/// the sine is `(long² - short²)/(4 a b)`. Nothing if there is no such figure.
pub fn off_square_rad(side_m: f64, other_side_m: f64, long_m: f64, short_m: f64) -> Option<f64> {
    let sine = (long_m - short_m) * (long_m + short_m) / (4.0 * side_m * other_side_m);
    (sine.abs() < 1.0).then(|| sine.asin())
}

/// The joint's skew from the X on one side of it; `from_left_m` is the diagonal from its LEFT end, toward the tail
/// or toward the head. The edges are straight and `width_m` apart, so the longer the joint slants the longer it is,
/// and the tangent of the skew is `(long² - short²)/(4 a b)`. The error is the root sum of squares of both diagonals'.
/// Nothing if there is no such figure.
pub fn from_diagonals(
    along_m: f64,
    width_m: f64,
    (from_left_m, from_right_m): (f64, f64),
    toward_tail: bool,
    error_m: f64,
) -> Option<Skew> {
    let tangent =
        (from_left_m - from_right_m) * (from_left_m + from_right_m) / (4.0 * along_m * width_m);
    let angle_rad = tangent.atan();
    let error_rad = from_left_m.hypot(from_right_m) * error_m / (2.0 * along_m * width_m)
        * angle_rad.cos().powi(2);
    let skew_rad = if toward_tail { angle_rad } else { -angle_rad };
    // The diagonals of one side share no reading with those of the other.
    let skew = Skew { angle_rad: skew_rad, error_rad, line_error_rad: error_rad };
    angle_rad.is_finite().then_some(skew)
}

/// The root mean square of the diagonals of such a figure: the edges are `along_m` long and `width_m` apart, and the joint
/// slants by an angle.
pub(super) fn mean_diagonal_m(along_m: f64, width_m: f64, angle_rad: f64) -> f64 {
    along_m.hypot(width_m / angle_rad.cos())
}
