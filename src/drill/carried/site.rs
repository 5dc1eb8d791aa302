//! Where parts of a drawn cause are put, and how large they may be.

use fastrand::Rng;

use crate::mechanics::Line;
use crate::rulebook::model::{Meaning, Sight};

/// One part of a drawn cause: all but its size.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub(super) words: String,
    pub(super) size: Option<Size>,
}

/// A range of sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Size {
    pub(super) unit: Unit,
    pub(super) least: f64,
    pub(super) most: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Unit {
    Millimetres,
    Newtons,
    NewtonsPerMetre,
    Share,
}

impl Part {
    /// The part in the words of a drill file; `at` says how large in its range: 0 the least, 1 the most.
    pub fn text(&self, at: f64) -> String {
        let Some(size) = self.size else {
            return format!("{})", self.words);
        };
        let value = size.least * (size.most / size.least).powf(at.clamp(0.0, 1.0));
        let sized = match size.unit {
            // Nobody writes down more than half a millimetre, but of a pulley's face.
            Unit::Millimetres if value < 2.0 => format!("by: \"{value:.1} mm\""),
            Unit::Millimetres if value < 10.0 => {
                format!("by: \"{} mm\"", (2.0 * value).round() / 2.0)
            }
            Unit::Millimetres => format!("by: \"{value:.0} mm\""),
            Unit::Newtons => format!("newtons: {value:.1}"),
            Unit::NewtonsPerMetre => format!("newtons_per_metre: {value:.1}"),
            Unit::Share => format!("share: {value:.2}"),
        };
        format!("{}, {sized})", self.words)
    }
}

/// Where parts are drawn.
pub(super) struct Site<'s> {
    pub(super) line: &'s Line,
    pub(super) rng: &'s mut Rng,
    pub(super) shows: Vec<(Sight, Meaning)>,
}

impl Site<'_> {
    pub(super) fn chance(&mut self, chance: f64) -> bool {
        self.rng.f64() < chance
    }

    pub(super) fn side(&mut self) -> &'static str {
        if self.chance(0.5) { "Left" } else { "Right" }
    }

    pub(super) fn pulley(&mut self, tail: f64) -> &'static str {
        if self.chance(tail) { "Tail" } else { "Head" }
    }

    pub(super) fn stations(&self, strand: &str) -> usize {
        let idlers = if strand == "Carry" { &self.line.carry } else { &self.line.ret };
        idlers.stations_m.len().max(1)
    }

    pub(super) fn strand(&mut self, carry: f64) -> &'static str {
        if self.chance(carry) { "Carry" } else { "Return" }
    }

    /// So many neighbouring stations, counted from 1.
    pub(super) fn neighbours(&mut self, strand: &str, many: usize) -> Vec<usize> {
        let there = self.stations(strand);
        let many = many.min(there);
        let first = self.rng.usize(0..=there - many) + 1;
        (first..first + many).collect()
    }

    /// So many stations spread over the strand, one in each equal part of it, counted from 1.
    pub(super) fn spread(&mut self, strand: &str, many: usize) -> Vec<usize> {
        let there = self.stations(strand);
        let many = many.min(there);
        (0..many)
            .map(|nth| self.rng.usize(nth * there / many..(nth + 1) * there / many) + 1)
            .collect()
    }

    /// A size of which this part has all or somewhat less, so that no two are alike.
    pub(super) fn size(&mut self, unit: Unit, least: f64, most: f64) -> Option<Size> {
        let own = 0.7 + 0.3 * self.rng.f64();
        Some(Size { unit, least: least * own, most: most * own })
    }

    pub(super) fn mm(&mut self, least: f64, most: f64) -> Option<Size> {
        self.size(Unit::Millimetres, least, most)
    }

    /// A stretch of conveyor of a length between these, m.
    pub(super) fn stretch(&mut self, least_m: f64, most_m: f64) -> (f64, f64) {
        self.within(self.line.centres_m, least_m, most_m)
    }

    /// A length of belt between these, m.
    pub(super) fn of_belt(&mut self, least_m: f64, most_m: f64) -> (f64, f64) {
        self.within(self.line.belt_m(), least_m, most_m)
    }

    /// Whole metres, well inside.
    pub(super) fn within(&mut self, all_m: f64, least_m: f64, most_m: f64) -> (f64, f64) {
        let most = most_m.min(0.8 * all_m);
        let long = least_m.min(most) + self.rng.f64() * (most - least_m).max(0.0);
        let from = (self.rng.f64() * (all_m - long)).floor().max(0.0);
        (from, (from + long.max(1.0)).min(all_m).floor())
    }

    /// An idler at each of these stations, all alike but for their size.
    pub(super) fn at_each(
        &mut self,
        strand: &str,
        stations: &[usize],
        (kind, side): (&str, &str),
        (unit, least, most): (Unit, f64, f64),
    ) -> Vec<Part> {
        stations
            .iter()
            .map(|station| Part {
                words: format!("{kind}(strand: {strand}, station: {station}, {side}"),
                size: self.size(unit, least, most),
            })
            .collect()
    }

    /// A push to either side at one station.
    pub(super) fn push(&mut self, strand: &str, station: usize, least_n: f64, most_n: f64) -> Part {
        let side = self.side();
        Part {
            words: format!("Push(strand: {strand}, station: {station}, toward: {side}"),
            size: self.size(Unit::Newtons, least_n, most_n),
        }
    }

    pub(super) fn skewed(
        &mut self,
        strand: &str,
        stations: &[usize],
        ahead: &str,
        most_mm: f64,
    ) -> Vec<Part> {
        let side = format!("ahead: {ahead}");
        self.at_each(strand, stations, ("IdlerSkewed", &side), (Unit::Millimetres, 4.0, most_mm))
    }
}
