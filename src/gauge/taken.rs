//! Readings taken for numbers: each one there, finite and of a sensible size, or what is amiss with it.

use super::key;
pub(super) use super::known::length;
use super::readings::Keyed;
use super::{Amiss, Kind, Limit, Need, Takes, Wanted};
use crate::conveyor::quantity::Quantity;
use crate::gauge::ReadingKey;
use crate::say;

/// No reading of a conveyor is larger, in SI.
const LARGEST: f64 = 1e6;
/// No length that others are divided by is smaller.
const SMALLEST_M: f64 = 0.001;

/// How exactly tape, rule and string were read; every way with lengths may ask for it.
pub(super) const ERROR: Wanted = Wanted {
    key: key::ERROR,
    ask: "How far may one reading be off",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::May("taken as 1 mm"),
};
/// What is taken for it when it is not given.
const USUAL_ERROR_M: f64 = 0.001;

fn amiss(row: Option<usize>, key: ReadingKey, words: super::Words) -> Amiss {
    Amiss { row, key: Some(key), words }
}

/// A number that may be left out, in SI.
pub(super) fn may(
    from: &impl Keyed,
    row: Option<usize>,
    key: ReadingKey,
) -> Result<Option<f64>, Amiss> {
    match from.si(key) {
        Some(size) if size.is_finite() && size.abs() <= LARGEST => Ok(Some(size)),
        Some(_) => Err(amiss(row, key, say!("this is no sensible number: read it again"))),
        None => Ok(None),
    }
}

/// A number that must be there, in SI.
pub(super) fn must(from: &impl Keyed, row: Option<usize>, key: ReadingKey) -> Result<f64, Amiss> {
    may(from, row, key)?.ok_or_else(|| amiss(row, key, say!("this reading is missing")))
}

/// A length that must be there and be more than nothing, in m.
pub(super) fn long(from: &impl Keyed, row: Option<usize>, key: ReadingKey) -> Result<f64, Amiss> {
    checked_long(row, key, must(from, row, key)?)
}

/// A length that may be left out and else is more than nothing, in m.
pub(super) fn may_long(
    from: &impl Keyed,
    row: Option<usize>,
    key: ReadingKey,
) -> Result<Option<f64>, Amiss> {
    may(from, row, key)?.map(|length_m| checked_long(row, key, length_m)).transpose()
}

fn checked_long(row: Option<usize>, key: ReadingKey, length_m: f64) -> Result<f64, Amiss> {
    if length_m >= SMALLEST_M {
        Ok(length_m)
    } else {
        let least = Quantity::of(Kind::Length, SMALLEST_M);
        Err(amiss(row, key, say!("this length must be at least ", least, ": measure it again")))
    }
}

/// How far one reading may be off, in m.
pub(super) fn error_m(from: &impl Keyed) -> Result<f64, Amiss> {
    error_or(from, USUAL_ERROR_M)
}

/// How far one reading may be off, in m, with what is taken for it when it is not given.
pub(super) fn error_or(from: &impl Keyed, usual_m: f64) -> Result<f64, Amiss> {
    let error_m = may(from, None, key::ERROR)?.unwrap_or(usual_m);
    if error_m < 0.0 {
        return Err(amiss(None, key::ERROR, say!("it cannot be less than nothing")));
    }
    Ok(error_m)
}

/// One of the words on offer, which must be there.
pub(super) fn word(
    from: &impl Keyed,
    row: Option<usize>,
    key: ReadingKey,
) -> Result<&'static str, Amiss> {
    from.choice(key).ok_or_else(|| amiss(row, key, say!("this reading is missing")))
}

/// A limit per length as a limit over that length.
pub(super) fn over(limit: Limit, length_m: f64) -> Limit {
    Limit { size: Quantity::of(Kind::Length, limit.size.si() * length_m), ..limit }
}
