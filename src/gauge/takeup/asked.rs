//! What is asked for, and how it is measured.

use super::super::asked::{self, choices, error_of_one, may, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// Where the marks lie, seen from the shaft.
    pub(super) Marks {
        /// Inward.
        Inward = "inward": "Toward the other end pulley: more means tighter",
        /// Outward.
        Outward = "outward": "Away from the other end pulley: more means slacker",
    }

    /// How much thread shows when the screw is tightened.
    pub(super) Tightening {
        /// More.
        More = "more": "More thread means tighter",
        /// Less.
        Less = "less": "Less thread means tighter",
    }
}

pub(super) const LEFT: Wanted =
    must(key::LEFT, "Reading on the {left} side", Takes::NotNegative(Kind::Length));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "Reading on the {right} side", Takes::NotNegative(Kind::Length));
pub(super) const LEFT_BEFORE: Wanted = may(
    key::LEFT_BEFORE,
    "Last reading on the {left} side, taken the same way",
    Takes::NotNegative(Kind::Length),
    "nothing is said of the time since then",
);
pub(super) const RIGHT_BEFORE: Wanted = may(
    key::RIGHT_BEFORE,
    "Last reading on the {right} side, taken the same way",
    Takes::NotNegative(Kind::Length),
    "nothing is said of the time since then",
);
pub(super) const DATUM: Wanted =
    must(key::MARKS, "Where do the marks lie, seen from the shaft?", Marks::TAKES);
pub(super) const TIGHTENING: Wanted = must(
    key::TIGHTENING,
    "Does more or less thread show when the screw is tightened?",
    Tightening::TAKES,
);
pub(super) const PITCH: Wanted = may(
    key::PITCH,
    "Pitch of the screws: travel in one turn",
    Takes::Positive(Kind::Length),
    "no turns are told",
)
.filed("screws.pitch");
pub(super) const BEARING_CENTRES: Wanted = asked::BEARING_CENTRES.or_else("no angle is told");
pub(super) const CENTRES: Wanted = asked::CENTRES.or_else("no strain is told");
pub(super) const WIDTH: Wanted = asked::WIDTH.or_else("no rise of the pull is told");
pub(super) const LOAD: Wanted = may(
    key::LOAD,
    "Load on each screw at the last reading",
    Takes::Positive(Kind::Force),
    "the rise is told in force only",
)
.filed("screws.load");
pub(super) const SHAFT_ERROR: Wanted = error_of_one(&read_by::TAPE);
pub(super) const THREAD_ERROR: Wanted = error_of_one(&read_by::SCREW_THREAD);
const MODULUS: Wanted = asked::MODULUS;
const RATED: Wanted = asked::RATED;

pub(super) const SHAFT: Way = Way {
    id: "shaft",
    title: "Shaft centre to a fixed point on each side",
    state: MachineState::LockedOut,
    tools: &["steel tape", "marker"],
    how: &[
        "Stop, isolate, lock, tag, try. Turn no screw yet, and stand beside the screws, not in line with them.",
        "Choose one fixed point of the frame on each side, both the same distance from the shaft of the other \
         end pulley. Tape that distance on both sides and mark the points.",
        "Pull the tape tight. Measure level from the mark to the middle of the shaft, on the {left} and on the \
         {right} side. Read to half a millimetre.",
        "Read each side again before you write it down.",
    ],
    drawing: &[
        "  to the other end pulley",
        "  mark                  mark",
        "   +                      +",
        "   |    ##############    |",
        "   |    ##   belt   ##    |",
        " L o====##############====o R",
        "   |     take-up pulley   |",
        " left                  right",
    ],
    wanted: &[
        LEFT,
        RIGHT,
        DATUM,
        LEFT_BEFORE,
        RIGHT_BEFORE,
        BEARING_CENTRES,
        PITCH,
        CENTRES,
        WIDTH,
        MODULUS,
        RATED,
        LOAD,
        SHAFT_ERROR,
    ],
    rows: None,
};

pub(super) const THREAD: Way = Way {
    id: "thread",
    title: "Thread showing on both screws",
    state: MachineState::LockedOut,
    tools: &["rule or calipers"],
    how: &[
        "Stop, isolate, lock, tag, try. Turn no screw yet, and stand beside the screws, not in line with them.",
        "Only where both screws, nuts and blocks are alike; else measure to the shaft centre.",
        "Wipe the threads clean. Measure the thread that shows beyond the nut, on the {left} and on the {right} \
         screw, from the same face on both.",
        "Read each side again before you write it down.",
    ],
    drawing: &[
        "   L                      R",
        "  [o]==== pulley shaft ==[o]",
        "   |                      |",
        "  [N] nut                [N] nut",
        "   |  thread showing      |",
        "   |                      |",
    ],
    wanted: &[
        LEFT,
        RIGHT,
        TIGHTENING,
        LEFT_BEFORE,
        RIGHT_BEFORE,
        BEARING_CENTRES,
        PITCH,
        CENTRES,
        WIDTH,
        MODULUS,
        RATED,
        LOAD,
        THREAD_ERROR,
    ],
    rows: None,
};
