//! A run as a row of pictures: how the belt ran at the start and after each move that let it run.

use super::moves::{Done, Move};
use super::record::Record;
use super::world::World;
use super::{Belt, Drill};
use crate::visit::{Diagnosis, Machine};

/// How the belt ran at one moment of a run.
#[derive(Debug, Clone)]
pub struct Frame {
    /// How many moves had been made by then.
    pub moves: usize,
    /// Minutes gone.
    pub minutes: f64,
    /// The belt.
    pub belt: Belt,
    /// For each hidden cause whether it was put right by then.
    pub put_right: Vec<bool>,
    /// Whether it ran true.
    pub runs_true: bool,
}

impl Frame {
    /// How a run stands now.
    pub fn of(world: &World<'_>) -> Self {
        Self {
            moves: world.steps().len(),
            minutes: world.minutes(),
            belt: world.belt().clone(),
            put_right: world.put_right().to_vec(),
            runs_true: world.runs_true(),
        }
    }
}

/// A run made again, with a picture of its start and one after each move that let the belt run; nothing if the belt
/// cannot run.
pub fn frames<'d>(
    record: &Record,
    drill: &'d Drill,
    diagnosis: &'d Diagnosis<'d>,
    through: &mut dyn FnMut(usize) -> bool,
) -> Option<(World<'d>, Vec<Frame>)> {
    let mut frames: Vec<Frame> = Vec::new();
    let world = record.replay_seen(drill, diagnosis, through, &mut |world| {
        let known = frames.last().map(|frame| frame.moves);
        let new = known.is_none_or(|known| known < world.steps().len());
        if new && (known.is_none() || let_it_run(world)) {
            frames.push(Frame::of(world));
        }
    })?;
    Some((world, frames))
}

/// Whether the last move let the belt run, so that it may lie otherwise than before.
fn let_it_run(world: &World<'_>) -> bool {
    let Some(step) = world.steps().last() else {
        return false;
    };
    match (&step.what, &step.done) {
        (_, Done::Running(_)) => true,
        (Move::Work(_), Done::Worked(_)) => world.machine() == Machine::Running,
        _ => false,
    }
}
