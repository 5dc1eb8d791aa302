//! What the gauge asks for, and how it is measured.

use super::super::asked::{self, Asked, error, may, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::{MachineState, Strand};

pub(super) const RETURN_SPACING: Wanted =
    must(key::SPACING, "Spacing of the return rolls there", Takes::Positive(Kind::Length))
        .filed("idlers.return_pitch");
pub(super) const CARRY_SPACING: Wanted =
    must(key::SPACING, "Spacing of the carry idlers there", Takes::Positive(Kind::Length))
        .filed("idlers.carry_pitch");
const PLACE: Wanted = may(key::PLACE, "Which span", Takes::Label, "counted from 1");
pub(super) const SAG: Wanted =
    must(key::SAG, "How deep it hangs half way", Takes::NotNegative(Kind::Length));
pub(super) const MASS: Wanted = may(
    key::MASS,
    "Mass of the belt per length",
    Takes::Positive(Kind::LineMass),
    "no pull is told",
)
.filed("belt.mass");
pub(super) const LOAD: Wanted = may(
    key::LOAD,
    "Load that lies on the belt where it is measured, per length",
    Takes::NotNegative(Kind::LineMass),
    "taken as empty",
);
pub(super) const FULL_LOAD: Wanted = may(
    key::FULL_LOAD,
    "Full load on the belt per length",
    Takes::NotNegative(Kind::LineMass),
    "the loaded carry strand is left out",
)
.filed("load.mass");
pub(super) const CARRY_PITCH: Wanted = may(
    key::CARRY_PITCH,
    "Spacing of the carry idlers",
    Takes::Positive(Kind::Length),
    "the loaded carry strand is left out",
)
.filed("idlers.carry_pitch");
pub(super) const PULL: Wanted = may(
    key::PULL,
    "Pull of the drive on the belt at full load (effective tension)",
    Takes::Positive(Kind::Force),
    "worked out from the motor, if that is known",
);
pub(super) const MOTOR: Wanted = may(
    key::MOTOR_KW,
    "Rating of the drive motor, kW",
    Takes::Positive(Kind::Number),
    "grip is left out",
);
pub(super) const WRAP: Wanted = may(
    key::WRAP,
    "Wrap of the belt round the drive pulley",
    Takes::Positive(Kind::Angle),
    "taken as 180 degrees",
);
pub(super) const LAGGING: Wanted = may(
    key::LAGGING,
    "Is the drive pulley bare steel or lagged?",
    Takes::Choice(&[("bare", "Bare steel"), ("lagged", "Lagged")]),
    "taken as bare",
);
pub(super) const ERROR: Wanted = error("How far may one reading be off?", &read_by::HANGING);
pub(super) const RATED: Wanted = asked::RATED.or_else("the pull is not held against the rating");
pub(super) const WIDTH: Wanted = asked::WIDTH.or_else("the pull is not held against the rating");
pub(super) const CENTRES: Wanted = asked::CENTRES.or_else("no travel of the screws is told");
pub(super) const SPEED: Wanted = asked::SPEED.or_else("only needed with the motor's rating");
const MODULUS: Wanted = asked::MODULUS;

/// The strand that was measured.
pub(super) fn strand(asked: &Asked) -> Strand {
    if asked.by(&CARRY) { Strand::Carry } else { Strand::Return }
}

pub(super) const RETURN: Way = Way {
    id: "return",
    title: "Return strand, string and tape",
    state: MachineState::LockedOut,
    tools: &["string line", "tape"],
    how: &[
        "Stop, isolate, lock, tag, try. Block the take-up where it stands; do not ease it. Keep clear of a hung weight.",
        "Only with clean rolls that turn freely: drag looks like a want of pull.",
        "Choose three spans near the tail. At each, stretch a string from the top of one return roll to the top of \
         the next, beside the belt edge.",
        "Half way, measure from the string down to the belt's LOWER face, which lies on the rolls: at its edge. Measure the spacing of the rolls too.",
    ],
    drawing: &[
        "  roll       string       roll",
        "  (o)-----------------------(o)",
        "     '._        |        _.'",
        "        '-.___  | sag  .-'",
        "              '-V----'  belt",
        "  |<------- spacing ------->|",
    ],
    wanted: &[
        RETURN_SPACING,
        MASS,
        PULL,
        MOTOR,
        SPEED,
        WRAP,
        LAGGING,
        CARRY_PITCH,
        FULL_LOAD,
        WIDTH,
        RATED,
        MODULUS,
        CENTRES,
        ERROR,
    ],
    rows: Some(SPANS),
};

pub(super) const CARRY: Way = Way {
    id: "carry",
    title: "Carry strand, string and tape",
    state: MachineState::LockedOut,
    tools: &["string line", "tape"],
    how: &[
        "Stop, isolate, lock, tag, try. Block the take-up where it stands; do not ease it. Keep clear of a hung weight.",
        "Choose three spans where the pull is least. That is near the tail on a level conveyor, near the low end on one that climbs.",
        "At each, stretch a string over the belt edge from one idler to the next, at the same height over both.",
        "Half way, measure from the string down to the belt's UPPER face at its edge. Take off the height of the string over that face at the idlers.",
        "Note how much load lies on the belt there. An empty strand is judged by what it would hang at full load.",
    ],
    drawing: &[
        " idler       string       idler",
        "  \\_/-----------------------\\_/",
        "     '._        |        _.'",
        "        '-.___  | sag  .-'",
        "              '-V----'  belt edge",
        "  |<------- spacing ------->|",
    ],
    wanted: &[
        CARRY_SPACING,
        MASS,
        LOAD,
        PULL,
        MOTOR,
        SPEED,
        WRAP,
        LAGGING,
        FULL_LOAD,
        WIDTH,
        RATED,
        MODULUS,
        CENTRES,
        ERROR,
    ],
    rows: Some(SPANS),
};

const SPANS: Rows = Rows { one: "span", least: 1, columns: &[PLACE, SAG] };
