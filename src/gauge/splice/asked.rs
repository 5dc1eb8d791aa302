//! What is asked for, and how it is measured.

use super::super::asked::{self, Asked, error_of_one, may, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

pub(super) const WIDTH: Wanted = asked::WIDTH;
pub(super) const SLANT: Wanted = may(
    key::SLANT,
    "Is the joint slanted on purpose: how far is its {left} end meant to be nearer the head (minus: nearer the tail)",
    Takes::Signed(Kind::Length),
    "taken as a joint meant to be square",
);
pub(super) const BELT_LENGTH: Wanted =
    asked::BELT_LENGTH.or_else("no time between jumps is worked out");
pub(super) const SPEED: Wanted = asked::SPEED.or_else("no time between jumps is worked out");
pub(super) const SPAN: Wanted = may(
    key::SPAN,
    "Free length of belt between two rolls where it is watched",
    Takes::Positive(Kind::Distance),
    "the size of the jump is not worked out",
)
.filed("idlers.return_pitch");
pub(super) const MARKS_ERROR: Wanted = error_of_one(&read_by::STRING);
pub(super) const X_ERROR: Wanted = error_of_one(&read_by::TAPE);

pub(super) const JOINT: Wanted =
    must(key::JOINT, "Place where the string crosses the joint", Takes::Signed(Kind::Distance));
pub(super) const AHEAD_LEFT: Wanted = must(
    key::AHEAD_LEFT,
    "At the {left} edge: how far is the joint ahead of the square's blade, toward the head",
    Takes::Signed(Kind::Length),
);
pub(super) const AHEAD_RIGHT: Wanted = must(
    key::AHEAD_RIGHT,
    "At the {right} edge: how far is the joint ahead of the square's blade, toward the head",
    Takes::Signed(Kind::Length),
);
pub(super) const PLACE: Wanted =
    must(key::ALONG, "Place along the string", Takes::Signed(Kind::Distance));
pub(super) const LEFT: Wanted =
    must(key::LEFT, "From the string to the {left} edge", Takes::NotNegative(Kind::Length));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "From the string to the {right} edge", Takes::NotNegative(Kind::Length));

pub(super) const ALONG: Wanted =
    must(key::ALONG, "Length marked along both edges", Takes::Positive(Kind::Distance));
pub(super) const TAIL_FROM_LEFT: Wanted = must(
    key::TAIL_FROM_LEFT,
    "Toward the tail: from the joint's {left} end across to the {right} edge",
    Takes::Positive(Kind::Distance),
);
pub(super) const TAIL_FROM_RIGHT: Wanted = must(
    key::TAIL_FROM_RIGHT,
    "Toward the tail: from the joint's {right} end across to the {left} edge",
    Takes::Positive(Kind::Distance),
);
pub(super) const HEAD_FROM_LEFT: Wanted = may(
    key::HEAD_FROM_LEFT,
    "Toward the head: from the joint's {left} end across to the {right} edge",
    Takes::Positive(Kind::Distance),
    "a kink is not looked for",
);
pub(super) const HEAD_FROM_RIGHT: Wanted = may(
    key::HEAD_FROM_RIGHT,
    "Toward the head: from the joint's {right} end across to the {left} edge",
    Takes::Positive(Kind::Distance),
    "a kink is not looked for",
);

/// Whether the X was drawn, and not the middle line.
pub(super) fn is_x(asked: &Asked) -> bool {
    WAYS.get(1).is_some_and(|way| asked.by(way))
}

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
        wanted: &[JOINT, AHEAD_LEFT, AHEAD_RIGHT, SLANT, BELT_LENGTH, SPEED, SPAN, MARKS_ERROR],
        rows: Some(Rows { one: "mark", least: 3, columns: &[PLACE, LEFT, RIGHT] }),
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
            ALONG,
            WIDTH,
            TAIL_FROM_LEFT,
            TAIL_FROM_RIGHT,
            HEAD_FROM_LEFT,
            HEAD_FROM_RIGHT,
            SLANT,
            BELT_LENGTH,
            SPEED,
            SPAN,
            X_ERROR,
        ],
        rows: None,
    },
];
