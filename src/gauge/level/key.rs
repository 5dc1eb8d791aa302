//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const ACROSS: ReadingKey = ReadingKey::new("across");
pub(crate) const BASE: ReadingKey = ReadingKey::new("base");
pub(crate) const BEARINGS: ReadingKey = ReadingKey::new("bearings");
pub(crate) const BIGGER: ReadingKey = ReadingKey::new("bigger");
pub(crate) const LEFT: ReadingKey = ReadingKey::new("left");
pub(crate) const LEFT_PACKING: ReadingKey = ReadingKey::new("left_packing");
pub(crate) const LEFT_TURNED: ReadingKey = ReadingKey::new("left_turned");
pub(crate) const RIGHT: ReadingKey = ReadingKey::new("right");
pub(crate) const RIGHT_PACKING: ReadingKey = ReadingKey::new("right_packing");
pub(crate) const RIGHT_TURNED: ReadingKey = ReadingKey::new("right_turned");
