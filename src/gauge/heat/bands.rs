//! How hot one bearing is, by the bands `watch`, `report`, `call` and `stop`.

use super::Pair;
use crate::gauge::limits::Shipped;
use crate::gauge::limits::shipped::{
    BEARING_CALL, BEARING_CHANGE, BEARING_REPORT, BEARING_RISE, BEARING_STOP, BEARING_STOP_DUST,
    BEARING_WATCH,
};
use crate::gauge::{Limit, Setting};
use crate::trade::Side;

/// Sizes that differ by less are the same: what is left of a unit's conversion, K.
const SAME_K: f64 = 1e-6;

/// How hot a bearing is, by what it asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Band {
    /// Nothing.
    Usual,
    /// It is read again each shift.
    Watch,
    /// The supervisor is told today.
    Report,
    /// The supervisor is called now.
    Call,
    /// The conveyor is stopped.
    Stop,
}

impl Band {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Usual => "usual",
            Self::Watch => "watch",
            Self::Report => "report",
            Self::Call => "call",
            Self::Stop => "stop",
        }
    }
}

/// Whether dust that burns lies on the conveyor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dust {
    /// It does.
    Burns,
    /// It does not.
    DoesNotBurn,
    /// Nobody has said. It counts as dust that burns: the other way a fire is the price of the gap.
    NotSaid,
}

impl Dust {
    /// Whether the stricter marks hold.
    pub fn may_burn(self) -> bool {
        self != Self::DoesNotBurn
    }
}

/// What puts a bearing into its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Why {
    /// It is below all of them.
    Below,
    /// It has reached this limit.
    Reached(Limit),
    /// It has reached this limit, and dust may burn.
    ReachedInDust(Limit),
    /// It has risen by this limit or more, and dust may burn.
    RisenInDust(Limit),
    /// It stands this limit or more over the air.
    OverAir(Limit),
}

/// All bands above the usual one by the temperature alone, the highest first.
const BANDS: [(Band, &Shipped); 4] = [
    (Band::Stop, &BEARING_STOP),
    (Band::Call, &BEARING_CALL),
    (Band::Report, &BEARING_REPORT),
    (Band::Watch, &BEARING_WATCH),
];

/// The limit that a temperature is held against: the highest one that it reaches, else the lowest.
pub(super) fn limit_of(kelvin: f64, setting: &Setting) -> Limit {
    by_heat(kelvin, setting).1.unwrap_or_else(|| setting.limit(&BEARING_WATCH))
}

/// The band of the bearing on a side, and why. With `off`, of one that was read as far too low as may be.
pub(super) fn band(pair: &Pair, setting: &Setting, side: Side, off: bool) -> (Band, Why) {
    let (reading_off, rise_off) =
        if off { (pair.error_k, pair.difference_error_k()) } else { (0.0, 0.0) };
    let kelvin = pair.now(side) + reading_off;
    let (band, limit) = by_heat(kelvin, setting);
    let by_heat = match limit {
        Some(limit) => (band, Why::Reached(limit)),
        None => over_air(pair, setting, side, rise_off),
    };
    if band == Band::Stop || !pair.dust.may_burn() {
        return by_heat;
    }
    let stop = setting.limit(&BEARING_STOP_DUST);
    if reaches(kelvin, stop) {
        return (Band::Stop, Why::ReachedInDust(stop));
    }
    let change = setting.limit(&BEARING_CHANGE);
    match pair.rise(side).map(|rise| rise + rise_off) {
        Some(risen) if reaches(risen, change) => (Band::Stop, Why::RisenInDust(change)),
        _ => by_heat,
    }
}

/// Cool by the mark and yet far hotter than the air: it is watched, in the cold too.
fn over_air(pair: &Pair, setting: &Setting, side: Side, off_k: f64) -> (Band, Why) {
    let limit = setting.limit(&BEARING_RISE);
    match pair.over_air(side) {
        Some(rise) if reaches(rise + off_k, limit) => (Band::Watch, Why::OverAir(limit)),
        _ => (Band::Usual, Why::Below),
    }
}

/// The higher band of the two bearings.
pub(super) fn worst(pair: &Pair, setting: &Setting) -> Band {
    let of = |side| band(pair, setting, side, false).0;
    of(Side::Left).max(of(Side::Right))
}

fn by_heat(kelvin: f64, setting: &Setting) -> (Band, Option<Limit>) {
    let reached = BANDS.iter().find_map(|(band, shipped)| {
        let limit = setting.limit(shipped);
        reaches(kelvin, limit).then_some((*band, Some(limit)))
    });
    reached.unwrap_or((Band::Usual, None))
}

fn reaches(size: f64, limit: Limit) -> bool {
    size + SAME_K >= limit.size.si()
}
