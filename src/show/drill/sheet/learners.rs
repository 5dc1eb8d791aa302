//! What each learner gets: the briefing, the conveyor, and blank boxes.

use super::Piece;
use crate::conveyor::quantity::distance_words;
use crate::drill::Drill;
use crate::drill::moves::{SCREW_MINUTES, SHIFT_MINUTES};
use crate::rulebook::model::Minutes;
use crate::show::chance::{count, minutes};
use crate::show::drill::words::DrillNames;
use crate::show::entries::sheet::{Block, Sheet};
use crate::trade::Strand;

/// Rows of each table, so that all of it is two pages.
const LOOKS: usize = 8;
const BELIEFS: usize = 4;
const MOVES: usize = 10;

/// The steps of an isolation, each with a box.
const ISOLATION: [&str; 7] =
    ["STOPPED", "ISOLATED", "LOCKED", "TAGGED", "STORED ENERGY", "TRIED", "LOOKED AGAIN"];
/// The steps of giving back.
const GIVING_BACK: [&str; 6] =
    ["TOOLS OUT", "GUARDS ON", "PEOPLE CLEAR", "LOCKS OFF", "WARNED", "WATCHED 3 TURNS"];

/// The sheet.
pub fn sheet(drill: &Drill, book: Minutes) -> Vec<Piece> {
    let names = DrillNames::new(drill);
    vec![
        Piece::Words(head(drill, &names)),
        Piece::Conveyor(Box::new(drill.line.clone()), names.sides().clone()),
        Piece::Words(titled(
            "1. Where you look, and what you see",
            "Say what you look at; the trainer tells what is seen there. Write it down before you go on.",
        )),
        Piece::Blank(
            &[("where, and for what", 4), ("what is seen", 4), ("what it speaks for", 4)],
            LOOKS,
        ),
        Piece::NewPage,
        Piece::Words(titled(
            "2. What you believe",
            "Write it before any work: each cause that you think of, and how sure you are of it.",
        )),
        Piece::Blank(&[("cause", 6), ("sure, %", 2), ("because", 6)], BELIEFS),
        Piece::Words(titled(
            "3. What you do, in order",
            "Every move, also lock-out and giving back. Say which end, which way and how much.",
        )),
        Piece::Words(titled("Before any hand goes to the machine", "")),
        Piece::Tick(&ISOLATION),
        Piece::Blank(&[("move", 6), ("expect", 4), ("came", 4), ("min", 2)], MOVES),
        Piece::Words(titled("Before it runs again", "")),
        Piece::Tick(&GIVING_BACK),
        Piece::Words(end(book)),
    ]
}

fn head(drill: &Drill, names: &DrillNames<'_>) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.title("sheet", &drill.title, "");
    sheet.add(Block::FillIn("Name")).add(Block::FillIn("Day"));
    sheet.para(drill.briefing.clone());
    sheet.section("The conveyor");
    if let Some(name) = drill.conveyor.name() {
        sheet.para(format!("{name}."));
    }
    let line = &drill.line;
    let idlers = |strand| line.idlers(strand).stations_m.len();
    let units = drill.conveyor.units().unwrap_or_default();
    sheet.para(format!(
        "{} from pulley to pulley, {} and {}.",
        distance_words(line.centres_m, units),
        count(idlers(Strand::Carry), "carry idler", "carry idlers"),
        count(idlers(Strand::Return), "return roll", "return rolls"),
    ));
    if let Some(legend) = names.sides().legend() {
        sheet.para(legend);
    }
    sheet.para("Draw where the belt runs. Mark where you look and where hands go.");
    sheet
}

fn titled(head: &str, words: &str) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.section(head).para(words);
    sheet
}

fn end(book: Minutes) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.section("4. How you know that it is right");
    sheet
        .add(Block::FillIn("Runs true: seen from where, how long"))
        .add(Block::FillIn("Minutes in all"));
    sheet.para(format!(
        "What takes how long: lock-out {}, giving back and watching {}. An idler end takes {}, one screw {} [common practice, no source]. The trainer knows the rest.",
        minutes(book.lock_out),
        minutes(book.restart_and_watch),
        minutes(SHIFT_MINUTES),
        minutes(SCREW_MINUTES)
    ));
    sheet.para("A hand at a moving belt ends it, on paper as at the belt.");
    sheet
}
