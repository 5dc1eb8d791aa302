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

/// All ends of the ranges of the inputs: the movement misread, the load not weighed, the modulus estimated.
fn ends(case: &Case) -> Vec<Case> {
    let mut ends = Vec::with_capacity(8);
    for moved_m in [-case.error_m, case.error_m] {
        for load in [1.0 - case.load_off, 1.0 + case.load_off] {
            for modulus in [case.estimate.softest, 1.0] {
                let mut other = *case;
                other.turn.moved_m += moved_m;
                other.turn.load_n *= load;
                other.turn.modulus_n_per_m *= modulus;
                ends.push(other);
            }
        }
    }
    ends
}

/// Both sides at all those ends, the tight side being the one that it is after the turn.
pub(super) fn spread_over(case: &Case, after: &Shared) -> Spread {
    let mut spread = Spread {
        tight: (after.tight_n, after.tight_n),
        slack: (after.slack_n, after.slack_n),
        slopes: Vec::new(),
    };
    for end in ends(case) {
        let Ok(loads) = end.turn.loads() else {
            continue;
        };
        let (tight, slack) = if after.tight == case.side {
            (loads.moved_side_n, loads.other_side_n)
        } else {
            (loads.other_side_n, loads.moved_side_n)
        };
        // Guides or a bed that sticks load the tight side most of all.
        let held = if end.turn.moved_m == 0.0 { tight } else { end.turn.held_sideways_n(&loads) };
        spread.tight = (spread.tight.0.min(tight), spread.tight.1.max(tight).max(held));
        spread.slack = (spread.slack.0.min(slack), spread.slack.1.max(slack));
        spread.slopes.extend(case.shaft.map(|pulley| pulley.slope_unequal(tight, slack)));
    }
    spread
}

/// What the ranges of the inputs come to.
pub(super) struct Spread {
    /// Least and most on the tight side.
    pub(super) tight: (f64, f64),
    /// Least and most on the other.
    pub(super) slack: (f64, f64),
    slopes: Vec<f64>,
}

impl Spread {
    /// How far a number may be off that lies between these, the worse way.
    pub(super) fn off(at: f64, (least, most): (f64, f64)) -> f64 {
        (most - at).max(at - least).max(0.0)
    }

    pub(super) fn slope_off(&self, at: f64) -> f64 {
        self.slopes.iter().map(|slope| (slope - at).abs()).fold(0.0, f64::max)
    }
}
