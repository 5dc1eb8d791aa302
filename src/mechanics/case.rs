//! A conveyor with its faults, put into the terms of the equations.

use super::faults::Fault;
use super::line::Line;
use super::path::{Path, path};
use super::span::crown_per_m2;
use super::wrong::{Reason, Wrong};
use crate::trade::End;
use crate::trade::Strand;

/// A pulley out of level leads the belt to its low end as if it were skewed by this share of the level error.
/// The direction is published, the share is assumed.
pub const LEVEL_STEERS: f64 = 0.1;
/// Longest element, as a share of the bending length of the strand. Twice as fine, the tail moves by some 1e-5 of its
/// offset.
pub const ELEMENT_SHARE: f64 = 0.7;

/// A conveyor with its faults: what a steady state or a march in time is worked out from.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    pub(super) line: Line,
    pub(super) carry: Path,
    pub(super) ret: Path,
    pub(super) tail: Turn,
    pub(super) head: Turn,
    pub(super) bends: Vec<Bend>,
}

/// One pulley: at which slope the belt enters and leaves, and how it bends on the way in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turn {
    pub(super) enters_rad: f64,
    pub(super) leaves_rad: f64,
    pub(super) crown_per_m2: f64,
    pub(super) cone_per_m: f64,
    pub(super) wrap_m: f64,
}

/// What is bent in the belt itself and travels with it: a kink has `from_m == to_m`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Bend {
    Kink { at_m: f64, angle_rad: f64 },
    Bow { from_m: f64, to_m: f64, per_m: f64 },
}

impl Case {
    /// The conveyor with these faults on it.
    ///
    /// # Errors
    /// The first part that cannot be.
    pub fn new(line: &Line, faults: &[Fault]) -> Result<Self, Wrong> {
        Self::meshed(line, faults, ELEMENT_SHARE)
    }

    /// The same with elements of at most that share of the bending length: for proofs that the mesh is fine enough.
    ///
    /// # Errors
    /// The first part that cannot be.
    pub fn meshed(line: &Line, faults: &[Fault], element_share: f64) -> Result<Self, Wrong> {
        line.check()?;
        for fault in faults {
            fault.check(line)?;
        }
        if element_share.is_nan() || element_share <= 0.0 {
            return Err(Wrong::new(
                Reason::OutOfBounds,
                "mesh",
                format!("elements of {element_share} bending lengths"),
                "Give a share above nothing.",
            ));
        }
        let rise = pull_by_screws(line, faults);
        let longest_m = |strand| element_share * line.bending_length_m(strand);
        Ok(Self {
            carry: path(line, faults, Strand::Carry, rise, longest_m(Strand::Carry))?,
            ret: path(line, faults, Strand::Return, rise, longest_m(Strand::Return))?,
            tail: turn(line, faults, End::Tail),
            head: turn(line, faults, End::Head),
            bends: faults.iter().filter_map(bend).collect(),
            line: line.clone(),
        })
    }

    /// The conveyor that this was made from.
    pub fn line(&self) -> &Line {
        &self.line
    }

    /// Pull in a strand, with what the screws did to it.
    pub fn tension_n(&self, strand: Strand) -> f64 {
        self.path(strand).tension_n
    }

    /// Whether anything holds the belt to a place: a crown, or a trough. Without, it only drifts.
    pub fn holds_a_place(&self) -> bool {
        let springs: f64 = [&self.carry, &self.ret]
            .iter()
            .flat_map(|path| &path.stands)
            .map(|stand| stand.centring_n_per_m)
            .sum();
        springs > 1e-6 || self.tail.crown_per_m2 > 1e-6 || self.head.crown_per_m2 > 1e-6
    }

    pub(super) fn path(&self, strand: Strand) -> &Path {
        match strand {
            Strand::Carry => &self.carry,
            Strand::Return => &self.ret,
        }
    }

    pub(super) fn turn(&self, end: End) -> &Turn {
        match end {
            End::Tail => &self.tail,
            End::Head => &self.head,
        }
    }

    /// The pulley that a strand enters.
    pub(super) fn entered(&self, strand: Strand) -> End {
        if self.path(strand).travel > 0.0 { End::Head } else { End::Tail }
    }

    /// The pulley that a strand leaves.
    pub(super) fn left(&self, strand: Strand) -> End {
        self.entered(strand).other()
    }
}

/// What both screws together did to the pull in each strand: none if the take-up keeps it.
fn pull_by_screws(line: &Line, faults: &[Fault]) -> f64 {
    if line.take_up.keeps_pull {
        return 0.0;
    }
    let out_m: f64 = faults
        .iter()
        .map(|fault| match *fault {
            Fault::Screws { left_m, right_m } => 0.5 * (left_m + right_m),
            _ => 0.0,
        })
        .sum();
    // The belt's path grows by twice that over twice the distance between the pulleys.
    line.belt.modulus_n_per_m * line.belt.width_m * out_m / line.centres_m
}

fn bend(fault: &Fault) -> Option<Bend> {
    match *fault {
        Fault::CrookedSplice { at_m, kink_rad } => Some(Bend::Kink { at_m, angle_rad: kink_rad }),
        Fault::Camber { from_m, to_m, per_m } => Some(Bend::Bow { from_m, to_m, per_m }),
        _ => None,
    }
}

fn turn(line: &Line, faults: &[Fault], at: End) -> Turn {
    let pulley = line.pulley(at);
    let (mut skew, mut low, mut cake, mut crown) = (0.0, 0.0, 0.0, pulley.crown_m);
    for fault in faults {
        match *fault {
            Fault::SkewedPulley { end, skew_rad } if end == at => skew += skew_rad,
            Fault::LowPulley { end, left_low_rad } if end == at => low += left_low_rad,
            Fault::CakedPulley { end, left_thicker_m } if end == at => cake += left_thicker_m,
            Fault::WornCrown { end, share } if end == at => crown *= 1.0 - share,
            Fault::Screws { left_m, right_m } if at == End::Tail => {
                skew -= (left_m - right_m) / line.take_up.bearing_centres_m;
            }
            _ => {}
        }
    }
    // A strand comes to the tail pulley travelling toward the tail, to the head pulley toward the head.
    let enters = match at {
        End::Tail => skew,
        End::Head => -skew,
    };
    Turn {
        enters_rad: enters + LEVEL_STEERS * low,
        leaves_rad: -enters,
        crown_per_m2: crown_per_m2(crown, pulley.face_m, pulley.radius_m),
        cone_per_m: -cake / pulley.face_m / pulley.radius_m,
        wrap_m: std::f64::consts::PI * pulley.radius_m,
    }
}
