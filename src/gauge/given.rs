//! Reading what was typed for a reading, and checking that a measurement has all it needs.

use crate::trade::{Side, Units};
use std::collections::BTreeMap;

use super::readings::{Given, Keyed, Need, Readings, Row, Takes, Wanted};
use super::{Amiss, Way};
use crate::conveyor::quantity::{self, Bare, Kind, Quantity, Seen};
use crate::say;

/// No table has more rows.
pub const MOST_ROWS: usize = 2_000_000;
/// A size in SI beyond this is a slip of the finger.
const LARGEST: f64 = 1e9;
/// A count is no larger.
const LARGEST_COUNT: u32 = 1_000_000;
/// A label has no more characters.
const LONGEST_LABEL: usize = 60;

/// Why what was typed is not a reading.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unread {
    /// It is no such quantity.
    #[error("{0}")]
    Quantity(#[from] quantity::Refused),
    /// It must be more than nothing.
    #[error("it must be more than nothing")]
    NotPositive,
    /// It must not be less than nothing.
    #[error("it cannot be less than nothing")]
    Negative,
    /// It is beyond all sense.
    #[error("it is beyond all sense")]
    Large,
    /// It must be a whole number.
    #[error("it must be a whole number from 1 to {LARGEST_COUNT}")]
    Count,
    /// It must be a side.
    #[error("it must be left or right")]
    Side,
    /// It must be one of the words.
    #[error("it must be one of {0}")]
    Choice(String),
    /// It is no name.
    #[error("type a name of 1 to {LONGEST_LABEL} characters")]
    Label,
}

impl Takes {
    /// The kind of quantity, if it is one.
    pub fn kind(self) -> Option<Kind> {
        match self {
            Self::Positive(kind) | Self::NotNegative(kind) | Self::Signed(kind) => Some(kind),
            Self::Count | Self::Side | Self::Choice(_) | Self::Label => None,
        }
    }

    /// A quantity, if it is of the sign that is asked for and within reason.
    ///
    /// # Errors
    /// Why it is not.
    pub fn holds(self, size: Quantity) -> Result<Given, Unread> {
        let si = size.si();
        if !si.is_finite() || si.abs() > LARGEST {
            return Err(Unread::Large);
        }
        match self {
            // Nothing is colder than nothing, so temperatures are positive by nature.
            Self::Positive(_) if si <= 0.0 => Err(Unread::NotPositive),
            Self::NotNegative(_) if si < 0.0 => Err(Unread::Negative),
            _ => Ok(Given::Quantity(size)),
        }
    }

    /// Reads what was typed.
    ///
    /// # Errors
    /// Why it is no such reading.
    pub fn read(self, text: &str, units: Units) -> Result<Given, Unread> {
        self.read_as(text, Bare::Of(units)).map(|(given, _)| given)
    }

    /// The same with what a bare number is a number of, and with how a quantity was written.
    ///
    /// # Errors
    /// Why it is no such reading.
    pub fn read_as(self, text: &str, bare: Bare) -> Result<(Given, Option<Seen>), Unread> {
        match self {
            Self::Positive(kind) | Self::NotNegative(kind) | Self::Signed(kind) => {
                let (size, seen) = quantity::read_as(text.trim(), kind, bare)?;
                Ok((self.holds(size)?, Some(seen)))
            }
            _ => Ok((self.read_word(text.trim())?, None)),
        }
    }

    /// Reads what is no quantity.
    fn read_word(self, typed: &str) -> Result<Given, Unread> {
        match self {
            Self::Positive(_) | Self::NotNegative(_) | Self::Signed(_) => Err(Unread::Label),
            Self::Count => match typed.parse::<u32>() {
                Ok(count) if (1..=LARGEST_COUNT).contains(&count) => Ok(Given::Count(count)),
                _ => Err(Unread::Count),
            },
            Self::Side => match typed.to_lowercase().as_str() {
                "left" | "l" => Ok(Given::Side(Side::Left)),
                "right" | "r" => Ok(Given::Side(Side::Right)),
                _ => Err(Unread::Side),
            },
            Self::Choice(words) => {
                let typed = typed.to_lowercase();
                let number = typed.trim_end_matches(['.', ')']).parse::<usize>().ok();
                let numbered = number.and_then(|number| words.get(number.checked_sub(1)?));
                words
                    .iter()
                    .find(|(word, _)| *word == typed)
                    .or(numbered)
                    .map(|(word, _)| Given::Choice(word))
                    .ok_or_else(|| {
                        let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
                        Unread::Choice(words.join(", "))
                    })
            }
            Self::Label => {
                let good = !typed.is_empty()
                    && typed.chars().count() <= LONGEST_LABEL
                    && !typed.chars().any(crate::source::unprintable);
                if good { Ok(Given::Label(typed.to_owned())) } else { Err(Unread::Label) }
            }
        }
    }

