//! A size that was given, or that the conveyor's file has.

use super::limits::Setting;
use super::readings::{Keyed, Readings, Wanted};
use super::{Amiss, Takes};
use crate::conveyor::quantity::{Kind, Quantity};
use crate::say;
use crate::trade::Worded;

/// No size of a conveyor is smaller or larger than this, SI. Between them no formula here runs out of numbers.
const SMALLEST: f64 = 1e-9;
const LARGEST: f64 = 1e12;

/// The size of a reading in SI: as given, else from the conveyor's file. Nothing if neither has it.
///
/// # Errors
/// It is beyond all sense, or not of the sign that was asked for.
pub(super) fn maybe(
    readings: &Readings,
    setting: &Setting,
    wanted: &Wanted,
) -> Result<Option<f64>, Amiss> {
    let filed = || setting.dimension(wanted.from?);
    let Some(si) = readings.si(wanted.key).or_else(filed) else {
        return Ok(None);
    };
    let sensible = si == 0.0 || (SMALLEST..=LARGEST).contains(&si.abs());
    let sound = sensible
        && match wanted.takes {
            Takes::Positive(_) => si > 0.0,
            Takes::NotNegative(_) => si >= 0.0,
            _ => true,
        };
    if sound {
        Ok(Some(si))
    } else {
        Err(Amiss::with(wanted.key, say!("That cannot be right: type it again.")))
    }
}

/// The same for a reading that nothing can be worked out without.
///
/// # Errors
/// It is missing or unsound.
pub(super) fn must(readings: &Readings, setting: &Setting, wanted: &Wanted) -> Result<f64, Amiss> {
    maybe(readings, setting, wanted)?
        .ok_or_else(|| Amiss::with(wanted.key, say!("This is needed: measure it, or look it up.")))
}

/// The same for a reading that may be left out, with what it is then taken as.
///
/// # Errors
/// It is unsound.
pub(super) fn or(
    readings: &Readings,
    setting: &Setting,
    wanted: &Wanted,
    default_si: f64,
) -> Result<f64, Amiss> {
    Ok(maybe(readings, setting, wanted)?.unwrap_or(default_si))
}

/// What was chosen, if a word was given.
pub(super) fn chosen<T: Worded>(readings: &Readings, key: super::ReadingKey) -> Option<T> {
    readings.choice(key).and_then(T::named)
}

/// A length to be put into a sentence.
pub(super) fn length(si: f64) -> Quantity {
    Quantity::of(Kind::Length, si)
}

/// A force to be put into a sentence.
pub(super) fn force(si: f64) -> Quantity {
    Quantity::of(Kind::Force, si)
}

/// A share to be put into a sentence.
pub(super) fn share(si: f64) -> Quantity {
    Quantity::of(Kind::Percent, si)
}
