//! What a learner may do, what it costs, and what is refused.

use crate::gauge::Gauge;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, SymptomAt};
use crate::rulebook::model::{DrillFault, Shown};
use crate::trade::MachineState;
use crate::trade::{Side, Strand};
use crate::visit::Measured;

/// Minutes to move one end of an idler: loosen, mark, shift, tighten. Common practice, no source.
pub const SHIFT_MINUTES: f64 = 10.0;
/// Minutes to turn one take-up screw and lock it again. Common practice, no source.
pub const SCREW_MINUTES: f64 = 5.0;
/// Minutes for a measurement that no question of the book names. Common practice, no source.
pub const GAUGE_MINUTES: f64 = 10.0;
/// An idler end goes no further in its slot than this either way, m.
pub const MOST_SHIFT_M: f64 = 0.040;
/// A screw goes no further than this either way from where the conveyor was set up, m.
pub const MOST_SCREW_M: f64 = 0.080;
/// Nobody waits longer at one go, turns of the belt.
pub const MOST_WAIT: u32 = 200;

/// What a learner makes: of an idler end moved, one screw turned more than the other, both screws turned.
pub(super) const MADE_BY_HAND: [DrillFault; 3] =
    [DrillFault::SkewedIdlers, DrillFault::UnevenScrews, DrillFault::TightBelt];

/// Something a learner does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    /// Answer a question of the book by looking or listening.
    Look(SymptomAt),
    /// Stop, isolate, lock, tag, try.
    LockOut,
    /// Guards on, people clear, warning, start, watch.
    Restore,
    /// Measure with a gauge.
    Measure(&'static Gauge),
    /// Make a check that a piece of work begins with, by its place.
    Check(FixAt, usize),
    /// Do a piece of work of the book, with those of its checks that were not made yet.
    Work(FixAt),
    /// Move one end of an idler along the conveyor.
    Shift {
        /// Which strand.
        strand: Strand,
        /// Which set, from the tail, from 0.
        station: usize,
        /// Which end.
        end: Side,
        /// Toward the head; below nothing toward the tail.
        ahead_m: f64,
    },
    /// Turn one take-up screw.
    Screw {
        /// Which.
        side: Side,
        /// Out, so that the belt gets tighter; below nothing in.
        out_m: f64,
    },
    /// Let the belt run so many turns and watch it.
    Wait(u32),
    /// Ask straybelt.
    Advice,
    /// Say which cause it is, and how certain that is, 0..1.
    Name(CauseAt, f64),
    /// Say that the belt runs true now and the causes are put right.
    Declare,
}

impl Move {
    /// In which state of the machine it is done.
    pub fn state(
        &self,
        of_symptom: impl Fn(SymptomAt) -> MachineState,
        of_fix: impl Fn(FixAt) -> MachineState,
        of_check: impl Fn(FixAt, usize) -> MachineState,
    ) -> MachineState {
        match self {
            Self::Look(symptom) => of_symptom(*symptom),
            Self::Check(fix, place) => of_check(*fix, *place),
            Self::Work(fix) => of_fix(*fix),
            Self::Measure(gauge) => {
                gauge.ways.first().map_or(MachineState::LockedOut, |way| way.state)
            }
            Self::Shift { .. } | Self::Screw { .. } | Self::Restore => MachineState::LockedOut,
            Self::LockOut | Self::Wait(_) | Self::Declare => MachineState::Running,
            Self::Advice | Self::Name(..) => MachineState::Anywhere,
        }
    }
}

/// What came of a move.
#[derive(Debug, Clone, PartialEq)]
pub enum Done {
    /// This is what it looks like; nothing: it cannot be told here.
    Looked(Option<AnswerAt>),
    /// The machine is dead.
    LockedOut,
    /// It runs again; the belt was watched for so many turns.
    Running(u32),
    /// What was measured, and what it answers.
    Measured(Box<Measured>),
    /// A check was made.
    Checked(Checked),
    /// The work is done; for each cause that it serves, whether it was there.
    Worked(Vec<(CauseAt, bool)>),
    /// Moved.
    Moved,
    /// Advice was given.
    Advised,
    /// Noted.
    Noted,
    /// The run is over; whether the belt runs true and nothing hidden is left.
    Declared {
        /// Whether the belt runs true.
        runs_true: bool,
        /// Whether every cause is put right.
        all_cured: bool,
    },
}

/// What came of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Checked {
    /// The symptom that it looks at, and its answer, if it could be told; nothing where no symptom covers it.
    pub answer: Option<(SymptomAt, Option<AnswerAt>)>,
    /// What it says of the work.
    pub shown: Shown,
}

/// Why a move is not made. Nothing has changed, no time has passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// A hand would be near a moving belt: a safety fault.
    #[error("the belt is moving")]
    Moving,
    /// The belt stands, so there is nothing to be seen.
    #[error("the belt stands still")]
    Standing,
    /// It is locked out already.
    #[error("it is locked out already")]
    LockedAlready,
    /// It runs already.
    #[error("it runs already")]
    RunsAlready,
    /// The conveyor has no take-up screws.
    #[error("this conveyor has no take-up screws")]
    NoScrews,
    /// There is no such station.
    #[error("there is no such station")]
    NoStation,
    /// The slot or the thread ends there.
    #[error("it does not go so far")]
    TooFar,
    /// The question or the work is not for this conveyor.
    #[error("that is not for this conveyor")]
    NotHere,
    /// The gauge has nothing to measure in a drill.
    #[error("this gauge is not part of the drill")]
    NoGauge,
    /// A certainty that is none, or a number that is none.
    #[error("that number is out of reason")]
    Number,
    /// The belt would be slack, or leave the conveyor: the model ends there.
    #[error("the belt would not stay on the conveyor")]
    BeyondModel,
    /// The run is over.
    #[error("the run is over")]
    Over,
}
