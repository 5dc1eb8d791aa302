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

/// The rating that a bearing needs to live `million_turns` under a load, at 90 % reliability.
pub fn rating_for(load_n: f64, million_turns: f64, rolling: Rolling) -> f64 {
    load_n * million_turns.powf(1.0 / rolling.exponent())
}

/// How the lives of one bearing type scatter: a Weibull distribution, in multiples of the rating life.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// The life that all reach.
    pub least: f64,
    /// What the characteristic life is above that.
    pub scale: f64,
    /// The shape.
    pub shape: f64,
}

impl Scatter {
    /// The share of bearings of that rating that reach so many rating lives under a load.
    pub fn survive(self, rating_n: f64, load_n: f64, lives: f64, rolling: Rolling) -> f64 {
        let reached = lives * life_left(rating_n / load_n, rolling);
        let beyond = ((reached - self.least) / self.scale).max(0.0);
        (-beyond.powf(self.shape)).exp()
    }

    /// The rating at which the share `reliability` of bearings reaches so many rating lives under a load.
    pub fn rating_for(self, load_n: f64, lives: f64, reliability: f64, rolling: Rolling) -> f64 {
        let reached = self.least + self.scale * (1.0 / reliability).ln().powf(1.0 / self.shape);
        rating_for(load_n, lives / reached, rolling)
    }
}
