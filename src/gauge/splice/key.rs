//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{BELT_LENGTH, ERROR, SPEED};
use crate::gauge::readings::ReadingKey;

pub(crate) const AHEAD_LEFT: ReadingKey = ReadingKey::new("ahead_left");
pub(crate) const AHEAD_RIGHT: ReadingKey = ReadingKey::new("ahead_right");
pub(crate) const ALONG: ReadingKey = ReadingKey::new("along");
pub(crate) const HEAD_FROM_LEFT: ReadingKey = ReadingKey::new("head_from_left");
pub(crate) const HEAD_FROM_RIGHT: ReadingKey = ReadingKey::new("head_from_right");
pub(crate) const JOINT: ReadingKey = ReadingKey::new("joint");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const SLANT: ReadingKey = ReadingKey::new("slant");
pub(crate) const SPAN: ReadingKey = ReadingKey::new("span");
pub(crate) const TAIL_FROM_LEFT: ReadingKey = ReadingKey::new("tail_from_left");
pub(crate) const TAIL_FROM_RIGHT: ReadingKey = ReadingKey::new("tail_from_right");
