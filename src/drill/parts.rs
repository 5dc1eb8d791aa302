//! From what is written of a part to a fault of the model: sizes at feet and bearings become angles.

use super::model::Thing;
use super::written::{PartEntry, Rolls};
use crate::conveyor::quantity::{self, Kind};
use crate::mechanics::{Fault, Line, Seized};
use crate::problem::{Code, Problem, Report};
use crate::source::Texts;
use crate::source::parse::{Spanned, Text};
use crate::trade::{Side, Units};

/// Least and most times the usual pull that a belt may have.
const PULL: (f64, f64) = (0.2, 5.0);

/// Reads parts against a conveyor; what is wrong goes into the report.
pub(super) struct Parts<'t> {
    pub(super) texts: &'t Texts,
    pub(super) report: &'t mut Report,
    pub(super) line: &'t Line,
    /// From foot to foot of an idler stand, m.
    pub(super) feet_m: f64,
    pub(super) units: Units,
}

impl Side {
    /// A size toward this side, left being positive.
    fn of(self, size: f64) -> f64 {
        match self {
            Self::Left => size,
            Self::Right => -size,
        }
    }
}

impl From<Rolls> for Seized {
    fn from(rolls: Rolls) -> Self {
        match rolls {
            Rolls::Whole => Self::Whole,
            Rolls::Left => Self::LeftWing,
            Rolls::Right => Self::RightWing,
        }
    }
}

