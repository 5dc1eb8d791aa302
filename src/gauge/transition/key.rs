//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::WIDTH;
use crate::gauge::readings::ReadingKey;

pub(crate) const BELT_TABLE: ReadingKey = ReadingKey::new("belt_table");
pub(crate) const CARCASS: ReadingKey = ReadingKey::new("carcass");
pub(crate) const DISTANCE: ReadingKey = ReadingKey::new("distance");
pub(crate) const HEIGHT: ReadingKey = ReadingKey::new("height");
pub(crate) const PULL_USED: ReadingKey = ReadingKey::new("pull_used");
pub(crate) const TROUGH_ANGLE: ReadingKey = ReadingKey::new("trough_angle");
