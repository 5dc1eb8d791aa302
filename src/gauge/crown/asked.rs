//! What is asked for, and how it is measured.

use super::super::asked::{Asked, choices, error, may, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// Which pulley.
    pub(super) Pulley {
        /// At the tail.
        Tail = "tail": "the tail pulley",
        /// At the head.
        Head = "head": "the head pulley",
        /// Elsewhere.
        Other = "other": "another pulley",
    }

    /// Whether the straight-edge lay parallel to the shaft.
    pub(super) Parallel {
        /// It did not.
        No = "no": "no, rocked to even gaps",
        /// It did.
        Yes = "yes": "yes, same distance from the shaft at both ends",
    }
}

impl Pulley {
    /// What it is called at the beginning of a line.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Tail => "Tail pulley",
            Self::Head => "Head pulley",
            Self::Other => "This pulley",
        }
    }
}

pub(super) const PULLEY: Wanted = must(key::PULLEY, "Which pulley", Pulley::TAKES);
pub(super) const FACE: Wanted = may(
    key::FACE,
    "Length of this pulley's face",
    Takes::Positive(Kind::Length),
    "from the conveyor's file, else the length measured over",
);
pub(super) const DRAWN: Wanted = may(
    key::DRAWN,
    "Crown by the drawing, on the diameter (0 for a flat pulley)",
    Takes::NotNegative(Kind::Length),
    "from the conveyor's file, else the published rule for the class",
);
pub(super) const PULLEY_DIAMETER: Wanted = may(
    key::DIAMETER,
    "This pulley's diameter",
    Takes::Positive(Kind::Length),
    "from the conveyor's file, else the rule for light belts is not used",
);
pub(super) const PARALLEL: Wanted = may(
    key::PARALLEL,
    "Was the straight-edge set parallel to the shaft",
    Parallel::TAKES,
    "taken as no: which end is larger is not judged",
);
pub(super) const GAP_ERROR: Wanted = error("How far may one gap be off?", &read_by::FEELERS);
pub(super) const DIAMETER_ERROR: Wanted =
    error("How far may one diameter be off?", &read_by::CALIPERS);
pub(super) const PLACE: Wanted = must(
    key::PLACE,
    "Place across the face, from its {left} edge",
    Takes::NotNegative(Kind::Length),
);
pub(super) const GAP: Wanted = must(key::GAP, "Gap there", Takes::NotNegative(Kind::Length));
pub(super) const DIAMETER: Wanted =
    must(key::DIAMETER, "Diameter there", Takes::Positive(Kind::Length));

const HOW_STOP: &str = "Stop, lock out, block the belt and any take-up weight. Only then take the guard off. It goes back on before the restart.";
const HOW_CLEAN: &str = "Clean the bare half of the face to the shell or lagging.";

/// The ways to measure, the usual one first: the belt wraps most pulleys, and calipers do not reach round them.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "gaps",
        title: "gaps under a straight-edge",
        state: MachineState::LockedOut,
        tools: &["straight-edge as long as the face", "feelers", "scraper and brush"],
        how: &[
            HOW_STOP,
            HOW_CLEAN,
            "Lay the straight-edge along the face, in line with the shaft. On a crown rock it until the gaps at both ends are alike; on a hollow face it rests on both ends.",
            "Measure the gap with feelers just inside both ends, in the middle, and at two places or more between. 0 where it touches. Write down each place from the {left} edge of the face.",
            "To judge which end is larger, the straight-edge must lie parallel to the shaft: same distance from it at both ends.",
        ],
        drawing: &[
            "   ================================",
            "    gap |    touches 0         | gap",
            "        v    __________        v",
            "       ___---          ---___",
            "    L |                      | R",
            "       = = = = shaft = = = = =",
        ],
        wanted: &[PULLEY, FACE, PULLEY_DIAMETER, DRAWN, PARALLEL, GAP_ERROR],
        rows: Some(Rows { one: "place", least: 3, columns: &[PLACE, GAP] }),
    },
    Way {
        id: "diameters",
        title: "diameters across the face, belt off the pulley",
        state: MachineState::LockedOut,
        tools: &["large calipers", "steel rule", "scraper and brush"],
        how: &[
            HOW_STOP,
            HOW_CLEAN,
            "Only where the belt is off, or the calipers reach round beside it. On a wrapped pulley use the straight-edge.",
            "Measure the diameter with large calipers just inside both ends of the face and in the middle. Measure at two places or more between them as well. For each write down its place from the {left} edge of the face.",
        ],
        drawing: &[
            "          |<- place ->|",
            "   L edge o-----------o---.   R edge",
            "          |           | d  |",
            "   shaft =|= = = = = =|= = |=",
            "          |           |    |",
            "          o-----------o---'",
        ],
        wanted: &[PULLEY, FACE, DRAWN, DIAMETER_ERROR],
        rows: Some(Rows { one: "place", least: 3, columns: &[PLACE, DIAMETER] }),
    },
];

/// Whether gaps were read, and not diameters.
pub(super) fn is_gaps(asked: &Asked) -> bool {
    WAYS.first().is_some_and(|way| asked.by(way))
}
