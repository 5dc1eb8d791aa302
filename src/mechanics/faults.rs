//! What can be wrong with a conveyor, with its size.
//!
//! Left is positive. A skew or yaw is positive when the LEFT end lies nearer to the head. A level error is
//! positive when the LEFT end is low. Stations count from the tail, beginning with 0.

use super::line::Line;
use super::wrong::{Reason, Wrong, within};
use crate::trade::End;
use crate::trade::Strand;

/// Which part of an idler set no longer turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seized {
    /// All of it.
    Whole,
    /// The left wing roll.
    LeftWing,
    /// The right wing roll.
    RightWing,
}

/// One thing that is wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// An idler set out of square.
    Skewed {
        /// Which strand.
        strand: Strand,
        /// Which set, counted from the tail, the first is 0.
        station: usize,
        /// Positive: left end nearer to the head.
        skew_rad: f64,
    },
    /// An idler stand out of the middle.
    OffCentre {
        /// Which strand.
        strand: Strand,
        /// Which set, counted from the tail, the first is 0.
        station: usize,
        /// To the left.
        left_m: f64,
    },
    /// An idler set that stands high (or, below nothing, low): the belt presses on it more, or less.
    High {
        /// Which strand.
        strand: Strand,
        /// Which set, counted from the tail, the first is 0.
        station: usize,
        /// Upward.
        by_m: f64,
    },
    /// An idler set that leans across.
    Leaning {
        /// Which strand.
        strand: Strand,
        /// Which set, counted from the tail, the first is 0.
        station: usize,
        /// Positive: left end low.
        left_low_rad: f64,
    },
    /// Cake on a roll: its radius is larger at the left end of the belt than at the right end by so much.
    CakedRoll {
        /// Which strand.
        strand: Strand,
        /// Which set, counted from the tail, the first is 0.
        station: usize,
        /// Radius at the left less radius at the right.
        left_thicker_m: f64,
    },
    /// A roll that no longer turns.
    SeizedRoll {
        /// Which strand.
        strand: Strand,
        /// Which set, counted from the tail, the first is 0.
        station: usize,
        /// Which part.
        which: Seized,
    },
    /// A stretch of frame bent sideways in one smooth bow: its stands go with it, and turn with it.
    BentFrame {
        /// Where it begins, metres from the tail.
        from_m: f64,
        /// Where it ends, metres from the tail.
        to_m: f64,
        /// To the left.
        left_m: f64,
    },
    /// A stretch of frame racked: one side pushed along, so every stand in it is out of square.
    RackedFrame {
        /// Where it begins, metres from the tail.
        from_m: f64,
        /// Where it ends, metres from the tail.
        to_m: f64,
        /// Positive: left end nearer to the head.
        skew_rad: f64,
    },
    /// A stretch of frame with one side low.
    LowFrame {
        /// Where it begins, metres from the tail.
        from_m: f64,
        /// Where it ends, metres from the tail.
        to_m: f64,
        /// Positive: left end low.
        left_low_rad: f64,
    },
    /// A pulley out of square.
    SkewedPulley {
        /// Which pulley.
        end: End,
        /// Positive: left end nearer to the head.
        skew_rad: f64,
    },
    /// A pulley out of level.
    LowPulley {
        /// Which pulley.
        end: End,
        /// Positive: left end low.
        left_low_rad: f64,
    },
    /// Cake on a pulley, or uneven lagging: its radius is larger at the left end of the face by so much.
    CakedPulley {
        /// Which pulley.
        end: End,
        /// Radius at the left less radius at the right.
        left_thicker_m: f64,
    },
    /// A crown of which this share is worn away, 0 to 1.
    WornCrown {
        /// Which pulley.
        end: End,
        /// 0 as new, 1 flat.
        share: f64,
    },
    /// A crooked splice: the belt ahead of it points to the left of the belt behind it by that angle.
    CrookedSplice {
        /// Metres of belt behind mark 0.
        at_m: f64,
        /// To the left.
        kink_rad: f64,
    },
    /// A stretch of belt that lies in a bow: curvature, positive when its edge bends to the left as it travels.
    Camber {
        /// Where it begins, metres of belt behind mark 0.
        from_m: f64,
        /// Where it ends, metres of belt behind mark 0.
        to_m: f64,
        /// One over the radius of the bow.
        per_m: f64,
    },
    /// The load lies to the left of the middle of the belt by so much.
    OffCentreLoad {
        /// To the left.
        left_m: f64,
    },
    /// The take-up screws moved: each out, away from the head, by so much since the pull was as the line says.
    Screws {
        /// Left screw, out.
        left_m: f64,
        /// Right screw, out.
        right_m: f64,
    },
    /// Wind, or anything else that pushes evenly to the left, on a stretch of a strand.
    Wind {
        /// Which strand.
        strand: Strand,
        /// Where it begins, metres from the tail.
        from_m: f64,
        /// Where it ends, metres from the tail.
        to_m: f64,
        /// To the left.
        left_n_per_m: f64,
    },
    /// Something that pushes at one station: a plough, a skirt, a cleaner.
    SidePush {
        /// Which strand.
        strand: Strand,
        /// Which set, counted from the tail, the first is 0.
        station: usize,
        /// To the left.
        left_n: f64,
    },
}

