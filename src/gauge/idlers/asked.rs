//! What is asked for, and how it is measured.

use super::super::asked::{Asked, LINE_ERROR, choices, error_of_one, may, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, asked, read_by};
use super::key;
use crate::trade::{MachineState, Strand};

choices! {
    /// Where the line lies that was measured from.
    pub(super) Datum {
        /// On the tail side.
        Tail = "tail": "on the tail side of the idlers",
        /// On the head side.
        Head = "head": "on the head side of the idlers",
    }
}

pub(super) const DATUM: Wanted =
    must(key::DATUM, "Where is the squared line or pulley that was measured from", Datum::TAKES);
pub(super) const ACROSS: Wanted = must(
    key::ACROSS,
    "Length across between the two points measured on an idler",
    Takes::Positive(Kind::Length),
);
pub(super) const WIDTH: Wanted =
    asked::WIDTH.or_else("the limit is held against the points measured");
pub(super) const FEET: Wanted = may(
    key::FEET,
    "Length across between the bolts of an idler's two feet",
    Takes::Positive(Kind::Length),
    "amounts are for the points measured",
)
.filed("idlers.foot_spacing");
pub(super) const LINE: Wanted = LINE_ERROR;
pub(super) const ERROR: Wanted = error_of_one(&read_by::TAPE);

pub(super) const IDLER: Wanted = must(key::IDLER, "Idler's number or name", Takes::Label);
pub(super) const LEFT: Wanted =
    must(key::LEFT, "From the line to the {left} end", Takes::NotNegative(Kind::Distance));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "From the line to the {right} end", Takes::NotNegative(Kind::Distance));
pub(super) const TILT: Wanted = may(
    key::TILT,
    "Tilt of the stand in the belt's direction (minus: against it)",
    Takes::Signed(Kind::Angle),
    "tilt is not judged",
);
pub(super) const TRIM: Wanted = may(
    key::TRIM,
    "Trim set on purpose: how far its {left} foot was shifted toward the head (minus: toward the tail)",
    Takes::Signed(Kind::Length),
    "taken as an idler that is to stand square",
);

const WANTED: &[Wanted] = &[DATUM, ACROSS, WIDTH, FEET, LINE, ERROR];
const COLUMNS: &[Wanted] = &[IDLER, LEFT, RIGHT, TILT, TRIM];

/// The strand that was measured.
pub(super) fn strand(asked: &Asked) -> Strand {
    let back = WAYS.get(1).is_some_and(|way| asked.by(way));
    if back { Strand::Return } else { Strand::Carry }
}

const HOW_STOP: &str =
    "Stop, lock out and block the belt. Do not lean on the strand or reach through it.";

const HOW_LINE: &str = "Square a line across the conveyor, off the belt's middle line, or use a pulley that is known to be square. Never measure from the next idler.";

const HOW_ENDS: &str = "At each idler take the middle roll, or the only one. Measure from the line to its {left} end and to its {right} end. Same tape, same pull, along the frame.";

const HOW_ACROSS: &str = "Measure the length across between the two points on the idler.";

const HOW_WHERE: &str = "Start with the place where the belt leaves centre and at least three idlers before it. For old trims measure twenty.";

const HOW_TILT: &str = "If you have an angle gauge, lay it on the stand and read how far it leans in the belt's direction.";

const fn rows() -> Rows {
    Rows { one: "idler", least: 1, columns: COLUMNS }
}

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "carry",
        title: "carry strand, from a squared line",
        state: MachineState::LockedOut,
        tools: &["long tape", "string line", "large square", "angle gauge"],
        how: &[HOW_STOP, HOW_LINE, HOW_ENDS, HOW_ACROSS, HOW_TILT, HOW_WHERE],
        drawing: &[
            "  line     left           travel >",
            " L |------------------->/",
            "   |                   /  idler",
            "tail                  /       head",
            "   |                 /",
            " R |--------------->/",
            "           right",
        ],
        wanted: WANTED,
        rows: Some(rows()),
    },
    Way {
        id: "return",
        title: "return strand, from a squared line",
        state: MachineState::LockedOut,
        tools: &["long tape", "string line", "large square", "angle gauge"],
        how: &[HOW_STOP, HOW_LINE, HOW_ENDS, HOW_ACROSS, HOW_WHERE],
        drawing: &[
            "  line     left           < travel",
            " L |------------------->/",
            "   |                   /  idler",
            "tail                  /       head",
            "   |                 /",
            " R |--------------->/",
            "           right",
        ],
        wanted: WANTED,
        rows: Some(rows()),
    },
];
