//! The person's own order, something else that was found, an unclear picture, and nothing left.

use straybelt::commands::visits;
use straybelt::exit::Exit;
use straybelt::rulebook::index::{CauseAt, FixAt};
use straybelt::rulebook::model::{BroughtOn, Source};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::visit::event::{Ended, Event};

use super::site::{
    GIVEN_BACK, LOCKED, OPENING, OQ_04, Person, SAFE, Site, both, from, snapshot, typed,
};
use crate::support::pages::{fits, same_words};

/// Dirt on the return rolls is likely enough: the plan is to scrape them, then what else it can be.
const TO_THE_PLAN: &[&str] = &["1"];
/// At "What now?" with all of the plan open.
const OTHER_FIRST: &str = "6";
const NOT_TODAY: &str = "7";

#[test]
fn a_job_not_today_and_another_one_first() {
    both("own-order", |width| {
        // The rolls are put off and picked again; then the idler is picked, its steps read, and it is begun with.
        let order = [NOT_TODAY, "1", "f", "5", "3", OTHER_FIRST, "3", "2", "1", "s"];
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, &order]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- What now?"), exit)
    });
}

#[test]
fn what_must_come_before_a_picked_job_is_done_first() {
    both("picked-needs", |width| {
        let mut site = Site::small();
        let fix = |title: &str| -> FixAt {
            let found = site.book.fixes.iter().find(|(_, fix)| fix.id == title);
            found.expect("it is there").0
        };
        let (idler, frame) = (fix("square-idler"), fix("level-frame"));
        site.book.fixes[idler].needs = vec![frame];
        let order = [OTHER_FIRST, "3", "1", "s"];
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, &order]);
        let (seen, exit) = site.sit(width, OQ_04, &all);
        (from(&seen, "--- Your own order"), exit)
    });
}

#[test]
fn all_is_put_off() {
    both("all-put-off", |width| {
        let order = [NOT_TODAY, "1", "6", "1", "4", "3", "s"];
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, &order]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Nothing left but"), exit)
    });
}

/// A plank is found in the middle of the first job, put right, and it runs true.
fn a_plank() -> Vec<&'static str> {
    let found = ["e", "A plank wedged against the belt", "bay 9", "", "f", "1"];
    let cured = ["1", "1"];
    typed(&[SAFE, OPENING, TO_THE_PLAN, &["1"], LOCKED, &found, GIVEN_BACK, &cured])
}

#[test]
fn something_else_is_found_at_a_job_and_cures_it() {
    both("something-else", |width| {
        let (seen, exit) = Site::small().sit(width, OQ_04, &a_plank());
        (from(&seen, "--- Something else"), exit)
    });
}

#[test]
fn a_visit_that_something_else_ended() {
    let pages = |width| {
        let site = Site::small();
        let screen = Screen::new(width, Paint::NONE);
        site.sit(width, OQ_04, &a_plank());
        let shown = visits::show(screen, &site.book, &site.store(), 1, &site.clock);
        let wanted = visits::ListWanted::default();
        let list = visits::list(screen, &site.book, &site.store(), &site.clock, &wanted);
        let pages = shown.expect("a visit") + &list.expect("a list");
        fits(&pages, width);
        pages
    };
    let (narrow, wide) = (pages(40), pages(80));
    snapshot("visit-something-else-40", &narrow);
    same_words(&narrow, &wide);
}

