//! Measurements worked out: raw readings in, numbers with limit and verdict out.
//!
//! One room per gauge, of three short files that teach the next: what it asks (`asked.rs`), what it works out (`mod.rs`),
//! what it says (`told.rs`). Its limits and the errors of readings are data, in `rules/gauges/`. A gauge is a description that serves every way of use alike (prompts, flags, a table
//! from a CSV file, inside a visit) and a function from readings to an [`Outcome`]. Which symptom a gauge
//! answers is not known here: the rule book names the gauge and what its words mean.

mod again;
mod asked;
pub mod beam;
pub mod bearing_life;
pub mod bow;
pub mod catalogue;
pub mod crown;
mod described;
pub mod first_split;
pub mod fit;
mod fourier;
pub mod frame;
pub mod given;
pub mod heat;
pub mod height;
pub mod idlers;
pub(crate) mod key;
pub mod level;
pub mod limits;
pub mod line;
pub mod load;
pub mod outcome;
pub mod periodogram;
mod plots;
pub mod read_by;
pub mod readings;
pub mod rhythm;
pub mod roll;
pub mod runout;
pub mod sag;
pub mod shaft;
pub mod side_load;
pub mod slip;
pub mod snub;
pub mod splice;
pub mod spread;
pub mod square;
pub mod table;
pub mod takeup;
mod tell;
pub mod tension;
pub mod trace;
pub mod transition;
pub mod trim;
pub mod two_way;
pub mod weight;
pub mod words;

pub use catalogue::{ALL, named};
pub use described::{Gauge, Tell, Way};
pub use limits::{Basis, Grade, Limit, Mark, RuleSizes, SetAt, SetSize, Setting, Shipped};
pub use outcome::{Amount, Figure, Outcome, Plot, Verdict};
pub use readings::{
    Amiss, Column, Given, Keyed, Kind, Need, ReadingKey, Readings, Row, Rows, Takes, Wanted,
};
pub use tell::{CanTell, closer};
pub use words::{Piece, Words};
