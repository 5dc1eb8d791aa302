//! A question of marks in a visit: several answers are ticked at once.

use std::fs;

use straybelt::rulebook::load;
use straybelt::visit::event::Event;

use super::site::{OQ_04, SAFE, Site, both, from, typed};
use crate::support::files::{copy, quick_folder, root};

/// The small book with its first split made of marks.
fn site() -> Site {
    let folder = quick_folder();
    copy(&root("tests/screens/book"), folder.path());
    let change = |file: &str, changes: &[(&str, &str)]| {
        let path = folder.path().join(file);
        let mut text = fs::read_to_string(&path).expect("read");
        for (was, is) in changes {
            assert!(text.contains(was), "{file}: {was}");
            text = text.replace(was, is);
        }
        fs::write(path, text).expect("written");
    };
    change(
        "symptoms/symptoms.ron",
        &[
            ("id: \"first-split\", kind: Pattern", "id: \"first-split\", kind: Marks"),
            (
                "            (\"no-pattern\", \"Neither: no pattern to be seen\"),\n        ],",
                "        ], none: \"Neither: no pattern to be seen\",",
            ),
            (", (\"no-pattern\", NoPattern)", ""),
            (
                "opening: 1,\n        by_itself: [],",
                "opening: 1,\n        by_itself: [(\"one-place\", Seldom), (\"one-part\", Never)],",
            ),
        ],
    );
    change(
        "causes/causes.ron",
        &[
            (
                "Shows(\"first-split\", [(\"no-pattern\", Usually)])",
                "Marks(\"first-split\", [(\"one-place\", Seldom)])",
            ),
            ("Shows(\"first-split\"", "Marks(\"first-split\""),
        ],
    );
    let book = load::with_site(Some(folder.path()));
    Site::with(book.unwrap_or_else(|problems| panic!("{problems:?}")).0)
}

/// What was told of the first split, as the visit's file keeps it.
fn kept(site: &Site) -> Vec<Option<String>> {
    let events = site.store().look(1).expect("it reads").events;
    let told = events.into_iter().filter_map(|event| match event.what {
        Event::Answered { symptom, answer } if symptom == "first-split" => Some(answer),
        _ => None,
    });
    told.collect()
}

#[test]
fn the_pages_of_marks() {
    both("marks", |width| {
        let lines = ["w", "l", "1 ?2", "3", "1 2", "b", "0", "s"];
        let (seen, exit) = site().sit(width, OQ_04, &typed(&[SAFE, &lines]));
        (from(&seen, "--- Look 1"), exit)
    });
}

#[test]
fn what_is_ticked_is_one_answer() {
    for (line, answer) in [
        ("1", Some("one-place")),
        ("2", Some("one-part")),
        ("1 2", Some("one-place+one-part")),
        ("2, 1", Some("one-place+one-part")),
        ("0", Some("none")),
        ("none", Some("none")),
        ("?", None),
        ("c", None),
    ] {
        let site = site();
        site.sit(40, OQ_04, &typed(&[SAFE, &[line, "s"]]));
        assert_eq!(kept(&site), [answer.map(str::to_owned)], "{line}");
    }
}

#[test]
fn a_line_that_makes_no_answer_is_said_and_the_question_stands() {
    for (line, wrong) in [
        ("3", "There is no line 3 here."),
        ("1 1", "1 is there twice."),
        ("0 1", "0 means none of these"),
        ("1 ?2", "These lines are one question."),
        ("", "Nothing was typed."),
    ] {
        let site = site();
        let (seen, _) = site.sit(40, OQ_04, &typed(&[SAFE, &[line, "1 2", "s"]]));
        let seen = seen.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(seen.contains(wrong), "{line}: {seen}");
        assert_eq!(kept(&site), [Some("one-place+one-part".to_owned())], "{line}");
    }
}

/// Whoever was cut off after the ticks goes on behind them; "back" takes all of them back at once.
#[test]
fn ticks_stand_after_the_program_was_cut_off_and_go_back_as_one() {
    let site = site();
    let (_, _) = site.sit(40, OQ_04, &typed(&[SAFE, &["1 2", "s"]]));
    let (seen, _) = site.resume(40, 1, &["1", "1", "s"]);
    assert!(!seen.contains("What runs off centre?"), "{seen}");
    let (seen, _) = site.resume(40, 1, &["1", "1", "b", "2", "s"]);
    assert!(seen.contains("What runs off centre?"), "{seen}");
    assert_eq!(kept(&site).last(), Some(&Some("one-part".to_owned())));
    let now = site.store().look(1).expect("it reads");
    let standing = straybelt::visit::event::standing(&now.events);
    let told = standing.into_iter().filter(
        |event| matches!(&event.what, Event::Answered { symptom, .. } if symptom == "first-split"),
    );
    assert_eq!(told.count(), 1);
}

/// A visit of a book in which the first split had one answer goes on: a lone answer is that mark alone, and an answer that
/// is gone is named and asked again.
#[test]
fn a_visit_from_before_goes_on() {
    let old = include_str!("visit-0.1.0.ron");
    let (opening, _) =
        old.split_once("        (at: \"2026-01-12T06:42:00Z\"").expect("its beginning");
    let site = site();
    site.put_visit(1, &format!("{opening}    ],\n)\n"));
    let (seen, _) = site.resume(40, 1, &["1", "1", "s"]);
    assert!(!seen.contains("What runs off centre?") && !seen.contains("no longer has"), "{seen}");

    let site = self::site();
    let gone =
        format!("{opening}    ],\n)\n").replace("Some(\"one-place\")", "Some(\"no-pattern\")");
    site.put_visit(1, &gone);
    let (seen, _) = site.resume(40, 1, &["1", "1", "0", "1", "0", "s"]);
    let words = seen.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("It no longer has: no-pattern."), "{words}");
    assert!(words.contains("asked again."), "{words}");
    assert!(words.contains("What runs off centre?"), "{words}");
}
