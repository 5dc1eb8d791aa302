//! Fatigue life of rolling bearings after ISO 281, and what a change of load does to it.
//!
//! All of it counts fatigue under a constant load in clean grease. Bearings of conveyors often die of dirt or lost
//! grease first, so a life factor says how much harder a bearing is worked, not when it will fail.

use super::limits::Mark;

/// What the life formulas rest on.
pub const LIFE: Mark =
    Mark::Published("bearing-life-page", "basic rating life, as ISO 281:2007 has it");

/// The kind of rolling element.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rolling {
    /// Balls.
    Ball,
    /// Rollers.
    Roller,
}

impl Rolling {
    /// The kind of that name in facts and readings.
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "ball" => Some(Self::Ball),
            "roller" => Some(Self::Roller),
            _ => None,
        }
    }

    /// The exponent p of the life formula: 3 for balls, 10/3 for rollers.
    pub fn exponent(self) -> f64 {
        match self {
            Self::Ball => 3.0,
            Self::Roller => 10.0 / 3.0,
        }
    }
}

/// Basic rating life L10 in millions of turns: `(C/P)^p`. Rating and load in the same unit.
pub fn million_turns(rating_n: f64, load_n: f64, rolling: Rolling) -> f64 {
    (rating_n / load_n).powf(rolling.exponent())
}

/// Basic rating life L10 in hours at so many turns a minute.
pub fn hours(rating_n: f64, load_n: f64, turns_per_minute: f64, rolling: Rolling) -> f64 {
    million_turns(rating_n, load_n, rolling) * 1e6 / (60.0 * turns_per_minute)
}

/// What is left of the life, as a share, when the load is multiplied by `load_ratio`.
pub fn life_left(load_ratio: f64, rolling: Rolling) -> f64 {
    load_ratio.powf(-rolling.exponent())
}
