//! Readings that several gauges ask for, and the belt modulus from what was given.

use super::key;
use super::limits::Setting;
use super::readings::{Need, Readings, Takes, Wanted};
use super::{Amiss, Kind, known, tension};
use crate::gauge::ReadingKey;

/// A reading that a conveyor's file may have.
pub(super) const fn filed(
    key: ReadingKey,
    ask: &'static str,
    takes: Takes,
    from: &'static str,
) -> Wanted {
    Wanted { key, ask, takes, from: Some(from), need: Need::Must }
}

/// A size that a conveyor's file may have, and that may be left out.
pub(super) const fn filed_or_left_out(
    key: ReadingKey,
    ask: &'static str,
    kind: Kind,
    from: &'static str,
    without: &'static str,
) -> Wanted {
    Wanted { need: Need::May(without), ..filed(key, ask, Takes::Positive(kind), from) }
}

/// A reading that no file has.
pub(super) const fn unfiled(key: ReadingKey, ask: &'static str, takes: Takes) -> Wanted {
    Wanted { key, ask, takes, from: None, need: Need::Must }
}

/// Where the edge of the belt lies at one time or place.
pub(super) const EDGE_OFFSET: Wanted = unfiled(
    key::OFFSET,
    "How far the edge lies to the {left} of its right place (to the {right}: below nothing)",
    Takes::Signed(Kind::Length),
);

pub(super) const WIDTH: Wanted =
    filed(key::WIDTH, "Belt width", Takes::Positive(Kind::Length), "belt.width");
pub(super) const CENTRES: Wanted = filed(
    key::CENTRES,
    "Distance between the end pulleys, middle to middle",
    Takes::Positive(Kind::Distance),
    "centres",
);
pub(super) const BEARING_CENTRES: Wanted = filed(
    key::BEARING_CENTRES,
    "Distance between the two bearings of that pulley, middle to middle",
    Takes::Positive(Kind::Length),
    "tail.bearing_centres",
);
pub(super) const SPEED: Wanted =
    filed(key::SPEED, "Belt speed", Takes::Positive(Kind::Speed), "speed");
pub(super) const MODULUS: Wanted = Wanted {
    need: Need::May("estimated from the rated tension"),
    ..filed(
        key::MODULUS,
        "Belt modulus, if its maker states it",
        Takes::Positive(Kind::Modulus),
        "belt.modulus",
    )
};
pub(super) const RATED: Wanted = Wanted {
    need: Need::May("only needed when the modulus is not known"),
    ..filed(
        key::RATED_TENSION,
        "Rated working tension of the belt, per width",
        Takes::Positive(Kind::Modulus),
        "belt.rated_tension",
    )
};

/// The modulus as given, or estimated from the rated tension. Nothing if neither is known.
///
/// # Errors
/// A reading that cannot be.
pub(super) fn modulus(
    readings: &Readings,
    setting: &Setting,
) -> Result<Option<tension::Estimate>, Amiss> {
    if let Some(modulus_n_per_m) = known::maybe(readings, setting, &MODULUS)? {
        return Ok(Some(tension::Estimate::stated(modulus_n_per_m)));
    }
    let rated = known::maybe(readings, setting, &RATED)?;
    Ok(rated.map(|rated| tension::modulus_of(rated, setting.facts.carcass())))
}
