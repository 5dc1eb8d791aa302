//! Minutes that hang on the conveyor: so many, and so many for each turn of its belt, each idler set and each pulley.

use super::{Book, Walking};
use crate::conveyor::ConveyorSize;
use crate::conveyor::facts::Facts;
use crate::trade::ConveyorClass;

/// What something takes on a conveyor.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Takes {
    /// On every conveyor, minutes.
    pub fixed_minutes: f64,
    /// So many turns of the belt.
    pub turns: f64,
    /// For each idler set of the carry strand, minutes.
    pub per_carry_set: f64,
    /// For each roll or set of the return strand, minutes.
    pub per_return_set: f64,
    /// For each pulley, minutes.
    pub per_pulley: f64,
}

/// The figures of a conveyor that minutes hang on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figures {
    /// One turn of the belt, take-up loops left out, minutes.
    pub turn_minutes: f64,
    /// Idler sets of the carry strand; no whole number.
    pub carry_sets: f64,
    /// Rolls or sets of the return strand; no whole number.
    pub return_sets: f64,
    /// Pulleys.
    pub pulleys: f64,
}

impl Takes {
    /// The same on every conveyor.
    pub fn fixed(minutes: f64) -> Self {
        Self { fixed_minutes: minutes, ..Self::default() }
    }

    /// Minutes on a conveyor with these figures.
    pub fn on(&self, conveyor: Figures) -> f64 {
        self.fixed_minutes
            + self.turns * conveyor.turn_minutes
            + self.per_carry_set * conveyor.carry_sets
            + self.per_return_set * conveyor.return_sets
            + self.per_pulley * conveyor.pulleys
    }

    /// Whether it is the same on every conveyor.
    pub fn is_fixed(&self) -> bool {
        *self == Self::fixed(self.fixed_minutes)
    }
}

impl Figures {
    /// The corners of all that is built, and somewhat more: what holds at these holds on every conveyor between them.
    pub fn corners() -> impl Iterator<Item = Self> {
        let ends = [[0.05, 120.0], [1.0, 10_000.0], [1.0, 4_000.0], [2.0, 40.0]];
        (0..16_usize).map(move |corner| {
            let mut bit = 0;
            let [turn_minutes, carry_sets, return_sets, pulleys] = ends.map(|[least, most]| {
                bit += 1;
                if corner >> (bit - 1) & 1 == 0 { least } else { most }
            });
            Self { turn_minutes, carry_sets, return_sets, pulleys }
        })
    }
}

impl Walking {
    /// The figures of a conveyor of which this is known.
    pub fn figures(&self, facts: &Facts, size: ConveyorSize) -> Figures {
        let centres_m = size.centres_m.unwrap_or(self.centres_m);
        let sets = |pitch_m: f64| (centres_m / pitch_m).max(1.0);
        let usual = match facts.class() {
            Some(ConveyorClass::TroughedBulk) | None => self.pulleys_bulk,
            Some(ConveyorClass::Flat) => self.pulleys_flat,
            Some(ConveyorClass::Package) => self.pulleys_package,
        };
        Figures {
            turn_minutes: self.turn_minutes(size),
            carry_sets: sets(size.carry_pitch_m.unwrap_or(self.carry_pitch_m)),
            return_sets: sets(size.return_pitch_m.unwrap_or(self.return_pitch_m)),
            pulleys: size.pulleys.unwrap_or(usual),
        }
    }
}

impl Book {
    /// The same book with the minutes that its work takes on a conveyor of which this is known.
    #[must_use]
    pub fn on(&self, facts: &Facts, size: ConveyorSize) -> Self {
        let conveyor = self.walking.figures(facts, size);
        let mut book = self.clone();
        book.minutes.restart_and_watch = self.restart.on(conveyor);
        for at in self.fixes.places() {
            let fix = &mut book.fixes[at];
            fix.minutes = fix.takes.on(conveyor);
            for check in &mut fix.begins_with {
                check.minutes = check.takes.on(conveyor);
            }
        }
        book
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64) {
        assert!((found - wanted).abs() < 1e-9, "{found} instead of {wanted}");
    }

    #[test]
    fn minutes_are_those_of_the_conveyor() {
        let walking = Walking::default();
        let takes = Takes {
            fixed_minutes: 10.0,
            turns: 3.0,
            per_carry_set: 5.0,
            per_return_set: 2.0,
            per_pulley: 45.0,
        };
        // 100 m at 2 m/s: 100 s a turn; 80 carry sets, 25 return rolls, 7 pulleys.
        let size = ConveyorSize {
            centres_m: Some(100.0),
            speed_m_s: Some(2.0),
            carry_pitch_m: Some(1.25),
            return_pitch_m: Some(4.0),
            pulleys: Some(7.0),
        };
        let on = |size| takes.on(walking.figures(&Facts::default(), size));
        near(on(size), 10.0 + 5.0 + 400.0 + 50.0 + 315.0);
        // 66 m at 1.5 m/s, sets of 1.2 and 3 m.
        let unknown = 10.0 + 3.0 * 88.0 / 60.0 + 5.0 * 55.0 + 2.0 * 22.0 + 45.0 * 4.0;
        near(on(ConveyorSize::default()), unknown);
        assert!(Takes::fixed(7.0).is_fixed() && !takes.is_fixed());
    }

    #[test]
    fn the_corners_are_all_there() {
        let corners: Vec<Figures> = Figures::corners().collect();
        assert_eq!(corners.len(), 16);
        for (at, one) in corners.iter().enumerate() {
            assert!(!corners[at + 1..].contains(one), "{one:?} is there twice");
        }
    }
}
