//! What is asked for, and how it is measured.

use super::super::asked::{Asked, choices, error, must};
use super::super::{Kind, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// When it was measured.
    pub(super) When {
        /// When the pull is greatest.
        Start = "start": "from a start under load on",
        /// Later.
        Loaded = "loaded": "running with its usual load",
        /// When the pull is least.
        Empty = "empty": "running empty",
    }
}

pub(super) const WHEN: Wanted =
    must(key::WHEN, "When was it measured", When::TAKES).or_else("that it never slips is not told");
pub(super) const DIAMETER: Wanted = must(
    key::DIAMETER,
    "Diameter of the drive pulley, over its lagging",
    Takes::Positive(Kind::Length),
)
.filed("head.diameter");
pub(super) const THICKNESS: Wanted =
    must(key::THICKNESS, "Thickness of the belt", Takes::Positive(Kind::Length))
        .or_else("not counted: a thick belt then seems to slip less than it does");
pub(super) const TURNS: Wanted =
    must(key::TURNS, "Turns of the drive pulley counted", Takes::Count);
pub(super) const TURNS_TIME: Wanted =
    must(key::TURNS_TIME, "How long did those turns take", Takes::Positive(Kind::Time));
pub(super) const PASSED: Wanted = must(
    key::PASSED,
    "Length of belt that passed (whole turns of the belt count its full length)",
    Takes::Positive(Kind::Distance),
);
pub(super) const PASSED_TIME: Wanted =
    must(key::PASSED_TIME, "How long did that length take", Takes::Positive(Kind::Time));
pub(super) const CLOCK_ERROR: Wanted = error("How far may one time be off?", &read_by::STOPWATCH);
pub(super) const PULLEY_SPEED: Wanted =
    must(key::PULLEY_SPEED, "Speed of the drive pulley's face", Takes::Positive(Kind::Speed));
pub(super) const BELT_SPEED: Wanted =
    must(key::BELT_SPEED, "Speed of the belt", Takes::Positive(Kind::Speed));
pub(super) const SPEED_ERROR: Wanted = Wanted {
    key: key::SPEED_ERROR,
    ..error("How far may one speed be off, as a share of it?", &read_by::TACHOMETER)
};

const HOW_OUTSIDE: &str = "Stay outside the guards, 1.5 m off, clear of the take-up. Touch nothing, hold nothing against belt or pulley.";
const HOW_SMELL: &str = "Squeal, burning smell or smoke: have it stopped and read no further. Glow or smoke: raise the alarm first.";

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "timed",
        title: "turns of the pulley and length of belt, by stopwatch",
        state: MachineState::Running,
        tools: &["stopwatch", "camera or phone"],
        how: &[
            HOW_OUTSIDE,
            HOW_SMELL,
            "Film the end of the drive shaft through the guard. Count the turns of a key or paint mark over a minute or so, and time them.",
            "Over the same minutes time the belt. From a splice or patch passing one point until it passes again is one belt length.",
            "Both under the same load. The longer, the surer: a second's error in a minute is more than most slip.",
            "Diameter over the lagging and belt thickness are taken from the drawing, or measured when it is locked out.",
        ],
        drawing: &[
            "      belt: length passed / time",
            "   ---------------------------->",
            "   .---.",
            "  (  o  )  drive: turns counted,",
            "   '---'   pi x (D + thickness)",
            "   L and R alike",
        ],
        wanted: &[DIAMETER, THICKNESS, TURNS, TURNS_TIME, PASSED, PASSED_TIME, WHEN, CLOCK_ERROR],
        rows: None,
    },
    Way {
        id: "speeds",
        title: "two speeds, read without touching",
        state: MachineState::Running,
        tools: &["tachometer that reads by light"],
        how: &[
            HOW_OUTSIDE,
            HOW_SMELL,
            "Read only by light, from outside the guards. A wheel held against belt or pulley is not used.",
            "Read the face of the drive pulley and the belt just before it, one after the other, under the same load. Read each three times and take the mean.",
        ],
        drawing: &[
            "   belt speed  ---->",
            "   -----------------------------",
            "   .---.",
            "  (  o  )  speed of the face",
            "   '---'",
            "   L and R alike",
        ],
        wanted: &[PULLEY_SPEED, BELT_SPEED, WHEN, SPEED_ERROR],
        rows: None,
    },
];

/// The second way.
pub(super) fn by_speeds(asked: &Asked) -> bool {
    WAYS.get(1).is_some_and(|way| asked.by(way))
}
