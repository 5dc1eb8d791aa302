//! What a run must have reached before a course goes on.

use serde::Deserialize;

use crate::drill::worth::Worth;

/// How well what was said fits what was so, by the Brier score. The bounds are ours: 0.25 is a coin toss.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename = "matched")]
pub enum Matched {
    /// At most 0.05.
    VeryWell,
    /// At most 0.15.
    Well,
    /// At most 0.25.
    Hardly,
    /// Above that.
    #[serde(skip)]
    Worse,
}

impl Matched {
    /// The word for a Brier score.
    pub fn of(score: f64) -> Self {
        match score {
            s if s <= 0.05 => Self::VeryWell,
            s if s <= 0.15 => Self::Well,
            s if s <= 0.25 => Self::Hardly,
            _ => Self::Worse,
        }
    }
}

/// Something that a run must have reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goal {
    /// The belt runs true in the end.
    RunsTrue,
    /// Everything hidden is put right.
    Cured,
    /// Each hidden cause was named, and nothing else.
    Named,
    /// No hand at a moving belt.
    Safe,
    /// At most so many times the expert's minutes.
    Times(f64),
    /// What was said fits what was so, this well at least.
    Certain(Matched),
    /// Without asking straybelt.
    NoAdvice,
}

impl Goal {
    /// Whether a run that is over has reached it.
    pub fn is_reached(self, worth: &Worth) -> bool {
        match self {
            Self::RunsTrue => worth.runs_true,
            Self::Cured => worth.all_cured,
            Self::Named => worth.found == worth.hidden && worth.wrongly_named == 0,
            Self::Safe => worth.safety_faults == 0,
            // Who gives up is quick: minutes count of a run that is solved.
            Self::Times(most) => worth.is_solved() && worth.times() <= most,
            // Nothing hidden and nothing named leaves nothing to be wrong about.
            Self::Certain(least) => {
                worth.brier().is_none_or(|brier| Matched::of(brier.score) <= least)
            }
            Self::NoAdvice => worth.advice == 0,
        }
    }
}
