//! How the load is shared between the sides after the turn.

use super::Case;
use super::model::Loads;
use crate::trade::Side;

/// Both sides after the turn, the loaded one first.
pub(super) struct Shared {
    pub(super) loads: Loads,
    /// The side that carries more.
    pub(super) tight: Side,
    pub(super) tight_n: f64,
    pub(super) slack_n: f64,
}

impl Shared {
    pub(super) fn new(case: &Case, loads: Loads) -> Self {
        if case.turn.moved_m >= 0.0 {
            Self {
                loads,
                tight: case.side,
                tight_n: loads.moved_side_n,
                slack_n: loads.other_side_n,
            }
        } else {
            Self {
                loads,
                tight: case.side.other(),
                tight_n: loads.other_side_n,
                slack_n: loads.moved_side_n,
            }
        }
    }

    pub(super) fn ratio(&self) -> f64 {
        self.tight_n / self.slack_n
    }

    pub(super) fn left_and_right(&self) -> (f64, f64) {
        match self.tight {
            Side::Left => (self.tight_n, self.slack_n),
            Side::Right => (self.slack_n, self.tight_n),
        }
    }
}
