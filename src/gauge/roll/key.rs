//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const CLEAN: ReadingKey = ReadingKey::new("clean");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const MIDDLE: ReadingKey = ReadingKey::new("middle");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const ROLL: ReadingKey = ReadingKey::new("roll");
pub(crate) const STRAND: ReadingKey = ReadingKey::new("strand");