#[test]
fn something_else_is_found_at_the_plan_and_it_runs_worse() {
    both("something-else-worse", |width| {
        // Nothing written at first; then it is locked out for, put right, watched, and put back.
        let nothing = ["e", "", "", ""];
        let found = ["e", "", "tail drum", "the scraper inside", "2"];
        let worse = ["4"];
        let back = ["1"];
        let all = typed(&[
            SAFE,
            OPENING,
            TO_THE_PLAN,
            &nothing,
            &found,
            LOCKED,
            &["1"],
            GIVEN_BACK,
            &worse,
            LOCKED,
            &back,
            GIVEN_BACK,
            OPENING,
            TO_THE_PLAN,
            &["e", "A lamp is out", "", "", "3", "s"],
        ]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Something else"), exit)
    });
}

#[test]
fn a_picture_that_is_not_clear() {
    both("not-clear", |width| {
        let mut site = Site::small();
        site.book.thresholds.clear = 0.55;
        let nothing_told = ["c", "c", "c", "c", "c", "p", "s"];
        let all = typed(&[SAFE, &nothing_told]);
        let (seen, exit) = site.sit(width, OQ_04, &all);
        (from(&seen, "--- The finding"), exit)
    });
}

/// A job not needed, one that could not be told, one done without effect, and a lamp only noted: all of it stands on
/// the page for a specialist, and what was found fine has no chance beside it.
#[test]
fn nothing_left_is_filled_in() {
    both("nothing-left-filled-in", |width| {
        let site = Site::small();
        let mut person = Person::new(
            &[
                ("Before you look", &["1"]),
                ("smoke", &["no"]),
                ("How far off?", &["2"]),
                ("What runs off centre?", &["1"]),
                ("Where on the conveyor", &["4"]),
                ("Which strand", &["2"]),
                ("Go to work, or look on?", &["1"]),
                ("The book has no work left", &["e", "s"]),
                ("What now?", &["1"]),
                ("[What]", &["A lamp is out"]),
                ("[Where]", &[""]),
                ("[Which part]", &[""]),
                ("[From]", &[""]),
                ("What will you do about it?", &["2"]),
                ("You could not tell", &["2"]),
                ("Scrape the return rolls bare 1 Done", &["2"]),
                ("How did it go?", &["1"]),
                ("What did you find?", &["1"]),
                ("How does it run?", &["3"]),
                ("Lock out, point", &["1"]),
                ("Give back, point", &["1"]),
            ],
            "c",
        );
        let exit = site.sit_with(width, OQ_04, &mut person);
        let seen = site.checked(width, &person.seen);
        (from(&seen, "--- How does it run?"), exit)
    });
}

/// Once it is likely none of the causes of the book nobody has to look at every job: after one that was not needed the
/// machine is given back, what may stop everything is asked, and the page for a specialist ends the visit.
#[test]
fn likely_not_in_the_book_is_handed_over_before_every_job_was_looked_at() {
    let mut site = Site::small();
    site.book.something_else = 0.9;
    let mut person = Person::new(
        &[
            ("Before you look", &["1"]),
            ("smoke", &["no"]),
            ("How far off?", &["2"]),
            ("What runs off centre?", &["1"]),
            ("Where on the conveyor", &["4"]),
            ("Which strand", &["2"]),
            ("or look on?", &["1"]),
            ("What now?", &["2"]),
            ("Likely not in the book", &["1"]),
            ("You could not tell", &["2"]),
            ("Scrape the return rolls bare 1 Done", &["2"]),
            ("How did it go?", &["2"]),
            ("Lock out, point", &["1"]),
            ("Give back, point", &["1"]),
        ],
        "c",
    );
    let exit = site.sit_with(80, OQ_04, &mut person);
    assert_eq!(exit, Exit::Done, "{}", person.seen);
    let mut rest = person.seen.as_str();
    let order = [
        "Hand it over, or go on with the work?",
        "--- Likely not in the book",
        "--- Give back, point 6 of 6",
        "smoke",
        "--- For a specialist",
    ];
    for page in order {
        let at = rest.find(page).unwrap_or_else(|| panic!("no {page:?} here:\n{rest}"));
        rest = &rest[at..];
    }
    let kept = site.store().open(1).expect("a visit").record().clone();
    let ends = Event::Ended { how: Ended::NothingLeft };
    assert!(kept.events.iter().any(|event| event.what == ends), "{kept:?}");
}

/// The small book, where something brings on what is cured in these visits.
fn with_what_brings_it_on() -> Site {
    let mut site = Site::small();
    let all: Vec<CauseAt> = site.book.causes.places().collect();
    for at in all {
        let brought = |number: usize| BroughtOn {
            words: "Wet fines stick to the belt.".to_owned(),
            look_for: format!("Is the belt dirty behind cleaner {number}?"),
            job: format!("Set cleaner {number} square"),
            cause: None,
            source: Source::Memory,
        };
        site.book.causes[at].brought_on_by = vec![brought(1), brought(2)];
    }
    site
}

/// Asked once it runs true; a yes is a job that is left open, on the last page and in the visit as it is kept.
#[test]
fn what_brought_it_on_is_looked_for() {
    let to_true =
        typed(&[SAFE, OPENING, TO_THE_PLAN, &["1"], LOCKED, &["w", "1", "1"], GIVEN_BACK]);
    let ending = |replies: &[&str]| {
        let site = with_what_brings_it_on();
        let (seen, exit) = site.sit(40, OQ_04, &typed(&[&to_true, &["1"], replies]));
        assert_eq!(exit, Exit::Done);
        let screen = Screen::new(400, Paint::NONE);
        let kept = visits::show(screen, &site.book, &site.store(), 1, &site.clock).unwrap();
        (from(&seen, "--- To keep it running true"), kept)
    };
    let (seen, kept) = ending(&["1", "2"]);
    assert!(seen.contains("Is the belt dirty behind cleaner 1?"), "{seen}");
    assert!(seen.contains("Noted as an open job"), "{seen}");
    for page in [&from(&seen, "--- It runs true"), &kept] {
        assert!(page.contains("Open jobs, to keep it running true"), "{page}");
        assert!(page.contains("Set cleaner 1 square"), "{page}");
    }
    assert!(kept.contains("Is the belt dirty behind cleaner 2? - no"), "{kept}");
    // Can't tell is no job; one key leaves the rest.
    let (seen, kept) = ending(&["c", "3"]);
    assert!(!seen.contains("Open jobs") && !kept.contains("Open jobs"), "{seen}\n{kept}");
    assert!(kept.contains("not looked for"), "{kept}");
    // Taken back, it is asked again.
    let (seen, _) = ending(&["1", "b", "2", "3"]);
    assert_eq!(seen.matches("behind cleaner 1?").count(), 2, "{seen}");
    assert!(!from(&seen, "--- It runs true").contains("Open jobs"), "{seen}");
}
