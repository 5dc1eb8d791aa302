//! Where the minutes of a run went, and what stood before its first work.

use super::moves::{Done, Move};
use super::world::World;
use crate::plan::Plan;
use crate::rulebook::index::{CauseAt, FixAt};
use crate::rulebook::model::Book;
use crate::trade::MachineState;

/// Minutes by what they went into. Together they are the minutes of the run: each minute counts once.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Split {
    /// Questions answered by looking and readings taken for themselves, before and between the work, and belt turns
    /// that were waited for.
    pub looks: f64,
    /// The checks that a fix begins with (`begins_with`), done locked out or running as part of it.
    pub checks: f64,
    /// Lock-outs, and restarts with the watching after each; also the watching after a fix on the running machine.
    pub isolation: f64,
    /// Work behind its checks by a fix one of whose causes was there when it was done, whether it took it away or not.
    pub work_right: f64,
    /// Work behind its checks by a fix none of whose causes was there, and things moved by hand on no fix's word.
    pub work_wrong: f64,
}

impl Split {
    /// Of a run as far as it has gone.
    pub fn of(world: &World<'_>) -> Self {
        let book = world.book();
        let mut split = Self::default();
        for step in world.steps() {
            match (&step.what, &step.done) {
                (Move::LockOut | Move::Restore, _) => split.isolation += step.minutes,
                (Move::Work(fix), Done::Worked(found)) => {
                    let fix = &book.fixes[*fix];
                    let watch = match fix.state() {
                        MachineState::Running => book.minutes.restart_and_watch,
                        MachineState::LockedOut | MachineState::Anywhere => 0.0,
                    };
                    let work = fix.work_minutes();
                    split.isolation += watch;
                    split.checks += step.minutes - watch - work;
                    match found.iter().any(|(_, was_there)| *was_there) {
                        true => split.work_right += work,
                        false => split.work_wrong += work,
                    }
                }
                (Move::Check(..), _) => split.checks += step.minutes,
                (Move::Shift { .. } | Move::Screw { .. }, _) => split.work_wrong += step.minutes,
                _ => split.looks += step.minutes,
            }
        }
        split
    }

    /// All of them, minutes.
    pub fn total(&self) -> f64 {
        self.looks + self.checks + self.isolation + self.work_right + self.work_wrong
    }

    /// The mean of several; nothing went into no runs.
    pub fn mean(splits: &[Self]) -> Self {
        let mean =
            |of: fn(&Self) -> f64| splits.iter().map(of).sum::<f64>() / splits.len().max(1) as f64;
        Self {
            looks: mean(|split| split.looks),
            checks: mean(|split| split.checks),
            isolation: mean(|split| split.isolation),
            work_right: mean(|split| split.work_right),
            work_wrong: mean(|split| split.work_wrong),
        }
    }
}

/// Whether work begins with what the leading cause asks for: the first job cures that cause, or a planned fix that
/// cures it must stand behind that job (`after` and `needs`, those of what is named there included).
pub fn begins_with_the_leader(book: &Book, plan: &Plan, first: FixAt, leader: CauseAt) -> bool {
    let mut steps = plan.batches.iter().flat_map(|batch| &batch.steps);
    let cures = |fix: FixAt| book.fixes[fix].cures.iter().any(|(c, _)| *c == leader);
    cures(first) || steps.any(|own| cures(own.fix) && own.behind.contains(&first))
}
