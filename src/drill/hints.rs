//! What measuring and sighting show of the parts that are out of order: sides, and whether they are.
//!
//! A question is answered here only if the parts settle it.

use crate::trade::{End, Strand};
use std::cmp::Ordering;

use crate::gauge::tension::sag_share;
use crate::mechanics::{Fault, Line};
use crate::rulebook::model::Meaning;

/// Less than this nobody measures on a conveyor, m.
const TELL_M: f64 = 0.002;
/// Less than this nobody measures, as an angle.
const TELL_RAD: f64 = 0.0015;
/// The dip of the return strand, as a share of the roll spacing, that is usual: from the rule book's own words.
const USUAL_SAG: (f64, f64) = (0.008, 0.025);

/// The parts of a conveyor that are out of order.
pub(super) struct Parts<'f> {
    faults: &'f [Fault],
    line: &'f Line,
}

/// The side of a size, left being positive; below `tell` it is neither.
fn sided(size: f64, tell: f64) -> Meaning {
    if size.abs() < tell {
        Meaning::Neither
    } else if size > 0.0 {
        Meaning::Left
    } else {
        Meaning::Right
    }
}

// What each kind of part counts as, left being positive; nothing for all others.
fn frame_lean(fault: &Fault) -> f64 {
    match *fault {
        Fault::LowFrame { left_low_rad, .. } => left_low_rad,
        _ => 0.0,
    }
}

fn off_centre(fault: &Fault) -> f64 {
    match *fault {
        Fault::OffCentre { left_m, .. } | Fault::BentFrame { left_m, .. } => left_m,
        _ => 0.0,
    }
}

fn pulley_lean(fault: &Fault) -> f64 {
    match *fault {
        Fault::LowPulley { left_low_rad, .. } => left_low_rad,
        _ => 0.0,
    }
}

fn load(fault: &Fault) -> f64 {
    match *fault {
        Fault::OffCentreLoad { left_m } => left_m,
        _ => 0.0,
    }
}

fn wind(fault: &Fault) -> f64 {
    match *fault {
        Fault::Wind { left_n_per_m, .. } => left_n_per_m,
        _ => 0.0,
    }
}

fn kink(fault: &Fault) -> f64 {
    match *fault {
        Fault::CrookedSplice { kink_rad, .. } => kink_rad,
        _ => 0.0,
    }
}

fn cake(fault: &Fault) -> f64 {
    match *fault {
        Fault::CakedRoll { left_thicker_m, .. } => left_thicker_m,
        _ => 0.0,
    }
}

impl<'f> Parts<'f> {
    pub(super) fn new(faults: &'f [Fault], line: &'f Line) -> Self {
        Self { faults, line }
    }

    /// Of a set against its neighbours: where the frame leans all of them lean alike, and that is the frame's.
    pub(super) fn low_idler_end(&self) -> Meaning {
        let lean = self.largest(|fault| match *fault {
            Fault::Leaning { left_low_rad, .. } => left_low_rad,
            _ => 0.0,
        });
        sided(lean, TELL_RAD)
    }

    pub(super) fn low_frame_side(&self) -> Meaning {
        sided(self.largest(frame_lean), TELL_RAD)
    }

    pub(super) fn low_pulley_end(&self) -> Meaning {
        sided(self.largest(pulley_lean), TELL_RAD)
    }

    pub(super) fn stand_off_centre(&self) -> bool {
        self.largest(off_centre).abs() >= TELL_M
    }

    /// Of the end pulley at the place where the belt is worst; elsewhere of the one that is more out of square.
    pub(super) fn pulley_nearer_side(&self, place: Option<Meaning>) -> Meaning {
        sided(self.pulley_measured(place).1, TELL_RAD)
    }

    /// The bearing that is further out stands further from the other end.
    pub(super) fn slack_screw(&self) -> Meaning {
        sided(-self.screws(), TELL_M)
    }

    pub(super) fn heavy_side(&self) -> Meaning {
        sided(self.largest(load), TELL_M)
    }

    /// It blows from the side that it pushes away from; none if nothing pushes.
    pub(super) fn wind_from(&self) -> Option<Meaning> {
        let push = self.largest(wind);
        (push != 0.0).then(|| sided(-push, 0.0))
    }

    pub(super) fn crooked_splice(&self) -> bool {
        self.largest(kink).abs() >= TELL_RAD
    }

    pub(super) fn caked_roll(&self) -> bool {
        self.largest(cake).abs() > 0.0
    }

