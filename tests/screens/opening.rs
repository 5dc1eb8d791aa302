//! From the safety page to the first questions.

use straybelt::ask::KeyKind;
use straybelt::conveyor::facts::Facts;
use straybelt::exit::Exit;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Drawing;
use straybelt::show::asking::{self, QuestionPut};
use straybelt::show::opening::{stop_again, stop_now, stop_then};
use straybelt::show::page::{Page, Screen};
use straybelt::show::paint::{Ink, Paint};
use straybelt::show::words::Sides;

use super::site::{OQ_04, SAFE, Site, both, snapshot, typed};

#[test]
fn the_beginning_without_a_conveyor_file() {
    both("beginning", |width| {
        let typed = [
            "1", "1", "l", "b", "1", "1", "1", "1", "OQ-04", "w", "l", "1", "1", "no", "c", "1",
            "l", "5 ?7", "walkway", "", "b 2", "1", "1", "walkway", "Walkway", "wall", "h", "s",
        ];
        Site::new().sit(width, None, &typed)
    });
}

#[test]
fn something_burns() {
    both("stop-now", |width| Site::new().sit(width, OQ_04, &["1", "yes", "1"]));
}

#[test]
fn a_yes_that_was_mistyped_is_taken_back_and_not_sure_counts_as_yes() {
    let site = Site::small();
    let (seen, exit) = site.sit(40, OQ_04, &["1", "yes", "2", "3", "2", "no", "s"]);
    assert_eq!(exit, Exit::Done);
    assert_eq!(seen.matches("--- STOP ").count(), 4, "{seen}");
    assert!(seen.ends_with("Kept in (the state folder)\n"), "{seen}");
    assert!(seen.contains("diagnose --resume 1"), "it goes on:\n{seen}");
}

#[test]
fn a_stopped_visit_is_taken_up_at_the_stop_questions() {
    let site = Site::small();
    site.sit(40, OQ_04, &["1", "yes", "1"]);
    let (seen, _) = site.resume(40, 1, &["1", "yes", "1"]);
    assert!(seen.contains("visits show 1"), "stopped again:\n{seen}");
    let (seen, _) = site.resume(40, 1, &["1", "no", "s"]);
    assert!(seen.contains("How far off"), "{seen}");
    assert!(seen.contains("diagnose --resume 1"), "{seen}");
}

#[test]
fn a_guard_off_on_a_locked_out_machine_is_no_second_stop() {
    let site = Site::new();
    let locked = [
        "1",
        "1",
        "1",
        "1",
        "4",
        "1",
        "1",
        "MK, isolator 4",
        "1",
        "pins in the frame",
        "nothing moved",
        "1",
        "s",
    ];
    let (seen, _) = site.sit(40, OQ_04, &locked);
    assert!(!seen.contains("--- STOP "), "{seen}");
    assert!(seen.contains("Lock out, point 7 of 7"), "{seen}");
    assert!(seen.contains("How far off"), "{seen}");
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
        Site::new().sit(width, OQ_04, &["1", "1", "1", "1", "1", "4", ""])
    });
    let site = Site::small();
    let (seen, _) = site.sit(40, OQ_04, &["1", "1", "3", "2", "1", "1", "s"]);
    assert!(seen.contains("--- Look 1: once along"), "it runs on, decided on site:\n{seen}");
}

#[test]
fn the_opening_questions() {
    both("opening", |width| {
        let questions =
            ["l", "h", "1", "5", "w", "2", "xyz", "b", "2", "f", "1", "m", "b 2", "1", "1", "s"];
        Site::small().sit(width, OQ_04, &typed(&[SAFE, &questions]))
    });
}

#[test]
fn every_drawing() {
    let sides = Sides::named(Some("walkway"), Some("wall"));
    let screen = Screen::new(40, Paint::NONE);
    let page = |drawing| asking::look(screen, &sides, "From outside the guards.", Some(drawing));
    let pages: String = Drawing::ALL.into_iter().map(page).collect();
    snapshot("drawings-40", &pages);
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

fn asked_after_stop() -> QuestionPut<'static> {
    QuestionPut {
        title: "STOP".to_owned(),
        around: String::new(),
        ask: "Do that now. Then:".to_owned(),
        answers: vec![
            "It is being stopped: save and leave".to_owned(),
            "I typed it by mistake: ask again".to_owned(),
        ],
        keys: &[KeyKind::Stop],
        own: &[],
    }
}

/// Whoever stands beside smoke reads the top of a page, or what is on the screen when it has run through.
#[test]
fn a_stop_page_begins_and_ends_with_its_orders() {
    let book = load::default_book().expect("it loads");
    let sides = Sides::named(None, None);
    assert!(!book.stop_now.is_empty());
    for stop in &book.stop_now {
        let screen = Screen::new(40, Paint::NONE);
        let first = stop_now(screen, &sides, stop);
        let then = stop_then(screen, (&book, &Facts::default()), &sides, stop);
        let (orders, cautions) = then.split_once("\n! ").expect("cautions");
        let line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        for (place, order) in stop.do_now.iter().enumerate() {
            let at_once = line(&first).contains(&sides.fill(order));
            assert_eq!(at_once, place < 3, "{first}");
            assert!(at_once || line(orders).contains(&sides.fill(order)), "{then}");
            assert!(!line(cautions).contains(&sides.fill(order)), "{then}");
        }
        let asked = asked_after_stop();
        let again = stop_again(screen, &sides, stop, &asked);
        for order in stop.do_now.iter().take(3) {
            let order = sides.fill(order);
            let sentence = order.split_inclusive(". ").next().expect("a sentence");
            assert!(line(&again).contains(sentence.trim_end()), "{again}");
        }
        assert!(line(&again).contains("Tell: "), "{again}");
        // A terminal of 24 rows: one is for the prompt.
        for screenful in [&first, &again] {
            assert!(screenful.lines().count() <= 23, "it fits the smallest screen: {screenful}");
        }
        // The pager stops at a blank line only.
        let tallest = then.split("\n\n").map(|piece| piece.lines().count()).max();
        assert!(tallest < Some(11), "{then}");
    }
}
