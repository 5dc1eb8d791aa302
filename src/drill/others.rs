//! Conveyors whose trouble is none of the book's causes: whether straybelt says so, and what it costs until then.

use super::{draw, noise};
use crate::proof::draw::Drawn;
use crate::proof::score::{Mean, Share};
use crate::proof::walk::{self, Policy};
use crate::visit::{Depth, Diagnosis};

/// What came of these conveyors.
#[derive(Debug, Clone, PartialEq)]
pub struct Others {
    /// When looking ended, that it is none of the book led, or was over half.
    pub named: Share,
    /// The same when nothing in the book was left to do.
    pub named_in_the_end: Share,
    /// Minutes until then.
    pub minutes: Mean,
}

/// What came of one of them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Other {
    named: bool,
    named_in_the_end: bool,
    minutes: f64,
}

impl Others {
    pub(super) fn of(all: &[Other]) -> Self {
        let share = |holds: fn(&Other) -> bool| {
            Share::new(all.iter().filter(|other| holds(other)).count(), all.len())
        };
        Self {
            named: share(|other| other.named),
            named_in_the_end: share(|other| other.named_in_the_end),
            minutes: Mean::new(all.iter().map(|other| other.minutes)),
        }
    }
}

/// One of them from this seed: what the book asks is answered by leaks and backgrounds, and no work changes anything.
pub(super) fn run(diagnosis: &Diagnosis<'_>, seed: u32) -> Option<Other> {
    let book = diagnosis.book();
    let mut rng = noise::rng(u64::from(seed), "none of the book");
    let facts = draw::conveyor(book, &mut rng)?;
    let drawn = Drawn::of_none(diagnosis.engine(), book, facts, &mut rng);
    let asked = walk::ask(diagnosis, &drawn, Policy::OWN, &mut rng);
    let worked = walk::work(diagnosis, &drawn, &asked);
    let end = diagnosis.finding_to(&drawn.facts.facts, &worked.observed, Depth::Ranking);
    Some(Other {
        named: asked.finding.says_none_of_them(),
        named_in_the_end: end.says_none_of_them(),
        minutes: asked.minutes + worked.minutes - book.minutes.give_up,
    })
}