impl Parts<'_> {
    /// One part; nothing if it cannot be on this conveyor.
    pub(super) fn read(&mut self, entry: &Spanned<PartEntry>) -> Option<Thing> {
        let thing = match &entry.value {
            PartEntry::Pull { times } if !(PULL.0..=PULL.1).contains(&times.value) => {
                let message = format!("a pull of {} times the usual is out of reason", times.value);
                let problem = Problem::at(Code::NumberRange, self.texts.place(times.span), message);
                self.report.add(problem.help(format!("it lies between {} and {}", PULL.0, PULL.1)));
                return None;
            }
            PartEntry::Pull { times } => Thing::Pull(times.value),
            other => Thing::Fault(self.fault(other)?),
        };
        match thing.fault(self.line).check(self.line) {
            Ok(()) => Some(thing),
            Err(wrong) => {
                let message = format!("{}: {}", wrong.part, wrong.what);
                let place = self.texts.place(entry.span);
                self.report.add(Problem::at(Code::NumberRange, place, message).help(wrong.remedy));
                None
            }
        }
    }

    fn fault(&mut self, entry: &PartEntry) -> Option<Fault> {
        let bearings_m = self.line.take_up.bearing_centres_m;
        Some(match entry {
            PartEntry::IdlerSkewed { strand, station, ahead, by } => Fault::Skewed {
                strand: *strand,
                station: self.station(station)?,
                skew_rad: ahead.of(self.over(by, self.feet_m)?),
            },
            PartEntry::IdlerOffCentre { strand, station, toward, by } => Fault::OffCentre {
                strand: *strand,
                station: self.station(station)?,
                left_m: toward.of(self.length(by)?),
            },
            PartEntry::IdlerHigh { strand, station, by } => Fault::High {
                strand: *strand,
                station: self.station(station)?,
                by_m: self.length(by)?,
            },
            PartEntry::IdlerLeaning { strand, station, low, by } => Fault::Leaning {
                strand: *strand,
                station: self.station(station)?,
                left_low_rad: low.of(self.over(by, self.feet_m)?),
            },
            PartEntry::RollCaked { strand, station, thick, by } => Fault::CakedRoll {
                strand: *strand,
                station: self.station(station)?,
                left_thicker_m: thick.of(self.length(by)?),
            },
            PartEntry::RollSeized { strand, station, rolls } => Fault::SeizedRoll {
                strand: *strand,
                station: self.station(station)?,
                which: (*rolls).into(),
            },
            PartEntry::FrameBent { from, to, toward, by } => Fault::BentFrame {
                from_m: self.distance(from)?,
                to_m: self.distance(to)?,
                left_m: toward.of(self.length(by)?),
            },
            PartEntry::FrameRacked { from, to, ahead, by } => Fault::RackedFrame {
                from_m: self.distance(from)?,
                to_m: self.distance(to)?,
                skew_rad: ahead.of(self.over(by, self.feet_m)?),
            },
            PartEntry::FrameLow { from, to, low, by } => Fault::LowFrame {
                from_m: self.distance(from)?,
                to_m: self.distance(to)?,
                left_low_rad: low.of(self.over(by, self.feet_m)?),
            },
            PartEntry::PulleySkewed { pulley, ahead, by } => {
                Fault::SkewedPulley { end: *pulley, skew_rad: ahead.of(self.over(by, bearings_m)?) }
            }
            PartEntry::PulleyLow { pulley, low, by } => {
                Fault::LowPulley { end: *pulley, left_low_rad: low.of(self.over(by, bearings_m)?) }
            }
            PartEntry::PulleyCaked { pulley, thick, by } => {
                Fault::CakedPulley { end: *pulley, left_thicker_m: thick.of(self.length(by)?) }
            }
            PartEntry::CrownWorn { pulley, share } => {
                Fault::WornCrown { end: *pulley, share: share.value }
            }
            PartEntry::SpliceCrooked { at, toward, by } => Fault::CrookedSplice {
                at_m: self.distance(at)?,
                kink_rad: toward.of(self.over(by, self.line.belt.width_m)?),
            },
            PartEntry::BeltBowed { from, to, toward, by } => {
                let (from_m, to_m) = (self.distance(from)?, self.distance(to)?);
                let length_m = (to_m - from_m).max(0.1);
                Fault::Camber {
                    from_m,
                    to_m,
                    // The middle of an arc stands off its chord by `length^2 / (8 radius)`.
                    per_m: toward.of(8.0 * self.length(by)? / length_m.powi(2)),
                }
            }
            PartEntry::LoadOff { toward, by } => {
                Fault::OffCentreLoad { left_m: toward.of(self.length(by)?) }
            }
            PartEntry::ScrewsUneven { out, by } => {
                let half_m = 0.5 * out.of(self.length(by)?);
                Fault::Screws { left_m: half_m, right_m: -half_m }
            }
            PartEntry::Pull { .. } => return None,
            PartEntry::Wind { strand, from, to, toward, newtons_per_metre } => Fault::Wind {
                strand: *strand,
                from_m: self.distance(from)?,
                to_m: self.distance(to)?,
                left_n_per_m: toward.of(newtons_per_metre.value),
            },
            PartEntry::Push { strand, station, toward, newtons } => Fault::SidePush {
                strand: *strand,
                station: self.station(station)?,
                left_n: toward.of(newtons.value),
            },
        })
    }

    /// A station's place in its list, from 0.
    fn station(&mut self, station: &Spanned<usize>) -> Option<usize> {
        let from_nothing = station.value.checked_sub(1);
        if from_nothing.is_none() {
            let place = self.texts.place(station.span);
            let problem = Problem::at(Code::NumberRange, place, "there is no station 0");
            self.report.add(problem.help("count from the tail; the first station is 1"));
        }
        from_nothing
    }

    /// The angle of a length over a width.
    fn over(&mut self, by: &Text, width_m: f64) -> Option<f64> {
        Some(self.length(by)? / width_m)
    }

    fn length(&mut self, text: &Text) -> Option<f64> {
        self.size(text, Kind::Length)
    }

    fn distance(&mut self, text: &Text) -> Option<f64> {
        self.size(text, Kind::Distance)
    }

    fn size(&mut self, text: &Text, kind: Kind) -> Option<f64> {
        let place = self.texts.place(text.span);
        match quantity::read(&text.text, kind, self.units).map(quantity::Quantity::si) {
            Ok(size) if size >= 0.0 => Some(size),
            Ok(_) => {
                let problem = Problem::at(Code::Quantity, place, "a size here is never negative");
                self.report.add(problem.help("name the other side instead"));
                None
            }
            Err(refused) => {
                let problem = Problem::at(Code::Quantity, place, refused.to_string());
                let example = quantity::example(kind, self.units);
                self.report.add(problem.help(format!("write it as \"{example}\"")));
                None
            }
        }
    }
}
