//! What is asked for, and how it is measured.

use super::super::asked::{choices, error, may, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::{GLOW_OR_SMOKE, key};
use crate::trade::MachineState;

choices! {
    /// Whether one of the bearings has fresh grease.
    pub(super) Greased {
        /// Neither.
        No = "no": "No",
        /// One or both.
        Yes = "yes": "Yes, one or both",
    }
}

pub(super) const LEFT: Wanted =
    must(key::LEFT, "Temperature of the {left} bearing", Takes::Signed(Kind::Temperature));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "Temperature of the {right} bearing", Takes::Signed(Kind::Temperature));
pub(super) const AMBIENT: Wanted = may(
    key::AMBIENT,
    "Temperature of the air",
    Takes::Signed(Kind::Temperature),
    "rises over the air are left out",
);
pub(super) const LEFT_BEFORE: Wanted = may(
    key::LEFT_BEFORE,
    "Last reading of the {left} bearing, under like load",
    Takes::Signed(Kind::Temperature),
    "changes are left out",
);
pub(super) const RIGHT_BEFORE: Wanted = may(
    key::RIGHT_BEFORE,
    "Last reading of the {right} bearing, under like load",
    Takes::Signed(Kind::Temperature),
    "changes are left out",
);
/// The key of a conveyor file's fact as well.
pub(super) const DUST: Wanted = may(
    key::DUST_BURNS,
    "Does dust that burns lie here (coal, grain, wood, sulphur, sugar, rubber)?",
    Takes::Choice(&[
        ("no", "No, none of these"),
        ("yes", "Yes: then stop begins lower, and when it rises"),
    ]),
    "from the conveyor's file, else taken as yes",
);
pub(super) const GREASED: Wanted =
    may(key::GREASED, "Were they greased within the last day?", Greased::TAKES, "taken as no");
pub(super) const ERROR: Wanted = error("How far may one reading be off?", &read_by::INFRARED);

pub(super) const WAY: Way = Way {
    id: "infrared",
    title: "Infrared thermometer, machine running",
    state: MachineState::Running,
    tools: &["infrared thermometer"],
    how: &[
        GLOW_OR_SMOKE,
        "A burning smell: have it stopped by the site's procedure.",
        "Stay outside the guards; touch nothing, and never feel for heat by hand.",
        "Where dust burns, take only a thermometer that is rated for it.",
        "Let the conveyor run under its usual load for an hour before you read.",
        "Aim at the same dull or painted spot of both housings of one pulley, from the same distance. Bright \
         metal reads too cold.",
        "Read {left}, {right}, and {left} again. If the first and the last differ by more than a few degrees, aim again.",
        "Read the air beside it, in the shade.",
    ],
    drawing: &[
        "  L [housing]          [housing] R",
        "      [o]=====pulley=====[o]",
        "       ^                  ^",
        "       : same spot, same  :",
        "       : distance         :",
        " ---- guard --------- guard ----",
        "     (gun)              (gun)",
    ],
    wanted: &[LEFT, RIGHT, AMBIENT, LEFT_BEFORE, RIGHT_BEFORE, DUST, GREASED, ERROR],
    rows: None,
};
