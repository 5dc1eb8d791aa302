//! The names of readings that several gauges ask for.

use super::readings::ReadingKey;

pub(crate) const ERROR: ReadingKey = ReadingKey::new("error");
pub(crate) const OFFSET: ReadingKey = ReadingKey::new("offset");
pub(crate) const WIDTH: ReadingKey = ReadingKey::new("width");
pub(crate) const CENTRES: ReadingKey = ReadingKey::new("centres");
pub(crate) const BEARING_CENTRES: ReadingKey = ReadingKey::new("bearing_centres");
pub(crate) const SPEED: ReadingKey = ReadingKey::new("speed");
pub(crate) const MODULUS: ReadingKey = ReadingKey::new("modulus");
pub(crate) const RATED_TENSION: ReadingKey = ReadingKey::new("rated_tension");
pub(crate) const BELT_LENGTH: ReadingKey = ReadingKey::new("belt_length");
pub(crate) const LINE_ERROR: ReadingKey = ReadingKey::new("line_error");
