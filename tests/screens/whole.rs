//! One visit from end to end with the default book.

use straybelt::exit::Exit;

use super::site::{Person, Site, WHOLE, both, from};

/// A return strand that runs to the walkway over caked rolls. Whoever answers looks at the question, so that the
/// visit survives a book whose questions come in another order.
pub(crate) fn whole_visit(width: usize) -> (String, Exit) {
    let site = Site::new();
    let mut person = person();
    let exit = site.sit_with(width, Some("OQ-04.ron"), &mut person);
    (site.checked(width, &person.seen), exit)
}

fn person() -> Person<'static> {
    Person::new(
        &[
            ("Look again?", &["4"]),
            // Enough, whatever the book would still ask.
            ("Look 6:", &["p"]),
            ("Look 7:", &["p"]),
            ("You could not tell", &["1"]),
            ("Before you look", &["1"]),
            ("First: safety", &["no"]),
            ("--- Safety, as it runs now", &["0"]),
            ("How far off?", &["3"]),
            ("Lock out, point", &["1"]),
            ("Give back, point", &["1"]),
            ("Move the belt, point", &["1"]),
            ("does cake make a roll", &["2"]),
            ("Go to work, or look on?", &["1"]),
            ("--- Step ", &["1"]),
            ("--- CAUTION at this job", &["1"]),
            ("What now?", &["1"]),
            ("--- The finding", &["1"]),
            ("Look again, point", &["1"]),
            ("How did it go?", &["1"]),
            ("What did you find?", &["1"]),
            ("How does it run?", &["2", "1"]),
            ("Where was its old mark", &["as marked"]),
            ("What runs off centre", &["1"]),
            ("Where on the conveyor is the belt", &["5"]),
            ("Which strand is off centre", &["2"]),
            ("with load, empty", &["1"]),
            ("How dirty are the idler rolls", &["3"]),
            ("How do the belt cleaner", &["2"]),
            ("How much material lies under", &["3"]),
            ("Tick all that", &["0 ?2", "0"]),
            ("What is at hand?", &["2 4"]),
        ],
        "c",
    )
}

#[test]
fn a_whole_visit() {
    both(WHOLE, whole_visit);
}

/// The job of that visit as it is put at a terminal: the head, the cautions, one step to a screen.
#[test]
fn its_job_step_by_step() {
    both("whole-job-in-steps", |width| {
        let site = Site::new();
        let mut person = person().step_by_step();
        let exit = site.sit_with(width, Some("OQ-04.ron"), &mut person);
        let seen = from(&site.checked(width, &person.seen), "--- The finding");
        let end = seen.find("--- What did you find?").expect("what is asked after the last step");
        (seen[..end].to_owned(), exit)
    });
}

/// At hand are a torch and somebody who knows the conveyor: what else is needed stands apart from what to take.
#[test]
fn what_is_not_at_hand_stands_apart_from_what_to_take() {
    let site = Site::new();
    let mut person = person().step_by_step();
    site.sit_with(40, Some("OQ-04.ron"), &mut person);
    let seen = person.seen.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(seen.contains("Not at hand: infrared thermometer."), "{seen}");
    assert!(!seen.contains("Take: infrared thermometer"), "{seen}");
    let ticked = seen.find("--- What is at hand?").expect("what is at hand is asked");
    assert!(!seen[..ticked].contains("Not at hand"), "nobody has said yet: {seen}");
}

/// Every screen of a step fits 24 rows at 40 columns with the line that it is answered on, so that nothing of it
/// scrolls away; so does the finding.
#[test]
fn a_screen_of_a_step_fits_the_smallest_screen() {
    let site = Site::new();
    let mut person = person().step_by_step();
    site.sit_with(40, Some("OQ-04.ron"), &mut person);
    let mut steps = 0;
    for page in person.seen.split("\n--- ") {
        let rows = page.trim_end().lines().count();
        if page.starts_with("Step ") || page.starts_with("The finding") {
            steps += 1;
            assert!(rows <= 23, "{rows} rows: {page}");
        }
    }
    assert!(steps > 10, "{steps} screens:\n{}", person.seen);
}

/// Up to the first restart, and then these ticks at what may stop everything.
fn ticked_after_the_restart(ticks: &'static [&'static str]) -> (Person<'static>, Exit) {
    let mut person = person().step_by_step();
    person.first("--- Safety, as it runs now", ticks);
    person.first("Do that now. Then:", &["1"]);
    let exit = Site::new().sit_with(40, Some("OQ-04.ron"), &mut person);
    (person, exit)
}

/// After a restart the questions that may stop everything stand on one screen: whoever was asked each of them at the
/// beginning ticks what is so.
#[test]
fn what_may_stop_everything_stands_on_one_page_after_a_restart() {
    let (person, exit) = ticked_after_the_restart(&["0"]);
    assert_eq!(exit, Exit::Done, "{}", person.seen);
    let (before, after) = person.seen.split_once("--- Safety, as it runs now").expect("the page");
    assert_eq!(before.matches("--- First: safety").count(), 4, "{before}");
    assert!(!after.contains("--- First: safety"), "{after}");
    let page = after.split("\n--- ").next().expect("the page");
    assert!(page.lines().count() <= 23, "{page}");
}

/// A tick and a "cannot tell" both stop it, with the orders of that question.
#[test]
fn a_tick_after_a_restart_stops_the_belt() {
    for ticks in [&["2"], &["?2"], &["1 3"]] as [&[&str]; 3] {
        let (person, _) = ticked_after_the_restart(ticks);
        let after = person.seen.split("--- Safety, as it runs now").nth(1).expect("the page");
        assert!(after.contains("STOP. Do this now:"), "{after}");
        assert!(!after.contains("How does it run?"), "{after}");
    }
}

/// Somebody inside, or a guard off, may be somebody who works there locked out: that question is put in full.
#[test]
fn a_guard_that_is_off_after_a_restart_is_asked_about_by_itself() {
    let mut person = person().step_by_step();
    person.first("--- Safety, as it runs now", &["4"]);
    person.first("--- First: safety, 4 of 4", &["no", "2"]);
    person.first("Do that now. Then:", &["1"]);
    Site::new().sit_with(40, Some("OQ-04.ron"), &mut person);
    let after = person.seen.split("--- Safety, as it runs now").nth(1).expect("the page");
    let (asked, stopped) = after.split_once("--- First: safety, 4 of 4").expect("the question");
    assert!(!asked.contains("STOP."), "{asked}");
    assert!(stopped.contains("STOP. Do this now:"), "{stopped}");
}
