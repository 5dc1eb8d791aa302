//! From the safety page to the first questions.

use straybelt::rulebook::model::Drawing;
use straybelt::show::asking;
use straybelt::show::page::{Page, Screen};
use straybelt::show::paint::{Ink, Paint};
use straybelt::show::words::Sides;

use super::site::{OQ_04, SAFE, Site, both, snapshot, typed};

#[test]
fn the_beginning_without_a_conveyor_file() {
    both("beginning", |width| {
        let typed = [
            "1", "OQ-04", "w", "l", "1", "1", "no", "c", "1", "walkway", "", "1", "l", "b 2",
            "wall", "1", "h", "s",
        ];
        Site::new().sit(width, None, &typed)
    });
}

#[test]
fn something_burns() {
    both("stop-now", |width| Site::new().sit(width, OQ_04, &["1", "yes"]));
}

#[test]
fn inside_the_edge_room_and_steady() {
    both("leave-it", |width| {
        let typed = ["1", "1", "1", "1", "1", "w", "l", "1", "1"];
        Site::new().sit(width, OQ_04, &typed)
    });
}

#[test]
fn past_the_edge() {
    both("past-the-edge", |width| {
        Site::new().sit(width, OQ_04, &["1", "1", "1", "1", "1", "4", "s"])
    });
}

#[test]
fn the_opening_questions() {
    both("opening", |width| {
        let questions = ["l", "h", "1", "5", "w", "2", "xyz", "b", "2", "f", "1", "m", "b 2", "s"];
        Site::small().sit(width, OQ_04, &typed(&[SAFE, &questions]))
    });
}

#[test]
fn every_drawing() {
    let sides = Sides::named(Some("walkway"), Some("wall"));
    for drawing in Drawing::ALL {
        let page = asking::look(
            Screen::new(40, Paint::NONE),
            &sides,
            "From outside the guards.",
            Some(drawing),
        );
        snapshot(&format!("drawing-{drawing:?}"), &page);
    }
}

#[test]
fn colour_changes_no_letter() {
    let page = |paint| {
        let mut page = Page::new(Screen::new(40, paint));
        page.title("A title").para_in(Ink::Warn, "A warning").head("A head").finish()
    };
    let painted = page(Paint::new(true));
    assert!(painted.contains("\u{1b}["));
    assert_eq!(without_escapes(&painted), page(Paint::NONE));
}

fn without_escapes(text: &str) -> String {
    let mut plain = String::new();
    let mut letters = text.chars();
    while let Some(letter) = letters.next() {
        if letter == '\u{1b}' {
            letters.by_ref().take_while(|c| *c != 'm').for_each(drop);
        } else {
            plain.push(letter);
        }
    }
    plain
}
