//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const ACROSS: ReadingKey = ReadingKey::new("across");
pub(crate) const BEARINGS: ReadingKey = ReadingKey::new("bearings");
pub(crate) const FROM: ReadingKey = ReadingKey::new("from");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
