//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{BELT_LENGTH, ERROR, OFFSET, SPEED};
use crate::gauge::readings::ReadingKey;

pub(crate) const HEAD_DIAMETER: ReadingKey = ReadingKey::new("head_diameter");
pub(crate) const RETURN_ROLL_DIAMETER: ReadingKey = ReadingKey::new("return_roll_diameter");
pub(crate) const ROLL_DIAMETER: ReadingKey = ReadingKey::new("roll_diameter");
pub(crate) const TAIL_DIAMETER: ReadingKey = ReadingKey::new("tail_diameter");
pub(crate) const TIME: ReadingKey = ReadingKey::new("time");
pub(crate) const TURN: ReadingKey = ReadingKey::new("turn");
