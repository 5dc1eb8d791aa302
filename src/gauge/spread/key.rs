//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{ERROR, OFFSET};
use crate::gauge::readings::ReadingKey;

pub(crate) const MARK: ReadingKey = ReadingKey::new("mark");
pub(crate) const STATION: ReadingKey = ReadingKey::new("station");
