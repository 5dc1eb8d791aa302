//! Measurements worked out: raw readings in, numbers with limit and verdict out.
//!
//! One file per gauge. A gauge is a description that serves every way of use alike (prompts, flags, a table
//! from a CSV file, inside a visit) and a function from readings to an [`Outcome`]. Which symptom a gauge
//! answers is not known here: the rule book names the gauge and what its words mean.

mod asked;
pub mod beam;
pub mod bearing_life;
pub mod catalogue;
pub mod crown;
mod described;
pub mod first_split;
pub mod fit;
mod fourier;
pub mod frame;
pub mod given;
pub mod heat;
pub mod idlers;
pub(crate) mod key;
mod known;
pub mod limits;
pub mod load;
pub mod outcome;
pub mod periodogram;
pub mod readings;
pub mod rhythm;
pub mod sag;
pub mod shaft;
pub mod side_load;
pub mod splice;
pub mod spread;
pub mod square;
pub mod table;
mod taken;
pub mod takeup;
pub mod tension;
pub mod trace;
pub mod transition;
pub mod trim;
pub mod two_way;
pub mod words;

pub use catalogue::{ALL, named};
pub use described::{Gauge, Tell, Way};
pub use limits::{Basis, Limit, Mark, Setting};
pub use outcome::{Amount, Figure, Outcome, Plot, Verdict};
pub use readings::{
    Amiss, Column, Given, Keyed, Kind, Need, ReadingKey, Readings, Row, Rows, Takes, Wanted,
};
pub use words::{Piece, Words};
