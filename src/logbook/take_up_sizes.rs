//! What the watch over a take-up goes by: sizes of the conveyor.

use super::size::Millimetres;
use crate::conveyor::quantity;
use crate::trade::{Carcass, Units};
use crate::visit::ConveyorFacts;

/// What is known of the machine.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TakeUpSizes {
    /// Travel of the take-up.
    pub travel: Option<Millimetres>,
    /// Length of the whole belt, once round.
    pub belt: Option<Millimetres>,
    /// What carries the pull in the belt.
    pub carcass: Option<Carcass>,
    /// What both screws may differ by.
    pub apart: Option<Millimetres>,
}

impl TakeUpSizes {
    /// Of a conveyor. `apart` is the limit of the gauge of take-up screws there.
    pub fn of(facts: &ConveyorFacts, apart: Option<Millimetres>) -> Self {
        let size = |path: &str| size(facts, path).map(Millimetres::of_metres);
        Self {
            travel: size("screws.travel"),
            belt: size("belt.length").or_else(|| size("centres").map(|c| Millimetres(2.0 * c.0))),
            carcass: facts.facts.carcass(),
            apart,
        }
    }
}

/// A size of the conveyor, SI.
pub(super) fn size(facts: &ConveyorFacts, path: &str) -> Option<f64> {
    let dimension = crate::conveyor::dimensions::named(path)?;
    let text = facts.dimensions.get(path)?;
    quantity::read(text, dimension.kind, Units::Metric).ok().map(quantity::Quantity::si)
}
