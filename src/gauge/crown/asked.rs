//! What is asked for, and how it is measured.

use super::super::{Column, Kind, Need, Rows, Takes, Wanted, Way};
use super::key;
use crate::trade::MachineState;

const PULLEY: Wanted = Wanted {
    key: key::PULLEY,
    ask: "Which pulley",
    takes: Takes::Choice(&[
        ("tail", "the tail pulley"),
        ("head", "the head pulley"),
        ("other", "another pulley"),
    ]),
    from: None,
    need: Need::Must,
};

const FACE: Wanted = Wanted {
    key: key::FACE,
    ask: "Length of this pulley's face",
    takes: Takes::Positive(Kind::Length),
    from: None,
    need: Need::May("from the conveyor's file, else the length measured over"),
};

const DRAWN: Wanted = Wanted {
    key: key::DRAWN,
    ask: "Crown by the drawing, on the diameter (0 for a flat pulley)",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::May("from the conveyor's file, else the published rule for the class"),
};

const PLACE: Column = Column {
    key: key::PLACE,
    ask: "Place across the face, from its {left} edge",
    takes: Takes::NotNegative(Kind::Length),
    from: None,
    need: Need::Must,
};

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "diameters",
        title: "diameters across the face",
        state: MachineState::LockedOut,
        tools: &["large calipers", "steel rule", "scraper and brush"],
        how: &[
            "Stop, lock out, block the belt and any take-up weight. Only then take the guard off. It goes back on before the restart.",
            "Clean the bare half of the face to the shell or lagging.",
            "With large calipers measure the diameter just inside both ends of the face, and in the middle. Add two places or more between. For each write down its place from the {left} edge of the face.",
        ],
        drawing: &[
            "          |<- place ->|",
            "   L edge o-----------o---.   R edge",
            "          |           | d  |",
            "   shaft =|= = = = = =|= = |=",
            "          |           |    |",
            "          o-----------o---'",
        ],
        wanted: &[
            PULLEY,
            FACE,
            DRAWN,
            Wanted {
                key: key::ERROR,
                ask: "How far may one diameter be off",
                takes: Takes::NotNegative(Kind::Length),
                from: None,
                need: Need::May("taken as 0.5 mm"),
            },
        ],
        rows: Some(Rows {
            one: "place",
            least: 3,
            columns: &[
                PLACE,
                Column {
                    key: key::DIAMETER,
                    ask: "Diameter there",
                    takes: Takes::Positive(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
            ],
        }),
    },
    Way {
        id: "gaps",
        title: "gaps under a straight-edge",
        state: MachineState::LockedOut,
        tools: &["straight-edge as long as the face", "feelers", "scraper and brush"],
        how: &[
            "Stop, lock out, block the belt and any take-up weight. Only then take the guard off. It goes back on before the restart.",
            "Clean the bare half of the face to the shell or lagging.",
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
        wanted: &[
            PULLEY,
            FACE,
            Wanted {
                key: key::DIAMETER,
                ask: "This pulley's diameter",
                takes: Takes::Positive(Kind::Length),
                from: None,
                need: Need::May(
                    "from the conveyor's file, else the rule for light belts is not used",
                ),
            },
            DRAWN,
            Wanted {
                key: key::PARALLEL,
                ask: "Was the straight-edge set parallel to the shaft",
                takes: Takes::Choice(&[
                    ("no", "no, rocked to even gaps"),
                    ("yes", "yes, same distance from the shaft at both ends"),
                ]),
                from: None,
                need: Need::May("taken as no: which end is larger is not judged"),
            },
            Wanted {
                key: key::ERROR,
                ask: "How far may one gap be off",
                takes: Takes::NotNegative(Kind::Length),
                from: None,
                need: Need::May("taken as 0.1 mm"),
            },
        ],
        rows: Some(Rows {
            one: "place",
            least: 3,
            columns: &[
                PLACE,
                Column {
                    key: key::GAP,
                    ask: "Gap there",
                    takes: Takes::NotNegative(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
            ],
        }),
    },
];
