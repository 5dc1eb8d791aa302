//! What is asked for, and how it is found.

use super::super::asked::{self, error, must};
use super::super::{Kind, Need, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

pub(super) const WEIGHT: Wanted = must(
    key::WEIGHT,
    "What hangs on the rope or in the frame: blocks, box, spillage in it (kg or lb as weighed)",
    Takes::Positive(Kind::Force),
);
pub(super) const CARRIAGE_PARTS: Wanted = must(
    key::CARRIAGE_PARTS,
    "How many parts of rope pull at the pulley or its carriage",
    Takes::Count,
)
.or_else("taken as 1: the weight hangs at the pulley, or pulls by one rope");
pub(super) const WEIGHT_PARTS: Wanted =
    must(key::WEIGHT_PARTS, "How many parts of rope carry the weight", Takes::Count)
        .or_else("taken as 1");
pub(super) const OWN_WEIGHT: Wanted = must(
    key::OWN_WEIGHT,
    "Weight of the take-up pulley and its frame or carriage",
    Takes::Positive(Kind::Force),
)
.or_else("left out: what hangs with the weight pulls more than is shown");
pub(super) const SLOPE: Wanted = must(
    key::SLOPE,
    "Slope that the carriage runs down, away from the belt's pull",
    Takes::NotNegative(Kind::Angle),
)
.or_else("taken as hanging straight down");
pub(super) const DRAWN: Wanted =
    must(key::DRAWN, "What should hang there by the drawing", Takes::Positive(Kind::Force))
        .or_else("the weight is not held against the drawing");
pub(super) const NEEDED: Wanted = must(
    key::NEEDED,
    "Pull that the strand needs there, from the gauge sag or the drawing",
    Takes::Positive(Kind::Force),
)
.or_else("whether it is enough is not told");
pub(super) const WIDTH: Wanted = asked::WIDTH.or_else("the pull is not held against the rating");
pub(super) const RATED: Wanted =
    Wanted { need: Need::May("the pull is not held against the rating"), ..asked::RATED };
pub(super) const FRICTION: Wanted = must(
    key::FRICTION,
    "Share of the pull that sheaves, guides and wheels may hold back",
    Takes::NotNegative(Kind::Percent),
)
.or_else(read_by::SHEAVES.taken);
pub(super) const ERROR: Wanted =
    error("How far may the weight be off, as a share of it?", &read_by::WEIGHED);

/// The way to find out.
pub(super) const HUNG: Way = Way {
    id: "hung",
    title: "blocks counted, rope followed",
    state: MachineState::LockedOut,
    tools: &["drawing of the take-up", "torch", "note sheet"],
    how: &[
        "Stop, lock out. Pin or block the weight from outside, by the site's procedure. Nobody stands or reaches under it, pinned or not.",
        "From the platform count the blocks and look into the box: wet spillage in it weighs as much as blocks.",
        "Follow the rope. Count the parts that pull at the pulley or its carriage, and the parts that carry the weight.",
        "Take the weight of pulley and frame from the drawing. They pull too where they hang, or run down a slope.",
        "Change nothing on the weight for this: it is worked out on paper.",
    ],
    drawing: &[
        "  hangs at the pulley    by rope",
        "    |     |         belt==[o]==",
        "    |     |      carriage  ||",
        "    '-(o)-'        parts   ||",
        "       |                sheave o",
        "     [###] weight           [###]",
        "   L and R alike",
    ],
    wanted: &[
        WEIGHT,
        CARRIAGE_PARTS,
        WEIGHT_PARTS,
        OWN_WEIGHT,
        SLOPE,
        DRAWN,
        NEEDED,
        WIDTH,
        RATED,
        FRICTION,
        ERROR,
    ],
    rows: None,
};
