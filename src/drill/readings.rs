//! What tape, string line and straight-edge read on the conveyor of a drill, with their error.

use super::world::World;
use crate::gauge::Gauge;
use crate::visit::Measured;

/// A measurement; nothing if the gauge has nothing to measure in a drill.
pub(super) fn measured(_world: &World<'_>, _gauge: &'static Gauge) -> Option<Measured> {
    None
}
