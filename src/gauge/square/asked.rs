//! What is asked for, and how it is measured.

use super::super::taken::ERROR;
use super::super::{Kind, Need, Takes, Wanted, Way};
use super::key;
use crate::gauge::ReadingKey;
use crate::trade::MachineState;

const fn distance(key: ReadingKey, ask: &'static str) -> Wanted {
    Wanted { key, ask, takes: Takes::Positive(Kind::Distance), from: None, need: Need::Must }
}

const fn diagonal(key: ReadingKey, ask: &'static str) -> Wanted {
    Wanted {
        key,
        ask,
        takes: Takes::Positive(Kind::Distance),
        from: None,
        need: Need::May("a shift of one pulley sideways, or both askew alike, is not seen"),
    }
}

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
            "Measure across from the {left} point on this shaft to the {right} one.",
        ],
        drawing: &[
            " L  o---------------------------o",
            "    | `.       left        .'   |",
            " tail    `.             .'     head",
            "    |     .' diagonals `.       |",
            "    | .'      right        `.   |",
            " R  o---------------------------o",
        ],
        wanted: &[
            Wanted {
                key: key::PULLEY,
                ask: "Which pulley is judged",
                takes: Takes::Choice(&[("tail", "the tail pulley"), ("head", "the head pulley")]),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: key::TO,
                ask: "What was measured to",
                takes: Takes::Choice(&[
                    ("line", "a line squared off the belt's middle line"),
                    ("pulley", "the pulley at the other end"),
                ]),
                from: None,
                need: Need::Must,
            },
            distance(key::LEFT, "Distance on the {left} side"),
            distance(key::RIGHT, "Distance on the {right} side"),
            Wanted {
                key: key::ACROSS,
                ask: "Length across between the two points on this shaft",
                takes: Takes::Positive(Kind::Length),
                from: None,
                need: Need::Must,
            },
            diagonal(
                key::FROM_LEFT,
                "Diagonal from this pulley's {left} point to the other's {right} point",
            ),
            diagonal(
                key::FROM_RIGHT,
                "Diagonal from this pulley's {right} point to the other's {left} point",
            ),
            Wanted {
                key: key::BEARINGS,
                ask: "Length across between the middles of this pulley's two bearings",
                takes: Takes::Positive(Kind::Length),
                from: None,
                need: Need::May(
                    "from the conveyor's file, else the amount is for the points measured",
                ),
            },
            ERROR,
        ],
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
        wanted: &[
            distance(key::LEFT, "Along the {left} beam"),
            distance(key::RIGHT, "Along the {right} beam"),
            distance(key::TAIL, "Across at the tail end of the bay"),
            distance(key::HEAD, "Across at the head end of the bay"),
            distance(
                key::FROM_LEFT,
                "Diagonal from the tail end of the {left} beam to the head end of the {right} one",
            ),
            distance(
                key::FROM_RIGHT,
                "Diagonal from the tail end of the {right} beam to the head end of the {left} one",
            ),
            ERROR,
        ],
        rows: None,
    },
];
