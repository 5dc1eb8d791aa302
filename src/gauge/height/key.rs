//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const AT: ReadingKey = ReadingKey::new("at");
pub(crate) const BIGGER: ReadingKey = ReadingKey::new("bigger");
pub(crate) const IDLER: ReadingKey = ReadingKey::new("idler");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
