//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{BEARING_CENTRES, CENTRES, WIDTH};
use crate::gauge::readings::ReadingKey;

pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const LEFT_BEFORE: ReadingKey = ReadingKey::new("left_before");
pub(crate) const LOAD: ReadingKey = ReadingKey::new("load");
pub(crate) const MARKS: ReadingKey = ReadingKey::new("marks");
pub(crate) const PITCH: ReadingKey = ReadingKey::new("pitch");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const RIGHT_BEFORE: ReadingKey = ReadingKey::new("right_before");
pub(crate) const TIGHTENING: ReadingKey = ReadingKey::new("tightening");
