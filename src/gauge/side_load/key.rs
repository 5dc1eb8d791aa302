//! The names of the readings that this gauge asks for.

pub(crate) use crate::gauge::key::{BEARING_CENTRES, CENTRES, ERROR, MODULUS, WIDTH};
use crate::gauge::readings::ReadingKey;

pub(crate) const BEARING_RATING: ReadingKey = ReadingKey::new("bearing_rating");
pub(crate) const BEARINGS: ReadingKey = ReadingKey::new("bearings");
pub(crate) const CORRECTIONS: ReadingKey = ReadingKey::new("corrections");
pub(crate) const DIAMETER: ReadingKey = ReadingKey::new("diameter");
pub(crate) const HUB_ARM: ReadingKey = ReadingKey::new("hub_arm");
pub(crate) const LOAD: ReadingKey = ReadingKey::new("load");
pub(crate) const MOVED: ReadingKey = ReadingKey::new("moved");
pub(crate) const SHAFT: ReadingKey = ReadingKey::new("shaft");
pub(crate) const SIDE: ReadingKey = ReadingKey::new("side");
pub(crate) const LOAD_ERROR: ReadingKey = ReadingKey::new("load_error");
