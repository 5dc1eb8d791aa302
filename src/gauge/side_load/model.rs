//! How the pull of the belt is shared between the two bearings when one take-up screw is moved.
//!
//! Two pulleys, parallel strands, both screws set alike before. Moving one screw by `d` moves the middle of the
//! pulley by `d/2`, which stretches the belt, and turns the pulley by `d/B`, which bends each strand in its own
//! plane. The bending moments of both strands are carried by the two bearings. No measurement of this is published;
//! the formula is our own.

use super::super::beam::TightStrand;
use super::super::{Amiss, tension};
use super::key;
use crate::say;

/// The pulley is turned by no more than this, rad: beyond it a reading is wrong.
const STEEPEST: f64 = 0.1;

/// One take-up screw moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Belt width.
    pub width_m: f64,
    /// Between the two bearings.
    pub bearing_centres_m: f64,
    /// Between the two end pulleys.
    pub centres_m: f64,
    /// Belt modulus.
    pub modulus_n_per_m: f64,
    /// Load on each screw before, both alike; it is also the pull in each strand.
    pub load_n: f64,
    /// How far the screw moves its bearing out; below nothing when it is slackened.
    pub moved_m: f64,
    /// Whether a weight or spring keeps the mean tension as it was.
    pub tension_kept: bool,
}

/// What becomes of the loads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loads {
    /// How far the pulley turns: the tangent of the angle.
    pub skew_rad: f64,
    /// Rise of the pull in each strand, and of the mean load of a side.
    pub mean_rise_n: f64,
    /// What the skew adds to the moved side and takes from the other.
    pub skew_part_n: f64,
    /// Length of belt over which the skew is absorbed.
    pub absorbed_m: f64,
    /// Load on the side whose screw was moved.
    pub moved_side_n: f64,
    /// Load on the other side.
    pub other_side_n: f64,
    /// Pull in each strand.
    pub strand_n: f64,
    /// Pull per width at the tight edge, where the strand leaves the pulley.
    pub tight_edge_n_per_m: f64,
    /// The same at the slack edge; nothing when it hangs slack.
    pub slack_edge_n_per_m: f64,
    /// Whether the slack edge hangs slack, so that the loads are an upper bound.
    pub edge_slack: bool,
}

impl Turn {
    /// Works the loads out.
    ///
    /// # Errors
    /// What is impossible, by the key of the reading.
    pub fn loads(&self) -> Result<Loads, Amiss> {
        self.check()?;
        let mean_rise_n = if self.tension_kept {
            0.0
        } else {
            tension::rise_n(self.modulus_n_per_m, self.width_m, self.moved_m / 2.0, self.centres_m)
        };
        let strand = TightStrand {
            width_m: self.width_m,
            modulus_n_per_m: self.modulus_n_per_m,
            tension_n: self.load_n + mean_rise_n,
            length_m: self.centres_m,
        };
        if strand.tension_n <= 0.0 {
            return Err(Amiss::with(
                key::MOVED,
                say!("Slackened so far, the belt hangs loose and carries nothing: give less."),
            ));
        }
        let skew_rad = self.moved_m / self.bearing_centres_m;
        let moment_nm = strand.end_moment_nm(skew_rad);
        // The pull of a belt cannot lie outside its own edge, whatever the formula for a whole belt says.
        let most_nm = strand.tension_n * self.width_m / 2.0;
        let skew_part_n = 2.0 * moment_nm.clamp(-most_nm, most_nm) / self.bearing_centres_m;
        let (tight, slack) = strand.edges_n_per_m(moment_nm.abs());
        let loads = Loads {
            skew_rad,
            mean_rise_n,
            skew_part_n,
            absorbed_m: strand.absorbed_m(),
            moved_side_n: strand.tension_n + skew_part_n,
            other_side_n: strand.tension_n - skew_part_n,
            strand_n: strand.tension_n,
            tight_edge_n_per_m: tight,
            slack_edge_n_per_m: slack.max(0.0),
            edge_slack: moment_nm.abs() > strand.slack_moment_nm(),
        };
        if loads.moved_side_n.is_finite() && loads.other_side_n.is_finite() && tight.is_finite() {
            Ok(loads)
        } else {
            Err(Amiss::all(say!("These sizes are beyond all sense: check their units.")))
        }
    }

    /// The load on the moved side when guides or a bed that sticks hold the strand sideways: the skew part grows up
    /// to four times, but the pull stays inside the belt's edge.
    pub fn held_sideways_n(&self, loads: &Loads) -> f64 {
        let most_n = loads.strand_n * self.width_m / self.bearing_centres_m;
        loads.strand_n + (4.0 * loads.skew_part_n.abs()).min(most_n)
    }

    fn check(&self) -> Result<(), Amiss> {
        let sizes = [
            (key::WIDTH, self.width_m),
            (key::BEARING_CENTRES, self.bearing_centres_m),
            (key::CENTRES, self.centres_m),
            (key::MODULUS, self.modulus_n_per_m),
            (key::LOAD, self.load_n),
        ];
        for (key, size) in sizes {
            if !(size.is_finite() && size > 0.0) {
                return Err(Amiss::with(key, say!("This must be more than 0: type it again.")));
            }
        }
        if self.width_m >= self.bearing_centres_m {
            return Err(Amiss::with(
                key::BEARING_CENTRES,
                say!(
                    "The bearings would stand closer together than the belt is wide: measure both again."
                ),
            ));
        }
        if !self.moved_m.is_finite() || (self.moved_m / self.bearing_centres_m).abs() > STEEPEST {
            return Err(Amiss::with(
                key::MOVED,
                say!("No screw is moved that far on one side: check the figure and its unit."),
            ));
        }
        Ok(())
    }
}

/// How far off centre a belt has to run to share the load as unequally as a ratio of two loads.
pub fn off_centre_m(ratio: f64, bearing_centres_m: f64) -> f64 {
    bearing_centres_m / 2.0 * (ratio - 1.0) / (ratio + 1.0)
}
