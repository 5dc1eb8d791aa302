//! What is asked for, and how it is measured.

use super::super::asked::{Asked, choices, error_of_one, may, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// What the offsets were read to.
    pub(super) Of {
        /// One beam of the frame.
        Beam = "beam": "one beam of the frame",
        /// The stands of the idlers.
        Stands = "stands": "the same point of each idler stand",
        /// The stands, which agree with the beam.
        Both = "both": "the stands, and each sits on the beam as its neighbours do",
    }

    /// What the diagonals of the bays said.
    pub(super) Diagonals {
        /// They are equal.
        Alike = "alike": "equal within 3 mm in each bay",
        /// They are not.
        Apart = "apart": "unequal in one bay or more",
    }

    /// What a bigger reading means.
    pub(super) Bigger {
        /// The beam is lower there.
        Lower = "lower": "the beam is lower: packing, or measured down from the light",
        /// The beam is higher there.
        Higher = "higher": "the beam is higher: measured up",
    }
}

pub(super) const STATION: Wanted =
    must(key::STATION, "Station: distance from the tail", Takes::Signed(Kind::Distance));
pub(super) const GAP: Wanted = must(
    key::GAP,
    "From the line to the beam or stand (minus if it lies across the line)",
    Takes::Signed(Kind::Length),
);
pub(super) const LEFT: Wanted =
    must(key::LEFT, "Reading at the {left} beam", Takes::Signed(Kind::Length));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "Reading at the {right} beam", Takes::Signed(Kind::Length));
pub(super) const LINE: Wanted =
    must(key::LINE, "On which side of the beam or stands does the line run", Takes::Side);
pub(super) const OF: Wanted =
    may(key::OF, "What was it measured to", Of::TAKES, "taken as one beam of the frame");
pub(super) const DIAGONALS: Wanted = may(
    key::DIAGONALS,
    "What do the diagonals of the bays along that stretch say",
    Diagonals::TAKES,
    "whether the frame is square is not told",
);
pub(super) const BIGGER: Wanted =
    must(key::BIGGER, "What does a bigger reading mean", Bigger::TAKES);
pub(super) const STRING_ERROR: Wanted = error_of_one(&read_by::STRING);
pub(super) const LEVEL_ERROR: Wanted = error_of_one(&read_by::LEVEL);

/// Whether the level was read, and not the string.
pub(super) fn is_level(asked: &Asked) -> bool {
    WAYS.get(1).is_some_and(|way| asked.by(way))
}

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "string",
        title: "offsets from a string line or laser",
        state: MachineState::LockedOut,
        tools: &["string line or laser", "equal spacers", "steel rule", "tape"],
        how: &[
            "Stop and lock out. Keep out from under a raised take-up weight.",
            "Stretch a thin string along one beam, or set a laser along it. Put equal spacers at both ends so that the string touches nothing. Out of the wind; a sagging string is no harm, it is read sideways.",
            "At each leg or stand, at most 3 m apart, write down its distance from the tail.",
            "There read with the rule, level and square to the string, from the string to the beam. For stands: to the same point of each stand.",
            "Say on which side of the beam the string runs. Tape both diagonals of each bay too: a string says nothing of square.",
        ],
        drawing: &[
            " string  ----+------+------+------+---",
            "             |gap   |gap   |gap   |gap",
            "  beam   ====#======#======#======#===",
            "           leg 1  leg 2  leg 3  leg 4",
            "  tail                          head >",
        ],
        wanted: &[LINE, OF, DIAGONALS, STRING_ERROR],
        rows: Some(Rows { one: "station", least: 4, columns: &[STATION, GAP] }),
    },
    Way {
        id: "level",
        title: "level across, station by station",
        state: MachineState::LockedOut,
        tools: &["water level, laser or long spirit level", "steel rule", "feelers or packing"],
        how: &[
            "Stop and lock out.",
            "Water level or laser: at each station read the height of both beams against the one mark or beam of light.",
            "Spirit level: lay it from beam to beam, pack up its low end until it reads level. The packing is the reading of that side, 0 that of the other. Turn the level end for end and read again; take the mean.",
            "Say whether a bigger number means higher or lower: packing and a tape hung down from the light mean lower.",
        ],
        drawing: &[
            "    level line  _ _ _ _ _ _ _ _ _",
            "                |             |",
            "      bigger    |             |smaller",
            "    = lower     v             v higher",
            "             L ###           ### R",
        ],
        wanted: &[BIGGER, LEVEL_ERROR],
        rows: Some(Rows { one: "station", least: 3, columns: &[STATION, LEFT, RIGHT] }),
    },
];
