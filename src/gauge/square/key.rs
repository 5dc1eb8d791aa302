//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{ERROR, LINE_ERROR};
use crate::gauge::readings::ReadingKey;

pub(crate) const ACROSS: ReadingKey = ReadingKey::new("across");
pub(crate) const BEARINGS: ReadingKey = ReadingKey::new("bearings");
pub(crate) const FROM_LEFT: ReadingKey = ReadingKey::new("from_left");
pub(crate) const FROM_RIGHT: ReadingKey = ReadingKey::new("from_right");
pub(crate) const HEAD: ReadingKey = ReadingKey::new("head");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const PULLEY: ReadingKey = ReadingKey::new("pulley");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const TAIL: ReadingKey = ReadingKey::new("tail");
pub(crate) const TO: ReadingKey = ReadingKey::new("to");
