//! What is asked for, and how it is measured.

use super::super::asked::{Asked, choices, error_of_one, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::gauge::ReadingKey;
use crate::trade::MachineState;

choices! {
    /// Where the point on the middle line lies, seen from the squared line.
    pub(super) Toward {
        /// On its tail side.
        Tail = "tail": "on the tail side of the squared line",
        /// On its head side.
        Head = "head": "on the head side of the squared line",
    }
}

const fn distance(key: ReadingKey, ask: &'static str) -> Wanted {
    must(key, ask, Takes::Positive(Kind::Distance))
}

const ONE_SIDE: &str = "that half of the line is not proved";

pub(super) const ALONG: Wanted =
    distance(key::ALONG, "Along the middle line, from the crossing to the point on it");
pub(super) const TOWARD: Wanted =
    must(key::TOWARD, "Where does the point on the middle line lie", Toward::TAKES);
pub(super) const LEFT_OUT: Wanted =
    distance(key::LEFT_OUT, "From the crossing out to the {left} mark").or_else(ONE_SIDE);
pub(super) const RIGHT_OUT: Wanted =
    distance(key::RIGHT_OUT, "From the crossing out to the {right} mark").or_else(ONE_SIDE);
pub(super) const LEFT_SLANT: Wanted =
    distance(key::LEFT_SLANT, "From the point on the middle line to the {left} mark");
pub(super) const RIGHT_SLANT: Wanted =
    distance(key::RIGHT_SLANT, "From the point on the middle line to the {right} mark");
const MAY_LEFT_SLANT: Wanted = LEFT_SLANT.or_else(ONE_SIDE);
const MAY_RIGHT_SLANT: Wanted = RIGHT_SLANT.or_else(ONE_SIDE);
pub(super) const OUT: Wanted =
    distance(key::OUT, "From the crossing out to each mark, the same on both sides");
pub(super) const ERROR: Wanted = error_of_one(&read_by::TAPE);

const HOW_MIDDLE: &str = "Stop and lock out. Find the belt's middle line first: middles of the belt at five places or more, a string over them. Frame and edges are no middle line.";
const HOW_TAPE: &str = "Same tape, same pull, all in one plane. The longer the legs, the more it tells: 4 m along and 3 m out is better than 0.8 m and 0.6 m.";
const HOW_SIDE: &str = "Say on which side of the squared line the point on the middle line lies.";

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "diagonals",
        title: "equal diagonals from one point of the middle line",
        state: MachineState::LockedOut,
        tools: &["long tape", "string line", "marker"],
        how: &[
            HOW_MIDDLE,
            "On the squared line mark two points, as far {left} of the middle line as {right} of it.",
            "Mark one point on the middle line, and tape how far it is from the crossing.",
            "From that point tape to the {left} mark and to the {right} one: equal means square.",
            HOW_TAPE,
            HOW_SIDE,
        ],
        drawing: &[
            " L  o",
            "    | `.  left diagonal",
            "    |    `.",
            "    +-------o  point, middle line",
            "    |    .'",
            "    | .'  right diagonal",
            " R  o  squared line",
        ],
        wanted: &[ALONG, TOWARD, OUT, LEFT_SLANT, RIGHT_SLANT, ERROR],
        rows: None,
    },
    Way {
        id: "triangles",
        title: "3-4-5 on one side or both",
        state: MachineState::LockedOut,
        tools: &["long tape", "string line", "marker"],
        how: &[
            HOW_MIDDLE,
            "Mark a point on the middle line, 4 parts from the crossing. Mark the squared line 3 parts out from the crossing.",
            "Tape from mark to mark: 5 parts means square. Any three lengths will do, if all are taped.",
            "Do it on both sides: then it shows too whether the line is bent at the crossing.",
            HOW_TAPE,
            HOW_SIDE,
        ],
        drawing: &[
            " L  o",
            "    | `.",
            "  3 |    `.  5",
            "    |       `.",
            "    +----------o  middle line",
            "    |     4",
            " R  o  squared line",
        ],
        wanted: &[ALONG, TOWARD, LEFT_OUT, MAY_LEFT_SLANT, RIGHT_OUT, MAY_RIGHT_SLANT, ERROR],
        rows: None,
    },
];

/// The second way.
pub(super) fn by_triangles(asked: &Asked) -> bool {
    WAYS.get(1).is_some_and(|way| asked.by(way))
}
