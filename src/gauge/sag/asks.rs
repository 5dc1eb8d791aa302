//! What the gauge asks for.

use super::super::asked::{self, filed, unfiled};
use super::super::{Kind, Need, Takes, Wanted};
use super::key;

pub(super) const RETURN_SPACING: Wanted = filed(
    key::SPACING,
    "Spacing of the return rolls there",
    Takes::Positive(Kind::Length),
    "idlers.return_pitch",
);
pub(super) const CARRY_SPACING: Wanted = filed(
    key::SPACING,
    "Spacing of the carry idlers there",
    Takes::Positive(Kind::Length),
    "idlers.carry_pitch",
);
pub(super) const PLACE: Wanted =
    Wanted { need: Need::May("counted from 1"), ..unfiled(key::PLACE, "Which span", Takes::Label) };
pub(super) const SAG: Wanted = Wanted {
    need: Need::Must,
    ..unfiled(key::SAG, "How deep it hangs half way", Takes::NotNegative(Kind::Length))
};
pub(super) const MASS: Wanted = Wanted {
    need: Need::May("no pull is told"),
    ..filed(key::MASS, "Mass of the belt per length", Takes::Positive(Kind::LineMass), "belt.mass")
};
pub(super) const LOAD: Wanted = Wanted {
    need: Need::May("taken as empty"),
    ..unfiled(
        key::LOAD,
        "Load that lies on the belt where it is measured, per length",
        Takes::NotNegative(Kind::LineMass),
    )
};
pub(super) const FULL_LOAD: Wanted = Wanted {
    need: Need::May("the loaded carry strand is left out"),
    ..filed(
        key::FULL_LOAD,
        "Full load on the belt per length",
        Takes::NotNegative(Kind::LineMass),
        "load.mass",
    )
};
pub(super) const CARRY_PITCH: Wanted = Wanted {
    need: Need::May("the loaded carry strand is left out"),
    ..filed(
        key::CARRY_PITCH,
        "Spacing of the carry idlers",
        Takes::Positive(Kind::Length),
        "idlers.carry_pitch",
    )
};
pub(super) const PULL: Wanted = Wanted {
    need: Need::May("worked out from the motor, if that is known"),
    ..unfiled(
        key::PULL,
        "Pull of the drive on the belt at full load (effective tension)",
        Takes::Positive(Kind::Force),
    )
};
pub(super) const MOTOR: Wanted = Wanted {
    need: Need::May("grip is left out"),
    ..unfiled(key::MOTOR_KW, "Rating of the drive motor, kW", Takes::Positive(Kind::Number))
};
pub(super) const WRAP: Wanted = Wanted {
    need: Need::May("taken as 180 degrees"),
    ..unfiled(key::WRAP, "Wrap of the belt round the drive pulley", Takes::Positive(Kind::Angle))
};
pub(super) const LAGGING: Wanted = Wanted {
    need: Need::May("taken as bare"),
    ..unfiled(
        key::LAGGING,
        "Is the drive pulley bare steel or lagged?",
        Takes::Choice(&[("bare", "Bare steel"), ("lagged", "Lagged")]),
    )
};
pub(super) const ERROR: Wanted = Wanted {
    need: Need::May("taken as 2 mm"),
    ..unfiled(key::ERROR, "How far off may one reading be?", Takes::NotNegative(Kind::Length))
};
pub(super) const RATED: Wanted =
    Wanted { need: Need::May("the pull is not held against the rating"), ..asked::RATED };
pub(super) const WIDTH: Wanted =
    Wanted { need: Need::May("the pull is not held against the rating"), ..asked::WIDTH };
pub(super) const CENTRES: Wanted =
    Wanted { need: Need::May("no travel of the screws is told"), ..asked::CENTRES };
pub(super) const SPEED: Wanted =
    Wanted { need: Need::May("only needed with the motor's rating"), ..asked::SPEED };
