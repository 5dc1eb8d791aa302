//! Tension of a belt: what the drive needs, what sag tells, what take-up travel adds, and how stiff belts are.

use super::limits::Mark;

/// Gravity, m/s2, as the formulas of the trade have it.
pub const GRAVITY: f64 = 9.81;

/// What the sag formula rests on.
pub const PARABOLA: Mark = Mark::Published("belt-sag-page", "parabola");
/// What the rise of tension by travel rests on.
pub const RISE: Mark =
    Mark::Derived("belt path grows by twice the travel, over twice the centre distance");

/// Slack-side tension that keeps the belt from slipping, per effective tension: `1/(e^(mu alpha) - 1)`.
pub fn wrap_factor(friction: f64, wrap_rad: f64) -> f64 {
    1.0 / (friction * wrap_rad).exp_m1()
}

/// Friction of a pulley that the wrap factors of the trade rest on: bare 0.25, lagged 0.35.
pub fn friction(lagged: bool) -> f64 {
    if lagged { 0.35 } else { 0.25 }
}

/// The wrap factor to design with, and what it rests on. A take-up that keeps the tension by itself: belt friction
/// alone. Screws, which do not follow the belt: larger, by a table of the trade that is known from memory only (1.2
/// bare and 0.8 lagged at half a turn; other wraps in the same proportion).
pub fn wrap_factor_of(take_up: Holds, lagged: bool, wrap_rad: f64) -> (f64, Mark) {
    let euler = wrap_factor(friction(lagged), wrap_rad);
    match take_up {
        Holds::ByItself => (
            euler,
            Mark::Derived(
                "belt friction with 0.25 on a bare pulley, 0.35 on a lagged one (from memory)",
            ),
        ),
        Holds::Set => {
            let table = if lagged { 0.8 } else { 1.2 };
            let half_turn = wrap_factor(friction(lagged), std::f64::consts::PI);
            (euler * table / half_turn, Mark::Memory)
        }
    }
}

/// How a take-up holds the belt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holds {
    /// A weight or spring follows the belt.
    ByItself,
    /// It stays where it was set: screws.
    Set,
}

impl Holds {
    /// By the conveyor's fact `take_up`. One that is not known is taken as screws, the harder case.
    pub fn of(take_up: Option<&str>) -> Self {
        match take_up {
            Some("gravity" | "carriage") => Self::ByItself,
            _ => Self::Set,
        }
    }
}

/// Effective tension of a drive: power at the pulley over belt speed.
pub fn effective_n(power_w: f64, speed_m_s: f64) -> f64 {
    power_w / speed_m_s
}

/// Sag as a share of the spacing: `q g a / (8 T)`.
pub fn sag_share(mass_kg_per_m: f64, spacing_m: f64, tension_n: f64) -> f64 {
    mass_kg_per_m * GRAVITY * spacing_m / (8.0 * tension_n)
}

/// The tension at which the belt sags by a share of the spacing: `q g a / (8 s/a)`.
pub fn tension_of_sag(mass_kg_per_m: f64, spacing_m: f64, share: f64) -> f64 {
    mass_kg_per_m * GRAVITY * spacing_m / (8.0 * share)
}

/// Strain when the pulley moves out by a travel on a conveyor of that centre distance.
pub fn strain(travel_m: f64, centres_m: f64) -> f64 {
    travel_m / centres_m
}

/// Rise of the pull in each strand when both screws move out by a travel, no creep.
pub fn rise_n(modulus_n_per_m: f64, width_m: f64, travel_m: f64, centres_m: f64) -> f64 {
    modulus_n_per_m * width_m * strain(travel_m, centres_m)
}

/// A modulus, and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Force per width per strain.
    pub modulus_n_per_m: f64,
    /// What it rests on.
    pub mark: Mark,
    /// The share of it that the softest belt of that rating may have; 1 when the modulus is known.
    pub softest: f64,
}

impl Estimate {
    /// A modulus that the belt's maker states.
    pub fn stated(modulus_n_per_m: f64) -> Self {
        Self {
            modulus_n_per_m,
            mark: Mark::Derived("the modulus on the belt's data sheet"),
            softest: 1.0,
        }
    }
}

/// The modulus of a belt from its rated working tension per width. Fabric: one range of belts stretches 1.5 % at its
/// rating; a belt seller gives 2 % for polyester and 2.5 % for nylon at a tenth of the breaking strength. Steel cord: 0.2 %, which a belt maker allows for stretch of all kinds. An unknown carcass counts as
/// fabric.
pub fn modulus_of(rated_n_per_m: f64, carcass: Option<&str>) -> Estimate {
    match carcass {
        Some("steel-cord") => Estimate {
            modulus_n_per_m: rated_n_per_m / 0.002,
            mark: Mark::Derived(
                "0.2 % stretch of steel cord at its rating (from a weak copy of a maker's text)",
            ),
            softest: 1.0,
        },
        _ => Estimate {
            modulus_n_per_m: rated_n_per_m / 0.015,
            mark: Mark::Derived(
                "1.5 % stretch at its rating, published of one range of fabric belts",
            ),
            softest: 1.5 / 2.5,
        },
    }
}
