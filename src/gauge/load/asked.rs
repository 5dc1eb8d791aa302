//! What is asked for, and how it is measured.

use super::super::asked::{self, Asked, choices, error_of_one, may, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// What the belt lies in.
    pub(super) Trough {
        /// A trough.
        Troughed = "troughed": "Troughed: the edges are higher than the middle",
        /// Flat.
        Flat = "flat": "Flat: on flat rolls or a deck",
    }
}

pub(super) const BARE_LEFT: Wanted = must(
    key::BARE_LEFT,
    "How much belt is bare between the {left} edge and the load?",
    Takes::NotNegative(Kind::Length),
);
pub(super) const BARE_RIGHT: Wanted = must(
    key::BARE_RIGHT,
    "How much belt is bare between the {right} edge and the load?",
    Takes::NotNegative(Kind::Length),
);
pub(super) const SIDE: Wanted =
    must(key::SIDE, "To which side of the belt's middle does the load lie?", Takes::Side);
pub(super) const OFFSET: Wanted = must(
    key::OFFSET,
    "How far is the load's middle off the belt's middle?",
    Takes::NotNegative(Kind::Length),
);
pub(super) const WIDTH: Wanted = asked::WIDTH.asking("How wide is the belt?");
pub(super) const BELT: Wanted = may(
    key::BELT_MASS,
    "How heavy is the belt, per length?",
    Takes::Positive(Kind::LineMass),
    "the belt is taken as weighing nothing: the bound is then larger",
)
.filed("belt.mass");
pub(super) const LOAD: Wanted = may(
    key::LOAD_MASS,
    "How heavy is the load, per length?",
    Takes::Positive(Kind::LineMass),
    "the belt is taken as weighing nothing: the bound is then larger",
)
.filed("load.mass");
pub(super) const TROUGH: Wanted = may(
    key::TROUGH,
    "Does the belt lie in a trough or flat?",
    Trough::TAKES,
    "taken from what is known of the conveyor, else both are said",
);
pub(super) const ERROR: Wanted = error_of_one(&read_by::HEAP);

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "edges",
        title: "bare belt left and right of the load, belt stopped",
        state: MachineState::LockedOut,
        tools: &["tape", "torch"],
        how: &[
            "Have the loaded belt stopped in the usual way; on a slope it must be held from running back. Lock out.",
            "Choose a spot past the skirts where you can stand safely and the load has settled.",
            "Measure across the belt, along its surface, from the {left} edge to where the load begins.",
            "Measure the same way from the {right} edge to where the load begins.",
            "Do it at 3 spots some metres apart and give the means.",
        ],
        drawing: &[
            "L  |<-a->____________<---b--->|  R",
            "   |    /    load    \\        |",
            "   +--------------------------+",
            "    a: bare left   b: bare right",
        ],
        wanted: &[BARE_LEFT, BARE_RIGHT, WIDTH, BELT, LOAD, TROUGH, ERROR],
        rows: None,
    },
    Way {
        id: "offset",
        title: "how far the load's middle lies off the belt's, from a photograph",
        state: MachineState::Running,
        tools: &["camera or phone"],
        how: &[
            "From outside the guards, touching nothing, photograph the loaded belt along its length, past the skirts.",
            "On the picture compare the bare belt on both sides of the load with the belt's whole width.",
            "Work out how far the load's middle lies off the belt's middle, and to which side. Watch a few minutes and take the usual place.",
        ],
        drawing: &[
            "L  |      ____________        |  R",
            "   |     /    load    \\       |",
            "   +-----------|--:-----------+",
            "        load's middle, belt's middle",
        ],
        wanted: &[SIDE, OFFSET, WIDTH, BELT, LOAD, TROUGH, ERROR],
        rows: None,
    },
];

/// Whether the bare edges were read, and not the load's middle.
pub(super) fn is_edges(asked: &Asked) -> bool {
    WAYS.first().is_some_and(|way| asked.by(way))
}
