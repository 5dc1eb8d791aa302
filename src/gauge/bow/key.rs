//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const AT: ReadingKey = ReadingKey::new("at");
pub(crate) const EDGE: ReadingKey = ReadingKey::new("edge");
pub(crate) const GAP: ReadingKey = ReadingKey::new("gap");
pub(crate) const PART: ReadingKey = ReadingKey::new("part");