    /// Something that may be typed.
    pub fn example(self, units: Units) -> String {
        match self {
            Self::Positive(kind) | Self::NotNegative(kind) | Self::Signed(kind) => {
                quantity::example(kind, units).to_owned()
            }
            Self::Count => "12".to_owned(),
            Self::Side => "left".to_owned(),
            Self::Choice(words) => {
                words.first().map_or_else(String::new, |(word, _)| (*word).to_owned())
            }
            Self::Label => "A1".to_owned(),
        }
    }
}

/// How often each reading is taken, and the further ones.
#[derive(Debug, Clone)]
pub struct Again {
    pub(super) times: u32,
    pub(super) further: BTreeMap<super::ReadingKey, Vec<Quantity>>,
}

impl Default for Again {
    fn default() -> Self {
        Self::of(1)
    }
}

impl Again {
    /// Each reading so often; once at least.
    pub fn of(times: u32) -> Self {
        Self { times: times.max(1), further: BTreeMap::new() }
    }

    /// Says how often each is taken, where the first readings told it.
    pub fn set_times(&mut self, times: u32) {
        self.times = times.max(1);
    }

    /// How often each is taken.
    pub fn times(&self) -> u32 {
        self.times
    }

    /// One more reading of the same.
    pub(super) fn add(&mut self, key: super::ReadingKey, size: Quantity) {
        self.further.entry(key).or_default().push(size);
    }
}

/// What was given by key, single and row by row, not yet checked for what is missing.
#[derive(Debug, Clone, Default)]
pub struct Gathered {
    /// The single readings.
    pub single: BTreeMap<super::ReadingKey, Given>,
    /// The table.
    pub rows: Vec<Row>,
    /// How each quantity was written, single ones and columns; what comes from the conveyor's file is not here.
    pub seen: BTreeMap<super::ReadingKey, Seen>,
    /// Further readings of the same things, each a whole set of its own; the mean of all counts.
    pub again: Again,
}

impl Gathered {
    /// For readings of which each is taken so often.
    pub fn repeated(times: u32) -> Self {
        Self { again: Again::of(times), ..Self::default() }
    }

    /// Takes a reading, with how it was written. How the first was written counts.
    pub fn take(&mut self, key: super::ReadingKey, (given, seen): (Given, Option<Seen>)) {
        if let (Given::Quantity(size), true) = (&given, self.single.contains_key(&key)) {
            self.again.add(key, *size);
        } else {
            self.single.insert(key, given);
        }
        if let Some(seen) = seen {
            self.seen.entry(key).or_insert(seen);
        }
    }

    /// Fills in from the conveyor what was not given and the conveyor knows.
    pub fn fill(&mut self, way: &Way, dimension: impl Fn(&str) -> Option<Quantity>) {
        for wanted in way.wanted {
            if let Some(path) = wanted.from
                && !self.single.contains_key(&wanted.key)
                && let Some(size) = dimension(path)
            {
                self.single.insert(wanted.key, Given::Quantity(size));
            }
        }
    }

    /// The single readings that must be there and are not.
    pub fn missing(&self, way: &'static Way) -> Vec<&'static Wanted> {
        way.wanted
            .iter()
            .filter(|wanted| wanted.need == Need::Must && !self.single.contains_key(&wanted.key))
            .collect()
    }

    /// Readings with all that the way needs.
    ///
    /// # Errors
    /// The first thing that is missing, or too many rows.
    pub fn complete(self, way: &'static Way) -> Result<Readings, Amiss> {
        if let Some(wanted) = self.missing(way).first() {
            return Err(Amiss::with(wanted.key, say!("this reading is missing")));
        }
        if let Some(rows) = &way.rows {
            if self.rows.len() < rows.least {
                return Err(Amiss::all(say!(format!(
                    "{} {} read, at least {} are needed",
                    self.rows.len(),
                    if self.rows.len() == 1 { "row was" } else { "rows were" },
                    rows.least
                ))));
            }
            if self.rows.len() > MOST_ROWS {
                return Err(Amiss::all(say!(format!("more than {MOST_ROWS} rows"))));
            }
            for (at, row) in self.rows.iter().enumerate() {
                let missing = rows
                    .columns
                    .iter()
                    .find(|column| column.need == Need::Must && row.given(column.key).is_none());
                if let Some(column) = missing {
                    return Err(Amiss::at(at, column.key, say!("this reading is missing")));
                }
            }
        }
        Ok(Readings { way: way.id, single: self.single, rows: self.rows, seen: self.seen })
    }
}
