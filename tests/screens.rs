//! Every screen at 40 and at 80 columns, as a person sees it. Each snapshot was read by eye.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]

use straybelt::ask::{Farewell, Script};
use straybelt::commands::diagnose::{Means, Talk, announce, converse};
use straybelt::commands::visits;
use straybelt::conveyor;
use straybelt::exit::Exit;
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, Drawing};
use straybelt::show::page::{Page, Screen};
use straybelt::show::paint::Paint;
use straybelt::show::{asking, words::Sides};
use straybelt::visit::ConveyorFacts;
use straybelt::visit::clock::TestClock;
use straybelt::visit::store::Store;

/// A place to keep visits in, a book, a clock: the same for every screen.
struct Site {
    book: Book,
    folder: tempfile::TempDir,
    clock: TestClock,
}

impl Site {
    fn new() -> Self {
        let book = load::default_book().unwrap_or_else(|problems| panic!("{problems:?}"));
        let folder = tempfile::tempdir().expect("a folder");
        let clock = TestClock::from("2026-03-04T10:15:00Z".parse().expect("a time"));
        Self {
            book,
            folder,
            clock,
        }
    }

    fn store(&self) -> Store {
        Store::at(self.folder.path())
    }

    /// One sitting: what is seen when this is typed.
    fn sit(&self, width: usize, conveyor: Option<&str>, typed: &[&str]) -> (String, Exit) {
        let store = self.store();
        let farewell = Farewell::default();
        let means = Means {
            book: &self.book,
            store: &store,
            clock: &self.clock,
            screen: Screen::new(width, Paint::NONE),
            farewell: &farewell,
        };
        let mut script = Script::new(typed.iter().copied());
        let facts = conveyor.map(facts).unwrap_or_default();
        let open = store.open_visits().expect("a list");
        let exit = {
            let mut talk = Talk::begin(means, &mut script, facts, conveyor.is_some());
            match announce(&mut talk, &open) {
                Ok(None) => converse(&mut talk),
                other => panic!("{other:?}"),
            }
        };
        assert_eq!(
            script.left(),
            0,
            "not everything was typed:\n{}",
            script.seen
        );
        let seen = script.seen.replace(
            &self.folder.path().display().to_string(),
            "(the state folder)",
        );
        for line in seen.lines() {
            let typed =
                line.contains("letter: ") || line.starts_with("From: ") || line.starts_with("To: ");
            assert!(
                typed || line.chars().count() <= width,
                "wider than {width}: {line:?}"
            );
        }
        (seen, exit)
    }
}

fn facts(file: &str) -> ConveyorFacts {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples/ostrel-quay/conveyors")
        .join(file);
    let (conveyor, _) = conveyor::read(&path).unwrap_or_else(|problems| panic!("{problems:?}"));
    ConveyorFacts::from(&conveyor)
}

/// A sitting at both widths.
fn both(name: &str, conveyor: Option<&str>, typed: &[&str]) {
    for width in [40, 80] {
        let (seen, exit) = Site::new().sit(width, conveyor, typed);
        insta::assert_snapshot!(
            format!("{name}-{width}"),
            format!("{seen}\n(exit code {})", exit.code())
        );
    }
}

/// Up to the first question of the book, for a conveyor with a file.
const SAFE: [&str; 6] = ["1", "1", "1", "1", "1", "3"];

fn after_safe<'a>(typed: &[&'a str]) -> Vec<&'a str> {
    SAFE.iter().copied().chain(typed.iter().copied()).collect()
}

#[test]
fn the_beginning_without_a_conveyor_file() {
    both(
        "beginning",
        None,
        &[
            "1", "OQ-04", "w", "l", "1", "1", "no", "c", "1", "walkway", "", "1", "l", "b 2",
            "wall", "1", "h", "s",
        ],
    );
}

#[test]
fn something_burns() {
    both("stop-now", Some("OQ-04.ron"), &["1", "yes"]);
}

#[test]
fn inside_the_edge_room_and_steady() {
    both(
        "leave-it",
        Some("OQ-04.ron"),
        &["1", "1", "1", "1", "1", "w", "l", "1", "1"],
    );
}

#[test]
fn past_the_edge() {
    both(
        "past-the-edge",
        Some("OQ-04.ron"),
        &["1", "1", "1", "1", "1", "4", "s"],
    );
}

#[test]
fn the_opening_questions() {
    both(
        "opening",
        Some("OQ-04.ron"),
        &after_safe(&[
            "l", "h", "1", "5", "l", "2", "xyz", "b", "2", "l", "1", "l", "1", "l", "1", "m", "s",
        ]),
    );
}

#[test]
fn every_drawing() {
    let sides = Sides::named(Some("walkway"), Some("wall"));
    for drawing in [
        Drawing::FirstSplit,
        Drawing::Places,
        Drawing::Strands,
        Drawing::Sides,
        Drawing::HowItMoves,
        Drawing::TroughDaylight,
        Drawing::Sag,
        Drawing::ThreadsShowing,
        Drawing::SlotsBothWays,
        Drawing::LoadInTrough,
        Drawing::Splice,
        Drawing::RollCake,
        Drawing::EdgeRoom,
        Drawing::Wind,
        Drawing::Diagonals,
        Drawing::IdlerSkew,
        Drawing::StringLine,
    ] {
        let page = asking::look(
            Screen::new(40, Paint::NONE),
            &sides,
            "From outside the guards.",
            Some(drawing),
        );
        insta::assert_snapshot!(format!("drawing-{drawing:?}"), page);
    }
}

#[test]
fn colour_changes_no_letter() {
    let page = |paint| {
        let mut page = Page::new(Screen::new(40, paint));
        page.title("A title")
            .para_in(straybelt::show::paint::Ink::Warn, "A warning")
            .head("A head")
            .finish()
    };
    let painted = page(Paint::new(true));
    assert!(painted.contains("\u{1b}["));
    let plain = regex_free_strip(&painted);
    assert_eq!(plain, page(Paint::NONE));
}

/// Takes the escape sequences out.
fn regex_free_strip(text: &str) -> String {
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

#[test]
fn the_list_of_visits_and_an_announcement() {
    for width in [40, 80] {
        let site = Site::new();
        let screen = Screen::new(width, Paint::NONE);
        let (_, exit) = site.sit(width, Some("OQ-04.ron"), &after_safe(&["1", "5", "s"]));
        assert_eq!(exit, Exit::Done);
        site.sit(width, Some("OQ-07.ron"), &["1", "yes"]);
        let (seen, _) = site.sit(width, Some("OQ-04.ron"), &["2", "1", "2", "s"]);
        insta::assert_snapshot!(format!("announced-{width}"), seen);
        let list = visits::list(screen, &site.book, &site.store(), &site.clock).expect("a list");
        insta::assert_snapshot!(format!("visits-{width}"), list);
    }
}
