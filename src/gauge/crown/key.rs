//! The names of the readings that this gauge asks for.

use crate::gauge::readings::ReadingKey;

pub(crate) const DIAMETER: ReadingKey = ReadingKey::new("diameter");
pub(crate) const DRAWN: ReadingKey = ReadingKey::new("drawn");
pub(crate) const FACE: ReadingKey = ReadingKey::new("face");
pub(crate) const GAP: ReadingKey = ReadingKey::new("gap");
pub(crate) const PARALLEL: ReadingKey = ReadingKey::new("parallel");
pub(crate) const PLACE: ReadingKey = ReadingKey::new("place");
pub(crate) const PULLEY: ReadingKey = ReadingKey::new("pulley");