/// Most that an idler or pulley may be out of square, or a part out of level.
pub const MOST_ANGLE_RAD: f64 = 0.2;
/// Most that a part may be out of the middle, or a frame bent.
pub const MOST_OFFSET_M: f64 = 0.5;
/// Most that a set may stand high or low.
pub const MOST_HEIGHT_M: f64 = 0.1;
/// Most difference of radius by cake.
pub const MOST_CAKE_M: f64 = 0.1;
/// Most that a screw may have been moved.
pub const MOST_SCREW_M: f64 = 0.5;
/// Most kink of a splice.
pub const MOST_KINK_RAD: f64 = 0.1;
/// Most curvature of a belt.
pub const MOST_CAMBER_PER_M: f64 = 0.05;
/// Most push, per metre or at one place.
pub const MOST_PUSH_N: f64 = 1e5;

impl Fault {
    /// What it is about, as errors name it.
    pub fn part(&self) -> String {
        let nth = |strand: Strand, station: usize| {
            format!("{strand} {} from the tail", station.saturating_add(1))
        };
        let stretch = |what: &str, from: f64, to: f64| format!("{what} from {from} to {to} m");
        match *self {
            Self::Skewed { strand, station, .. }
            | Self::OffCentre { strand, station, .. }
            | Self::High { strand, station, .. }
            | Self::Leaning { strand, station, .. }
            | Self::CakedRoll { strand, station, .. }
            | Self::SeizedRoll { strand, station, .. } => nth(strand, station),
            Self::SidePush { strand, station, .. } => format!("push at {}", nth(strand, station)),
            Self::BentFrame { from_m, to_m, .. }
            | Self::RackedFrame { from_m, to_m, .. }
            | Self::LowFrame { from_m, to_m, .. } => stretch("frame", from_m, to_m),
            Self::Wind { from_m, to_m, .. } => stretch("wind", from_m, to_m),
            Self::Camber { from_m, to_m, .. } => stretch("belt", from_m, to_m),
            Self::SkewedPulley { end, .. }
            | Self::LowPulley { end, .. }
            | Self::CakedPulley { end, .. }
            | Self::WornCrown { end, .. } => end.to_string(),
            Self::CrookedSplice { at_m, .. } => format!("splice at {at_m} m of belt"),
            Self::OffCentreLoad { .. } => "load".to_owned(),
            Self::Screws { .. } => "take-up screws".to_owned(),
        }
    }

