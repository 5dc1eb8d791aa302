//! Places on a conveyor: its sides, its strands, its ends and its pulleys.

use serde::{Deserialize, Serialize};

use super::Worded;

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

impl Worded for Strand {
    const ALL: &'static [Self] = &[Self::Carry, Self::Return];

    fn word(self) -> &'static str {
        self.name()
    }
}

/// One of the two ends of a conveyor, and the pulley that stands there; named for the forward run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename = "pulley")]
pub enum End {
    /// Where the carry strand begins.
    Tail,
    /// Where it ends, mostly at the discharge.
    Head,
}

impl End {
    /// Both, from tail to head.
    pub const ALL: [Self; 2] = [Self::Tail, Self::Head];

    /// Its name in files and readings.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tail => "tail",
            Self::Head => "head",
        }
    }

    /// The other end.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Tail => Self::Head,
            Self::Head => Self::Tail,
        }
    }
}

/// A pulley by what it does. One that stands at an end and drives is named for the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum PulleyAt {
    /// At the tail.
    Tail,
    /// At the head.
    Head,
    /// Drives the belt, away from both ends.
    Drive,
    /// Presses the belt further round another pulley.
    Snub,
    /// Turns the belt to another direction, mostly on the way to the take-up or the drive.
    Bend,
    /// Moves to keep the belt tight.
    TakeUp,
}

impl PulleyAt {
    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tail => "tail pulley",
            Self::Head => "head pulley",
            Self::Drive => "drive pulley",
            Self::Snub => "snub pulley",
            Self::Bend => "bend pulley",
            Self::TakeUp => "take-up pulley",
        }
    }
}

impl From<End> for PulleyAt {
    fn from(end: End) -> Self {
        match end {
            End::Tail => Self::Tail,
            End::Head => Self::Head,
        }
    }
}
