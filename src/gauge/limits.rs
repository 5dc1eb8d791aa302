//! The limits that readings are held against, each with what it rests on, and the setting of a measurement.

use std::collections::BTreeMap;

use super::read_by::ReadingError;
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
    /// Set by the site, in the rule files: which of the sizes that the book sets.
    Rules(SetAt),
}

/// Which of the sizes that rule files set in place of the program's own, in the book's order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetAt(pub usize);

/// A size that rule files set in place of the program's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetSize {
    /// Its size.
    pub size: Quantity,
    /// Which of the book's it is.
    pub at: SetAt,
    /// The grade of its source, if one is published.
    pub grade: Option<Grade>,
    /// Whether the number is printed damaged in its source.
    pub damaged: bool,
}

/// What rule files set in place of the program's own, by id.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RuleSizes {
    /// Limits.
    pub limits: BTreeMap<&'static str, SetSize>,
    /// How far one reading may be off.
    pub errors: BTreeMap<&'static str, SetSize>,
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
    /// Its name in rule files and in a conveyor file's `limits`.
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
    /// The limits of the conveyor's file, by id.
    pub limits: BTreeMap<&'static str, Quantity>,
    /// What the rule files set. The conveyor's file goes before them.
    pub rules: RuleSizes,
}

impl Setting {
    /// A dimension of the conveyor in SI, if it is known.
    pub fn dimension(&self, path: &str) -> Option<f64> {
        self.dimensions.get(path).map(|quantity| quantity.si())
    }

    /// The same with what rule files set.
    #[must_use]
    pub fn with_rules(self, rules: RuleSizes) -> Self {
        Self { rules, ..self }
    }

    /// How far one reading may be off that is taken in this way, SI: as rule files have it, else as the program has it.
    pub fn reading_error(&self, usual: &ReadingError) -> f64 {
        self.rules.errors.get(usual.id).map_or(usual.si, |set| set.size.si())
    }

    /// The limits that the site has set itself, in the conveyor's file or in the rule files.
    pub fn own_limits(&self) -> BTreeMap<&'static str, Quantity> {
        let of_rules = self.rules.limits.iter().map(|(id, set)| (*id, set.size));
        of_rules.chain(self.limits.iter().map(|(id, size)| (*id, *size))).collect()
    }

    /// A limit: the conveyor's own size if its file has one, else that of the rule files.
    pub fn limit(&self, shipped: &Shipped) -> Limit {
        let limit = Limit {
            id: shipped.id,
            what: shipped.what,
            size: Quantity::of(shipped.kind, shipped.si),
            mark: shipped.mark.into(),
            grade: shipped.grade,
            damaged: shipped.damaged,
        };
        match (self.limits.get(shipped.id), self.rules.limits.get(shipped.id)) {
            (Some(own), _) => {
                Limit { size: *own, mark: Mark::Site, grade: None, damaged: false, ..limit }
            }
            (None, Some(set)) => Limit {
                size: set.size,
                mark: Mark::Rules(set.at),
                grade: set.grade,
                damaged: set.damaged,
                ..limit
            },
            (None, None) => limit,
        }
    }
}
