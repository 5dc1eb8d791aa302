//! What a gauge asks for, and what it was given.

use crate::trade::Side;
use std::collections::BTreeMap;

pub use crate::conveyor::quantity::Kind;
use crate::conveyor::quantity::{
    Angle, Force, Length, LinearMassDensity, Modulus, Quantity, Seen, ThermodynamicTemperature,
    Time, Velocity,
};

use super::words::Words;

/// The name of a reading: flag, column of a CSV file, key in JSON and in a visit. Only a gauge makes one, as a constant
/// beside what it asks for; a name from elsewhere becomes one by finding the [`Wanted`] that has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct ReadingKey(&'static str);

impl ReadingKey {
    pub(in crate::gauge) const fn new(name: &'static str) -> Self {
        Self(name)
    }

    /// The name as it is typed, shown and filed.
    pub const fn as_str(self) -> &'static str {
        self.0
    }
}

/// A reading that is asked for.
#[derive(Debug)]
pub struct Wanted {
    /// Its name.
    pub key: ReadingKey,
    /// The question, as a prompt puts it; `{left}` and `{right}` are the sides.
    pub ask: &'static str,
    /// What may be given.
    pub takes: Takes,
    /// Where a conveyor file has it.
    pub from: Option<&'static str>,
    /// Whether it may be left out.
    pub need: Need,
}

/// What may be given for a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// A quantity above nothing.
    Positive(Kind),
    /// A quantity that is nothing or more.
    NotNegative(Kind),
    /// A quantity of either sign.
    Signed(Kind),
    /// A whole number from 1 to 1,000,000.
    Count,
    /// Left or right.
    Side,
    /// One of a few words, each with what it means.
    Choice(&'static [(&'static str, &'static str)]),
    /// A name of the person's own, such as a station's.
    Label,
}

/// Whether a reading may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It may not.
    Must,
    /// It may; the text says what is done without it.
    May(&'static str),
}

/// A table of readings.
#[derive(Debug)]
pub struct Rows {
    /// What one row is: "station", "idler".
    pub one: &'static str,
    /// The fewest rows that tell anything.
    pub least: usize,
    /// The columns.
    pub columns: &'static [Column],
}

/// A column of a table: a reading of each row.
pub type Column = Wanted;

/// A reading as it was given.
#[derive(Debug, Clone, PartialEq)]
pub enum Given {
    /// A quantity.
    Quantity(Quantity),
    /// A whole number.
    Count(u32),
    /// A side.
    Side(Side),
    /// One of the words of [`Takes::Choice`].
    Choice(&'static str),
    /// A name.
    Label(String),
}

impl Given {
    /// The reading in words that read back the same, in SI.
    pub fn written(&self) -> String {
        match self {
            Self::Quantity(Quantity::Number(number)) => number.to_string(),
            Self::Quantity(Quantity::Share(share)) => format!("{} of one", share.value),
            Self::Quantity(size) => format!("{} {}", size.si(), size.si_unit()),
            Self::Count(count) => count.to_string(),
            Self::Side(side) => side.id().to_owned(),
            Self::Choice(word) => (*word).to_owned(),
            Self::Label(name) => name.clone(),
        }
    }
}

/// The readings of one measurement: checked against what the way asks for, so every `Must` is there.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// The way's id.
    pub way: &'static str,
    /// The single ones, by key.
    pub single: BTreeMap<ReadingKey, Given>,
    /// The table.
    pub rows: Vec<Row>,
    /// How each quantity was written, single ones and columns, so that it can be shown the same.
    pub seen: BTreeMap<ReadingKey, Seen>,
}

/// A row of a table: its readings by key. Small, because a table may have a million.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row(Vec<(ReadingKey, Given)>);

impl Row {
    /// Sets a reading.
    pub fn insert(&mut self, key: ReadingKey, given: Given) {
        match self.0.iter_mut().find(|(known, _)| *known == key) {
            Some((_, there)) => *there = given,
            None => self.0.push((key, given)),
        }
    }

    /// All readings of the row.
    pub fn iter(&self) -> impl Iterator<Item = (ReadingKey, &Given)> {
        self.0.iter().map(|(key, given)| (*key, given))
    }
}

impl FromIterator<(ReadingKey, Given)> for Row {
    fn from_iter<I: IntoIterator<Item = (ReadingKey, Given)>>(readings: I) -> Self {
        let mut row = Self::default();
        for (key, given) in readings {
            row.insert(key, given);
        }
        row
    }
}

