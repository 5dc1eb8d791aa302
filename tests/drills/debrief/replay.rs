//! A run picture by picture: the belt after each move that let it run, with what is hidden and where hands were.

use roxmltree::{Document, ParsingOptions};
use straybelt::drill::frames::{Frame, frames};
use straybelt::drill::record::Record;
use straybelt::show::drill::debrief::{Debrief, html};
use straybelt::show::drill::replay;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use unicode_width::UnicodeWidthStr;

use super::{DRILL, bad, good, steered, unfinished, world};
use crate::support::DIAGNOSIS;

fn of(record: &Record) -> Vec<Frame> {
    let (again, frames) = frames(record, &DRILL, &DIAGNOSIS, &mut |_| true).unwrap();
    assert_eq!(again.minutes(), world(record).minutes(), "the same run");
    frames
}

/// The page of a run with its pictures.
pub(crate) fn page(record: &Record) -> String {
    let world = world(record);
    html::write(&Debrief::new(record, &world).with_frames(of(record)))
}

/// The words of all nodes of a class, in order.
fn words(page: &str, class: &str) -> Vec<String> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let document = Document::parse_with_options(page, options).unwrap();
    let nodes = document.descendants().filter(|node| node.attribute("class") == Some(class));
    nodes.map(|node| node.text().unwrap_or_default().to_owned()).collect()
}

/// One at the start, and one after each restart and each wait; what changes nothing of the belt has none.
#[test]
fn there_is_a_picture_after_each_move_that_let_the_belt_run() {
    let moves = |record: &Record| of(record).iter().map(|frame| frame.moves).collect::<Vec<_>>();
    // Two of the moves of the bad run were hands at the moving belt, and are no moves.
    assert_eq!(moves(&bad()), [0, 5, 6]);
    assert_eq!(moves(&steered()), [0, 6]);
    assert_eq!(moves(&unfinished()), [0]);
    let good = of(&good());
    assert!(good.last().unwrap().runs_true && !good[0].runs_true);
    assert!(good.last().unwrap().put_right.iter().all(|right| *right));
    assert_eq!(good.last().unwrap().belt.worst_m(), world(&super::good()).belt().worst_m());
}

/// Two strands in each picture. The letter stands at the bad roll for as long as it is there, and at no other strand.
#[test]
fn what_is_hidden_is_marked_until_it_is_put_right() {
    let steered = page(&steered());
    assert_eq!(words(&steered, "belt").len(), 4);
    // The letter in both pictures, and both moved rolls, by the numbers of their moves.
    assert_eq!(words(&steered, "mid mark"), ["A", "A", "4", "5"]);
    let good = page(&good());
    let marks = words(&good, "mid mark");
    assert_eq!(marks[0], "A");
    assert_eq!(
        marks.iter().filter(|mark| *mark == "A").count(),
        1,
        "gone once it is cured: {marks:?}"
    );
    assert!(good.contains("It runs true. Nothing hidden is left."), "{good}");
    assert!(steered.contains("Still there: A."), "{steered}");
}

#[test]
fn a_run_that_goes_on_shows_no_letters() {
    let page = page(&unfinished());
    assert_eq!(words(&page, "mid mark"), [""; 0]);
    assert_eq!(words(&page, "belt").len(), 0);
}

/// Numbers are those of moves; the belt itself has no scale.
#[test]
fn no_number_but_that_of_a_move_stands_in_a_picture_of_the_belt() {
    let page = page(&bad());
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let document = Document::parse_with_options(&page, options).unwrap();
    let drawings: Vec<_> =
        document.descendants().filter(|node| node.tag_name().name() == "svg").collect();
    for drawing in &drawings[..drawings.len() - 1] {
        for text in drawing.descendants().filter(|node| node.tag_name().name() == "text") {
            let digits = text.text().unwrap().contains(|letter: char| letter.is_ascii_digit());
            assert!(!digits || text.attribute("class") == Some("mid mark"));
        }
    }
}

#[test]
fn as_text() {
    let record = bad();
    let page = |width| replay::text(Screen::new(width, Paint::NONE), &world(&record), &of(&record));
    for width in [40, 80] {
        for line in page(width).lines() {
            assert!(line.width() <= width, "{width}: {line}");
        }
    }
    insta::assert_snapshot!(page(40));
}
