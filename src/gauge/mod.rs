//! Measurements worked out: raw readings in, numbers with limit and verdict out.
//!
//! One file per gauge. A gauge is a description that serves every way of use alike (prompts, flags, a table
//! from a CSV file, inside a visit) and a function from readings to an [`Outcome`]. Which symptom a gauge
//! answers is not known here: the rule book names the gauge and what its words mean.

mod asked;
pub mod beam;
pub mod bearing_life;
pub mod crown;
pub mod first_split;
pub mod fit;
mod fourier;
pub mod frame;
pub mod given;
pub mod heat;
pub mod idlers;
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

pub use limits::{Limit, Mark, Setting};
pub use outcome::{Figure, Outcome, Plot, Verdict};
pub use readings::{Amiss, Column, Given, Keyed, Kind, Need, Readings, Row, Rows, Takes, Wanted};
pub use words::{Piece, Words};

use crate::trade::MachineState;

/// A gauge.
#[derive(Debug)]
pub struct Gauge {
    /// Its name on the command line and in rule files.
    pub id: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// What it tells, in one sentence.
    pub about: &'static str,
    /// The ways to measure, the usual one first.
    pub ways: &'static [Way],
    /// What it can tell a symptom.
    pub tells: &'static [Tell],
    /// Works the readings out.
    ///
    /// # Errors
    /// What is amiss with the readings.
    pub work: fn(&Readings, &Setting) -> Result<Outcome, Amiss>,
}

/// One way to measure.
#[derive(Debug)]
pub struct Way {
    /// Its name on the command line.
    pub id: &'static str,
    /// What it is, in a few words.
    pub title: &'static str,
    /// In which state the machine must be.
    pub state: MachineState,
    /// What to take along.
    pub tools: &'static [&'static str],
    /// What to do, step by step. `{left}` and `{right}` are the sides as people call them here.
    pub how: &'static [&'static str],
    /// A drawing in plain letters, at most 38 columns; L and R stand for the sides.
    pub drawing: &'static [&'static str],
    /// The single readings.
    pub wanted: &'static [Wanted],
    /// A table of readings, if there is one.
    pub rows: Option<Rows>,
}

/// Something a gauge can tell, in one of a few words.
#[derive(Debug)]
pub struct Tell {
    /// What it is about.
    pub id: &'static str,
    /// What may be said of it.
    pub words: &'static [&'static str],
}

/// All gauges, in the order in which they are listed.
pub const ALL: &[&Gauge] = &[
    &splice::GAUGE,
    &square::GAUGE,
    &frame::GAUGE,
    &idlers::GAUGE,
    &crown::GAUGE,
    &sag::GAUGE,
    &takeup::GAUGE,
    &side_load::GAUGE,
    &heat::GAUGE,
    &load::GAUGE,
    &spread::GAUGE,
    &trace::GAUGE,
    &trim::GAUGE,
    &transition::GAUGE,
];

/// The gauge of that name.
pub fn named(id: &str) -> Option<&'static Gauge> {
    ALL.iter().copied().find(|gauge| gauge.id == id)
}

impl PartialEq for Gauge {
    /// There is one gauge of a name.
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

impl Gauge {
    /// A way by its name.
    pub fn way(&self, id: &str) -> Option<&'static Way> {
        self.ways.iter().find(|way| way.id == id)
    }

    /// Something it tells, by name.
    pub fn tell(&self, id: &str) -> Option<&'static Tell> {
        self.tells.iter().find(|tell| tell.id == id)
    }
}
