//! What is shown after a run: what it was worth, where the minutes went, what is left on the belt.
//!
//! The words stand once, as sheets ([`told`]); they are laid out as text ([`text`]) and as one page for a browser
//! ([`html`], with its [`pictures`]). [`json`] has every figure; [`class`] sets several runs side by side.
//! How far the belt is off is told in words or drawn without a scale.

pub mod class;
pub mod html;
pub mod json;
mod marks;
mod path;
mod pictures;
pub mod text;
mod told;
mod why;

use crate::drill::World;
use crate::drill::frames::Frame;
use crate::drill::moves::Move;
use crate::drill::record::{Ended, Record};
use crate::drill::score::{Found, Score, score};
use crate::drill::worth::NAMED_FROM;
use crate::mechanics::Size;
use crate::show::drill::words::DrillNames;

/// A cause that was stated with at least this certainty was found, or wrongly named, 0..1.
const NAMED: f64 = NAMED_FROM;

/// A run with its score and its words.
#[derive(Debug)]
pub struct Debrief<'r, 'd> {
    record: &'r Record,
    world: &'r World<'d>,
    score: Score,
    names: DrillNames<'d>,
    /// The belt at the start and after each move that let it run; empty where nobody looks at it.
    frames: Vec<Frame>,
    /// How many runs of the same drill the same person had begun before; nothing of who gave no name.
    earlier: Option<usize>,
}

impl<'r, 'd> Debrief<'r, 'd> {
    /// Of a run as it is kept, made again.
    pub fn new(record: &'r Record, world: &'r World<'d>) -> Self {
        Self {
            record,
            world,
            score: score(world),
            names: DrillNames::new(world.drill()),
            frames: Vec::new(),
            earlier: None,
        }
    }

    /// The same with the pictures of the run.
    #[must_use]
    pub fn with_frames(self, frames: Vec<Frame>) -> Self {
        Self { frames, ..self }
    }

    /// The same, knowing how many runs of this drill the same person had begun before.
    #[must_use]
    pub fn after(self, earlier: Option<usize>) -> Self {
        Self { earlier, ..self }
    }

    /// How often straybelt was asked.
    fn advice(&self) -> usize {
        self.world.steps().iter().filter(|step| step.what == Move::Advice).count()
    }

    /// Whether the learner ended it.
    fn is_over(&self) -> bool {
        self.world.over().is_some()
    }

    /// Whether it ended with a true belt and nothing hidden left.
    fn is_solved(&self) -> bool {
        self.is_over() && self.score.runs_true && self.score.all_cured
    }

    /// Whether it came out as it was kept; a run that goes on has nothing to differ from.
    fn as_kept(&self) -> bool {
        let now = Ended::of(self.world);
        self.record.ended.is_none_or(|kept| kept == now)
    }

    /// Hidden causes that were found.
    fn found(&self) -> usize {
        let causes = self.score.causes.iter();
        causes.filter(|found| was_found(found)).count()
    }

    /// How far the belt was off when it was so much of its edge room.
    fn size(&self, off_share: f64) -> Size {
        let room_m = self.world.drill().line.edge_room_m();
        Size::of(off_share * room_m.max(0.005), room_m)
    }

    /// Minutes that the rest would take now.
    fn minutes_to_do(&self) -> f64 {
        self.world.best().minutes
    }
}

/// Whether the learner named it with more certainty than not.
fn was_found(found: &Found) -> bool {
    found.certainty.is_some_and(|certainty| certainty >= NAMED)
}
