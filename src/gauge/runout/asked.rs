//! What is asked for, and how it is measured.

use super::super::asked::{choices, error_of_one, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// Whether the shell sits fast on its shaft.
    pub(super) Hub {
        /// It does.
        Tight = "tight": "paint marks in line, bolts tight, no play",
        /// It does not.
        Moved = "moved": "marks apart, bolts loose, or play",
    }
}

pub(super) const HUB: Wanted = must(key::HUB, "How do hub, bolts and bearings look", Hub::TAKES)
    .or_else("only what runs untrue is told");
pub(super) const ERROR: Wanted = error_of_one(&read_by::DIAL_GAUGE);
pub(super) const TURNED: Wanted = must(
    key::TURNED,
    "How far the pulley was turned from the start",
    Takes::NotNegative(Kind::Angle),
);
pub(super) const LEFT: Wanted =
    must(key::LEFT, "Dial at the {left} end of the shell", Takes::Signed(Kind::Length));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "Dial at the {right} end of the shell", Takes::Signed(Kind::Length));

/// The way to measure.
pub(super) const DIAL: Way = Way {
    id: "dial",
    title: "dial gauge at both ends of the shell, one turn by hand",
    state: MachineState::LockedOut,
    tools: &["dial gauge", "marker", "rags", "torch"],
    how: &[
        "Stop, lock out, block the belt and any take-up weight. Release the belt's tension by the site's procedure until the pulley turns by hand.",
        "Look at hub and shaft first: paint marks in line, bolts tight. There must be no play when the shaft is lifted gently with a bar.",
        "Clean a ring round the shell near each end to bare metal or sound lagging. Mark eight places evenly round it.",
        "Set the dial on a ring, its stand on the frame. Turn the pulley by hand from mark to mark. Hands off, then read.",
        "Do the same at the other end, from the same start and in the same direction.",
    ],
    drawing: &[
        "    dial        dial",
        "     v           v",
        "   .-----------------.",
        " L |     shell       | R",
        " ==|= = = shaft = = =|==",
        "   '-----------------'",
        "   turn by hand, 8 marks round",
    ],
    wanted: &[HUB, ERROR],
    rows: Some(Rows { one: "mark", least: 6, columns: &[TURNED, LEFT, RIGHT] }),
};
