//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{ERROR, LINE_ERROR, WIDTH};
use crate::gauge::readings::ReadingKey;

pub(crate) const ACROSS: ReadingKey = ReadingKey::new("across");
pub(crate) const DATUM: ReadingKey = ReadingKey::new("datum");
pub(crate) const FEET: ReadingKey = ReadingKey::new("feet");
pub(crate) const IDLER: ReadingKey = ReadingKey::new("idler");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const TILT: ReadingKey = ReadingKey::new("tilt");
pub(crate) const TRIM: ReadingKey = ReadingKey::new("trim");
