//! Level, feelers, calipers, dial and string at single parts, and what the model has no part for: that is sound unless
//! the question that the gauge answers is answered otherwise.

use std::f64::consts::TAU;

use super::hand::{CALIPERS, DIAL, FEELERS, FINE, RULE};
use super::sheet::{Cell, Sheet};
use super::{STRANDS, Site};
use crate::gauge::Gauge;
use crate::gauge::{bow, height, level, line, roll, runout, slip, snub, weight};
use crate::mechanics::Fault;
use crate::trade::{End, Strand, TakeUp};

/// Length of a machinist's level, m.
const LEVEL_M: f64 = 0.5;
/// From the beam of light down to feet that stand as they should, m.
const BEAM_M: f64 = 0.4;
/// A clean roll whose file does not tell its diameter, m. Common practice.
const ROLL_M: f64 = 0.108;
/// The string along a slack length, m, and where the gap to it is read, as shares of it.
const STRING_M: f64 = 10.0;
const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// From the squared pulley to the snub, m, and what one end of a crooked one leads by, of the length across.
const TO_SNUB_M: f64 = 0.8;
const SNUB_LEAD: f64 = 0.006;
/// Marks round a shell, and how far an untrue one swings to either side, m.
const MARKS: u8 = 8;
const UNTRUE_M: f64 = 0.002;
/// How much slower than its drive a belt is that slips, and one that only creeps.
const SLIPS: f64 = 0.12;
const CREEPS: f64 = 0.005;
/// Legs of a squared line, m: 3, 4 and 5.
const LEGS_M: (f64, f64, f64) = (4.0, 3.0, 5.0);

