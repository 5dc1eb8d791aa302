//! Looking back: visits, one of them in full, open ones announced.

use straybelt::commands::visits;
use straybelt::exit::Exit;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;

use straybelt::visit::event::{Event, How};

use super::site::{GIVEN_BACK, LOCKED, OPENING, OQ_04, SAFE, Site, snapshot, typed};
use crate::support::pages::{fits, same_words};

/// A visit's file as version 0.1.0 wrote it: no checksum, stop questions that know yes and no alone, a batch with
/// its work done and the machine not given back. Version 0.1.0 kept no more of a batch than this.
const OLD: &str = include_str!("visit-0.1.0.ron");

/// Return rolls are scraped, and it runs true.
fn cured() -> Vec<&'static str> {
    typed(&[SAFE, OPENING, &["1", "1"], LOCKED, &["1", "1"], GIVEN_BACK, &["1"]])
}

/// Named pages, kept at 40 columns; the same words at 80.
#[track_caller]
fn kept<const N: usize>(pages: impl Fn(usize) -> [(&'static str, String); N]) {
    for ((name, narrow), (_, wide)) in pages(40).into_iter().zip(pages(80)) {
        snapshot(&format!("{name}-40"), &narrow);
        same_words(&narrow, &wide);
    }
}

#[test]
fn the_list_of_visits_and_an_announcement() {
    kept(|width| {
        let site = Site::small();
        let screen = Screen::new(width, Paint::NONE);
        let none = visits::list(
            screen,
            &site.book,
            &site.store(),
            &site.clock,
            &visits::ListWanted::default(),
        )
        .expect("a list");
        site.sit(width, OQ_04, &cured());
        site.sit(width, Some("OQ-07.ron"), &["1", "yes", "1"]);
        site.sit(width, Some("OQ-01.ron"), &["1", "1", "1", "1"]);
        let (_, exit) = site.sit(width, OQ_04, &typed(&[SAFE, &["1", "4", "p", "s"]]));
        assert_eq!(exit, Exit::Done);
        let (seen, _) = site.sit(width, OQ_04, &["h", "2", "1", "s"]);
        let again = visits::ListWanted { before: None, again: " --state kept" };
        let list =
            visits::list(screen, &site.book, &site.store(), &site.clock, &again).expect("a list");
        fits(&none, width);
        // A command to be copied stands on one line, whatever folder was named.
        fits(&list.replace(" --state kept", ""), width);
        [("visits-none", none), ("announced", seen), ("visits", list)]
    });
}

#[test]
fn visits_in_full() {
    kept(|width| {
        let site = Site::small();
        let screen = Screen::new(width, Paint::NONE);
        site.sit(width, OQ_04, &cured());
        let unsure = [
            "1", "no", "OQ-09", "3", "c", "1", "2", "c", "1", "", "", "2", "c", "2", "1", "c", "b",
            "2", "p", "s",
        ];
        site.sit(width, None, &unsure);
        [(1, "visit-true"), (2, "visit-open")].map(|(visit, name)| {
            let page = visits::show(screen, &site.book, &site.store(), visit, &site.clock);
            let page = page.expect("a visit");
            fits(&page, width);
            (name, page)
        })
    });
}

fn on_one_line(seen: &str) -> String {
    seen.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Where each of these begins, if all are there in this order.
fn in_order(seen: &str, parts: &[&str]) {
    let mut from = 0;
    for part in parts {
        let at = seen[from..]
            .find(part)
            .unwrap_or_else(|| panic!("no {part:?} after {from} in:\n{seen}"));
        from += at + part.len();
    }
}

#[test]
fn a_visit_of_version_0_1_0_goes_on_where_it_was() {
    for width in [40, 80] {
        let site = Site::small();
        site.put_visit(1, OLD);
        let old = site.store().look(1).expect("it reads");
        // The stop question, what the machine does, then the rest of the batch: out of it, back and watched.
        let lines = typed(&[&["1", "1", "3"], LOCKED, GIVEN_BACK, &["1"]]);
        let (seen, exit) = site.resume(width, 1, &lines);
        assert_eq!(exit, Exit::Done);
        in_order(
            &on_one_line(&seen),
            &[
                "The rule book has changed since this visit began.",
                "First: safety, 1 of 1",
                "The machine now",
                "Lock out, point 1 of 7",
                "Give back, point 1 of 6",
                "First: safety, 1 of 1",
                "How does it run?",
                "It runs true",
            ],
        );
        // What was in it stands first, as it was, and what is new behind it.
        let new = site.store().look(1).expect("it reads");
        assert_eq!(new.events[..old.events.len()], old.events);
        assert_eq!(new.conveyor, old.conveyor);
        assert!(!new.state.eq(&old.state), "it is over");
    }
}

#[test]
fn work_that_the_book_no_longer_has_is_told_and_given_back_all_the_same() {
    // Done, planned and never replied to, could not be done; and only what was done is to be given back and watched.
    let gone = OLD.replace("\"clean-rolls\"", "\"scrape-by-lance\"");
    let planned = gone.replace("how: Done", "how: CouldNot");
    let given_back = typed(&[&["1", "1", "3"], LOCKED, GIVEN_BACK, &["4"], &["s"]]);
    for (old, lines, says, then) in [
        (&gone, given_back, "scrape-by-lance (done)", "How does it run?"),
        (
            &planned,
            vec!["1", "1", "3", "s"],
            "scrape-by-lance (planned, perhaps begun)",
            "Nothing was changed",
        ),
    ] {
        let site = Site::small();
        site.put_visit(1, old);
        let (seen, exit) = site.resume(80, 1, &lines);
        assert_eq!(exit, Exit::Done);
        let seen = on_one_line(&seen);
        in_order(
            &seen,
            &[
                "It no longer has: scrape-by-lance.",
                says,
                "Its steps cannot be shown.",
                "First: safety",
                "The machine now",
                then,
            ],
        );
        // Worse: what was done by the book before is what is put back.
        if then == "How does it run?" {
            in_order(
                &seen,
                &[
                    "These were changed: - scrape-by-lance (of the book before)",
                    "Lock out, point 1",
                ],
            );
        }
    }
}

#[test]
fn a_machine_that_was_given_back_is_asked_about_and_not_isolated_again_while_it_runs() {
    let stopped = || {
        let site = Site::small();
        let lines = typed(&[SAFE, OPENING, &["1", "1"], LOCKED, &["1", "1"], GIVEN_BACK, &["s"]]);
        let (seen, exit) = site.sit(80, OQ_04, &lines);
        assert_eq!(exit, Exit::Done);
        assert!(
            seen[seen.rfind("\n--- ").expect("a page")..].contains("How does it run?"),
            "{seen}"
        );
        site
    };
    // It runs: straight on to how, and no point of any walk before it.
    let site = stopped();
    let (seen, _) = site.resume(80, 1, &["1", "1", "1", "1"]);
    in_order(&seen, &["First: safety", "The machine now", "How does it run?", "It runs true"]);
    assert!(!seen.contains(", point "), "{seen}");

    // Stopped again there, it is the same a second time.
    let site = stopped();
    site.resume(80, 1, &["1", "1", "1", "s"]);
    let (seen, _) = site.resume(80, 1, &["1", "1", "1", "1"]);
    assert!(!seen.contains(", point "), "{seen}");

    // It stands, locked out or not: every point of isolation, then given back and watched anew.
    for stands in ["2", "3"] {
        let site = stopped();
        let lines = typed(&[&["1", "1", stands], LOCKED, GIVEN_BACK, &["1"]]);
        let (seen, _) = site.resume(80, 1, &lines);
        in_order(
            &seen,
            &[
                "The machine now",
                "Lock out, point 1 of 7",
                "Lock out, point 7 of 7",
                "Give back",
                "How does it run?",
            ],
        );
    }
}

#[test]
fn not_yet_at_any_point_leaves_the_way_out_open() {
    // At each of the seven points: not yet, thrice, and away; what the machine does is asked again next time.
    for point in 0..LOCKED.len() {
        let site = Site::small();
        site.put_visit(1, OLD);
        let in_words = LOCKED[point].parse::<u32>().is_err();
        let not_yet = if in_words { "n" } else { "2" };
        let lines = typed(&[&["1", "1", "2"], &LOCKED[..point], &[not_yet; 3], &["s"]]);
        let (seen, exit) = site.resume(80, 1, &lines);
        assert_eq!(exit, Exit::Done);
        assert_eq!(seen.matches("so nothing goes on.").count(), 3, "{seen}");
        let events = site.store().look(1).expect("it reads").events;
        let given_back = events.iter().any(|event| event.what == Event::GivenBack);
        let worked = events.iter().any(|e| matches!(e.what, Event::Worked { how: How::Done, .. }));
        assert!(worked && !given_back);
        let (seen, _) = site.resume(80, 1, &["1", "1", "s"]);
        in_order(&seen, &["First: safety", "The machine now"]);
    }
}
