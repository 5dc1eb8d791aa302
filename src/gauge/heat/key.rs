//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const AMBIENT: ReadingKey = ReadingKey::new("ambient");
pub(crate) const DUST_BURNS: ReadingKey = ReadingKey::new("dust_burns");
pub(crate) const GREASED: ReadingKey = ReadingKey::new("greased");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const LEFT_BEFORE: ReadingKey = ReadingKey::new("left_before");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const RIGHT_BEFORE: ReadingKey = ReadingKey::new("right_before");
