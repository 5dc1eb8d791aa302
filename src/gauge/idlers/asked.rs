//! What is asked for, and how it is measured.

use super::super::taken::ERROR;
use super::super::{Column, Kind, Need, Rows, Takes, Wanted, Way};
use super::key;
use crate::trade::MachineState;

const WANTED: &[Wanted] = &[
    Wanted {
        key: key::DATUM,
        ask: "Where is the squared line or pulley that was measured from",
        takes: Takes::Choice(&[
            ("tail", "on the tail side of the idlers"),
            ("head", "on the head side of the idlers"),
        ]),
        from: None,
        need: Need::Must,
    },
    Wanted {
        key: key::ACROSS,
        ask: "Length across between the two points measured on an idler",
        takes: Takes::Positive(Kind::Length),
        from: None,
        need: Need::Must,
    },
    Wanted {
        key: key::WIDTH,
        ask: "Belt width",
        takes: Takes::Positive(Kind::Length),
        from: Some("belt.width"),
        need: Need::May("the limit is held against the points measured"),
    },
    Wanted {
        key: key::FEET,
        ask: "Length across between the bolts of an idler's two feet",
        takes: Takes::Positive(Kind::Length),
        from: Some("idlers.foot_spacing"),
        need: Need::May("amounts are for the points measured"),
    },
    ERROR,
];

const COLUMNS: &[Column] = &[
    Column {
        key: key::IDLER,
        ask: "Idler's number or name",
        takes: Takes::Label,
        from: None,
        need: Need::Must,
    },
    Column {
        key: key::LEFT,
        ask: "From the line to the {left} end",
        takes: Takes::NotNegative(Kind::Distance),
        from: None,
        need: Need::Must,
    },
    Column {
        key: key::RIGHT,
        ask: "From the line to the {right} end",
        takes: Takes::NotNegative(Kind::Distance),
        from: None,
        need: Need::Must,
    },
    Column {
        key: key::TILT,
        ask: "Tilt of the stand in the belt's direction (minus: against it)",
        takes: Takes::Signed(Kind::Angle),
        from: None,
        need: Need::May("tilt is not judged"),
    },
];

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
