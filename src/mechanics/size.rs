//! Sizes in words. The model's millimetres rest on assumed grip; nobody is shown them as a prediction.

use std::fmt;

/// About how far off the belt runs. Only such words are shown to people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Size {
    /// Nothing to be seen.
    None,
    /// A few millimetres.
    FewMillimetres,
    /// About a finger's breadth.
    Finger,
    /// About a hand's breadth.
    Hand,
    /// Past the edge room: it rubs, or leaves the rolls.
    OffTheRoll,
}

impl Size {
    /// The size of an offset to either side, where the belt has that edge room. What is not a number is off the roll.
    pub fn of(offset_m: f64, edge_room_m: f64) -> Self {
        let off = offset_m.abs();
        if off < 0.001 {
            Self::None
        } else if off.is_nan() || off >= edge_room_m {
            Self::OffTheRoll
        } else if off < 0.010 {
            Self::FewMillimetres
        } else if off < 0.035 {
            Self::Finger
        } else {
            Self::Hand
        }
    }

    /// The words.
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "nothing to be seen",
            Self::FewMillimetres => "a few millimetres",
            Self::Finger => "about a finger",
            Self::Hand => "about a hand",
            Self::OffTheRoll => "off the roll",
        }
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}
