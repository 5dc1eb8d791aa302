//! All gauges in one list, and what follows from it: a gauge or a limit by its name.

use super::described::Gauge;
use super::limits::{RuleSizes, Setting, Shipped, shipped};
use super::readings::ReadingKey;
use crate::conveyor::quantity::{self, Quantity};
use crate::conveyor::{Conveyor, SiteLimit};
use crate::trade::Units;

/// All gauges, in the order in which they are listed.
pub const ALL: &[&Gauge] = &[
    &super::splice::GAUGE,
    &super::square::GAUGE,
    &super::frame::GAUGE,
    &super::idlers::GAUGE,
    &super::crown::GAUGE,
    &super::sag::GAUGE,
    &super::takeup::GAUGE,
    &super::side_load::GAUGE,
    &super::heat::GAUGE,
    &super::load::GAUGE,
    &super::spread::GAUGE,
    &super::trace::GAUGE,
    &super::trim::GAUGE,
    &super::transition::GAUGE,
    &super::line::GAUGE,
    &super::level::GAUGE,
    &super::snub::GAUGE,
    &super::runout::GAUGE,
    &super::roll::GAUGE,
    &super::height::GAUGE,
    &super::bow::GAUGE,
    &super::slip::GAUGE,
    &super::weight::GAUGE,
];

/// The gauge of that name.
pub fn named(id: &str) -> Option<&'static Gauge> {
    ALL.iter().copied().find(|gauge| gauge.id == id)
}

/// The reading of that name, whichever gauge asks for it.
pub fn reading_named(name: &str) -> Option<ReadingKey> {
    let ways = ALL.iter().flat_map(|gauge| gauge.ways);
    let mut wanted = ways.flat_map(|way| {
        let columns = way.rows.as_ref().map_or(&[][..], |rows| rows.columns);
        way.wanted.iter().chain(columns)
    });
    wanted.find(|wanted| wanted.key.as_str() == name).map(|wanted| wanted.key)
}

/// All limits that gauges use, gauge by gauge.
pub fn limits() -> impl Iterator<Item = &'static Shipped> {
    ALL.iter().flat_map(|gauge| gauge.limits).copied()
}

/// The limit of that name.
pub fn limit_named(id: &str) -> Option<&'static Shipped> {
    limits().find(|limit| limit.id == id)
}

/// Limits that lie one above the other, the lowest first: where rule files put them out of order, nothing can be said.
pub const IN_ORDER: &[&[&Shipped]] = &[
    &[
        &shipped::BEARING_WATCH,
        &shipped::BEARING_REPORT,
        &shipped::BEARING_CALL,
        &shipped::BEARING_STOP,
    ],
    &[&shipped::BEARING_STOP_DUST, &shipped::BEARING_STOP],
    &[&shipped::RETURN_SAG_LEAST, &shipped::RETURN_SAG_MOST],
    &[&shipped::CARRY_SAG_STEADY, &shipped::CARRY_SAG_MOST],
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

/// A limit of the site's own: the one that it takes the place of, and its size.
///
/// # Errors
/// Why it is not used.
pub fn site_limit(own: &SiteLimit, units: Units) -> Result<(&'static Shipped, Quantity), Unfit> {
    let limit = limit_named(name_now(&own.id)).ok_or(Unfit::Unknown)?;
    match quantity::read(&own.size, limit.kind, units) {
        Ok(size) if size.si() > 0.0 => Ok((limit, size)),
        Ok(_) => Err(Unfit::Size(limit, Amount::Nothing)),
        Err(refused) => Err(Unfit::Size(limit, refused.into())),
    }
}

impl From<&Conveyor> for Setting {
    /// The setting on a conveyor, without what rule files set. Limits of its file that cannot be used are left out.
    fn from(conveyor: &Conveyor) -> Self {
        let units = conveyor.units().unwrap_or_default();
        let sizes = conveyor.dimensions().known();
        let own = conveyor.limits().iter().filter_map(|own| site_limit(own, units).ok());
        Self {
            facts: *conveyor.facts(),
            dimensions: sizes.map(|(dimension, size)| (dimension.path, size)).collect(),
            limits: own.map(|(limit, size)| (limit.id, size)).collect(),
            rules: RuleSizes::default(),
        }
    }
}
