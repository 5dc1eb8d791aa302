//! What is asked for, and how it is measured.

use super::super::asked::{self, choices, error, may, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use super::table::{Height, Used};
use crate::trade::MachineState;

choices! {
    /// How high the pulley stands.
    pub(super) Stands {
        /// Level with the centre roll.
        CentreRoll = "centre-roll": "Level with the top of the centre roll",
        /// Half the depth of the trough above it.
        HalfTrough = "half-trough": "About half the depth of the trough above it",
    }

    /// How much of its rated pull the belt uses.
    pub(super) Uses {
        /// More than 90 %.
        Most = "most": "More than 90 %",
        /// 60 to 90 %.
        Middle = "middle": "60 to 90 %",
        /// Less than 60 %.
        Little = "little": "Less than 60 %",
    }
}

impl Stands {
    /// The same as the table has it.
    pub(super) fn height(self) -> Height {
        match self {
            Self::CentreRoll => Height::CentreRoll,
            Self::HalfTrough => Height::HalfTrough,
        }
    }
}

impl Uses {
    /// The same as the table has it.
    pub(super) fn used(self) -> Used {
        match self {
            Self::Most => Used::Most,
            Self::Middle => Used::Middle,
            Self::Little => Used::Little,
        }
    }
}

pub(super) const DISTANCE: Wanted = must(
    key::DISTANCE,
    "Distance along the belt, shaft to first full-trough idler",
    Takes::Positive(Kind::Length),
);
pub(super) const WIDTH: Wanted = asked::WIDTH;
pub(super) const ANGLE: Wanted =
    must(key::TROUGH_ANGLE, "Trough angle of the full-trough idlers", Takes::Positive(Kind::Angle))
        .filed("idlers.trough_angle");
pub(super) const HEIGHT: Wanted =
    must(key::HEIGHT, "How high does the top of the pulley stand?", Stands::TAKES);
pub(super) const USED: Wanted = may(
    key::PULL_USED,
    "How much of its rated pull does the belt use?",
    Uses::TAKES,
    "the tightest row of the table is taken",
);
pub(super) const CARCASS: Wanted = may(
    key::CARCASS,
    "What carries the pull in the belt?",
    Takes::Choice(&[("fabric", "Fabric plies"), ("steel-cord", "Steel cords")]),
    "taken from the conveyor's file",
);
pub(super) const OWN_TABLE: Wanted = may(
    key::BELT_TABLE,
    "Least distance in the belt maker's own table, in belt widths",
    Takes::Positive(Kind::Number),
    "the printed table is taken",
);
pub(super) const MODULUS: Wanted =
    asked::MODULUS.or_else("the distance by the belt's own stretch is left out");
pub(super) const RATED: Wanted =
    asked::RATED.or_else("the distance by the belt's own stretch is left out");
pub(super) const ERROR: Wanted = error("How far may the tape be off?", &read_by::LONG_TAPE);

pub(super) const WAY: Way = Way {
    id: "tape",
    title: "Tape from the pulley's shaft to the first full-trough idler",
    state: MachineState::LockedOut,
    tools: &["tape", "string line", "belt data sheet"],
    how: &[
        "Stop, isolate, lock, tag, try. Release or block the take-up and the belt's pull by the site's procedure.",
        "Find the first idler of FULL trough angle. Tape along the belt from the middle of the pulley's shaft to the middle of that idler. Do so on the {left} and on the {right} side; take the shorter.",
        "Pull a string from the top of the pulley to the top of that idler's centre roll. Is the pulley level with the centre roll, or about half the depth of the trough above it? Any other height is wrong by itself.",
        "Find in the papers how much of its rated pull the belt uses.",
    ],
    drawing: &[
        "          L and R alike",
        "   pulley   ..    full trough",
        "     ___   \\__/    \\      /",
        "    /   \\           \\____/",
        "    \\___/",
        "     |<--- distance --->|",
    ],
    wanted: &[DISTANCE, WIDTH, ANGLE, HEIGHT, USED, CARCASS, OWN_TABLE, MODULUS, RATED, ERROR],
    rows: None,
};
