//! What is asked for, and how it is measured.

use super::super::asked::{LINE_ERROR, choices, error_of_one, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::gauge::ReadingKey;
use crate::trade::MachineState;

choices! {
    /// What distances were measured from.
    pub(super) From {
        /// A pulley.
        Pulley = "pulley": "the squared, level pulley that the belt comes from",
        /// A line.
        Line = "line": "a squared line on the side that the belt comes from",
    }
}

const fn distance(key: ReadingKey, ask: &'static str) -> Wanted {
    must(key, ask, Takes::Positive(Kind::Length))
}

pub(super) const FROM: Wanted = must(key::FROM, "What was measured from", From::TAKES);
pub(super) const LEFT: Wanted = distance(key::LEFT, "Distance to this shaft on the {left} side");
pub(super) const RIGHT: Wanted = distance(key::RIGHT, "Distance to this shaft on the {right} side");
pub(super) const ACROSS: Wanted = must(
    key::ACROSS,
    "Length across between the two points on this shaft",
    Takes::Positive(Kind::Length),
);
pub(super) const BEARINGS: Wanted = must(
    key::BEARINGS,
    "Length across between the middles of this pulley's two bearings",
    Takes::Positive(Kind::Length),
)
.or_else("the amount is for the points measured");
pub(super) const BASE: Wanted =
    LINE_ERROR.asking("How far may that pulley or line be off square, per length across?");
pub(super) const ERROR: Wanted = error_of_one(&read_by::TAPE);

/// The way to measure.
pub(super) const TAPE: Way = Way {
    id: "tape",
    title: "tape from a squared pulley or line",
    state: MachineState::LockedOut,
    tools: &["tape", "square", "marker"],
    how: &[
        "Stop, lock out, block the belt. Pin or block a take-up weight before you go near it.",
        "Square the end pulley first: a snub beside a pulley that is askew cannot be judged from it.",
        "On the {left} side tape from the middle of that pulley's shaft, or from the line, to the middle of this shaft. Do the same on the {right} side, at equal slope, same tape, same pull.",
        "Measure on the side that the belt comes from: the end with the shorter distance is met first.",
        "Measure across between the two points on this shaft. The further apart they are, the more it tells.",
    ],
    drawing: &[
        "  squared pulley        snub",
        " L  o------- left -------o",
        "    |   belt >           |",
        "    |                    |",
        " R  o------- right ------o",
    ],
    wanted: &[FROM, LEFT, RIGHT, ACROSS, BEARINGS, BASE, ERROR],
    rows: None,
};
