//! Sizes as a logbook keeps them: the unit stands in the type, and the figure is as it was read.

use serde::{Deserialize, Serialize};

use crate::conveyor::quantity::{Kind, Quantity};

/// A length in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Millimetres(pub f64);

/// A mass in kilograms.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Kilograms(pub f64);

/// A force in newtons.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Newtons(pub f64);

impl Millimetres {
    /// Of metres, to a thousandth of a millimetre: no tape reads finer, and the same reading always has the same figure.
    pub fn of_metres(metres: f64) -> Self {
        Self((metres * 1e6).round() / 1e3)
    }

    /// In metres.
    pub fn metres(self) -> f64 {
        self.0 / 1000.0
    }

    /// As a quantity, to be put into words.
    pub fn quantity(self) -> Quantity {
        Quantity::of(Kind::Length, self.metres())
    }
}

impl Newtons {
    /// As a quantity, to be put into words.
    pub fn quantity(self) -> Quantity {
        Quantity::of(Kind::Force, self.0)
    }
}

/// Kilograms in a pound.
const POUND_KG: f64 = 0.453_592_37;

impl Kilograms {
    /// Reads a mass: `350 kg`, `1.2 t`, `770 lb`; a bare number is in kilograms, or in pounds where people read inches.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub fn read(text: &str, pounds: bool) -> Result<Self, String> {
        let text = text.trim().to_lowercase();
        let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
        let (number, unit) = text.split_at(end);
        let size: f64 = number.parse().map_err(|_| {
            "that is no mass: type a number and its unit, such as 350 kg".to_owned()
        })?;
        let kilograms = match unit.trim() {
            "" if pounds => size * POUND_KG,
            "" | "kg" => size,
            "t" => size * 1000.0,
            "lb" | "lbs" => size * POUND_KG,
            other => return Err(format!("{other} is no unit of mass: use kg, t or lb")),
        };
        if !(0.0..=1e6).contains(&kilograms) {
            return Err("no take-up carries that mass: check the figure and its unit".to_owned());
        }
        Ok(Self((kilograms * 1e3).round() / 1e3))
    }

    /// In words.
    pub fn words(self, pounds: bool) -> String {
        match pounds {
            true => format!("{} lb", (self.0 / POUND_KG * 10.0).round() / 10.0),
            false => format!("{} kg", (self.0 * 10.0).round() / 10.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_are_read_with_their_units_and_refused_in_words() {
        assert_eq!(Kilograms::read("350 kg", false), Ok(Kilograms(350.0)));
        assert_eq!(Kilograms::read("1.2t", false), Ok(Kilograms(1200.0)));
        assert_eq!(Kilograms::read("100", true), Ok(Kilograms(45.359)));
        assert_eq!(Kilograms::read("100 lb", false), Kilograms::read("100", true));
        assert!(Kilograms::read("12 mm", false).unwrap_err().contains("mm is no unit of mass"));
        assert!(Kilograms::read("heavy", false).is_err());
        assert!(Kilograms::read("9999999", false).is_err());
    }

    #[test]
    fn the_same_reading_in_other_units_is_the_same_figure() {
        assert_eq!(Millimetres::of_metres(0.2125), Millimetres(212.5));
        assert_eq!(Millimetres::of_metres(0.212_500_000_000_1), Millimetres(212.5));
    }
}
