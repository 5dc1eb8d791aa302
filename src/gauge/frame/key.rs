//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const BIGGER: ReadingKey = ReadingKey::new("bigger");
pub(crate) const DIAGONALS: ReadingKey = ReadingKey::new("diagonals");
pub(crate) const GAP: ReadingKey = ReadingKey::new("gap");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const LINE: ReadingKey = ReadingKey::new("line");
pub(crate) const OF: ReadingKey = ReadingKey::new("of");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const STATION: ReadingKey = ReadingKey::new("station");
