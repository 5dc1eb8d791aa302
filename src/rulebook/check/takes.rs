//! Minutes that hang on the conveyor.

use std::ops::RangeInclusive;

use crate::rulebook::model::Takes;
use crate::rulebook::written::Besides;
use crate::source::parse::Spanned;

use super::Diagnostics;
use super::words;

/// What something takes: the minutes in their range, and what they hang on besides.
pub(super) fn takes(
    (minutes, range): (Spanned<f64>, RangeInclusive<f64>),
    besides: Besides,
    diagnostics: &mut Diagnostics,
) -> Takes {
    // Where they hang on something, nothing need be fixed.
    let range = if besides.is_any() { 0.0..=*range.end() } else { range };
    let fixed_minutes = words::number(minutes, range, "minutes", diagnostics);
    more(fixed_minutes, besides, diagnostics)
}

/// The same of minutes that are in order.
pub(super) fn more(fixed_minutes: f64, besides: Besides, diagnostics: &mut Diagnostics) -> Takes {
    let mut number = |written: Option<Spanned<f64>>, to: f64, what: &str| {
        written.map_or(0.0, |written| words::number(written, 0.0..=to, what, diagnostics))
    };
    Takes {
        fixed_minutes,
        turns: number(besides.turns, 100.0, "turns of the belt"),
        per_carry_set: number(besides.per_carry_set, 120.0, "minutes for a set"),
        per_return_set: number(besides.per_return_set, 120.0, "minutes for a set"),
        per_pulley: number(besides.per_pulley, 2_000.0, "minutes for a pulley"),
    }
}
