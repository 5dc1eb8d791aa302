//! What the words of a step say of sides, and what came of following them.

use crate::mechanics::Line;
use crate::trade::{Side, Strand};

/// A side that the words of a step name, and what is done there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Said {
    /// The work.
    pub work: Work,
    /// The side it names.
    pub side: Side,
    /// How that side is known.
    pub by: By,
}

/// How a side that is named is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// Seen or measured there.
    Measured,
    /// By where the belt runs to.
    WhereItRuns,
}

/// Work that has a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// Moving that end of an idler so until it is square.
    SquareIdler(Along),
    /// Moving that end of an idler so to steer the belt back.
    SteerByIdler(Along),
    /// Raising that side of the frame.
    RaiseFrame,
    /// Raising that end of a pulley.
    RaisePulley,
    /// Raising that end of an idler set.
    RaiseIdler,
    /// Moving that end of an end pulley toward the other one until it is square.
    SquarePulley,
    /// Slackening the screw on that side until both are alike.
    SlackenScrew,
    /// Slackening the screw on that side to steer the belt back.
    SteerByScrew,
    /// Turning the load to that side.
    TurnLoad,
    /// Keeping the wind from that side off.
    Shelter,
}

/// Which way along the conveyor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// Toward the head.
    Head,
    /// Toward the tail.
    Tail,
    /// The way its strand travels: the words name both strands.
    WithStrand,
}

/// What the words of a fix say of sides.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Spoken {
    /// Each side that they name.
    pub said: Vec<Said>,
    /// Its steering steps, where the answers tell strand and side: steps that move one end of an idler or a pulley
    /// along the conveyor, or one screw, in words with a place for the side.
    pub steering: usize,
    /// Those of them whose words name both: one side, and one way along the conveyor (of the strand that is told) or
    /// which screw is slackened.
    pub sided: usize,
}

/// What came of following the words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It lessens what is out of order.
    Lessens,
    /// It does not.
    Wrong,
    /// Nothing of the kind is out of order.
    NothingThere,
}

/// +1 for the left.
pub(super) fn sign(side: Side) -> f64 {
    match side {
        Side::Left => 1.0,
        Side::Right => -1.0,
    }
}

/// +1 toward the head.
pub(super) fn ahead(line: &Line, along: Along, strand: Strand) -> f64 {
    match along {
        Along::Head => 1.0,
        Along::Tail => -1.0,
        Along::WithStrand => line.travel(strand),
    }
}
