//! How work, looks and visits came out, as a visit's file says it.

use serde::{Deserialize, Serialize};

use super::FoundReport;
use crate::reason::Outcome;
use crate::rulebook::model::Shown;

/// How a fix went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum How {
    /// It was done.
    Done,
    /// It was looked at and all was fine, so nothing was done.
    NotNeeded,
    /// It could not be done.
    CouldNot,
}

/// What a check that no symptom covers has shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CheckShown {
    /// It calls for the work.
    Calls,
    /// It is sound.
    Sound,
    /// It ends the fix at once.
    Ends,
    /// It could not be told.
    CantTell,
}

impl From<CheckShown> for Shown {
    fn from(shown: CheckShown) -> Self {
        match shown {
            CheckShown::Calls => Self::Calls,
            CheckShown::Sound => Self::Sound,
            CheckShown::Ends => Self::Ends,
            CheckShown::CantTell => Self::CantTell,
        }
    }
}

/// What was found about a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CauseFound {
    /// It was as suspected.
    AsSuspected,
    /// It was fine.
    WasFine,
}

impl From<CauseFound> for FoundReport {
    fn from(report: CauseFound) -> Self {
        match report {
            CauseFound::AsSuspected => Self::AsSuspected,
            CauseFound::WasFine => Self::WasFine,
        }
    }
}

/// How the belt runs after a batch, against the start of the visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ran {
    /// It runs true now.
    True,
    /// Better.
    Better,
    /// No change.
    NoChange,
    /// Worse.
    Worse,
    /// Off to the other side now.
    OtherSide,
    /// Off at another place now.
    Elsewhere,
    /// A different picture now.
    Different,
}

impl Ran {
    /// Whether what can have done it is undone first.
    pub fn is_undone(self) -> bool {
        matches!(self, Self::Worse | Self::OtherSide)
    }
}

impl From<Ran> for Outcome {
    fn from(ran: Ran) -> Self {
        match ran {
            Ran::True => Self::True,
            Ran::Better => Self::Better,
            Ran::NoChange => Self::NoChange,
            Ran::Worse => Self::Worse,
            Ran::OtherSide => Self::OtherSide,
            Ran::Elsewhere => Self::Elsewhere,
            Ran::Different => Self::Different,
        }
    }
}

/// Which place of a moved thing a note speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum NotedPlace {
    /// Where it stood.
    From,
    /// Where it stands now.
    To,
}

/// What cured it, as the person says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum CuredBy {
    /// This cause was cured.
    Cause(String),
    /// The something else at this place among those told, from 0.
    SomethingElse(usize),
    /// It cannot be said.
    NotClear,
}

/// How a visit ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ended {
    /// It runs true.
    True,
    /// Stopped at once, for safety.
    StoppedNow,
    /// Inside the edge room and steady: left alone.
    LeftAlone,
    /// The book has nothing left.
    NothingLeft,
}
