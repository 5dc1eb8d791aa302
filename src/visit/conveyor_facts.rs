//! What a visit knows of its conveyor: what its file said, and what was told since.

use std::collections::BTreeMap;

use crate::conveyor::{Conveyor, facts};
use crate::gauge::Given;
use crate::reason::Facts;

/// What a visit knows of its conveyor. Absent is unknown.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ConveyorFacts {
    /// What it is called.
    pub name: Option<String>,
    /// Facts by key, as in a conveyor file.
    pub facts: BTreeMap<String, String>,
    /// What its left side is called.
    pub left: Option<String>,
    /// What its right side is called.
    pub right: Option<String>,
    /// Its dimensions by path, SI with the unit.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub dimensions: BTreeMap<String, String>,
    /// The site's own limits, as written.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub limits: BTreeMap<String, String>,
    /// Which bearings the end pulleys run in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bearings: Option<String>,
    /// Whether the drive pulley is bare or lagged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lagging: Option<String>,
    /// Whether dust that burns lies on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dust_burns: Option<String>,
    /// In which units its people read and type.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub units: Option<String>,
}

impl ConveyorFacts {
    /// The value of a fact that only gauges ask for.
    pub fn for_gauges(&self, key: &str) -> Option<&str> {
        match key {
            "bearings" => self.bearings.as_deref(),
            "lagging" => self.lagging.as_deref(),
            "dust_burns" => self.dust_burns.as_deref(),
            _ => None,
        }
    }
}

impl Facts for ConveyorFacts {
    fn fact(&self, key: &str) -> Option<&str> {
        let said = |key: &str| self.facts.get(key).map(String::as_str);
        match said(key) {
            None if key == "troughed" => facts::troughed(said("class")?),
            value => value,
        }
    }
}

impl From<&Conveyor> for ConveyorFacts {
    fn from(conveyor: &Conveyor) -> Self {
        Self {
            name: conveyor.name().map(str::to_owned),
            facts: conveyor
                .known()
                .map(|(key, value)| (key.to_owned(), value.to_owned()))
                .collect(),
            left: conveyor.sides().left.clone(),
            right: conveyor.sides().right.clone(),
            dimensions: conveyor
                .dimensions()
                .known()
                .map(|(dimension, size)| {
                    (dimension.path.to_owned(), Given::Quantity(size).written())
                })
                .collect(),
            limits: conveyor
                .limits()
                .iter()
                .map(|limit| (limit.id.clone(), limit.size.clone()))
                .collect(),
            bearings: conveyor.bearings().map(str::to_owned),
            lagging: conveyor.lagging().map(str::to_owned),
            dust_burns: conveyor.dust_burns().map(str::to_owned),
            units: conveyor.units().map(|units| units.name().to_owned()),
        }
    }
}
