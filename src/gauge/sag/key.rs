//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{CENTRES, ERROR, WIDTH};
use crate::gauge::readings::ReadingKey;

pub(crate) const CARRY_PITCH: ReadingKey = ReadingKey::new("carry_pitch");
pub(crate) const FULL_LOAD: ReadingKey = ReadingKey::new("full_load");
pub(crate) const LAGGING: ReadingKey = ReadingKey::new("lagging");
pub(crate) const LOAD: ReadingKey = ReadingKey::new("load");
pub(crate) const MASS: ReadingKey = ReadingKey::new("mass");
pub(crate) const MOTOR_KW: ReadingKey = ReadingKey::new("motor_kw");
pub(crate) const PLACE: ReadingKey = ReadingKey::new("place");
pub(crate) const PULL: ReadingKey = ReadingKey::new("pull");
pub(crate) const SAG: ReadingKey = ReadingKey::new("sag");
pub(crate) const SPACING: ReadingKey = ReadingKey::new("spacing");
pub(crate) const WRAP: ReadingKey = ReadingKey::new("wrap");
