//! The best that can be done from here by somebody who knows what is hidden.

use super::moves::{SCREW_MINUTES, SHIFT_MINUTES};
use crate::rulebook::index::FixAt;
use crate::rulebook::model::Book;
use crate::trade::MachineState;
use crate::visit::Machine;

/// The quickest way to put everything right.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Best {
    /// Minutes, isolation and restart counted.
    pub minutes: f64,
    /// The work, in an order that the book allows.
    pub fixes: Vec<FixAt>,
    /// How many idler ends and screws have to go back to where they were.
    pub put_back: usize,
}

/// What stands where the learner put it and has to go back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PutBack {
    /// Idlers.
    pub shifts: usize,
    /// Screws.
    pub screws: usize,
}

/// What is left to do.
#[derive(Debug)]
pub(super) struct Rest<'b> {
    pub(super) book: &'b Book,
    pub(super) machine: Machine,
    /// For each cause that is still there, the fixes that take it away; never none.
    pub(super) open: Vec<Vec<FixAt>>,
    pub(super) put_back: PutBack,
}

/// The quickest way to do it.
pub(super) fn best(rest: &Rest<'_>) -> Best {
    let (book, put_back) = (rest.book, rest.put_back);
    // Each cause has a few fixes and there are a few causes, so all choices can be looked at.
    let mut choices: Vec<Vec<FixAt>> = vec![Vec::new()];
    for fixes in &rest.open {
        debug_assert!(!fixes.is_empty(), "a cause that nothing takes away leaves no choice");
        choices = choices
            .iter()
            .flat_map(|chosen| {
                let served = fixes.iter().any(|fix| chosen.contains(fix));
                let more: Vec<Vec<FixAt>> = if served {
                    vec![chosen.clone()]
                } else {
                    let with = |fix: &FixAt| chosen.iter().copied().chain([*fix]).collect();
                    fixes.iter().map(with).collect()
                };
                more
            })
            .collect();
    }
    let hands = put_back.shifts as f64 * SHIFT_MINUTES + put_back.screws as f64 * SCREW_MINUTES;
    let mut best = choices
        .into_iter()
        .map(|fixes| Best {
            minutes: cost(rest, &fixes, hands),
            fixes,
            put_back: put_back.shifts + put_back.screws,
        })
        .min_by(|a, b| a.minutes.total_cmp(&b.minutes))
        .unwrap_or_default();
    best.fixes.sort_by_key(|fix| (book.fixes[*fix].stage, *fix));
    best
}

/// Minutes of these fixes from where the machine is now, each kind of state in one batch.
fn cost(rest: &Rest<'_>, fixes: &[FixAt], hands_minutes: f64) -> f64 {
    let book = rest.book;
    let minutes = &book.minutes;
    let is_running = |fix: &&FixAt| book.fixes[**fix].state() == MachineState::Running;
    let work: f64 = fixes.iter().map(|fix| book.fixes[*fix].minutes).sum();
    let dead = fixes.iter().any(|fix| book.fixes[*fix].state() == MachineState::LockedOut)
        || hands_minutes > 0.0;
    let running = fixes.iter().any(|fix| is_running(&fix));
    let isolate = if dead && rest.machine == Machine::Running { minutes.lock_out } else { 0.0 };
    let restart =
        if dead || rest.machine == Machine::LockedOut { minutes.restart_and_watch } else { 0.0 };
    let watch = if running { minutes.restart_and_watch } else { 0.0 };
    work + hands_minutes + isolate + restart + watch
}
