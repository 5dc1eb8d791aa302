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
    pub mark: Basis,
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
        let (size, mark) = match self.limits.get(shipped.id) {
            Some(own) => (*own, Mark::Site),
            None => (Quantity::of(shipped.kind, shipped.si), shipped.mark.into()),
        };
        Limit { id: shipped.id, what: shipped.what, size, mark }
    }
}
