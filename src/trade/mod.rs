//! The words of the trade, once: what every room means by a side, a strand and the state of a machine. Ground floor:
//! nothing of ours is imported here.

use serde::{Deserialize, Serialize};

/// A side of the conveyor, looking from tail to head. It never swaps on the return strand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename = "side")]
pub enum Side {
    /// The left one.
    Left,
    /// The right one.
    Right,
}

impl Side {
    /// The other side.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// Its name in files and answers.
    pub fn id(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// Left for what is above zero, right for what is below; none for zero. What lies to the left counts as positive.
    pub fn of_sign(size: f64) -> Option<Self> {
        if size > 0.0 {
            Some(Self::Left)
        } else if size < 0.0 {
            Some(Self::Right)
        } else {
            None
        }
    }
}

/// One of the two runs of the belt, named for the forward run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename = "strand")]
pub enum Strand {
    /// On top, with the load, toward the head.
    Carry,
    /// Underneath, back toward the tail.
    Return,
}

impl Strand {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Carry => "carry",
            Self::Return => "return",
        }
    }

    /// Where it travels to.
    pub fn toward(self) -> &'static str {
        match self {
            Self::Carry => "head",
            Self::Return => "tail",
        }
    }

    /// Where it comes from.
    pub fn from(self) -> &'static str {
        match self {
            Self::Carry => "tail",
            Self::Return => "head",
        }
    }
}

/// The state a machine must be in for a look or a piece of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum MachineState {
    /// History, weather, papers.
    Anywhere,
    /// Watched from outside the guards, nothing touched.
    Running,
    /// Stopped, isolated, locked, tagged, tried.
    LockedOut,
}