    /// How deep the return strand hangs under this pull, N.
    pub(super) fn return_sag(&self, pull_n: f64) -> Meaning {
        let stations = &self.line.ret.stations_m;
        let pitch_m = match stations.as_slice() {
            [first, second, ..] => second - first,
            _ => self.line.centres_m,
        };
        let share = sag_share(self.line.belt.mass_kg_per_m, pitch_m, pull_n);
        if share < USUAL_SAG.0 {
            Meaning::TooLittle
        } else if share > USUAL_SAG.1 {
            Meaning::TooMuch
        } else {
            Meaning::Usual
        }
    }

    fn largest(&self, size: fn(&Fault) -> f64) -> f64 {
        let sizes = self.faults.iter().map(size);
        sizes.fold(0.0, |a, b| if b.abs() > a.abs() { b } else { a })
    }

    /// The end of the most skewed idler that the belt meets first.
    pub(super) fn first_met(&self) -> Meaning {
        let skews = self.faults.iter().map(|fault| match *fault {
            Fault::Skewed { strand, skew_rad, .. } => (strand, skew_rad),
            Fault::RackedFrame { skew_rad, .. } => (Strand::Carry, skew_rad),
            _ => (Strand::Carry, 0.0),
        });
        let most = skews.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        // The end nearer to where the belt comes from is met first.
        let met = most.map_or(0.0, |(strand, skew)| -self.line.travel(strand) * skew);
        sided(met, TELL_RAD)
    }

    /// Whether several idlers are out of square, some each way.
    pub(super) fn trimmed_both_ways(&self) -> bool {
        let way = |sign: f64| {
            let skewed = |fault: &&Fault| matches!(fault, Fault::Skewed { skew_rad, .. } if sign * skew_rad >= TELL_RAD);
            self.faults.iter().filter(skewed).count()
        };
        let (one, other) = (way(1.0), way(-1.0));
        one > 0 && other > 0 && one + other >= 3
    }

    pub(super) fn frame(&self) -> Meaning {
        let bent = self.largest(|fault| match *fault {
            Fault::BentFrame { left_m, .. } => left_m,
            _ => 0.0,
        });
        let racked = self.largest(|fault| match *fault {
            Fault::RackedFrame { skew_rad, .. } => skew_rad,
            _ => 0.0,
        });
        if bent.abs() >= TELL_M {
            Meaning::Bowed
        } else if racked.abs() >= TELL_RAD {
            Meaning::Racked
        } else {
            Meaning::Straight
        }
    }

    /// Left screw out less right screw out, m.
    fn screws(&self) -> f64 {
        let uneven = self.faults.iter().map(|fault| match *fault {
            Fault::Screws { left_m, right_m } => left_m - right_m,
            _ => 0.0,
        });
        uneven.sum()
    }

    /// The end pulley that is measured, and by how much its left side is nearer to the other end, as an angle.
    pub(super) fn pulley_measured(&self, place: Option<Meaning>) -> (End, f64) {
        let skew = |at: End| -> f64 {
            let skews = self.faults.iter().map(|fault| match *fault {
                Fault::SkewedPulley { end, skew_rad } if end == at => skew_rad,
                _ => 0.0,
            });
            skews.sum()
        };
        let tail = skew(End::Tail) - self.screws() / self.line.take_up.bearing_centres_m;
        let head = -skew(End::Head);
        match (place, tail.abs().partial_cmp(&head.abs())) {
            (Some(Meaning::Tail | Meaning::LoadZone | Meaning::TakeUp), _) => (End::Tail, tail),
            (Some(Meaning::Head), _) => (End::Head, head),
            (_, Some(Ordering::Less)) => (End::Head, head),
            (_, _) => (End::Tail, tail),
        }
    }

    pub(super) fn bow(&self) -> Meaning {
        let bows = |sign: f64| {
            self.faults
                .iter()
                .any(|fault| matches!(fault, Fault::Camber { per_m, .. } if sign * per_m > 0.0))
        };
        match (bows(1.0), bows(-1.0)) {
            (false, false) => Meaning::Straight,
            (true, true) => Meaning::Opposed,
            _ => Meaning::OneWay,
        }
    }

    pub(super) fn crown(&self) -> Option<Meaning> {
        let crowned = self.line.tail.crown_m > 0.0 || self.line.head.crown_m > 0.0;
        let worn = self.largest(|fault| match *fault {
            Fault::WornCrown { share, .. } => share,
            _ => 0.0,
        });
        if worn >= 0.5 {
            Some(Meaning::Worn)
        } else {
            // A crown that is wrong for its belt is no part of the model.
            (crowned && worn > 0.0).then_some(Meaning::AsDrawn)
        }
    }
}
