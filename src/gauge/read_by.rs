//! How far one reading may be off, by how it is taken (`rules/gauges/reading-errors.ron`).

use super::readings::{Need, Wanted};
use crate::conveyor::quantity::Kind;
use crate::trade;

/// What the size of an error rests on; a published source is an id of `rules/sources.ron`.
type Basis = trade::Basis<&'static str, &'static str>;

/// The error of a reading that is taken in one way: twice its standard deviation.
#[derive(Debug)]
pub struct ReadingError {
    /// Its name.
    pub id: &'static str,
    /// How the reading is taken.
    pub how: &'static str,
    /// What kind of quantity it is.
    pub kind: Kind,
    /// Its size, SI.
    pub si: f64,
    /// What it rests on.
    pub mark: Basis,
    /// What a prompt says is taken without it.
    pub taken: &'static str,
}

/// The way of reading whose error is taken where a reading is left out, if it is one.
pub fn of(wanted: &Wanted) -> Option<&'static ReadingError> {
    match wanted.need {
        Need::May(without) => ALL.iter().copied().find(|error| error.taken == without),
        Need::Must => None,
    }
}

/// The way of reading of that name.
pub fn named(id: &str) -> Option<&'static ReadingError> {
    ALL.iter().copied().find(|error| error.id == id)
}

include!(concat!(env!("OUT_DIR"), "/gauge_errors.rs"));
