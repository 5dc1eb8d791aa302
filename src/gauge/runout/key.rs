//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const HUB: ReadingKey = ReadingKey::new("hub");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const TURNED: ReadingKey = ReadingKey::new("turned");
