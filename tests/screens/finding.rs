//! A question behind lock-out, the finding, and the pages that say why.

use super::site::{LOCKED, OPENING, OQ_04, Person, SAFE, Site, both, from, typed};

/// Asked on to what cannot be told while it runs; the next question is one behind lock-out.
const ASKED_ON: &[&str] = &["3", "c", "c", "c", "c"];

#[test]
fn a_question_behind_lock_out() {
    both("locked-out-question", |width| {
        let points = [
            "w",
            "n",
            "1",
            "1",
            "b",
            "h",
            "1",
            "1111",
            "MK, isolator 4",
            "1",
            "n",
            "pins in the frame",
            "nothing moved",
            "1",
        ];
        let question = ["l", "w", "2", "s"];
        let all = typed(&[SAFE, OPENING, ASKED_ON, &points, &question]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Lock out first"), exit)
    });
}

#[test]
fn a_question_that_cannot_be_locked_out_for() {
    both("locked-out-not-now", |width| {
        let all = typed(&[SAFE, OPENING, ASKED_ON, &["1", "c", "s"]]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Lock out, point 2"), exit)
    });
}

#[test]
fn the_finding_the_plan_and_why() {
    both("finding", |width| {
        let look = ["f", "p", "3", "4", "1", "m", "2", "h", "s"];
        let all = typed(&[SAFE, OPENING, &look]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Enough to act"), exit)
    });
}

#[test]
fn enough_asked_and_asked_on() {
    both("asked-on", |width| {
        let all = typed(&[SAFE, OPENING, &["3", "w", "2", "p", "5", "c", "s"]]);
        let (seen, exit) = Site::small().sit(width, OQ_04, &all);
        (from(&seen, "--- Enough to act"), exit)
    });
}

#[test]
fn answers_that_do_not_fit_together() {
    both("misfit", |width| {
        let site = Site::small();
        let mut person = Person::new(
            &[
                ("Look again?", &["1", "4"]),
                ("Before you look", &["1"]),
                ("How far off?", &["2"]),
                ("smoke", &["no"]),
                ("What runs off centre?", &["2"]),
                ("Where on the conveyor", &["1"]),
                ("Which strand", &["1"]),
                ("Which side does it run to", &["3"]),
                ("Does it jump", &["1"]),
                ("windy days", &["2"]),
                ("How much dirt", &["3", "1"]),
                ("Lock out, point", &["c"]),
                ("Go to work, or look on?", &["3", "1"]),
                ("What now?", &["s"]),
            ],
            "c",
        );
        let exit = site.sit_with(width, OQ_04, &mut person);
        let seen = site.checked(width, &person.seen);
        (from(&seen, "--- These answers do not fit"), exit)
    });
}

#[test]
fn points_are_asked_anew_after_a_break() {
    both("resumed", |width| {
        let site = Site::small();
        let before = typed(&[SAFE, OPENING, ASKED_ON, LOCKED, &["s"]]);
        site.sit(width, OQ_04, &before);
        site.resume(width, 1, &["1", "1", "1", "s"])
    });
}

/// Who may not lock out is not sent to work that is done locked out.
#[test]
fn who_may_not_lock_out_hands_the_plan_over() {
    let asked = |may: &'static str| {
        let safe = &["1", "1", "2", "1", may];
        let (seen, _) = Site::small().sit(40, OQ_04, &typed(&[safe, OPENING, &["s"]]));
        from(&seen, "--- Enough to act").split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let (may, may_not) = (asked("1"), asked("2"));
    assert!(may.contains("Go to work, or look on?"), "{may}");
    assert!(may_not.contains("Hand it over, or look on?"), "{may_not}");
    assert!(may_not.contains("The finding and the plan, to hand over"), "{may_not}");
    assert!(!may_not.contains("Go to work"), "{may_not}");
}
