//! Small drawings that help to look. Plain letters only, at most 38 columns, so that they fit any screen and
//! a printer. L and R stand for the two sides; the page says what they are called.

use crate::rulebook::model::Drawing;

/// The widest line of a drawing, in columns.
pub const WIDEST: usize = 38;

/// The lines of a drawing.
pub fn lines(drawing: Drawing) -> &'static [&'static str] {
    match drawing {
        Drawing::FirstSplit => FIRST_SPLIT,
        Drawing::Places => PLACES,
        Drawing::Strands => STRANDS,
        Drawing::Sides => SIDES,
        Drawing::HowItMoves => HOW_IT_MOVES,
        Drawing::TroughDaylight => TROUGH_DAYLIGHT,
        Drawing::Sag => SAG,
        Drawing::ThreadsShowing => THREADS_SHOWING,
        Drawing::SlotsBothWays => SLOTS_BOTH_WAYS,
        Drawing::LoadInTrough => LOAD_IN_TROUGH,
        Drawing::Splice => SPLICE,
        Drawing::RollCake => ROLL_CAKE,
        Drawing::EdgeRoom => EDGE_ROOM,
        Drawing::Wind => WIND,
        Drawing::Diagonals => DIAGONALS,
        Drawing::IdlerSkew => IDLER_SKEW,
        Drawing::StringLine => STRING_LINE,
    }
}

const FIRST_SPLIT: &[&str] = &[
    " all the belt, at one place:",
    "  T =======.          .========= H",
    "           '=========='",
    " all the belt, a long stretch:",
    "  T ===.                   .==== H",
    "       '==================='",
    " one bit of belt, wherever it is:",
    "  now    T ====~============== H",
    "  later  T ==============~==== H",
];

const PLACES: &[&str] = &[
    "       \\_/ chute",
    "        |         carry -->",
    " TAIL O=========================O HEAD",
    "       \\______    _____________/",
    "              \\ /   <-- return",
    "               O",
    "            take-up",
];

const STRANDS: &[&str] = &[
    "      carry strand, on top -->",
    "   O=============================O",
    " tail                          head",
    "   O=============================O",
    "    <-- return strand, underneath",
];

const SIDES: &[&str] = &[
    "        HEAD end",
    "      |    ^    |",
    "      |    ^    |",
    "   L  |    ^    |  R",
    "      |    ^    |",
    "        TAIL end",
    "    you stand here and",
    "    look toward the head",
];

const HOW_IT_MOVES: &[&str] = &[
    " the belt edge, three belt turns:",
    " stays off  ________________________",
    " jumps      ___|~|_____|~|_____|~|__",
    " sways      _/~~~\\___/~~~\\___/~~~\\__",
    " wobbles    /\\/\\/\\/\\/\\/\\/\\/\\/\\/\\/\\/\\/",
    " wanders    __/~\\___/~~~~~~~\\_/\\____",
];

const TROUGH_DAYLIGHT: &[&str] = &[
    " seen along the belt, empty",
    "",
    "  lies in it:      daylight below:",
    "  \\\\       //      \\\\_________//",
    "   \\\\_____//        \\         /",
    "     =====            =======",
    "   middle roll      middle roll",
];

const SAG: &[&str] = &[
    " return belt between its rolls (o)",
    "",
    " flat    o______o______o______o",
    "",
    " normal  o-.__.-o-.__.-o-.__.-o",
    "",
    " deep    o      o      o      o",
    "          \\____/ \\____/ \\____/",
];

const THREADS_SHOWING: &[&str] = &[
    " take-up from above, both sides",
    "",
    " L  ----[block]======screw======|",
    "          ||",
    "        pulley     compare where",
    "          ||       the blocks sit",
    " R  --------[block]====screw====|",
];

const SLOTS_BOTH_WAYS: &[&str] = &[
    " idler feet from above; o is the bolt",
    "",
    "  (-o--)   (---o)   (o---)   (--o-)",
    "",
    " bolts at different places in their",
    " slots: knocked askew both ways",
];

const LOAD_IN_TROUGH: &[&str] = &[
    " seen along the belt",
    "  in the middle:     to one side:",
    "   \\   .##.   /      \\        .##/",
    "    \\ ###### /        \\     ####/",
    "     \\______/          \\_______/",
];

const SPLICE: &[&str] = &[
    " the belt from above",
    "  square:          out of square:",
    "  |         |      |         |",
    "  |---------|      |--..__   |",
    "  |         |      |      ''-|",
    "  |         |      |         |",
];

const ROLL_CAKE: &[&str] = &[
    "  bare roll    |===================|",
    "",
    "                   .---.     .----.",
    "  caked roll   |===|###|=====|####||",
    "                   '---'     '----'",
];

const EDGE_ROOM: &[&str] = &[
    " seen along the belt",
    " steel                       steel",
    "   |    ####### belt ######    |",
    "   |   [======= roll =======]  |",
    "   |   |<->|                   |",
    "   |   bare roll               |",
    "   |<----->|                   |",
    "     room up to the steel",
];

const WIND: &[&str] = &[
    " seen along the belt",
    "  wind -->    ___          ",
    "  wind -->   /   \\________   ==>",
    "  wind -->     [==========]  pushed",
    "               edge lifts    away",
];

const DIAGONALS: &[&str] = &[
    "  A--------------------------B",
    "  |  '-.                 .-' |",
    "  |      '-.         .-'     |",
    " tail        '-. .-'       head",
    "  |          .-' '-.         |",
    "  |      .-'         '-.     |",
    "  |  .-'                 '-. |",
    "  C--------------------------D",
    "  square: A to D = C to B",
];

const IDLER_SKEW: &[&str] = &[
    " from above; the belt travels -->",
    "",
    "  L  ----------/-----  met last",
    "              /",
    "             / idler",
    "            /",
    "  R  ------/---------  met first:",
    "                       runs to here",
];

const STRING_LINE: &[&str] = &[
    "  string  ---------------------------",
    "  steel   ======.            .=======",
    "                 '.________.'",
    "                 measure the gap",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_drawing_fits_the_smallest_screen_in_plain_letters() {
        for drawing in Drawing::ALL {
            for line in lines(drawing) {
                assert!(
                    line.is_ascii() && line.len() <= WIDEST,
                    "{drawing:?}: {line:?} is {} wide",
                    line.len()
                );
            }
        }
    }
}
