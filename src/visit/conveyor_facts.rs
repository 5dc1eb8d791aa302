//! What a visit knows of its conveyor, and how it stands in the visit's file.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::conveyor::facts::{Fact, FactKey, Facts};
use crate::conveyor::{Conveyor, ConveyorSize};
use crate::gauge::Given;
use crate::rulebook::model::Book;
use crate::trade::{Lagging, RollingElement, Units, Worded};

/// What a visit knows of its conveyor. Absent is unknown.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Written", into = "Written")]
pub struct ConveyorFacts {
    /// What it is called.
    pub name: Option<String>,
    /// What rules and gauges ask for.
    pub facts: Facts,
    /// What its left side is called.
    pub left: Option<String>,
    /// What its right side is called.
    pub right: Option<String>,
    /// Its dimensions by path, SI with the unit.
    pub dimensions: BTreeMap<String, String>,
    /// The site's own limits, as written.
    pub limits: BTreeMap<String, String>,
    /// In which units its people read and type.
    pub units: Option<Units>,
}

/// The same as the file has it.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, default, rename = "ConveyorFacts")]
#[derive(Default)]
struct Written {
    name: Option<String>,
    /// Facts that rules ask for by key, as in a conveyor file.
    facts: BTreeMap<String, String>,
    left: Option<String>,
    right: Option<String>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    dimensions: BTreeMap<String, String>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    limits: BTreeMap<String, String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bearings: Option<RollingElement>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lagging: Option<Lagging>,
    #[serde(skip_serializing_if = "Option::is_none")]
    dust_burns: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    units: Option<Units>,
}

impl ConveyorFacts {
    /// The book with the minutes that its work takes on this conveyor.
    pub fn book(&self, book: &Book) -> Book {
        book.on(&self.facts, ConveyorSize::written(&self.dimensions))
    }
}

impl From<ConveyorFacts> for Written {
    fn from(known: ConveyorFacts) -> Self {
        let of_rules = known.facts.said_by_key().into_iter();
        Self {
            facts: of_rules.map(|(key, value)| (key.to_owned(), value.to_owned())).collect(),
            bearings: known.facts.bearings(),
            lagging: known.facts.lagging(),
            dust_burns: known.facts.dust_burns().map(|burns| burns.word().to_owned()),
            name: known.name,
            left: known.left,
            right: known.right,
            dimensions: known.dimensions,
            limits: known.limits,
            units: known.units,
        }
    }
}

impl TryFrom<Written> for ConveyorFacts {
    type Error = String;

    fn try_from(written: Written) -> Result<Self, Self::Error> {
        let fact = |(key, value): (String, String)| {
            FactKey::named(&key)
                .and_then(|fact| fact.with(&value))
                .ok_or_else(|| format!("no conveyor has {key} \"{value}\""))
        };
        let dust = written.dust_burns.map(|burns| ("dust_burns".to_owned(), burns));
        let mut facts: Facts =
            written.facts.into_iter().chain(dust).map(fact).collect::<Result<_, _>>()?;
        for fact in [written.bearings.map(Fact::Bearings), written.lagging.map(Fact::Lagging)] {
            fact.into_iter().for_each(|fact| facts.set(fact));
        }
        Ok(Self {
            facts,
            name: written.name,
            left: written.left,
            right: written.right,
            dimensions: written.dimensions,
            limits: written.limits,
            units: written.units,
        })
    }
}

impl From<&Conveyor> for ConveyorFacts {
    fn from(conveyor: &Conveyor) -> Self {
        let dimensions = conveyor
            .dimensions()
            .known()
            .map(|(dimension, size)| (dimension.path.to_owned(), Given::Quantity(size).written()));
        let limits = conveyor.limits().iter().map(|own| (own.id.clone(), own.size.clone()));
        Self {
            name: conveyor.name().map(str::to_owned),
            facts: conveyor.facts().settled(),
            left: conveyor.sides().left.clone(),
            right: conveyor.sides().right.clone(),
            dimensions: dimensions.collect(),
            limits: limits.collect(),
            units: conveyor.units(),
        }
    }
}
