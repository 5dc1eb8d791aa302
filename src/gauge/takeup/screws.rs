//! The positions of both take-up bearings.

use super::super::Amiss;
use super::super::asked::length;
use super::key;
use crate::say;
use crate::trade::Side;

/// No pulley stands further askew than this, rad: a reading is wrong.
const STEEPEST: f64 = 0.1;
/// No take-up differs by more than this, m: a reading is wrong.
const LARGEST_LEAD: f64 = 0.3;

/// Readings of both sides. Positions count how far out a bearing stands, from marks alike on both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Screws {
    /// The left bearing.
    pub left_m: f64,
    /// The right bearing.
    pub right_m: f64,
    /// Both at the last reading.
    pub before: Option<(f64, f64)>,
    /// How far off one reading may be.
    pub error_m: f64,
}

impl Screws {
    /// How much further out the left bearing stands; below nothing when it is the right one.
    pub fn lead_m(&self) -> f64 {
        self.left_m - self.right_m
    }

    /// How far off the lead may be: the errors of two readings, added as squares.
    pub fn lead_error_m(&self) -> f64 {
        self.error_m * 2.0_f64.sqrt()
    }

    /// How far the middle of the pulley has moved out since the last reading. Its error is that of one reading, as
    /// four are halved and added as squares.
    pub fn moved_m(&self) -> Option<f64> {
        let (left_m, right_m) = self.before?;
        Some((self.left_m - left_m + self.right_m - right_m) / 2.0)
    }

    /// The side whose bearing stands nearer the other end of the conveyor: the slack side.
    pub fn nearer(&self) -> Option<Side> {
        Side::of_sign(-self.lead_m())
    }
}

/// Whether the positions can be.
///
/// # Errors
/// They cannot: what to measure again.
pub(super) fn check(screws: &Screws, bearing_centres_m: Option<f64>) -> Result<(), Amiss> {
    let most =
        bearing_centres_m.map_or(LARGEST_LEAD, |centres| (centres * STEEPEST).min(LARGEST_LEAD));
    if screws.lead_m().abs() > most {
        return Err(Amiss::with(
            key::RIGHT,
            say!(
                "The sides would differ by ",
                length(screws.lead_m().abs()),
                ", which no take-up does: measure both again, from marks that lie alike."
            ),
        ));
    }
    if let Some(moved) = screws.moved_m()
        && moved.abs() > 10.0
    {
        return Err(Amiss::with(
            key::LEFT_BEFORE,
            say!("No take-up moves that far: check the last readings and their unit."),
        ));
    }
    Ok(())
}
