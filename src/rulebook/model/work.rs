//! Work: fixes, their stages and their steps.

use super::{Condition, Source, State};
use crate::gauge::Gauge;
use crate::rulebook::index::{CauseAt, CautionAt, FixAt};

/// A piece of work that cures one or more causes.
#[derive(Debug, Clone)]
pub struct Fix {
    /// Its id in the files.
    pub id: String,
    /// What the work is.
    pub title: String,
    /// Where it stands in the usual order of work.
    pub stage: Stage,
    /// Chance that it cures the cause, done well, 0.001..0.999. Sorted by cause.
    pub cures: Vec<(CauseAt, f64)>,
    /// [`State::Running`] (wait, load, observe) or [`State::LockedOut`].
    pub state: State,
    /// Minutes of work, elapsed.
    pub minutes: f64,
    /// How many people.
    pub people: u32,
    /// What is needed.
    pub tools: Vec<String>,
    /// When both are planned these come first. Sorted.
    pub after: Vec<FixAt>,
    /// These must be done, found fine, not apply, or be unlikely to matter. Sorted.
    pub needs: Vec<FixAt>,
    /// All must hold; unknown means no.
    pub only_if: Vec<Condition>,
    /// What the hands do, isolation not repeated.
    pub steps: Vec<Step>,
    /// How to know it is done.
    pub done_when: (String, Source),
    /// What not to do.
    pub do_not: Vec<String>,
    /// How to see, from outside the guards, that it worked.
    pub worked: String,
    /// The gauges whose latest result says how much.
    pub amounts_from: Vec<&'static Gauge>,
    /// Warnings before it.
    pub cautions: Vec<CautionAt>,
    /// Where this comes from.
    pub source: Source,
}

/// The usual order of work.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[expect(missing_docs, reason = "the words are the trade's own and say it all")]
pub enum Stage {
    Weather,
    Clean,
    Rolls,
    Supports,
    Frame,
    Pulleys,
    TakeUp,
    Idlers,
    Tension,
    Surface,
    Belt,
    Load,
    Train,
    Trainers,
}

/// One step of a fix. Sides and directions are filled in when it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Plain work; may hold placeholders such as `{belt-side}`.
    Do(String),
    /// Mark and note the old position of this before it moves.
    Mark(String),
    /// Move one end of something along the conveyor.
    MoveEnd {
        /// Of what.
        of: String,
        /// Which end.
        end: End,
        /// Which way.
        toward: Toward,
        /// How far.
        by: String,
    },
    /// Move something without side logic.
    Move {
        /// What.
        what: String,
        /// How.
        how: String,
    },
    /// Raise or shim up one side of something.
    Raise {
        /// What.
        what: String,
        /// Which side.
        end: End,
        /// How far.
        by: String,
    },
}

/// Which end or side of a thing a step speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
pub enum End {
    /// The side the belt has run to.
    BeltSide,
    /// The other side.
    FarSide,
    /// The side whose take-up stands shorter.
    SlackSide,
    /// The other one.
    TightSide,
    /// The low side of the frame.
    LowFrameSide,
    /// The low side of the pulley.
    LowPulleySide,
    /// The low side of the idler.
    LowIdlerSide,
    /// The end of the roll that the belt meets first.
    LeadingEnd,
    /// The end of the roll that the belt meets last.
    LaggingEnd,
}

/// Which way along the conveyor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
pub enum Toward {
    /// The way this strand travels: a skew.
    WithStrand,
    /// Against it: a skew.
    AgainstStrand,
    /// The way this strand travels, until it is square: no skew, so it holds on a reversing belt too.
    SquareUp,
    /// Toward the head.
    Head,
    /// Toward the tail.
    Tail,
}
