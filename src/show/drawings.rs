//! Small drawings that help to look. Plain letters only, at most 38 columns, so that they fit any screen and
//! a printer. L and R stand for the two sides; the page says what they are called.

use crate::rulebook::model::Drawing;

/// The widest line of a drawing, in columns.
pub const WIDEST: usize = 38;

/// The lines of a drawing.
pub fn lines(drawing: Drawing) -> &'static [&'static str] {
    match drawing {
        Drawing::FirstSplit => &[
            " all the belt, at one place:",
            "  T =======.          .========= H",
            "           '=========='",
            " all the belt, a long stretch:",
            "  T ===.                   .==== H",
            "       '==================='",
            " one bit of belt, wherever it is:",
            "  now    T ====~============== H",
            "  later  T ==============~==== H",
        ],
        Drawing::Places => &[
            "       \\_/ chute",
            "        |         carry -->",
            " TAIL O=========================O HEAD",
            "       \\______    _____________/",
            "              \\ /   <-- return",
            "               O",
            "            take-up",
        ],
        Drawing::Strands => &[
            "      carry strand, on top -->",
            "   O=============================O",
            " tail                          head",
            "   O=============================O",
            "    <-- return strand, underneath",
        ],
        Drawing::Sides => &[
            "        HEAD end",
            "      |    ^    |",
            "      |    ^    |",
            "   L  |    ^    |  R",
            "      |    ^    |",
            "        TAIL end",
            "    you stand here and",
            "    look toward the head",
        ],
        Drawing::HowItMoves => &[
            " the belt edge, three belt turns:",
            " stays off  ________________________",
            " jumps      ___|~|_____|~|_____|~|__",
            " sways      _/~~~\\___/~~~\\___/~~~\\__",
            " wobbles    /\\/\\/\\/\\/\\/\\/\\/\\/\\/\\/\\/\\/",
            " wanders    __/~\\___/~~~~~~~\\_/\\____",
        ],
        Drawing::TroughDaylight => &[
            " seen along the belt, empty",
            "",
            "  lies in it:      daylight below:",
            "  \\\\       //      \\\\_________//",
            "   \\\\_____//        \\         /",
            "     =====            =======",
            "   middle roll      middle roll",
        ],
        Drawing::Sag => &[
            " return belt between its rolls (o)",
            "",
            " flat    o______o______o______o",
            "",
            " normal  o-.__.-o-.__.-o-.__.-o",
            "",
            " deep    o      o      o      o",
            "          \\____/ \\____/ \\____/",
        ],
        Drawing::ThreadsShowing => &[
            " take-up from above, both sides",
            "",
            " L  ----[block]======screw======|",
            "          ||",
            "        pulley     compare where",
            "          ||       the blocks sit",
            " R  --------[block]====screw====|",
        ],
        Drawing::SlotsBothWays => &[
            " idler feet from above; o is the bolt",
            "",
            "  (-o--)   (---o)   (o---)   (--o-)",
            "",
            " bolts at different places in their",
            " slots: knocked askew both ways",
        ],
        Drawing::LoadInTrough => &[
            " seen along the belt",
            "  in the middle:     to one side:",
            "   \\   .##.   /      \\        .##/",
            "    \\ ###### /        \\     ####/",
            "     \\______/          \\_______/",
        ],
        Drawing::Splice => &[
            " the belt from above",
            "  square:          out of square:",
            "  |         |      |         |",
            "  |---------|      |--..__   |",
            "  |         |      |      ''-|",
            "  |         |      |         |",
        ],
        Drawing::RollCake => &[
            "  bare roll    |===================|",
            "",
            "                   .---.     .----.",
            "  caked roll   |===|###|=====|####||",
            "                   '---'     '----'",
        ],
        Drawing::EdgeRoom => &[
            " seen along the belt",
            " steel                       steel",
            "   |    ####### belt ######    |",
            "   |   [======= roll =======]  |",
            "   |   |<->|                   |",
            "   |   bare roll               |",
            "   |<----->|                   |",
            "     room up to the steel",
        ],
        Drawing::Wind => &[
            " seen along the belt",
            "  wind -->    ___          ",
            "  wind -->   /   \\________   ==>",
            "  wind -->     [==========]  pushed",
            "               edge lifts    away",
        ],
        Drawing::Diagonals => &[
            "  A--------------------------B",
            "  |  '-.                 .-' |",
            "  |      '-.         .-'     |",
            " tail        '-. .-'       head",
            "  |          .-' '-.         |",
            "  |      .-'         '-.     |",
            "  |  .-'                 '-. |",
            "  C--------------------------D",
            "  square: A to D = C to B",
        ],
        Drawing::IdlerSkew => &[
            " from above; the belt travels -->",
            "",
            "  L  ----------/-----  met last",
            "              /",
            "             / idler",
            "            /",
            "  R  ------/---------  met first:",
            "                       runs to here",
        ],
        Drawing::StringLine => &[
            "  string  ---------------------------",
            "  steel   ======.            .=======",
            "                 '.________.'",
            "                 measure the gap",
        ],
    }
}

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
