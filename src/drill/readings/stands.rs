//! Tape and string at frame and idlers.

use crate::gauge::{frame, idlers};
use crate::trade::{Side, Strand};
use std::f64::consts::TAU;

use super::hand::{RULE, TAPE};
use super::sheet::{Cell, Sheet};
use super::{STRANDS, Site};
use crate::gauge::Gauge;
use crate::mechanics::Fault;

/// A person measures no more stations than this at one go: those about the place that the eye picks out.
const MOST_STATIONS: usize = 60;
/// What is less than this does not catch the eye when it sights along, m.
const SIGHTED_M: f64 = 0.002;
/// From the string to the beam where the frame is straight, m: the spacers.
const SPACER_M: f64 = 0.1;
/// From the squared line to the first idler, m.
const FIRST_M: f64 = 1.0;

impl Site<'_> {
    /// Both strands from a line squared across, at the feet: the farthest points apart, so that the tape's error
    /// counts least. Idlers go with a bowed frame and are held to it: what a bow does is for the string line.
    pub(super) fn idlers(&mut self, gauge: &'static Gauge) -> Vec<Option<Sheet>> {
        let strands = STRANDS.map(|strand| self.idlers_of(gauge, strand));
        strands.into_iter().collect()
    }

    fn idlers_of(&mut self, gauge: &'static Gauge, strand: Strand) -> Option<Sheet> {
        let across_m = self.feet_m();
        let leads: Vec<(usize, f64, f64)> = self
            .stations(strand)
            .map(|(nth, x_m)| (nth, x_m, across_m * self.skew_rad(strand, nth, x_m)))
            .collect();
        let leads = self.stretch(strand, leads);
        let (_, first_m, _) = leads.first().copied()?;
        let way = match strand {
            Strand::Carry => "carry",
            Strand::Return => "return",
        };
        let mut sheet = Sheet::of(gauge, way)?
            .word(idlers::key::DATUM, "tail")
            .size(idlers::key::ERROR, TAPE.off)
            // The line is drawn square.
            .size(idlers::key::LINE_ERROR, 0.0)
            .size(idlers::key::ACROSS, across_m)
            .known(idlers::key::WIDTH, self.line.belt.width_m)
            .known(idlers::key::FEET, across_m);
        for (nth, x_m, lead_m) in leads {
            let along_m = x_m - first_m + FIRST_M;
            let left_m = self.hand.reads(TAPE, along_m + 0.5 * lead_m);
            let right_m = self.hand.reads(TAPE, along_m - 0.5 * lead_m);
            sheet.row([
                (idlers::key::IDLER, Cell::Name((nth + 1).to_string())),
                (idlers::key::LEFT, Cell::Size(left_m)),
                (idlers::key::RIGHT, Cell::Size(right_m)),
            ]);
        }
        Some(sheet)
    }

    /// String along the stands of both strands, and level across at the feet.
    pub(super) fn frame(&mut self, gauge: &'static Gauge) -> Vec<Option<Sheet>> {
        vec![
            self.string(gauge, Strand::Carry),
            self.string(gauge, Strand::Return),
            self.level_across(gauge),
        ]
    }

    fn string(&mut self, gauge: &'static Gauge, strand: Strand) -> Option<Sheet> {
        let stands: Vec<(usize, f64, f64)> = self
            .stations(strand)
            .map(|(nth, x_m)| (nth, x_m, self.left_m(strand, nth, x_m)))
            .collect();
        let mut sheet = Sheet::of(gauge, "string")?
            .side(frame::key::LINE, Side::Left)
            .word(frame::key::OF, "both")
            .word(frame::key::DIAGONALS, if self.is_racked() { "apart" } else { "alike" })
            .size(frame::key::ERROR, RULE.off);
        for (_, x_m, left_m) in self.stretch(strand, stands) {
            // What stands to the left is nearer to the string.
            let gap_m = self.hand.reads(RULE, SPACER_M - left_m);
            sheet.row([
                (frame::key::STATION, Cell::Size(x_m)),
                (frame::key::GAP, Cell::Size(gap_m)),
            ]);
        }
        Some(sheet)
    }

    fn level_across(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let feet_m = self.feet_m();
        let stands: Vec<(usize, f64, f64)> = self
            .stations(Strand::Carry)
            .map(|(nth, x_m)| (nth, x_m, feet_m * self.left_low_rad(x_m)))
            .collect();
        let mut sheet = Sheet::of(gauge, "level")?
            .word(frame::key::BIGGER, "lower")
            .size(frame::key::ERROR, RULE.off);
        for (_, x_m, drop_m) in self.stretch(Strand::Carry, stands) {
            // Packing goes under the low end of the level; it lies bare on the other.
            let packing_m = self.hand.reads(RULE, drop_m);
            sheet.row([
                (frame::key::STATION, Cell::Size(x_m)),
                (frame::key::LEFT, Cell::Size(packing_m.max(0.0))),
                (frame::key::RIGHT, Cell::Size((-packing_m).max(0.0))),
            ]);
        }
        Some(sheet)
    }

    /// Whether the diagonals of a bay differ.
    fn is_racked(&self) -> bool {
        self.sum(|fault| match *fault {
            Fault::RackedFrame { skew_rad, .. } => skew_rad.abs(),
            _ => 0.0,
        }) > 0.0
    }

    /// The left end nearer to the head, by its own stand and by a racked frame.
    fn skew_rad(&self, of: Strand, nth: usize, x_m: f64) -> f64 {
        self.sum(|fault| match *fault {
            Fault::Skewed { strand, station, skew_rad } if strand == of && station == nth => {
                skew_rad
            }
            Fault::RackedFrame { from_m, to_m, skew_rad } if (from_m..=to_m).contains(&x_m) => {
                skew_rad
            }
            _ => 0.0,
        })
    }

    /// How far left of the middle a stand is, by itself and by a bowed frame.
    fn left_m(&self, of: Strand, nth: usize, x_m: f64) -> f64 {
        self.sum(|fault| match *fault {
            Fault::OffCentre { strand, station, left_m } if strand == of && station == nth => {
                left_m
            }
            Fault::BentFrame { from_m, to_m, left_m }
                if (from_m..=to_m).contains(&x_m) && to_m > from_m =>
            {
                0.5 * left_m * (1.0 - (TAU * (x_m - from_m) / (to_m - from_m)).cos())
            }
            _ => 0.0,
        })
    }

    fn left_low_rad(&self, x_m: f64) -> f64 {
        self.sum(|fault| match *fault {
            Fault::LowFrame { from_m, to_m, left_low_rad } if (from_m..=to_m).contains(&x_m) => {
                left_low_rad
            }
            _ => 0.0,
        })
    }

    /// The stations that are measured: all, or on a long conveyor those about the one that is furthest out; where
    /// nothing catches the eye, those about the place where the belt runs furthest off.
    pub(super) fn stretch(
        &self,
        strand: Strand,
        stations: Vec<(usize, f64, f64)>,
    ) -> Vec<(usize, f64, f64)> {
        let Some(too_many) = stations.len().checked_sub(MOST_STATIONS) else {
            return stations;
        };
        let furthest = stations.iter().max_by(|a, b| a.2.abs().total_cmp(&b.2.abs()));
        let about = furthest
            .filter(|(_, _, out_m)| out_m.abs() >= SIGHTED_M)
            .map_or_else(|| self.furthest_off(strand), |(nth, _, _)| *nth);
        let first = about.saturating_sub(MOST_STATIONS / 2).min(too_many);
        stations.into_iter().skip(first).take(MOST_STATIONS).collect()
    }
}