    /// Looks whether such a fault can be on this conveyor.
    ///
    /// # Errors
    /// What cannot be, with the part and the remedy.
    pub fn check(&self, line: &Line) -> Result<(), Wrong> {
        let part = self.part();
        let angle =
            |what, value| within(&part, what, value, (-MOST_ANGLE_RAD, MOST_ANGLE_RAD), "rad");
        let offset = |what, value| within(&part, what, value, (-MOST_OFFSET_M, MOST_OFFSET_M), "m");
        let screw = |what, value| within(&part, what, value, (-MOST_SCREW_M, MOST_SCREW_M), "m");
        let stands = |strand, station| self.stands(line, strand, station);
        match *self {
            Self::Skewed { strand, station, skew_rad } => {
                stands(strand, station)?;
                angle("skew", skew_rad)
            }
            Self::OffCentre { strand, station, left_m } => {
                stands(strand, station)?;
                offset("distance out of the middle", left_m)
            }
            Self::High { strand, station, by_m } => {
                stands(strand, station)?;
                within(&part, "height", by_m, (-MOST_HEIGHT_M, MOST_HEIGHT_M), "m")
            }
            Self::Leaning { strand, station, left_low_rad } => {
                stands(strand, station)?;
                angle("level error", left_low_rad)
            }
            Self::CakedRoll { strand, station, left_thicker_m } => {
                stands(strand, station)?;
                within(&part, "cake", left_thicker_m, (-MOST_CAKE_M, MOST_CAKE_M), "m")
            }
            Self::SeizedRoll { strand, station, .. } => stands(strand, station),
            Self::BentFrame { from_m, to_m, left_m } => {
                self.stretch(line.centres_m, from_m, to_m)?;
                offset("bend", left_m)
            }
            Self::RackedFrame { from_m, to_m, skew_rad } => {
                self.stretch(line.centres_m, from_m, to_m)?;
                angle("racking", skew_rad)
            }
            Self::LowFrame { from_m, to_m, left_low_rad } => {
                self.stretch(line.centres_m, from_m, to_m)?;
                angle("level error", left_low_rad)
            }
            Self::SkewedPulley { skew_rad, .. } => angle("skew", skew_rad),
            Self::LowPulley { left_low_rad, .. } => angle("level error", left_low_rad),
            Self::CakedPulley { left_thicker_m, .. } => {
                within(&part, "cake", left_thicker_m, (-MOST_CAKE_M, MOST_CAKE_M), "m")
            }
            Self::WornCrown { share, .. } => {
                within(&part, "worn share of the crown", share, (0.0, 1.0), "")
            }
            Self::CrookedSplice { at_m, kink_rad } => {
                self.stretch(line.belt_m(), at_m, at_m)?;
                within(&part, "kink", kink_rad, (-MOST_KINK_RAD, MOST_KINK_RAD), "rad")
            }
            Self::Camber { from_m, to_m, per_m } => {
                self.stretch(line.belt_m(), from_m, to_m)?;
                let range = (-MOST_CAMBER_PER_M, MOST_CAMBER_PER_M);
                within(&part, "curvature", per_m, range, "per metre")
            }
            Self::OffCentreLoad { left_m } => {
                let most = 0.5 * line.belt.width_m;
                within(&part, "distance out of the middle", left_m, (-most, most), "m")
            }
            Self::Screws { left_m, right_m } => {
                screw("travel of the left screw", left_m)?;
                screw("travel of the right screw", right_m)?;
                let skew = (left_m - right_m) / line.take_up.bearing_centres_m;
                angle("skew of the pulley by the two screws", skew)
            }
            Self::Wind { from_m, to_m, left_n_per_m, .. } => {
                self.stretch(line.centres_m, from_m, to_m)?;
                within(&part, "push", left_n_per_m, (-MOST_PUSH_N, MOST_PUSH_N), "N/m")
            }
            Self::SidePush { strand, station, left_n } => {
                stands(strand, station)?;
                within(&part, "push", left_n, (-MOST_PUSH_N, MOST_PUSH_N), "N")
            }
        }
    }

    fn stands(&self, line: &Line, strand: Strand, station: usize) -> Result<(), Wrong> {
        let there = line.idlers(strand).stations_m.len();
        if station < there {
            return Ok(());
        }
        Err(Wrong::new(
            Reason::NoSuchStation,
            self.part(),
            format!("the conveyor has {there} {strand}s"),
            "Count the stations from the tail; the first is number 1.",
        ))
    }

    fn stretch(&self, length_m: f64, from_m: f64, to_m: f64) -> Result<(), Wrong> {
        if !(from_m.is_finite() && to_m.is_finite()) {
            return Err(Wrong::new(
                Reason::NotANumber,
                self.part(),
                "its place is not a number",
                "Give finite numbers.",
            ));
        }
        if from_m < 0.0 || to_m > length_m || from_m > to_m {
            return Err(Wrong::new(
                Reason::OffTheConveyor,
                self.part(),
                format!("it must lie between 0 and {length_m} m, its beginning first"),
                "Give places on the conveyor, or on the belt for what travels with it.",
            ));
        }
        Ok(())
    }
}
