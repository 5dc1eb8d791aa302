//! What a run that is over was worth, as it stood at its end: kept with the run, so that weeks later it counts as it
//! was, whatever has changed in the book since, and nobody waits for old runs to be made again.

use serde::{Deserialize, Serialize};

use super::moves::Move;
use super::score::score;
use super::world::World;
use crate::proof::score::{Brier, brier};

/// A cause that was stated with at least this certainty was named, 0..1.
pub const NAMED_FROM: f64 = 0.5;

/// The figures of a run that is over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Worth {
    /// Whether the belt runs true in the end.
    pub runs_true: bool,
    /// Whether everything hidden is put right.
    pub all_cured: bool,
    /// Minutes of the run.
    pub minutes: f64,
    /// What an expert would have taken, looking included, minutes.
    pub expert_minutes: f64,
    /// The quickest repair for somebody who knew all from the start, minutes.
    pub best_minutes: f64,
    /// How often a hand was where the belt was moving.
    pub safety_faults: usize,
    /// Hidden causes.
    pub hidden: usize,
    /// Those of them that were named with more certainty than not.
    pub found: usize,
    /// Causes that were named so and were not there.
    pub wrongly_named: usize,
    /// What was stated, 0..1, and whether it was so.
    pub stated: Vec<(f64, bool)>,
    /// How often straybelt was asked.
    pub advice: usize,
}

impl Worth {
    /// Of a run as it stands.
    pub fn of(world: &World<'_>) -> Self {
        let score = score(world);
        let named = |certainty: Option<f64>| certainty.is_some_and(|sure| sure >= NAMED_FROM);
        let asked = world.steps().iter().filter(|step| step.what == Move::Advice);
        Self {
            runs_true: score.runs_true,
            all_cured: score.all_cured,
            minutes: score.minutes,
            expert_minutes: score.expert.minutes,
            best_minutes: score.best_minutes,
            safety_faults: score.safety_faults,
            hidden: score.causes.len(),
            found: score.causes.iter().filter(|cause| named(cause.certainty)).count(),
            wrongly_named: score
                .wrongly_named
                .iter()
                .filter(|(_, sure)| named(Some(*sure)))
                .count(),
            advice: asked.count(),
            stated: score.stated,
        }
    }

    /// Whether the belt runs true and nothing hidden is left.
    pub fn is_solved(&self) -> bool {
        self.runs_true && self.all_cured
    }

    /// Its minutes as a multiple of the expert's.
    pub fn times(&self) -> f64 {
        self.minutes / self.expert_minutes.max(1.0)
    }

    /// How good the stated certainties were; nothing if nothing was hidden and nothing named.
    pub fn brier(&self) -> Option<Brier> {
        brier(&self.stated)
    }
}
