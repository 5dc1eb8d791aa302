//! A drill on paper: the learners' sheet gives nothing away, the trainer's holds all of it.

use roxmltree::{Document, ParsingOptions};
use straybelt::mechanics::{Idlers, Line};
use straybelt::show::drill::sheet::{Piece, answers, html, learners, text};
use straybelt::show::drill::words::DrillNames;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use unicode_width::UnicodeWidthStr;

use crate::support::{BOOK, SHIPPED, begin, shipped};

fn page(width: usize, pieces: &[Piece]) -> String {
    text(Screen::new(width, Paint::NONE), pieces)
}

#[test]
fn the_learners_sheet() {
    let sheet = learners::sheet(shipped("crooked-splice"), BOOK.minutes);
    for width in [40, 80] {
        for line in page(width, &sheet).lines() {
            assert!(line.width() <= width, "{width}: {line}");
        }
    }
    insta::assert_snapshot!("learners_80", page(80, &sheet));
    insta::assert_snapshot!("learners_40", page(40, &sheet));
}

#[test]
fn the_trainers_sheet() {
    let world = begin(shipped("crooked-splice"));
    let whole = page(40, &answers::sheet(&world));
    // All the questions of the book are on it: only the first page is kept.
    let (first, rest) = whole.split_once("What is seen").unwrap();
    insta::assert_snapshot!("answers_40", first);
    let seen = world.answers_at_start().values().filter(|answer| answer.is_some()).count();
    let lines = rest.lines().filter(|line| line.starts_with(" * ")).count();
    assert_eq!(lines, seen, "each look once");
}

/// No word of what is hidden stands on what the class gets, and all of it on the trainer's sheet.
#[test]
fn the_class_gets_no_answers_and_the_trainer_gets_all() {
    for drill in &SHIPPED.0 {
        let (given, kept) = (learners::sheet(drill, BOOK.minutes), answers::sheet(&begin(drill)));
        let given = page(80, &given) + &html(&drill.title, &given);
        let kept = html(&drill.title, &kept);
        let names = DrillNames::new(drill);
        assert!(!given.contains(&drill.id), "{}", drill.id);
        for hidden in &drill.hidden {
            let name = &BOOK.causes[hidden.cause].name;
            assert!(!given.contains(name.as_str()), "{}: {name}", drill.id);
            assert!(kept.contains(name.as_str()), "{}: {name}", drill.id);
            for thing in &hidden.things {
                let words = names.thing(*thing);
                assert!(!given.contains(&words), "{}: {words}", drill.id);
                let escaped = words.replace('&', "&amp;");
                assert!(kept.contains(&escaped), "{}: {words}", drill.id);
            }
        }
    }
}

#[test]
fn both_are_whole_pages_that_need_nothing_from_outside() {
    let drill = shipped("two-at-once");
    for sheet in [learners::sheet(drill, BOOK.minutes), answers::sheet(&begin(drill))] {
        let page = html(&drill.title, &sheet);
        let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
        let document = Document::parse_with_options(&page, options).unwrap();
        for node in document.descendants().filter(roxmltree::Node::is_element) {
            let name = node.tag_name().name();
            assert!(!["script", "link", "img", "iframe", "object"].contains(&name), "{name}");
        }
        assert!(!page.contains("url("));
    }
}

/// On a conveyor with hundreds of idlers the numbers still keep apart.
#[test]
fn numbers_of_idlers_keep_apart_on_a_long_conveyor() {
    let mut line = Line::middling(30.0);
    let drill = shipped("crooked-splice");
    let names = DrillNames::new(drill);
    for centres_m in [6.0, 30.0, 400.0, 1500.0] {
        line.centres_m = centres_m;
        line.carry.stations_m = Idlers::even(centres_m, 1.2);
        line.ret.stations_m = Idlers::even(centres_m, 3.0);
        let piece = Piece::Conveyor(Box::new(line.clone()), names.sides().clone());
        let drawn = html("", &[piece]);
        let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
        let document = Document::parse_with_options(&drawn, options).unwrap();
        let mut last = (0.0, 0.0);
        for node in document.descendants().filter(|n| n.tag_name().name() == "text") {
            let at = |name| node.attribute(name).unwrap().parse::<f64>().unwrap();
            let (x, y) = (at("x"), at("y"));
            if node.attribute("class") == Some("mid") {
                let digits = node.text().unwrap().len() as f64;
                assert!(
                    y != last.1 || x - last.0 > 7.0 * digits,
                    "{centres_m}: {x} after {last:?}"
                );
                last = (x, y);
            }
        }
    }
}
