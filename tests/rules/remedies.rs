//! Laws of the shipped fixes: what is dear looks first whether the cheap one will not do, what is new is never taken
//! off again, what only waits says so, and no step leaves an end open that it could name.

use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, Fix, FixCheck, IfWorse, LooksAt, Step};
use straybelt::trade::MachineState;

fn book() -> &'static Book {
    static BOOK: std::sync::OnceLock<Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(|| load::default_book().unwrap())
}

/// Words by which a title tells that something is renewed or made new.
const RENEWS: &[&str] = &[
    "renew",
    "replace",
    "rebuil",
    "survey",
    "lag ",
    "lag the",
    "vulcanised",
    "swap",
    "fit a ",
    "fit the ",
];

fn renews(fix: &Fix) -> bool {
    let title = fix.title.to_lowercase();
    RENEWS.iter().any(|word| title.contains(word))
}

/// Whether it calls for its work by that answer-giving look, which another fix calls by as well.
fn calls_alike(check: &FixCheck, other: &Fix) -> bool {
    let LooksAt::Symptom { at, go_on, .. } = &check.looks_at else { return false };
    !go_on.is_empty()
        && other.begins_with.iter().any(|theirs| {
            matches!(&theirs.looks_at, LooksAt::Symptom { at: same, go_on: by, .. }
                if same == at && by.iter().any(|answer| go_on.contains(answer)))
        })
}

fn cures_the_same(one: &Fix, other: &Fix) -> bool {
    one.cures.iter().any(|(cause, _)| other.cures.iter().any(|(same, _)| same == cause))
}

#[test]
fn a_dear_remedy_has_a_look_of_its_own() {
    let mut dear = 0;
    for fix in book().fixes.values().filter(|fix| renews(fix)) {
        let cheaper = book().fixes.values().filter(|other| {
            other.minutes <= 0.5 * fix.minutes && !renews(other) && cures_the_same(fix, other)
        });
        let shared =
            cheaper.filter(|other| fix.begins_with.iter().any(|check| calls_alike(check, other)));
        let own =
            fix.begins_with.iter().any(|check| matches!(check.looks_at, LooksAt::Words { .. }));
        let shared: Vec<&str> = shared.map(|other| other.id.as_str()).collect();
        assert!(shared.is_empty() || own, "{} calls by the look of {shared:?} alone", fix.id);
        dear += 1;
    }
    assert!(dear > 20, "{dear}");
}

#[test]
fn what_is_new_is_never_taken_off_again() {
    let new =
        book().fixes.values().filter(|fix| renews(fix) && fix.state() == MachineState::LockedOut);
    for fix in new.filter(|fix| !fix.title.contains("urvey")) {
        match &fix.if_worse {
            IfWorse::Stays(look) => assert!(!look.is_empty(), "{} says nothing to look at", fix.id),
            IfWorse::Undo(how) => {
                assert!(
                    how.contains("stay") || fix.parts.is_empty() || how.contains("lifted off"),
                    "{} is undone: {how}",
                    fix.id
                );
            }
        }
    }
}

#[test]
fn only_waiting_does_not_last() {
    for fix in book().fixes.values() {
        let waits = fix.title.starts_with("Wait ") || fix.id == "wait-until-belt-warms";
        assert_eq!(!fix.lasting, waits, "{}", fix.id);
        assert!(fix.lasting || fix.state() == MachineState::Running, "{}", fix.id);
    }
}

#[test]
fn no_step_leaves_open_what_it_could_name() {
    for fix in book().fixes.values() {
        for step in fix.steps() {
            let texts = match step {
                Step::Move { what, how } => vec![what, how],
                Step::Do(text) | Step::Tension(text) => vec![text],
                _ => Vec::new(),
            };
            for text in texts {
                for open in ["that stands wrong", "side ({", "not in a screw take-up"] {
                    assert!(!text.contains(open), "{}: {text}", fix.id);
                }
            }
        }
    }
}

#[test]
fn a_cut_of_the_belt_asks_for_the_travel_left() {
    for id in [
        "re-splice-mechanical",
        "re-splice-vulcanised",
        "agree-the-cambers",
        "shorten-belt",
        "shorten-belt-by-crew",
        "turn-belt-over",
    ] {
        let fix = book().fixes.values().find(|fix| fix.id == id).unwrap();
        let asks = fix.begins_with.iter().any(|check| match &check.looks_at {
            LooksAt::Words { words, .. } => words.contains("slack") || words.contains("travel"),
            LooksAt::Symptom { .. } => false,
        });
        assert!(asks, "{id}");
    }
}
