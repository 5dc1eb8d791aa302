//! What is asked for, and where it is found.

use super::super::asked::{self, error, may, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

pub(super) const SIDE: Wanted =
    must(key::SIDE, "Which screw is turned: left or right?", Takes::Side);
pub(super) const MOVED: Wanted = must(
    key::MOVED,
    "How far does that screw move its bearing out? With a minus if slackened",
    Takes::Signed(Kind::Length),
);
pub(super) const LOAD: Wanted =
    must(key::LOAD, "Load on each screw before, both alike", Takes::Positive(Kind::Force))
        .filed("screws.load");
pub(super) const LOAD_ERROR: Wanted = may(
    key::LOAD_ERROR,
    "How far may that load be off?",
    Takes::NotNegative(Kind::Percent),
    "taken as it is given, without error",
);
pub(super) const BEARINGS: Wanted = may(
    key::BEARINGS,
    "Which bearings does the pulley run in?",
    Takes::Choice(&[("ball", "Ball bearings"), ("roller", "Roller bearings")]),
    "shown for both kinds",
);
pub(super) const CORRECTIONS: Wanted = may(
    key::CORRECTIONS,
    "How many such turns, now one side, now the other, to look ahead?",
    Takes::Count,
    "taken as 3",
);
pub(super) const ARM: Wanted = may(
    key::HUB_ARM,
    "From the middle of a bearing to the hub of the pulley",
    Takes::Positive(Kind::Length),
    "the shaft is left out",
)
.filed("tail.hub_arm");
pub(super) const SHAFT: Wanted =
    may(key::SHAFT, "Shaft diameter", Takes::Positive(Kind::Length), "the shaft is left out")
        .filed("tail.shaft");
pub(super) const RATING: Wanted = may(
    key::BEARING_RATING,
    "Basic dynamic rating C of one bearing",
    Takes::Positive(Kind::Force),
    "life in hours is left out",
)
.filed("tail.bearing_rating");
pub(super) const DIAMETER: Wanted = may(
    key::DIAMETER,
    "Diameter of the pulley",
    Takes::Positive(Kind::Length),
    "life in hours is left out",
)
.filed("tail.diameter");
pub(super) const SPEED: Wanted = asked::SPEED.or_else("life in hours is left out");
pub(super) const ERROR: Wanted =
    error("How far off may the movement of the screw be?", &read_by::TAPE);
pub(super) const WIDTH: Wanted = asked::WIDTH;
pub(super) const BEARING_CENTRES: Wanted = asked::BEARING_CENTRES;
pub(super) const CENTRES: Wanted = asked::CENTRES;
pub(super) const MODULUS: Wanted = asked::MODULUS;
const RATED: Wanted = asked::RATED;

pub(super) const WAY: Way = Way {
    id: "screw",
    title: "One take-up screw turned by itself",
    state: MachineState::Anywhere,
    tools: &["drawing or data sheet of the conveyor", "data sheet of the belt"],
    how: &[
        "Turn no screw for this: it is worked out on paper.",
        "Find the belt width, the distance between the two bearings of the take-up pulley, and the distance \
         between the end pulleys. Take them from the drawing, or with a tape while the machine is locked out.",
        "Find the modulus or the rated tension on the belt's data sheet.",
        "The load on one screw, both set alike, is the pull in one strand. Take it from the drawing, or work it \
         out from the sag with the gauge sag.",
        "Say which screw, and how far it moves its bearing.",
    ],
    drawing: &[
        "   to the other end pulley",
        "      |  |          |  |",
        " L    |  |   belt   |  |    R",
        " [o]==|##|##########|##|==[o]",
        "  :   pulley, askew        :",
        "  :  one screw moved       :",
        "  V                        .",
        "  |<-- bearing centres --->|",
    ],
    wanted: &[
        SIDE,
        MOVED,
        LOAD,
        WIDTH,
        BEARING_CENTRES,
        CENTRES,
        MODULUS,
        RATED,
        BEARINGS,
        CORRECTIONS,
        ARM,
        SHAFT,
        RATING,
        DIAMETER,
        SPEED,
        LOAD_ERROR,
        ERROR,
    ],
    rows: None,
};
