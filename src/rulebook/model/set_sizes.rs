//! What rule files set in place of the program's own limits of gauges and errors of readings.

use super::{Book, Grade, Source};
use crate::conveyor::quantity::Quantity;
use crate::gauge::read_by::ReadingError;
use crate::gauge::{self, Kind, RuleSizes, SetAt, SetSize, Shipped};

/// A size that rule files set.
#[derive(Debug, Clone)]
pub struct GaugeSize {
    /// What it is the size of.
    pub of: SizeOf,
    /// Its size.
    pub size: Quantity,
    /// Where it comes from.
    pub source: Source,
    /// Whether the number is printed damaged in its source.
    pub damaged: bool,
}

/// What has a size that rule files may set.
#[derive(Debug, Clone, Copy)]
pub enum SizeOf {
    /// A limit of a gauge.
    Limit(&'static Shipped),
    /// How far a reading may be off that is taken in one way.
    Error(&'static ReadingError),
}

impl SizeOf {
    /// Its id.
    pub fn id(self) -> &'static str {
        match self {
            Self::Limit(limit) => limit.id,
            Self::Error(error) => error.id,
        }
    }

    /// What it is, in a few words.
    pub fn what(self) -> &'static str {
        match self {
            Self::Limit(limit) => limit.what,
            Self::Error(error) => error.how,
        }
    }

    /// What kind of quantity.
    pub fn kind(self) -> Kind {
        match self {
            Self::Limit(limit) => limit.kind,
            Self::Error(error) => error.kind,
        }
    }

    /// The program's own size, SI.
    pub fn shipped_si(self) -> f64 {
        match self {
            Self::Limit(limit) => limit.si,
            Self::Error(error) => error.si,
        }
    }

    /// What that rests on.
    pub fn shipped_mark(self) -> gauge::Basis {
        match self {
            Self::Limit(limit) => limit.mark,
            Self::Error(error) => error.mark,
        }
    }

    /// Whether the program's own is printed damaged in its source.
    pub fn is_damaged(self) -> bool {
        match self {
            Self::Limit(limit) => limit.damaged,
            Self::Error(_) => false,
        }
    }

    /// Whether it is the size of the same thing.
    pub fn is(self, other: Self) -> bool {
        match (self, other) {
            (Self::Limit(one), Self::Limit(other)) => one.id == other.id,
            (Self::Error(one), Self::Error(other)) => one.id == other.id,
            _ => false,
        }
    }
}

impl Book {
    /// What the rule files set, as gauges go by it.
    pub fn rule_sizes(&self) -> RuleSizes {
        let mut sizes = RuleSizes::default();
        for (at, set) in self.gauge_sizes.iter().enumerate() {
            let grade = match &set.source {
                Source::Published(at, _) => self.sources.item(*at).map(|entry| entry.grade.into()),
                _ => None,
            };
            let size = SetSize { size: set.size, at: SetAt(at), grade, damaged: set.damaged };
            match set.of {
                SizeOf::Limit(limit) => sizes.limits.insert(limit.id, size),
                SizeOf::Error(error) => sizes.errors.insert(error.id, size),
            };
        }
        sizes
    }
}

impl From<Grade> for gauge::Grade {
    fn from(grade: Grade) -> Self {
        match grade {
            Grade::A => Self::A,
            Grade::B => Self::B,
            Grade::C => Self::C,
            Grade::D => Self::D,
        }
    }
}
