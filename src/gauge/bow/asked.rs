//! What is asked for, and how it is measured.

use super::super::asked::{self, error_of_one, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

pub(super) const EDGE: Wanted =
    must(key::EDGE, "Along which edge does the string run", Takes::Side);
pub(super) const WIDTH: Wanted =
    asked::WIDTH.or_else("how much longer one edge is, is not worked out");
pub(super) const ERROR: Wanted = error_of_one(&read_by::STRING);
pub(super) const PART: Wanted =
    must(key::PART, "Which length of belt", Takes::Label).or_else("all rows are of one length");
pub(super) const AT: Wanted =
    must(key::AT, "Place along the string, from its tail end", Takes::NotNegative(Kind::Distance));
pub(super) const GAP: Wanted = must(
    key::GAP,
    "From the string in to the edge (minus where the edge lies beyond the string)",
    Takes::Signed(Kind::Length),
);

/// The way to measure.
pub(super) const STRING: Way = Way {
    id: "string",
    title: "string along the edge of a slack length",
    state: MachineState::LockedOut,
    tools: &["string line", "steel rule", "tape", "marker"],
    how: &[
        "Stop, lock out, block the belt both ways. Let its pull off by the site's procedure: only a slack belt that lies flat tells.",
        "Stretch a string along one edge over 10 m or more. It lies on the edge at both ends, and no joint lies between.",
        "Take both ends and three places or more between. At each write down the place along the string and the gap to the edge.",
        "Leave out places where the edge is torn or worn.",
        "Give each length of belt a name. Measure on both sides of a joint, along the same edge: only so is it seen that two lengths bow opposite ways.",
    ],
    drawing: &[
        "  string  o-----------------------o",
        "  L edge  '--.___   gap    ___.---'",
        "                 '--------'",
        "  R edge  ---.___          ___.----",
        "                 '--------'",
        "  tail |<------ 10 m or more ----->|",
    ],
    wanted: &[EDGE, WIDTH, ERROR],
    rows: Some(Rows { one: "place", least: 3, columns: &[PART, AT, GAP] }),
};
