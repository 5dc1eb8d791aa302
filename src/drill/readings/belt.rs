//! Tape, string and rule at the belt while it is locked out.

use super::Site;
use super::hand::{FINE, HEAP, TAPE};
use super::sheet::{Cell, Sheet};
use crate::gauge::transition::table::{self, Height, Used};
use crate::gauge::{Gauge, tension};
use crate::gauge::{load, sag, splice, transition};
use crate::mechanics::Fault;
use crate::trade::Carcass;

/// Marks on each side of the joint, and between two of them, m.
const MARKS: u8 = 4;
const MARK_M: f64 = 1.0;
/// Spans of which the sag is taped.
const SPANS: u8 = 3;
/// How wide a heap lies on the belt, as a share of it. Common practice, no source.
const HEAP_SHARE: f64 = 0.55;
/// The least that is bare beside a heap and the least a heap is wide, as shares of the belt.
const LEAST_SHARE: f64 = 0.02;
/// A distance from pulley to trough that fits has this many times what the table asks for, one that does not so
/// many.
const FITS: f64 = 1.25;
const TOO_NEAR: f64 = 0.7;

impl Site<'_> {
    /// The joint from the belt's middle line. One of its ends was cut square, the other was not: the joint leads by the
    /// whole angle.
    pub(super) fn splice(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let kinks = self.faults.iter().map(|fault| match *fault {
            Fault::CrookedSplice { kink_rad, .. } => kink_rad,
            _ => 0.0,
        });
        let kink_rad = kinks.fold(0.0_f64, |a, b| if b.abs() > a.abs() { b } else { a });
        let half_width_m = 0.5 * self.line.belt.width_m;
        let joint_m = f64::from(MARKS) * MARK_M - 0.5 * MARK_M;
        // The string runs from belt to belt on both sides, so it leaves each by half of the angle.
        let slope = 0.5 * kink_rad;
        let ahead_left_m = self.hand.reads(FINE, half_width_m * slope);
        let ahead_right_m = self.hand.reads(FINE, -half_width_m * slope);
        let mut sheet = Sheet::of(gauge, "marks")?
            .size(splice::key::JOINT, joint_m)
            .size(splice::key::AHEAD_LEFT, ahead_left_m)
            .size(splice::key::AHEAD_RIGHT, ahead_right_m)
            .size(splice::key::ERROR, FINE.off)
            .known(splice::key::BELT_LENGTH, self.line.belt_m())
            .known(splice::key::SPEED, self.line.speed_m_s);
        for mark in 0..2 * MARKS {
            let along_m = f64::from(mark) * MARK_M;
            // Zero at both ends of the string; largest, on the side away from the kink, at the joint.
            let to_end_m = joint_m - (along_m - joint_m).abs();
            let left_m = -slope * to_end_m;
            sheet.row([
                (splice::key::ALONG, Cell::Size(along_m)),
                (splice::key::LEFT, Cell::Size(self.hand.reads(FINE, half_width_m + left_m))),
                (splice::key::RIGHT, Cell::Size(self.hand.reads(FINE, half_width_m - left_m))),
            ]);
        }
        Some(sheet)
    }

    /// Three spans of the return strand near the tail.
    pub(super) fn sag(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let line = self.line;
        let spacing_m = match line.ret.stations_m.as_slice() {
            [first, second, ..] => second - first,
            _ => line.centres_m,
        };
        let (_, pull_n) = self.stand.belt.pull_n();
        let share = tension::sag_share(line.belt.mass_kg_per_m, spacing_m, pull_n);
        let mut sheet = Sheet::of(gauge, "return")?
            .size(sag::key::SPACING, spacing_m)
            .size(sag::key::ERROR, TAPE.off)
            .known(sag::key::MASS, line.belt.mass_kg_per_m)
            .known(sag::key::FULL_LOAD, line.load.mass_kg_per_m)
            .known(sag::key::WIDTH, line.belt.width_m)
            .known(sag::key::CENTRES, line.centres_m);
        for span in 1..=SPANS {
            let sag_m = self.hand.reads(TAPE, share * spacing_m);
            sheet.row([
                (sag::key::PLACE, Cell::Name(span.to_string())),
                (sag::key::SAG, Cell::Size(sag_m)),
            ]);
        }
        Some(sheet)
    }

    /// The bare belt on both sides of the load; nothing if no load is carried.
    pub(super) fn load(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let line = self.line;
        if line.load.mass_kg_per_m <= 0.0 {
            return None;
        }
        let left_m = self.sum(|fault| match *fault {
            Fault::OffCentreLoad { left_m } => left_m,
            _ => 0.0,
        });
        let width_m = line.belt.width_m;
        // A heap that lies far off the middle is narrower: nothing lies beyond the edge.
        let room_m = (1.0 - 2.0 * LEAST_SHARE) * width_m - 2.0 * left_m.abs();
        let heap_m = (HEAP_SHARE * width_m).min(room_m).max(LEAST_SHARE * width_m);
        let bare_m = 0.5 * (width_m - heap_m);
        let bare_left_m = self.hand.reads(HEAP, bare_m - left_m);
        let bare_right_m = self.hand.reads(HEAP, bare_m + left_m);
        Some(
            Sheet::of(gauge, "edges")?
                .size(load::key::BARE_LEFT, bare_left_m)
                .size(load::key::BARE_RIGHT, bare_right_m)
                .size(load::key::ERROR, HEAP.off)
                .known(load::key::WIDTH, width_m)
                .known(load::key::BELT_MASS, line.belt.mass_kg_per_m)
                .known(load::key::LOAD_MASS, line.load.mass_kg_per_m),
        )
    }

    /// From the tail pulley to the first idler of full trough. The model has no such part: it fits unless the question
    /// that this gauge answers is answered otherwise. Nothing on a flat belt.
    pub(super) fn transition(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let line = self.line;
        let angle_rad = line.carry.trough_rad;
        if angle_rad <= 0.0 || line.carry.stations_m.is_empty() {
            return None;
        }
        let carcass = match self.conveyor.facts().carcass() {
            Some(Carcass::SteelCord) => Carcass::SteelCord,
            _ => Carcass::Fabric,
        };
        let (height, used) = (Height::HalfTrough, Used::Middle);
        let (widths, _) = table::least_widths(carcass, height, used, angle_rad.to_degrees())?;
        let near = self.answered(gauge, "too-near");
        let times = if near { TOO_NEAR } else { FITS };
        let distance_m = self.hand.reads(TAPE, times * widths * line.belt.width_m);
        Some(
            Sheet::of(gauge, "tape")?
                .size(transition::key::DISTANCE, distance_m)
                .word(transition::key::HEIGHT, "half-trough")
                .word(transition::key::PULL_USED, "middle")
                .word(transition::key::CARCASS, carcass.word())
                .known(transition::key::WIDTH, line.belt.width_m)
                .known(transition::key::TROUGH_ANGLE, angle_rad),
        )
    }

    /// Whether a question that the gauge answers has the answer that this word stands for.
    pub(super) fn answered(&self, gauge: &Gauge, word: &str) -> bool {
        self.stand.book.symptoms.iter().any(|(at, symptom)| {
            let by = symptom.measured.as_ref();
            let by = by.filter(|by| by.gauge == gauge);
            let means = by.and_then(|by| by.means.iter().find(|(known, _)| *known == word));
            means.is_some_and(|(_, answer)| self.stand.answers[at] == Some(*answer))
        })
    }
}
