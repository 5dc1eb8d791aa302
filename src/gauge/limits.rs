//! The limits that readings are held against, each with what it rests on, and the setting of a measurement.

use std::collections::BTreeMap;

use crate::conveyor::facts::Facts;
use crate::conveyor::quantity::{Kind, Quantity};
use crate::trade;

/// What a number of the tool rests on; a published source is an id of `rules/sources.ron`.
pub type Basis = trade::Basis<&'static str, &'static str>;

/// What a number that is shown rests on. None is shown without it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// On this, by the tool.
    Rests(Basis),
    /// Set by the site, in the conveyor's file.
    Site,
}

impl From<Basis> for Mark {
    fn from(basis: Basis) -> Self {
        Self::Rests(basis)
    }
}

/// How good a published source is, as `rules/sources.ron` has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// A regulation, standard or official report.
    A,
    /// A maker's engineering manual or handbook.
    B,
    /// A trade page.
    C,
    /// A forum, weak page or fragment.
    D,
}

impl Grade {
    /// Its letter.
    pub fn letter(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
            Self::C => "C",
            Self::D => "D",
        }
    }
}

/// A limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Its name in a conveyor file's `limits`.
    pub id: &'static str,
    /// What it limits.
    pub what: &'static str,
    /// Its size.
    pub size: Quantity,
    /// What it rests on.
    pub mark: Mark,
    /// The grade of its source, if one is published.
    pub grade: Option<Grade>,
    /// Whether the number is printed damaged in its source.
    pub damaged: bool,
}

impl Limit {
    /// A limit that a gauge works out from what it rests on, without a grade of its own.
    pub fn of(id: &'static str, what: &'static str, size: Quantity, mark: impl Into<Mark>) -> Self {
        Self { id, what, size, mark: mark.into(), grade: None, damaged: false }
    }

    /// Whether it is too weak to call for work by itself: a fragment or weak page, or a number printed damaged. What the
    /// site has set is not.
    pub fn is_weak(&self) -> bool {
        self.mark != Mark::Site && (self.damaged || self.grade == Some(Grade::D))
    }

    /// A limit per length as a limit over that length.
    #[must_use]
    pub fn over(self, length_m: f64) -> Self {
        Self { size: Quantity::of(Kind::Length, self.size.si() * length_m), ..self }
    }
}

/// A limit as the tool ships it, from `rules/gauges/`. Sizes are SI.
#[derive(Debug)]
pub struct Shipped {
    /// Its name in a conveyor file's `limits`.
    pub id: &'static str,
    /// What it limits.
    pub what: &'static str,
    /// What kind of quantity it is.
    pub kind: Kind,
    /// Its size, SI.
    pub si: f64,
    /// What it rests on.
    pub mark: Basis,
    /// The grade of its source, if one is published.
    pub grade: Option<Grade>,
    /// Whether the number is printed damaged in its source.
    pub damaged: bool,
}

/// The limits of all gauges, from `rules/gauges/`: a constant each, and a list of those of each gauge.
pub(crate) mod shipped {
    use super::{Basis, Grade, Kind, Shipped};

    include!(concat!(env!("OUT_DIR"), "/gauge_limits.rs"));
}

/// Where a measurement is taken: what is known of the conveyor beyond the readings.
#[derive(Debug, Clone, Default)]
pub struct Setting {
    /// The conveyor's facts.
    pub facts: Facts,
    /// The conveyor's dimensions, by the path they have in its file ("belt.width").
    pub dimensions: BTreeMap<&'static str, Quantity>,
    /// The site's own limits, by id.
    pub limits: BTreeMap<&'static str, Quantity>,
}

impl Setting {
    /// A dimension of the conveyor in SI, if it is known.
    pub fn dimension(&self, path: &str) -> Option<f64> {
        self.dimensions.get(path).map(|quantity| quantity.si())
    }

    /// A limit: the site's own size if it has set one.
    pub fn limit(&self, shipped: &Shipped) -> Limit {
        let limit = Limit {
            id: shipped.id,
            what: shipped.what,
            size: Quantity::of(shipped.kind, shipped.si),
            mark: shipped.mark.into(),
            grade: shipped.grade,
            damaged: shipped.damaged,
        };
        match self.limits.get(shipped.id) {
            Some(own) => {
                Limit { size: *own, mark: Mark::Site, grade: None, damaged: false, ..limit }
            }
            None => limit,
        }
    }
}
