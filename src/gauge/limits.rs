//! The limits that readings are held against, each with what it rests on, and the setting of a measurement.

use std::collections::BTreeMap;

use crate::conveyor::quantity::{self, Kind, Quantity, Units};
use crate::conveyor::{Conveyor, SiteLimit};

/// What a number rests on. A number is never shown without it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// A published source (an id of `rules/sources.ron`) and the place in it.
    Published(&'static str, &'static str),
    /// Common practice, no source.
    CommonPractice,
    /// From memory, unverified.
    Memory,
    /// Derived from what is named.
    Derived(&'static str),
    /// Set by the site, in the conveyor's file.
    Site,
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
}

/// A limit as the tool ships it. Sizes are SI.
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
    pub mark: Mark,
}

/// All limits that gauges use, gauge by gauge.
pub const ALL: &[&[Shipped]] = &[
    super::splice::LIMITS,
    super::square::LIMITS,
    super::frame::LIMITS,
    super::idlers::LIMITS,
    super::crown::LIMITS,
    super::sag::LIMITS,
    super::takeup::LIMITS,
    super::side_load::LIMITS,
    super::heat::LIMITS,
    super::load::LIMITS,
    super::spread::LIMITS,
    super::trace::LIMITS,
    super::trim::LIMITS,
];

/// Limits that had another name once: the old one and the one they have now. A site's file may still have the old
/// one, and a visit that was begun with it.
pub const RENAMED: &[(&str, &str)] = &[
    ("bearing-caution", "bearing-watch"),
    ("bearing-alert", "bearing-report"),
    ("bearing-alarm", "bearing-call"),
    ("bearing-shutdown", "bearing-stop"),
];

/// The name that a limit has now.
pub fn name_now(id: &str) -> &str {
    RENAMED.iter().find(|(old, _)| *old == id).map_or(id, |(_, now)| now)
}

/// Where a measurement is taken: what is known of the conveyor beyond the readings.
#[derive(Debug, Clone, Default)]
pub struct Setting {
    /// The conveyor's facts as in its file: class, troughed, reversing, carcass, take_up ...
    pub facts: Vec<(&'static str, &'static str)>,
    /// The conveyor's dimensions, by the path they have in its file ("belt.width").
    pub dimensions: BTreeMap<&'static str, Quantity>,
    /// The site's own limits, by id.
    pub limits: BTreeMap<&'static str, Quantity>,
}

/// Why a limit of the site's own is not used.
#[derive(Debug, Clone)]
pub enum Unfit {
    /// No gauge has a limit of that name.
    Unknown,
    /// The limit of that name has no such size.
    Size(&'static Shipped, Amount),
}

/// What is wrong with the size of a limit.
#[derive(Debug, Clone, thiserror::Error)]
pub enum Amount {
    /// It is no such quantity.
    #[error("{0}")]
    Refused(#[from] quantity::Refused),
    /// It is nothing or less.
    #[error("a limit is more than nothing")]
    Nothing,
}

impl Shipped {
    /// A limit of the site's own: the one that it takes the place of, and its size.
    ///
    /// # Errors
    /// Why it is not used.
    pub fn own(own: &SiteLimit, units: Units) -> Result<(&'static Self, Quantity), Unfit> {
        let mut all = ALL.iter().copied().flatten();
        let limit = all.find(|limit| limit.id == name_now(&own.id)).ok_or(Unfit::Unknown)?;
        match quantity::read(&own.size, limit.kind, units) {
            Ok(size) if size.si() > 0.0 => Ok((limit, size)),
            Ok(_) => Err(Unfit::Size(limit, Amount::Nothing)),
            Err(refused) => Err(Unfit::Size(limit, refused.into())),
        }
    }
}

impl Setting {
    /// The setting on a conveyor. Limits of the site's own that cannot be used are left out.
    pub fn of(conveyor: &Conveyor) -> Self {
        let units = conveyor.units().unwrap_or_default();
        let own = conveyor.limits().iter();
        Self {
            facts: conveyor.known().chain(conveyor.known_for_gauges()).collect(),
            dimensions: conveyor
                .dimensions()
                .known()
                .map(|(dimension, size)| (dimension.path, size))
                .collect(),
            limits: own
                .filter_map(|own| Shipped::own(own, units).ok())
                .map(|(limit, size)| (limit.id, size))
                .collect(),
        }
    }

    /// A fact of the conveyor, if it is known.
    pub fn fact(&self, key: &str) -> Option<&'static str> {
        self.facts.iter().find(|(known, _)| *known == key).map(|(_, value)| *value)
    }

    /// A dimension of the conveyor in SI, if it is known.
    pub fn dimension(&self, path: &str) -> Option<f64> {
        self.dimensions.get(path).map(|quantity| quantity.si())
    }

    /// A limit: the site's own if it has set one. Nothing if no limit has that name.
    pub fn limit(&self, id: &str) -> Option<Limit> {
        let shipped = ALL.iter().copied().flatten().find(|limit| limit.id == id)?;
        let (size, mark) = match self.limits.get(shipped.id) {
            Some(own) => (*own, Mark::Site),
            None => (Quantity::of(shipped.kind, shipped.si), shipped.mark),
        };
        Some(Limit { id: shipped.id, what: shipped.what, size, mark })
    }
}
