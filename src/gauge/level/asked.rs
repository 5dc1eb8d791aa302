//! What is asked for, and how it is measured.

use super::super::asked::{Asked, choices, error_of_one, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::gauge::ReadingKey;
use crate::trade::MachineState;

choices! {
    /// What a bigger reading means.
    pub(super) Bigger {
        /// The shaft is lower there.
        Lower = "lower": "the shaft is lower: measured down from the light or mark",
        /// The shaft is higher there.
        Higher = "higher": "the shaft is higher: measured up",
    }
}

const fn packing(key: ReadingKey, ask: &'static str) -> Wanted {
    must(key, ask, Takes::NotNegative(Kind::Length))
}

const NOT_TURNED: &str = "not turned: an error of the level itself is taken for the pulley's";

pub(super) const BASE: Wanted = must(
    key::BASE,
    "Length of the level, from where it rests on one end to the other",
    Takes::Positive(Kind::Length),
);
pub(super) const LEFT_PACKING: Wanted =
    packing(key::LEFT_PACKING, "Packing under its {left} end (0 if under the other)");
pub(super) const RIGHT_PACKING: Wanted =
    packing(key::RIGHT_PACKING, "Packing under its {right} end (0 if under the other)");
pub(super) const LEFT_TURNED: Wanted =
    packing(key::LEFT_TURNED, "Level turned end for end: packing under the {left} end")
        .or_else(NOT_TURNED);
pub(super) const RIGHT_TURNED: Wanted =
    packing(key::RIGHT_TURNED, "Level turned end for end: packing under the {right} end")
        .or_else(NOT_TURNED);
pub(super) const BEARINGS: Wanted = must(
    key::BEARINGS,
    "Length across between the middles of this pulley's two bearings",
    Takes::Positive(Kind::Length),
)
.or_else("the amount is for the points measured");
pub(super) const SPIRIT_ERROR: Wanted = error_of_one(&read_by::FEELERS);

pub(super) const LEFT: Wanted =
    must(key::LEFT, "Reading at the {left} end of the shaft", Takes::Signed(Kind::Length));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "Reading at the {right} end of the shaft", Takes::Signed(Kind::Length));
pub(super) const ACROSS: Wanted = must(
    key::ACROSS,
    "Length across between the two points on this shaft",
    Takes::Positive(Kind::Length),
);
pub(super) const BIGGER: Wanted =
    must(key::BIGGER, "What does a bigger reading mean", Bigger::TAKES);
pub(super) const WATER_ERROR: Wanted = error_of_one(&read_by::LEVEL);

const HOW_STOP: &str =
    "Stop, lock out, block the belt. Pin or block a take-up weight before you go near its pulley.";
const HOW_CLEAN: &str = "Clean the spots to bare steel: shaft ends of one diameter, or a shell without lagging, cake or crown.";

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "spirit",
        title: "machinist's level and feelers",
        state: MachineState::LockedOut,
        tools: &["machinist's level", "feeler gauges", "rags"],
        how: &[
            HOW_STOP,
            HOW_CLEAN,
            "Lay the level along the shaft. Put feelers under its low end until the bubble stands in the middle; write down which end and how much.",
            "Turn the level end for end on the same spot and do it again: so the level's own error falls out.",
            "Do it at a second spot. The two must agree, or the shaft is bent.",
        ],
        drawing: &[
            "   L            level           R",
            "     +------------o------------+",
            "     =                         ",
            "  packing   = = shaft = =",
            "     |<-------- base --------->|",
        ],
        wanted: &[
            BASE,
            LEFT_PACKING,
            RIGHT_PACKING,
            LEFT_TURNED,
            RIGHT_TURNED,
            BEARINGS,
            SPIRIT_ERROR,
        ],
        rows: None,
    },
    Way {
        id: "water",
        title: "water level or laser at both shaft ends",
        state: MachineState::LockedOut,
        tools: &["water level or laser", "steel rule"],
        how: &[
            HOW_STOP,
            HOW_CLEAN,
            "Stand the rule on top of the bare shaft at both ends. Read both heights against one mark or one beam of light.",
            "Measure across between the two spots.",
            "Say whether a bigger number means higher or lower.",
        ],
        drawing: &[
            "    level line  _ _ _ _ _ _ _ _ _",
            "                |             |",
            "      bigger    |             |smaller",
            "    = lower     v             v higher",
            "             L =o==[pulley]==o= R",
        ],
        wanted: &[LEFT, RIGHT, ACROSS, BIGGER, BEARINGS, WATER_ERROR],
        rows: None,
    },
];

/// The second way.
pub(super) fn by_water(asked: &Asked) -> bool {
    WAYS.get(1).is_some_and(|way| asked.by(way))
}
