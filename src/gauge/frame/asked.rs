//! What is asked for, and how it is measured.

use super::super::taken::ERROR;
use super::super::{Column, Kind, Need, Rows, Takes, Wanted, Way};
use super::key;
use crate::trade::MachineState;

const STATION: Column = Column {
    key: key::STATION,
    ask: "Station: distance from the tail",
    takes: Takes::Signed(Kind::Distance),
    from: None,
    need: Need::Must,
};

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
            "Say on which side of the beam the string runs.",
        ],
        drawing: &[
            " string  ----+------+------+------+---",
            "             |gap   |gap   |gap   |gap",
            "  beam   ====#======#======#======#===",
            "           leg 1  leg 2  leg 3  leg 4",
            "  tail                          head >",
        ],
        wanted: &[
            Wanted {
                key: key::LINE,
                ask: "On which side of the beam or stands does the line run",
                takes: Takes::Side,
                from: None,
                need: Need::Must,
            },
            ERROR,
        ],
        rows: Some(Rows {
            one: "station",
            least: 4,
            columns: &[
                STATION,
                Column {
                    key: key::GAP,
                    ask: "From the line to the beam or stand (minus if it lies across the line)",
                    takes: Takes::Signed(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
            ],
        }),
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
        wanted: &[
            Wanted {
                key: key::BIGGER,
                ask: "What does a bigger reading mean",
                takes: Takes::Choice(&[
                    ("lower", "the beam is lower: packing, or measured down from the light"),
                    ("higher", "the beam is higher: measured up"),
                ]),
                from: None,
                need: Need::Must,
            },
            ERROR,
        ],
        rows: Some(Rows {
            one: "station",
            least: 3,
            columns: &[
                STATION,
                Column {
                    key: key::LEFT,
                    ask: "Reading at the {left} beam",
                    takes: Takes::Signed(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
                Column {
                    key: key::RIGHT,
                    ask: "Reading at the {right} beam",
                    takes: Takes::Signed(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
            ],
        }),
    },
];
