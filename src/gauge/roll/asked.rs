//! What is asked for, and how it is measured.

use super::super::asked::{Asked, choices, error, must};
use super::super::{Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::trade::MachineState;

choices! {
    /// Which rolls.
    pub(super) Of {
        /// Those of the carry strand.
        Carry = "carry": "rolls of the carry strand",
        /// Those of the return strand.
        Return = "return": "rolls of the return strand",
    }
}

impl Of {
    /// Where a conveyor's file has the diameter of such a roll.
    pub(super) fn path(self) -> &'static str {
        match self {
            Self::Carry => "idlers.roll_diameter",
            Self::Return => "idlers.return_roll_diameter",
        }
    }
}

pub(super) const STRAND: Wanted =
    must(key::STRAND, "Which rolls are they", Of::TAKES).or_else("the file's diameter is not used");
pub(super) const CLEAN: Wanted =
    must(key::CLEAN, "Diameter of a clean, new roll", Takes::Positive(Kind::Length))
        .or_else("from the conveyor's file, else only the two ends are compared");
pub(super) const CALIPER_ERROR: Wanted =
    error("How far may one diameter be off?", &read_by::CALIPERS);
pub(super) const GIRTH_ERROR: Wanted =
    error("How far may a diameter from the girth be off?", &read_by::GIRTH);
pub(super) const ROLL: Wanted = must(key::ROLL, "Roll's number or name", Takes::Label);
pub(super) const LEFT: Wanted =
    must(key::LEFT, "Diameter at its {left} end, over the cake", Takes::Positive(Kind::Length));
pub(super) const RIGHT: Wanted =
    must(key::RIGHT, "Diameter at its {right} end, over the cake", Takes::Positive(Kind::Length));
pub(super) const MIDDLE: Wanted =
    must(key::MIDDLE, "Diameter in its middle, over the cake", Takes::Positive(Kind::Length))
        .or_else("the middle is not judged");

const HOW_STOP: &str = "Stop, lock out, block the belt. Let hot rolls cool. Hands stay out from between roll and belt.";
const HOW_WHICH: &str =
    "Take the set where the belt leaves centre and the three before it. Number the rolls.";
const HOW_CLEAN: &str = "Give the diameter of a clean roll: from the drawing, or of a new one.";

/// The ways to measure, the usual one first.
pub(super) const WAYS: &[Way] = &[
    Way {
        id: "caliper",
        title: "calipers at both ends and the middle",
        state: MachineState::LockedOut,
        tools: &["caliper", "torch", "cut-proof gloves"],
        how: &[
            HOW_STOP,
            HOW_WHICH,
            "Caliper each roll over the cake as it is. Do so just inside the {left} end, in the middle and just inside the {right} end.",
            HOW_CLEAN,
        ],
        drawing: &[
            "  L  left     middle     right  R",
            "     .--.                       ",
            "   .'    '----------------------.",
            " --|            roll            |--",
            "   '.    .----------------------'",
            "     '--'   cake",
        ],
        wanted: &[STRAND, CLEAN, CALIPER_ERROR],
        rows: Some(Rows { one: "roll", least: 1, columns: &[ROLL, LEFT, MIDDLE, RIGHT] }),
    },
    Way {
        id: "girth",
        title: "steel tape round both ends and the middle",
        state: MachineState::LockedOut,
        tools: &["steel tape", "torch", "cut-proof gloves"],
        how: &[
            HOW_STOP,
            HOW_WHICH,
            "Lay the tape once round each roll, square to it. Do so just inside the {left} end, in the middle and just inside the {right} end. Where the belt lies on it, use calipers.",
            "Give what the tape reads, all the way round: the program divides by pi. Of a clean roll give the diameter.",
        ],
        drawing: &[
            "  L  left     middle     right  R",
            "     (o)-------(o)-------(o)",
            "      tape once round, square",
            "      girth / 3.1416 = diameter",
        ],
        wanted: &[STRAND, CLEAN_GIRTH, GIRTH_ERROR],
        rows: Some(Rows {
            one: "roll",
            least: 1,
            columns: &[
                ROLL,
                LEFT.asking("Girth at its {left} end, over the cake"),
                MIDDLE.asking("Girth in its middle, over the cake"),
                RIGHT.asking("Girth at its {right} end, over the cake"),
            ],
        }),
    },
];

const CLEAN_GIRTH: Wanted = CLEAN.asking("Diameter of a clean, new roll (not its girth)");

/// The second way.
pub(super) fn by_girth(asked: &Asked) -> bool {
    WAYS.get(1).is_some_and(|way| asked.by(way))
}
