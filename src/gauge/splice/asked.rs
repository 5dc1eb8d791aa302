//! What is asked for, and how it is measured.

use super::super::taken::ERROR;
use super::super::{Column, Kind, Need, Rows, Takes, Wanted, Way};
use super::key;
use crate::trade::MachineState;

const WIDTH: Wanted = Wanted {
    key: key::WIDTH,
    ask: "Belt width",
    takes: Takes::Positive(Kind::Length),
    from: Some("belt.width"),
    need: Need::Must,
};

const SLANT: Wanted = Wanted {
    key: key::SLANT,
    ask: "Is the joint slanted on purpose: how far is its {left} end meant to be nearer the head (minus: nearer the tail)",
    takes: Takes::Signed(Kind::Length),
    from: None,
    need: Need::May("taken as a joint meant to be square"),
};

const BELT_LENGTH: Wanted = Wanted {
    key: key::BELT_LENGTH,
    ask: "Length of the whole belt",
    takes: Takes::Positive(Kind::Distance),
    from: Some("belt.length"),
    need: Need::May("no time between jumps is worked out"),
};

const SPEED: Wanted = Wanted {
    key: key::SPEED,
    ask: "Belt speed",
    takes: Takes::Positive(Kind::Speed),
    from: Some("speed"),
    need: Need::May("no time between jumps is worked out"),
};

const SPAN: Wanted = Wanted {
    key: key::SPAN,
    ask: "Free length of belt between two rolls where it is watched",
    takes: Takes::Positive(Kind::Distance),
    from: Some("idlers.return_pitch"),
    need: Need::May("the size of the jump is not worked out"),
};

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "marks",
        title: "from the belt's middle line",
        state: MachineState::LockedOut,
        tools: &["string line", "tape", "large square", "marker"],
        how: &[
            "Bring the joint to a flat stretch with safe footing before you isolate. Then stop, lock out, and block the belt both ways.",
            "Stretch a string along the belt, about over its middle, from 3 m before the joint to 3 m after it. Tape it down at both ends.",
            "Start a tape at the string's tail end. Every 1 m write down the place, and how far the {left} edge and the {right} edge are from the string. Never trust one edge alone: edges wear.",
            "Write down the place where the string crosses the joint.",
            "Lay the large square on the string there. At each edge measure from the square's blade to the joint. Plus: the joint is nearer the head than the blade. Minus: nearer the tail.",
            "Turn the square over and check: if the blade lies elsewhere, take the mean of both.",
        ],
        drawing: &[
            "  L edge --+----+----+--/-+----+---",
            "           |    |    | /  |    |",
            "tail  ====o====o====o/===o====o=> head",
            "           |    |    /    |    |",
            "  R edge --+----+---/+----+----+---",
            "      o mark     / joint   = string",
        ],
        wanted: &[
            Wanted {
                key: key::JOINT,
                ask: "Place where the string crosses the joint",
                takes: Takes::Signed(Kind::Distance),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: key::AHEAD_LEFT,
                ask: "At the {left} edge: how far is the joint ahead of the square's blade, toward the head",
                takes: Takes::Signed(Kind::Length),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: key::AHEAD_RIGHT,
                ask: "At the {right} edge: how far is the joint ahead of the square's blade, toward the head",
                takes: Takes::Signed(Kind::Length),
                from: None,
                need: Need::Must,
            },
            SLANT,
            BELT_LENGTH,
            SPEED,
            SPAN,
            ERROR,
        ],
        rows: Some(Rows {
            one: "mark",
            least: 3,
            columns: &[
                Column {
                    key: key::ALONG,
                    ask: "Place along the string",
                    takes: Takes::Signed(Kind::Distance),
                    from: None,
                    need: Need::Must,
                },
                Column {
                    key: key::LEFT,
                    ask: "From the string to the {left} edge",
                    takes: Takes::NotNegative(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
                Column {
                    key: key::RIGHT,
                    ask: "From the string to the {right} edge",
                    takes: Takes::NotNegative(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
            ],
        }),
    },
    Way {
        id: "diagonals",
        title: "from the drawn X",
        state: MachineState::LockedOut,
        tools: &["long tape", "marker"],
        how: &[
            "Bring the joint to a flat stretch with safe footing and sound edges before you isolate. Then stop, lock out, and block the belt both ways.",
            "From the joint measure the same length along both edges toward the tail, at least 1.3 m, and mark both edges there.",
            "Measure the X. First from the joint's {left} end to the mark on the {right} edge. Then from its {right} end to the mark on the {left} edge. Same pull on the tape.",
            "If you can, do the same toward the head: only both together show a kink.",
        ],
        drawing: &[
            "  L edge --o-----------o---",
            "           | `.     .' |",
            " tail      |   `. .'   |  joint > head",
            "           |   .' `.   |",
            "           | .'     `. |",
            "  R edge --o-----------o---",
        ],
        wanted: &[
            Wanted {
                key: key::ALONG,
                ask: "Length marked along both edges",
                takes: Takes::Positive(Kind::Distance),
                from: None,
                need: Need::Must,
            },
            WIDTH,
            Wanted {
                key: key::TAIL_FROM_LEFT,
                ask: "Toward the tail: from the joint's {left} end across to the {right} edge",
                takes: Takes::Positive(Kind::Distance),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: key::TAIL_FROM_RIGHT,
                ask: "Toward the tail: from the joint's {right} end across to the {left} edge",
                takes: Takes::Positive(Kind::Distance),
                from: None,
                need: Need::Must,
            },
            Wanted {
                key: key::HEAD_FROM_LEFT,
                ask: "Toward the head: from the joint's {left} end across to the {right} edge",
                takes: Takes::Positive(Kind::Distance),
                from: None,
                need: Need::May("a kink is not looked for"),
            },
            Wanted {
                key: key::HEAD_FROM_RIGHT,
                ask: "Toward the head: from the joint's {right} end across to the {left} edge",
                takes: Takes::Positive(Kind::Distance),
                from: None,
                need: Need::May("a kink is not looked for"),
            },
            SLANT,
            BELT_LENGTH,
            SPEED,
            SPAN,
            ERROR,
        ],
        rows: None,
    },
];
