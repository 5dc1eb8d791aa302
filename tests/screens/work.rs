//! Working through the plan: a step, what was found and moved, giving back, how it runs, and the ends.

use straybelt::ask::Script;
use straybelt::exit::Exit;

use super::site::{GIVEN_BACK, LOCKED, OPENING, OQ_04, Person, SAFE, Site, both, from, typed};

/// With dirt on the return rolls the first batch is to scrape them.
const TO_THE_PLAN: &[&str] = &["1", "1"];

#[test]
fn a_step_is_done_and_it_runs_true() {
    both("true", |width| {
        let work = ["w", "1", "1"];
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, LOCKED, &work, GIVEN_BACK, &["1"]]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Lock out first"), exit)
    });
}

#[test]
fn no_change_and_the_plan_is_made_afresh() {
    both("no-change", |width| {
        let points = ["w", "n", "1", "tail guard", "2, MK and me", "1", "1", "1", "1"];
        // It looks as before: the same picture again, and the plan is made anew.
        let anew = ["3", "1", "4", "2", "1", "1", "s"];
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, LOCKED, &["1", "1"], &points, &anew]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Give the machine back"), exit)
    });
}

#[test]
fn nothing_was_needed() {
    both("not-needed", |width| {
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, LOCKED, &["2", "s"]]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- How did it go?"), exit)
    });
}

/// Somebody at a carry idler that is out of square; seen from this page on.
fn at_the_idler<'a>(
    width: usize,
    shown: &str,
    outcome: &[&'a str],
    after: &[(&'a str, &[&'a str])],
) -> (String, Exit) {
    let site = Site::small();
    let mut replies: Vec<(&str, &[&str])> = vec![
        ("Before you look", &["1"]),
        ("smoke", &["no"]),
        ("How far off?", &["2"]),
        ("What runs off centre?", &["1"]),
        ("Where on the conveyor", &["2"]),
        ("Which strand", &["1"]),
        ("Which side does it run to", &["1"]),
        ("Does it jump", &["no"]),
        ("windy days", &["no"]),
        ("How much dirt", &["1"]),
        ("Lock out, point", &["1"]),
        ("Which side of the frame", &["1"]),
        ("Go to work, or look on?", &["1"]),
        ("Put back:", &["1"]),
        ("How did it go?", &["1"]),
        ("What did you find?", &["1"]),
        ("[From]", &["foot 212 mm from the stringer bolt"]),
        ("[To]", &["206 mm"]),
        ("Give back, point", &["1"]),
        ("How does it run?", outcome),
    ];
    replies.splice(0..0, after.iter().copied());
    replies.push(("What now?", &["1", "s"]));
    let mut person = Person::new(&replies, "c");
    let exit = site.sit_with(width, OQ_04, &mut person);
    (from(&site.checked(width, &person.seen), shown), exit)
}

#[test]
fn something_is_moved_and_it_runs_better() {
    both("better", |width| at_the_idler(width, "--- Work ", &["m", "2"], &[]));
}

#[test]
fn something_is_moved_and_put_back_because_it_runs_worse() {
    both("worse", |width| at_the_idler(width, "--- Worse", &["4"], &[]));
}

#[test]
fn something_is_moved_without_notes_and_it_runs_worse() {
    both("worse-without-notes", |width| {
        at_the_idler(width, "--- Worse", &["4"], &[("Where was its old mark", &[""])])
    });
}

/// Work in two parts: the belt is brought on between them, given back for that and locked out again after.
#[test]
fn the_belt_is_moved_within_a_job() {
    both("belt-moved", |width| {
        let site = Site::small();
        let mut person = Person::new(
            &[
                ("Before you look", &["1"]),
                ("smoke", &["no"]),
                ("How far off?", &["2"]),
                ("What runs off centre?", &["2"]),
                ("Does it jump", &["yes"]),
                ("Go to work, or look on?", &["1"]),
                ("What now?", &["1", "s"]),
                ("Measure the take-up travel", &["2"]),
                ("Lock out, point", &["1"]),
                ("Look again, point", &["1"]),
                ("Move the belt, point", &["1"]),
                ("Give back, point", &["1"]),
                ("How did it go?", &["1"]),
                ("What did you find?", &["1"]),
                ("[From]", &["12 mm from the bolt"]),
                ("[To]", &["as it was"]),
                ("How does it run?", &["1"]),
            ],
            "c",
        );
        let exit = site.sit_with(width, OQ_04, &mut person);
        (from(&site.checked(width, &person.seen), "--- Work "), exit)
    });
}

#[test]
fn the_book_has_nothing_left() {
    both("nothing-left", |width| {
        let site = Site::small();
        let mut person = Person::new(
            &[
                ("Before you look", &["1"]),
                ("smoke", &["no"]),
                ("How far off?", &["2"]),
                ("What runs off centre?", &["1"]),
                ("Where on the conveyor", &["4"]),
                ("The book has no work left", &["1"]),
                ("Go to work, or look on?", &["1"]),
                ("What now?", &["1"]),
                ("How did it go?", &["3"]),
                ("You could not tell", &["2"]),
                ("Lock out, point", &["1"]),
                ("Give back, point", &["1"]),
            ],
            "c",
        );
        let exit = site.sit_with(width, OQ_04, &mut person);
        let seen = site.checked(width, &person.seen);
        let last = seen.rfind("--- How did it go?").expect("the last step");
        (seen[last..].to_owned(), exit)
    });
}

#[test]
fn work_that_is_only_watched() {
    both("watched", |width| {
        let all = typed(&[SAFE, &["3", "c", "c", "c", "yes", "p", "1", "1", "4", "s"]]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- The finding"), exit)
    });
}

/// At a terminal a job is put a step at a time: back, the cautions and the other keys lead back to the same step.
#[test]
fn a_job_step_by_step() {
    both("step-by-step", |width| {
        let work = ["", "a", "h", "", "b", "b", "", "", "2"];
        let all = typed(&[SAFE, OPENING, TO_THE_PLAN, LOCKED, &work, &["s"]]);
        let site = Site::small();
        let mut script = Script::new(all).step_by_step();
        let exit = site.sit_with(width, OQ_04, &mut script);
        (from(&site.checked(width, &script.seen), "--- Work "), exit)
    });
}
