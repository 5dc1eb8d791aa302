//! How far one reading may be off, by how it is taken (`rules/gauges/reading-errors.ron`).

use super::limits::Basis;
use crate::conveyor::quantity::Kind;

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

include!(concat!(env!("OUT_DIR"), "/gauge_errors.rs"));
