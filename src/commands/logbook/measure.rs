//! Readings of a take-up as they are typed, and what they are held against.

use crate::conveyor::quantity::{self, Kind, Quantity};
use crate::logbook::size::{Kilograms, Millimetres, Newtons};
use crate::logbook::{Reading, TakeUpSizes, bounds};
use crate::trade::{TakeUp, Units};

/// What readings are held against, and how they are typed.
pub(super) struct Measure {
    pub(super) sizes: TakeUpSizes,
    pub(super) units: Units,
    /// What keeps the belt tight, where that is known.
    pub(super) take_up: Option<TakeUp>,
}

impl Measure {
    /// A length as it was typed.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn length(&self, text: &str) -> Result<Millimetres, String> {
        let size = self.quantity(text, Kind::Length)?;
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
        let size = self.quantity(text, Kind::Force)?;
        Ok(Newtons((size.si() * 1e3).round() / 1e3))
    }

    fn quantity(&self, text: &str, kind: Kind) -> Result<Quantity, String> {
        quantity::read(text, kind, self.units).map_err(|why| {
            format!("\"{text}\": {why}. Write it such as {}", quantity::example(kind, self.units))
        })
    }

    /// A reading that the take-up can have.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn sound(&self, reading: Reading) -> Result<Reading, String> {
        let kind = match reading {
            Reading::Screws { .. } => TakeUp::Screw,
            Reading::Carriage { .. } => TakeUp::Carriage,
            Reading::Weight { .. } => TakeUp::Gravity,
            Reading::Winch { .. } => TakeUp::Winch,
        };
        // A carriage is pulled by a weight, and a winch pulls one: each is read there.
        let fits = |known: TakeUp| match known {
            TakeUp::Screw => kind == TakeUp::Screw,
            TakeUp::Carriage => matches!(kind, TakeUp::Carriage | TakeUp::Gravity),
            TakeUp::Gravity | TakeUp::Winch => kind == known || kind == TakeUp::Carriage,
            TakeUp::None => true,
        };
        match self.take_up.filter(|known| !fits(*known)) {
            Some(known) => Err(format!(
                "{} is no reading of this take-up, which is {} by the conveyor's file: read that, or put take_up right there",
                reading.word(),
                known.word()
            )),
            None => bounds::reading(reading, &self.sizes),
        }
    }

    /// A place that the take-up can reach.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub(super) fn reachable(&self, at: Millimetres) -> Result<Millimetres, String> {
        bounds::reading(Reading::Carriage { at }, &self.sizes).map(|_| at)
    }
}
