//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{ERROR, OFFSET, WIDTH};
use crate::gauge::readings::ReadingKey;

pub(crate) const BARE_LEFT: ReadingKey = ReadingKey::new("bare_left");
pub(crate) const BARE_RIGHT: ReadingKey = ReadingKey::new("bare_right");
pub(crate) const BELT_MASS: ReadingKey = ReadingKey::new("belt_mass");
pub(crate) const LOAD_MASS: ReadingKey = ReadingKey::new("load_mass");
pub(crate) const SIDE: ReadingKey = ReadingKey::new("side");
pub(crate) const TROUGH: ReadingKey = ReadingKey::new("trough");
