//! What comes before the book's own questions: what may stop a visit at once, and the edge room.

use super::Source;
use crate::rulebook::index::CautionAt;

/// A question before everything else: an answer may stop the visit.
#[derive(Debug, Clone)]
pub struct StopQuestion {
    /// Its id in the files.
    pub id: String,
    /// The question.
    pub ask: String,
    /// The answers; the first goes on, at least one stops.
    pub answers: Vec<StopAnswer>,
    /// How to look.
    pub look: String,
    /// What to do at once.
    pub do_now: Vec<String>,
    /// Whom to tell.
    pub tell: String,
    /// Warnings.
    pub cautions: Vec<CautionAt>,
    /// Where this comes from.
    pub source: Source,
}

/// One answer to a question before everything else.
#[derive(Debug, Clone)]
pub struct StopAnswer {
    /// Its id in the files.
    pub id: String,
    /// What the person reads.
    pub says: String,
    /// What follows from it.
    pub means: StopMeans,
}

/// What an answer to a question before everything else means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum StopMeans {
    /// Nothing is wrong: on.
    GoOn,
    /// Stop at once.
    Stop,
    /// It is locked out and worked on: the points of isolation, then on.
    LockedOut,
}

/// How far the belt runs off against the edge room.
#[derive(Debug, Clone)]
pub struct EdgeRoom {
    /// Its id in the files.
    pub id: String,
    /// The question.
    pub ask: String,
    /// The answers.
    pub answers: Vec<RoomAnswer>,
    /// How to look.
    pub look: String,
    /// Why it matters.
    pub why: String,
    /// What to do when it is best left alone.
    pub leave_it: Vec<String>,
    /// What to do when the belt is in danger.
    pub urgent: Vec<String>,
    /// Where this comes from.
    pub source: Source,
}

/// One answer about the edge room.
#[derive(Debug, Clone)]
pub struct RoomAnswer {
    /// Its id in the files.
    pub id: String,
    /// What the person reads.
    pub says: String,
    /// What follows from it.
    pub means: RoomMeans,
}

/// What an answer about the edge room means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum RoomMeans {
    /// Inside the room and steady: a finding of its own.
    LeaveIt,
    /// Go on asking.
    GoOn,
    /// Go on, and say that the belt is in danger now.
    Urgent,
}
