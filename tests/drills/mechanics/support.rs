//! What several tests share.

use straybelt::mechanics::{Case, Fault, Line, Steady};
use straybelt::trade::Strand;

/// The conveyor of the figures that a separate program found: 24 m.
pub(crate) fn reference() -> Line {
    let mut line = Line::middling(24.0);
    line.ret.stations_m.retain(|x| *x < 24.0 - 0.9);
    line
}

/// Two flat pulleys and nothing between.
pub(crate) fn bare(centres_m: f64, tension_n: f64) -> Line {
    let mut line = Line::middling(centres_m);
    for strand in [Strand::Carry, Strand::Return] {
        line.idlers_mut(strand).stations_m.clear();
        line.idlers_mut(strand).tension_n = tension_n;
    }
    line.tail.crown_m = 0.0;
    line.head.crown_m = 0.0;
    line
}

pub(crate) fn steady(line: &Line, faults: &[Fault]) -> Steady {
    Case::new(line, faults).unwrap().steady().unwrap()
}

#[track_caller]
pub(crate) fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} against {expected} within {tolerance}");
}

/// A return roll out of square.
pub(crate) fn skewed_return(station: usize, skew_rad: f64) -> Fault {
    Fault::Skewed { strand: Strand::Return, station, skew_rad }
}