impl Site<'_> {
    /// Both end pulleys, by machinist's level and feelers.
    pub(super) fn level(&mut self, gauge: &'static Gauge) -> Vec<Option<Sheet>> {
        let ends = End::ALL.map(|end| self.level_of(gauge, end));
        ends.into_iter().collect()
    }

    fn level_of(&mut self, gauge: &'static Gauge, end: End) -> Option<Sheet> {
        let left_low_rad = self.sum(|fault| match *fault {
            Fault::LowPulley { end: of, left_low_rad } if of == end => left_low_rad,
            _ => 0.0,
        });
        let packing_m = LEVEL_M * left_low_rad;
        let mut sheet = Sheet::of(gauge, "spirit")?
            .size(level::key::BASE, LEVEL_M)
            .size(level::key::ERROR, FEELERS.off);
        if end == End::Tail {
            sheet = sheet.size(level::key::BEARINGS, self.line.take_up.bearing_centres_m);
        }
        for (left, right) in [
            (level::key::LEFT_PACKING, level::key::RIGHT_PACKING),
            (level::key::LEFT_TURNED, level::key::RIGHT_TURNED),
        ] {
            // Packing goes under the low end; the other lies bare.
            let read_m = self.hand.reads(FEELERS, packing_m);
            sheet = sheet.size(left, read_m.max(0.0)).size(right, (-read_m).max(0.0));
        }
        Some(sheet)
    }

    /// Both feet of the idlers of both strands, down from one beam of light.
    pub(super) fn height(&mut self, gauge: &'static Gauge) -> Vec<Option<Sheet>> {
        let strands = STRANDS.map(|strand| self.height_of(gauge, strand));
        strands.into_iter().collect()
    }

    fn height_of(&mut self, gauge: &'static Gauge, of: Strand) -> Option<Sheet> {
        let feet_m = self.feet_m();
        let drops: Vec<(usize, f64, f64)> = self
            .stations(of)
            .map(|(nth, x_m)| (nth, x_m, feet_m * self.left_low_rad_of(of, nth)))
            .collect();
        let mut sheet = Sheet::of(gauge, "level")?
            .word(height::key::BIGGER, "lower")
            .size(height::key::ERROR, RULE.off);
        for (nth, x_m, drop_m) in self.stretch(of, drops) {
            let high_m = self.sum(|fault| match *fault {
                Fault::High { strand, station, by_m } if strand == of && station == nth => by_m,
                _ => 0.0,
            });
            let left_m = self.hand.reads(RULE, BEAM_M - high_m + 0.5 * drop_m);
            let right_m = self.hand.reads(RULE, BEAM_M - high_m - 0.5 * drop_m);
            sheet.row([
                (height::key::IDLER, Cell::Name((nth + 1).to_string())),
                (height::key::AT, Cell::Size(x_m)),
                (height::key::LEFT, Cell::Size(left_m)),
                (height::key::RIGHT, Cell::Size(right_m)),
            ]);
        }
        Some(sheet)
    }

    fn left_low_rad_of(&self, of: Strand, nth: usize) -> f64 {
        self.sum(|fault| match *fault {
            Fault::Leaning { strand, station, left_low_rad } if strand == of && station == nth => {
                left_low_rad
            }
            _ => 0.0,
        })
    }

    /// The rolls of both strands, over what cakes them.
    pub(super) fn roll(&mut self, gauge: &'static Gauge) -> Vec<Option<Sheet>> {
        let strands = STRANDS.map(|strand| self.rolls_of(gauge, strand));
        strands.into_iter().collect()
    }

    fn rolls_of(&mut self, gauge: &'static Gauge, of: Strand) -> Option<Sheet> {
        let (word, path) = match of {
            Strand::Carry => ("carry", "idlers.roll_diameter"),
            Strand::Return => ("return", "idlers.return_roll_diameter"),
        };
        let clean_m = self.filed(path).unwrap_or(ROLL_M);
        let cakes: Vec<(usize, f64, f64)> = self
            .stations(of)
            .map(|(nth, x_m)| {
                let left_thicker_m = self.sum(|fault| match *fault {
                    Fault::CakedRoll { strand, station, left_thicker_m }
                        if strand == of && station == nth =>
                    {
                        left_thicker_m
                    }
                    _ => 0.0,
                });
                (nth, x_m, left_thicker_m)
            })
            .collect();
        let mut sheet = Sheet::of(gauge, "caliper")?
            .word(roll::key::STRAND, word)
            .size(roll::key::CLEAN, clean_m)
            .size(roll::key::ERROR, CALIPERS.off);
        for (nth, _, left_thicker_m) in self.stretch(of, cakes) {
            let left_m = clean_m + 2.0 * left_thicker_m.max(0.0);
            let right_m = clean_m + 2.0 * (-left_thicker_m).max(0.0);
            sheet.row([
                (roll::key::ROLL, Cell::Name((nth + 1).to_string())),
                (roll::key::LEFT, Cell::Size(self.hand.reads(CALIPERS, left_m))),
                (roll::key::RIGHT, Cell::Size(self.hand.reads(CALIPERS, right_m))),
            ]);
        }
        Some(sheet)
    }

    /// A string along the left edge of each bowed length, or of one length where none bows.
    pub(super) fn bow(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let bends: Vec<f64> = self
            .faults
            .iter()
            .filter_map(|fault| match *fault {
                Fault::Camber { per_m, .. } => Some(per_m),
                _ => None,
            })
            .collect();
        let bends = if bends.is_empty() { vec![0.0] } else { bends };
        let mut sheet = Sheet::of(gauge, "string")?
            .side(bow::key::EDGE, crate::trade::Side::Left)
            .size(bow::key::ERROR, RULE.off);
        for (nth, per_m) in bends.into_iter().enumerate() {
            // The edge that an arc bends toward is the hollow one.
            let deep_m = per_m * STRING_M * STRING_M / 8.0;
            for place in PLACES {
                let gap_m = 4.0 * deep_m * place * (1.0 - place);
                let read_m = self.hand.reads(RULE, gap_m);
                sheet.row([
                    (bow::key::PART, Cell::Name((nth + 1).to_string())),
                    (bow::key::AT, Cell::Size(place * STRING_M)),
                    (bow::key::GAP, Cell::Size(read_m)),
                ]);
            }
        }
        Some(sheet)
    }

    /// The snub, from the squared tail pulley.
    pub(super) fn snub(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let across_m = self.line.take_up.bearing_centres_m;
        let lead = if self.answered(gauge, "left") {
            SNUB_LEAD
        } else if self.answered(gauge, "right") {
            -SNUB_LEAD
        } else {
            0.0
        };
        // The end with the shorter distance is met first.
        let left_m = self.hand.reads(FINE, TO_SNUB_M - 0.5 * lead * across_m);
        let right_m = self.hand.reads(FINE, TO_SNUB_M + 0.5 * lead * across_m);
        Some(
            Sheet::of(gauge, "tape")?
                .word(snub::key::FROM, "pulley")
                .size(snub::key::LEFT, left_m)
                .size(snub::key::RIGHT, right_m)
                .size(snub::key::ACROSS, across_m)
                .size(snub::key::BEARINGS, across_m)
                .size(snub::key::ERROR, FINE.off),
        )
    }

    /// A dial at both ends of a shell.
    pub(super) fn runout(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let swing_m = if self.answered(gauge, "untrue") { UNTRUE_M } else { 0.0 };
        let mut sheet = Sheet::of(gauge, "dial")?
            .word(runout::key::HUB, "tight")
            .size(runout::key::ERROR, DIAL.off);
        for mark in 0..MARKS {
            let turned_rad = TAU * f64::from(mark) / f64::from(MARKS);
            let read_m = swing_m * turned_rad.cos();
            sheet.row([
                (runout::key::TURNED, Cell::Size(turned_rad)),
                (runout::key::LEFT, Cell::Size(self.hand.reads(DIAL, read_m))),
                (runout::key::RIGHT, Cell::Size(self.hand.reads(DIAL, -read_m))),
            ]);
        }
        Some(sheet)
    }

    /// Two speeds, read by light at a start.
    pub(super) fn slip(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        // On a sound conveyor with its usual pull a squeal that somebody heard is no slip.
        let (_, pull_n) = self.stand.belt.pull_n();
        let sound = self.faults.is_empty() && pull_n >= 0.9 * self.line.ret.tension_n;
        let share = if self.answered(gauge, "yes") && !sound { SLIPS } else { CREEPS };
        let belt_m_s = self.line.speed_m_s;
        Some(
            Sheet::of(gauge, "speeds")?
                .size(slip::key::PULLEY_SPEED, belt_m_s / (1.0 - share))
                .size(slip::key::BELT_SPEED, belt_m_s)
                .word(slip::key::WHEN, "start"),
        )
    }

    /// A line that was squared with care.
    pub(super) fn squared_line(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let (along_m, out_m, slant_m) = LEGS_M;
        let left_m = self.hand.reads(FINE, slant_m);
        let right_m = self.hand.reads(FINE, slant_m);
        Some(
            Sheet::of(gauge, "diagonals")?
                .word(line::key::TOWARD, "head")
                .size(line::key::ALONG, along_m)
                .size(line::key::OUT, out_m)
                .size(line::key::LEFT_SLANT, left_m)
                .size(line::key::RIGHT_SLANT, right_m)
                .size(line::key::ERROR, FINE.off),
        )
    }

    /// What hangs in the take-up, as drawn. Nothing where no weight pulls.
    pub(super) fn weight(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let weighted =
            matches!(self.conveyor.facts().take_up(), Some(TakeUp::Gravity | TakeUp::Carriage));
        let strands_n = self.line.carry.tension_n.min(self.line.ret.tension_n) * 2.0;
        let sheet = Sheet::of(gauge, "hung")?
            .size(weight::key::WEIGHT, strands_n)
            .size(weight::key::DRAWN, strands_n);
        weighted.then_some(sheet)
    }
}
