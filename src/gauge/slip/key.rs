//! The names of the readings that this gauge asks for.

use crate::gauge::readings::ReadingKey;

pub(crate) const BELT_SPEED: ReadingKey = ReadingKey::new("belt_speed");
pub(crate) const DIAMETER: ReadingKey = ReadingKey::new("diameter");
pub(crate) const PASSED: ReadingKey = ReadingKey::new("passed");
pub(crate) const PASSED_TIME: ReadingKey = ReadingKey::new("passed_time");
pub(crate) const PULLEY_SPEED: ReadingKey = ReadingKey::new("pulley_speed");
pub(crate) const SPEED_ERROR: ReadingKey = ReadingKey::new("speed_error");
pub(crate) const THICKNESS: ReadingKey = ReadingKey::new("thickness");
pub(crate) const TURNS: ReadingKey = ReadingKey::new("turns");
pub(crate) const TURNS_TIME: ReadingKey = ReadingKey::new("turns_time");
pub(crate) const WHEN: ReadingKey = ReadingKey::new("when");
