//! The names of the readings that this gauge asks for.

use crate::gauge::readings::ReadingKey;

pub(crate) const CARRY_PITCH: ReadingKey = ReadingKey::new("carry_pitch");
pub(crate) const DRIFT: ReadingKey = ReadingKey::new("drift");
pub(crate) const FOOT_SPACING: ReadingKey = ReadingKey::new("foot_spacing");
pub(crate) const PLACE: ReadingKey = ReadingKey::new("place");
pub(crate) const RETURN_PITCH: ReadingKey = ReadingKey::new("return_pitch");
pub(crate) const SIDE: ReadingKey = ReadingKey::new("side");
pub(crate) const STRAND: ReadingKey = ReadingKey::new("strand");
pub(crate) const TURN: ReadingKey = ReadingKey::new("turn");
