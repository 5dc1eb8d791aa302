//! The names of the readings that this gauge asks for.

use crate::gauge::readings::ReadingKey;

pub(crate) const CARRIAGE_PARTS: ReadingKey = ReadingKey::new("carriage_parts");
pub(crate) const DRAWN: ReadingKey = ReadingKey::new("drawn");
pub(crate) const FRICTION: ReadingKey = ReadingKey::new("friction");
pub(crate) const NEEDED: ReadingKey = ReadingKey::new("needed");
pub(crate) const OWN_WEIGHT: ReadingKey = ReadingKey::new("own_weight");
pub(crate) const SLOPE: ReadingKey = ReadingKey::new("slope");
pub(crate) const WEIGHT: ReadingKey = ReadingKey::new("weight");
pub(crate) const WEIGHT_PARTS: ReadingKey = ReadingKey::new("weight_parts");
