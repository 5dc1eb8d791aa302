//! What describes a gauge to every way of use alike.

use super::limits::{Setting, Shipped};
use super::outcome::Outcome;
use super::readings::{Amiss, Readings, Rows, Wanted};
use super::tell::CanTell;
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
    /// The limits that its readings are held against.
    pub limits: &'static [&'static Shipped],
    /// What readings of this size can tell from the limit, as far as readings and conveyor are known yet; nothing where
    /// that cannot be said beforehand.
    pub foretell: fn(&Readings, &Setting) -> Option<CanTell>,
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
