//! When the travel of a take-up ends, by the trend of the side that stands further out.

use jiff::civil::Date;
use jiff::{Span, ToSpan};

use super::entry::Reading;
use super::size::Millimetres;
use super::slope::Slope;
use super::take_up_sizes::TakeUpSizes;
use crate::trade::Side;

/// A trend is told from so many readings on.
const FEWEST: usize = 4;
/// An end that is further away than so many days is not in sight.
const OUT_OF_SIGHT_DAYS: f64 = 365.0 * 30.0;

/// A reading with its day counted from the first one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Days since the first reading that counts.
    pub day: f64,
    /// Its day.
    pub on: Date,
    /// What was read.
    pub reading: Reading,
}

/// When the travel ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelEnd {
    /// What of it is left, at the side that is further out.
    pub left: Millimetres,
    /// That side, where there are two screws.
    pub side: Option<Side>,
    /// When it is expected; nothing when the trend leads nowhere.
    pub on: Option<Date>,
    /// The earliest and the latest day of the range; nothing when it is not in sight.
    pub between: (Option<Date>, Option<Date>),
}

/// The trend of some readings by day, where there are enough.
pub(super) fn trend(points: &[(f64, f64)]) -> Option<Slope> {
    Slope::through(points).filter(|_| points.len() >= FEWEST)
}

/// How far out the side stands that is further out, and which that is.
fn furthest(reading: &Reading) -> Option<(Millimetres, Option<Side>)> {
    match *reading {
        Reading::Screws { left, right } if left.0 >= right.0 => Some((left, Some(Side::Left))),
        Reading::Screws { right, .. } => Some((right, Some(Side::Right))),
        other => other.out().map(|at| (at, None)),
    }
}

/// When the travel ends, by the readings that count.
pub(super) fn travel_end(points: &[Point], sizes: &TakeUpSizes) -> Option<TravelEnd> {
    let travel = sizes.travel?;
    let last = points.last()?;
    let (at, side) = furthest(&last.reading)?;
    let left = Millimetres(travel.0 - at.0);
    let ups: Vec<(f64, f64)> = points
        .iter()
        .filter_map(|point| {
            let up = match (point.reading, side) {
                (Reading::Screws { left, .. }, Some(Side::Left)) => left,
                (Reading::Screws { right, .. }, Some(Side::Right)) => right,
                (other, _) => other.out()?,
            };
            Some((point.day, up.0))
        })
        .collect();
    let slope = trend(&ups);
    let on = |rate: f64| {
        let ahead = left.0.max(0.0) / rate;
        (rate > 0.0 && ahead <= OUT_OF_SIGHT_DAYS)
            .then(|| last.on.checked_add(whole_days(ahead)).ok())
            .flatten()
    };
    let expected = slope.and_then(|slope| on(slope.slope));
    let between = (slope.and_then(|slope| on(slope.high)), slope.and_then(|slope| on(slope.low)));
    Some(TravelEnd { left, side, on: expected, between })
}

fn whole_days(days: f64) -> Span {
    (days.floor() as i64).days()
}
