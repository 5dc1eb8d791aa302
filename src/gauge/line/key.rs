//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::ERROR;
use crate::gauge::readings::ReadingKey;

pub(crate) const ALONG: ReadingKey = ReadingKey::new("along");
pub(crate) const LEFT_OUT: ReadingKey = ReadingKey::new("left_out");
pub(crate) const LEFT_SLANT: ReadingKey = ReadingKey::new("left_slant");
pub(crate) const OUT: ReadingKey = ReadingKey::new("out");
pub(crate) const RIGHT_OUT: ReadingKey = ReadingKey::new("right_out");
pub(crate) const RIGHT_SLANT: ReadingKey = ReadingKey::new("right_slant");
pub(crate) const TOWARD: ReadingKey = ReadingKey::new("toward");
