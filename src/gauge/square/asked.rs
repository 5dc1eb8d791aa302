//! What is asked for, and how it is measured.

use super::super::asked::{LINE_ERROR, choices, error_of_one, may, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::gauge::ReadingKey;
use crate::trade::MachineState;

choices! {
    /// Which end pulley.
    pub(super) Pulley {
        /// At the tail.
        Tail = "tail": "the tail pulley",
        /// At the head.
        Head = "head": "the head pulley",
    }

    /// What distances were measured to.
    pub(super) To {
        /// A squared line.
        Line = "line": "a line squared off the belt's middle line",
        /// The other end pulley.
        Pulley = "pulley": "the pulley at the other end",
    }
}

impl Pulley {
    /// Its end of the conveyor.
    pub(super) fn end(self) -> &'static str {
        match self {
            Self::Tail => "tail",
            Self::Head => "head",
        }
    }

    /// The other one.
    pub(super) fn other(self) -> Self {
        match self {
            Self::Tail => Self::Head,
            Self::Head => Self::Tail,
        }
    }
}

const fn distance(key: ReadingKey, ask: &'static str) -> Wanted {
    must(key, ask, Takes::Positive(Kind::Distance))
}

const fn diagonal(key: ReadingKey, ask: &'static str) -> Wanted {
    distance(key, ask).or_else("a shift of one pulley sideways, or both askew alike, is not seen")
}

pub(super) const PULLEY: Wanted = must(key::PULLEY, "Which pulley is judged", Pulley::TAKES);
pub(super) const TO: Wanted = must(key::TO, "What was measured to", To::TAKES);
pub(super) const LEFT: Wanted = distance(key::LEFT, "Distance on the {left} side");
pub(super) const RIGHT: Wanted = distance(key::RIGHT, "Distance on the {right} side");
pub(super) const ACROSS: Wanted = must(
    key::ACROSS,
    "Length across between the two points on this shaft",
    Takes::Positive(Kind::Length),
);
pub(super) const FROM_LEFT: Wanted = diagonal(
    key::FROM_LEFT,
    "Diagonal from this pulley's {left} point to the other's {right} point",
);
pub(super) const FROM_RIGHT: Wanted = diagonal(
    key::FROM_RIGHT,
    "Diagonal from this pulley's {right} point to the other's {left} point",
);
pub(super) const BEARINGS: Wanted = may(
    key::BEARINGS,
    "Length across between the middles of this pulley's two bearings",
    Takes::Positive(Kind::Length),
    "from the conveyor's file, else the amount is for the points measured",
);
pub(super) const ERROR: Wanted = error_of_one(&read_by::TAPE);
pub(super) const LINE: Wanted = LINE_ERROR;

pub(super) const BEAM_LEFT: Wanted = distance(key::LEFT, "Along the {left} beam");
pub(super) const BEAM_RIGHT: Wanted = distance(key::RIGHT, "Along the {right} beam");
pub(super) const TAIL: Wanted = distance(key::TAIL, "Across at the tail end of the bay");
pub(super) const HEAD: Wanted = distance(key::HEAD, "Across at the head end of the bay");
pub(super) const BAY_FROM_LEFT: Wanted = distance(
    key::FROM_LEFT,
    "Diagonal from the tail end of the {left} beam to the head end of the {right} one",
);
pub(super) const BAY_FROM_RIGHT: Wanted = distance(
    key::FROM_RIGHT,
    "Diagonal from the tail end of the {right} beam to the head end of the {left} one",
);

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "pulley",
        title: "an end pulley",
        state: MachineState::LockedOut,
        tools: &["long tape", "string line", "large square"],
        how: &[
            "Stop, lock out, and block the belt. Block a take-up weight or rope before you go near it.",
            "Best: measure to a line squared off the belt's middle line, near this pulley but on its side toward the other end. Else measure to the shaft of the other end pulley.",
            "On the {left} side measure from the middle of this shaft to the line or shaft. Do the same on the {right} side. Same tape, same pull, at the same distance from the belt's middle.",
            "If the tape reaches, measure both diagonals between the same four points.",
            "Measure across from the {left} point on this shaft to the {right} one. The further apart they are, the more it tells.",
        ],
        drawing: &[
            " L  o---------------------------o",
            "    | `.       left        .'   |",
            " tail    `.             .'     head",
            "    |     .' diagonals `.       |",
            "    | .'      right        `.   |",
            " R  o---------------------------o",
        ],
        wanted: &[PULLEY, TO, LEFT, RIGHT, ACROSS, FROM_LEFT, FROM_RIGHT, BEARINGS, LINE, ERROR],
        rows: None,
    },
    Way {
        id: "bay",
        title: "a bay of the frame",
        state: MachineState::LockedOut,
        tools: &["long tape", "marker"],
        how: &[
            "Stop and lock out. Take two cross members of the frame with both beams between them.",
            "Mark the same point at each of the four corners, for example the middle of the bolt.",
            "Measure both beams and both cross members from mark to mark.",
            "Measure both diagonals. Same tape, same pull, all six in one plane.",
        ],
        drawing: &[
            "  L  o-------- left --------o",
            "     | `.               .'  |",
            "  tail    `.         .'    head",
            "     |     .' .   . `.      |",
            "     | .'               `.  |",
            "  R  o-------- right -------o",
        ],
        wanted: &[BEAM_LEFT, BEAM_RIGHT, TAIL, HEAD, BAY_FROM_LEFT, BAY_FROM_RIGHT, ERROR],
        rows: None,
    },
];

/// The second way.
pub(super) fn is_bay(asked: &super::super::asked::Asked) -> bool {
    WAYS.get(1).is_some_and(|way| asked.by(way))
}