/// What is amiss with readings: nothing can be worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Amiss {
    /// The row it stands in, from 0; nothing when it is not in a table.
    pub row: Option<usize>,
    /// The key of the reading, if it is one.
    pub key: Option<ReadingKey>,
    /// What is amiss, and what to do about it.
    pub words: Words,
}

impl Amiss {
    /// Amiss with a single reading.
    pub fn with(key: ReadingKey, words: Words) -> Self {
        Self { row: None, key: Some(key), words }
    }

    /// Amiss with a reading of a row, counted from 0.
    pub fn at(row: usize, key: ReadingKey, words: Words) -> Self {
        Self { row: Some(row), key: Some(key), words }
    }

    /// Amiss with the readings together.
    pub fn all(words: Words) -> Self {
        Self { row: None, key: None, words }
    }
}

/// Readings by key, single or of one row.
pub trait Keyed {
    /// What was given under the key.
    fn given(&self, key: ReadingKey) -> Option<&Given>;

    /// The quantity under the key, in SI.
    fn si(&self, key: ReadingKey) -> Option<f64> {
        match self.given(key)? {
            Given::Quantity(quantity) => Some(quantity.si()),
            _ => None,
        }
    }

    /// A length.
    fn length(&self, key: ReadingKey) -> Option<Length> {
        match self.given(key)? {
            Given::Quantity(Quantity::Length(length)) => Some(*length),
            _ => None,
        }
    }

    /// A force.
    fn force(&self, key: ReadingKey) -> Option<Force> {
        match self.given(key)? {
            Given::Quantity(Quantity::Force(force)) => Some(*force),
            _ => None,
        }
    }

    /// A belt modulus.
    fn modulus(&self, key: ReadingKey) -> Option<Modulus> {
        match self.given(key)? {
            Given::Quantity(Quantity::Modulus(modulus)) => Some(*modulus),
            _ => None,
        }
    }

    /// A speed.
    fn speed(&self, key: ReadingKey) -> Option<Velocity> {
        match self.given(key)? {
            Given::Quantity(Quantity::Speed(speed)) => Some(*speed),
            _ => None,
        }
    }

    /// Mass per length.
    fn line_mass(&self, key: ReadingKey) -> Option<LinearMassDensity> {
        match self.given(key)? {
            Given::Quantity(Quantity::LineMass(mass)) => Some(*mass),
            _ => None,
        }
    }

    /// A temperature.
    fn temperature(&self, key: ReadingKey) -> Option<ThermodynamicTemperature> {
        match self.given(key)? {
            Given::Quantity(Quantity::Temperature(temperature)) => Some(*temperature),
            _ => None,
        }
    }

    /// An angle.
    fn angle(&self, key: ReadingKey) -> Option<Angle> {
        match self.given(key)? {
            Given::Quantity(Quantity::Angle(angle)) => Some(*angle),
            _ => None,
        }
    }

    /// A time.
    fn time(&self, key: ReadingKey) -> Option<Time> {
        match self.given(key)? {
            Given::Quantity(Quantity::Time(time)) => Some(*time),
            _ => None,
        }
    }

    /// A whole number.
    fn count(&self, key: ReadingKey) -> Option<u32> {
        match self.given(key)? {
            Given::Count(count) => Some(*count),
            _ => None,
        }
    }

    /// A side.
    fn side(&self, key: ReadingKey) -> Option<Side> {
        match self.given(key)? {
            Given::Side(side) => Some(*side),
            _ => None,
        }
    }

    /// One of the words on offer.
    fn choice(&self, key: ReadingKey) -> Option<&'static str> {
        match self.given(key)? {
            Given::Choice(word) => Some(word),
            _ => None,
        }
    }

    /// A name.
    fn label(&self, key: ReadingKey) -> Option<&str> {
        match self.given(key)? {
            Given::Label(name) => Some(name),
            _ => None,
        }
    }
}

impl Keyed for Readings {
    fn given(&self, key: ReadingKey) -> Option<&Given> {
        self.single.get(&key)
    }
}

impl Keyed for Row {
    fn given(&self, key: ReadingKey) -> Option<&Given> {
        self.iter().find(|(known, _)| *known == key).map(|(_, given)| given)
    }
}
