//! Readings of a take-up as they are typed, and what they are held against.

use crate::conveyor::quantity::{self, Kind};
use crate::logbook::size::{Kilograms, Millimetres, Newtons};
use crate::logbook::{Reading, TakeUpSizes, bounds};
use crate::trade::Units;

/// What readings are held against, and how they are typed.
pub(super) struct Measure {
    pub(super) sizes: TakeUpSizes,
    pub(super) units: Units,
}

impl Measure {
    /// A length as it was typed.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn length(&self, text: &str) -> Result<Millimetres, String> {
        let size = quantity::read(text, Kind::Length, self.units).map_err(|why| {
            format!(
                "\"{text}\": {why}. Write it such as {}",
                quantity::example(Kind::Length, self.units)
            )
        })?;
        Ok(Millimetres::of_metres(size.si()))
    }

    /// A mass as it was typed.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn mass(&self, text: &str) -> Result<Kilograms, String> {
        Kilograms::read(text, self.units == Units::Inch)
    }

    /// A pull as it was typed.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn pull(&self, text: &str) -> Result<Newtons, String> {
        let size = quantity::read(text, Kind::Force, self.units).map_err(|why| {
            format!(
                "\"{text}\": {why}. Write it such as {}",
                quantity::example(Kind::Force, self.units)
            )
        })?;
        Ok(Newtons((size.si() * 1e3).round() / 1e3))
    }

    /// A reading that the take-up can have.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn sound(&self, reading: Reading) -> Result<Reading, String> {
        bounds::reading(reading, &self.sizes)
    }
}
