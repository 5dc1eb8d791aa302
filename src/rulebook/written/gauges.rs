//! A file of gauges/ as written: limits and errors of readings that a folder sets in place of the program's own.

use serde::Deserialize;

use super::Source;
use crate::gauge::Kind;
use crate::source::parse::{Spanned, Text};

/// A file of gauges/.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "gauge sizes")]
pub struct GaugeFile {
    #[serde(default)]
    pub gauge: Option<Text>,
    #[serde(default)]
    pub limits: Vec<LimitEntry>,
    #[serde(default)]
    pub errors: Vec<ErrorEntry>,
}

/// A limit of the gauge.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "limit")]
pub struct LimitEntry {
    pub id: Text,
    #[serde(default)]
    pub what: Option<Text>,
    #[serde(default)]
    pub kind: Option<Spanned<SizeKind>>,
    pub size: Text,
    pub source: Source,
    #[serde(default)]
    pub damaged: bool,
}

/// How far one reading may be off, by how it is taken.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "reading error")]
pub struct ErrorEntry {
    pub id: Text,
    #[serde(default)]
    pub how: Option<Text>,
    #[serde(default)]
    pub kind: Option<Spanned<SizeKind>>,
    pub size: Text,
    pub source: Source,
}

/// What kind of quantity it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename = "kind of size")]
pub enum SizeKind {
    Length,
    Distance,
    Temperature,
    Rise,
    Angle,
    Percent,
    Number,
    Time,
}

impl SizeKind {
    /// The kind as gauges call it.
    pub fn kind(self) -> Kind {
        match self {
            Self::Length => Kind::Length,
            Self::Distance => Kind::Distance,
            Self::Temperature => Kind::Temperature,
            Self::Rise => Kind::Rise,
            Self::Angle => Kind::Angle,
            Self::Percent => Kind::Percent,
            Self::Number => Kind::Number,
            Self::Time => Kind::Time,
        }
    }
}

impl GaugeFile {
    /// What it sets: the kind of entry, and its id.
    pub fn names(&self) -> impl Iterator<Item = (&'static str, &Text)> {
        let limits = self.limits.iter().map(|entry| (LIMIT, &entry.id));
        limits.chain(self.errors.iter().map(|entry| (READING_ERROR, &entry.id)))
    }
}

/// What a limit is called where entries are named.
pub const LIMIT: &str = "limit";
/// What the error of a reading is called there.
pub const READING_ERROR: &str = "reading error";
