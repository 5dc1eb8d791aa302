//! What is asked for, and how it is measured.

use super::super::asked::{choices, error_of_one, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// What a bigger reading means.
    pub(super) Bigger {
        /// The foot is lower there.
        Lower = "lower": "the foot is lower: measured down from the light or string",
        /// The foot is higher there.
        Higher = "higher": "the foot is higher: measured up",
    }
}

pub(super) const BIGGER: Wanted =
    must(key::BIGGER, "What does a bigger reading mean", Bigger::TAKES);
pub(super) const ERROR: Wanted = error_of_one(&read_by::LEVEL);
pub(super) const IDLER: Wanted = must(key::IDLER, "Idler's number or name", Takes::Label);
pub(super) const AT: Wanted =
    must(key::AT, "Where it stands: distance from the tail", Takes::Signed(Kind::Distance));
pub(super) const LEFT: Wanted =
    must(key::LEFT, "Height at its {left} foot", Takes::Signed(Kind::Length));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "Height at its {right} foot", Takes::Signed(Kind::Length));

/// The way to measure.
pub(super) const LEVEL: Way = Way {
    id: "level",
    title: "heights of both feet, idler by idler",
    state: MachineState::LockedOut,
    tools: &["surveyor's level and staff, laser or string line", "steel rule", "tape"],
    how: &[
        "Stop, lock out, block the belt. Do not lean on the strand or reach through it.",
        "Take the suspect idler, the one before it and the one after it, or a row of them in order.",
        "Read the height of the {left} foot and of the {right} foot against one beam of light or one tight string. On a slope the string runs along the slope.",
        "Read at the same point of each stand. Tape where each idler stands.",
        "Say whether a bigger number means higher or lower. The first and the last idler are judged by nobody: they are the neighbours.",
    ],
    drawing: &[
        "  string o- - - - - - - - - - - -o",
        "         |       |       |       |",
        "         v       v       v       v",
        "         _______   ^         ____",
        "        1       '--2--'  3       4",
        "  tail         stands high      head",
    ],
    wanted: &[BIGGER, ERROR],
    rows: Some(Rows { one: "idler", least: 3, columns: &[IDLER, AT, LEFT, RIGHT] }),
};
