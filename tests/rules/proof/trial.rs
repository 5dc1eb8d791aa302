//! The rule book tried on conveyors that follow the belt-line model.

use straybelt::drill::account::Split;
use straybelt::drill::eyes::Eyes;
use straybelt::drill::trial::{Report, Setting, Words, judged, trial};
use straybelt::drill::ways::{Said, Verdict};
use straybelt::drill::{Drill, Move, World, draw, follow};
use straybelt::rulebook::index::FixAt;
use straybelt::rulebook::load::default_book;
use straybelt::rulebook::model::Book;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::proof_trial::{TrialHead, TrialJson, page};
use straybelt::show::ways;
use straybelt::trade::{LookPlace, MachineState};
use straybelt::visit::Diagnosis;

use crate::support::long;
use crate::support::pages::fits;

fn book() -> Book {
    default_book().unwrap_or_else(|p| panic!("{p:?}"))
}

fn tried(book: &Book, runs: usize, seed: u64, words: Words<'_>) -> Report {
    trial(book, &Setting { runs, seed, eyes: Eyes::default(), other: 0.0, words }, &mut |_| {})
}

#[test]
fn nobody_is_sent_the_wrong_way() {
    let runs = if long() { 100 } else { 40 };
    let report = tried(&book(), runs, 3, &ways::said);
    assert_eq!(report.wrong_ways, [], "of {}", report.sides_named);
    assert!(report.sides_named >= runs / 10, "{}", report.sides_named);
    assert_eq!((report.runs, report.not_drawn), (runs, 0));
    assert!(report.solved.value() > 0.9 && report.right_in_three.value() > 0.8, "{report:?}");
}

/// Two conveyors where the belt ran to the other side once the first batch was done: training named the old one.
#[test]
fn a_belt_that_went_over_to_the_other_side_is_not_trained_by_the_old_one() {
    let book = book();
    let diagnosis = Diagnosis::new(&book);
    for seed in [674_130_829, 4_257_139_858] {
        let drill = draw::fresh(&diagnosis, seed).unwrap_or_else(|why| panic!("{why}"));
        let mut world = World::begin(&drill, &diagnosis).unwrap_or_else(|| panic!("{seed}"));
        follow::follow(&diagnosis, &mut world);
        let judged = judged(&diagnosis, &world, &ways::said).unwrap_or_default();
        let wrong = judged.sides.iter().any(|(_, _, verdict)| *verdict == Verdict::Wrong);
        assert!(!wrong, "{seed}: {judged:?}");
    }
}

/// Two conveyors where two parts are out of order alike: the head pulley and the tail screws, a frame that leans to the
/// left and a set that leans to the right. What is measured and what is moved is one part.
#[test]
fn what_is_measured_is_what_is_moved() {
    let book = book();
    let diagnosis = Diagnosis::new(&book);
    for seed in [1_442_568_613, 3_597_367_432] {
        let drill = draw::fresh(&diagnosis, seed).unwrap_or_else(|why| panic!("{why}"));
        let mut world = World::begin(&drill, &diagnosis).unwrap_or_else(|| panic!("{seed}"));
        follow::follow(&diagnosis, &mut world);
        let judged = judged(&diagnosis, &world, &ways::said).unwrap_or_default();
        let wrong = judged.sides.iter().any(|(_, _, verdict)| *verdict == Verdict::Wrong);
        assert!(!wrong && !judged.sides.is_empty(), "{seed}: {judged:?}");
    }
}

/// Words that name the other side each time are caught each time.
#[test]
fn words_that_are_mirrored_are_caught() {
    let mirrored: Words<'_> = &|book, facts, finding, fix| {
        let mut spoken = ways::said(book, facts, finding, fix);
        spoken.said.iter_mut().for_each(|said: &mut Said| said.side = said.side.other());
        spoken
    };
    let report = tried(&book(), 8, 3, mirrored);
    assert!(report.sides_named > 0);
    assert_eq!(report.wrong_ways.len(), report.sides_named);
}

#[test]
fn the_same_seed_gives_the_same_table_and_the_pages() {
    let book = book();
    let report = tried(&book, 10, 1, &ways::said);
    assert_eq!(tried(&book, 3, 1, &ways::said), tried(&book, 3, 1, &ways::said));
    let head = TrialHead { book: &book, seed: 1, eyes: Eyes::default(), other: 0.0 };
    for width in [40, 80] {
        let text = page(Screen::new(width, Paint::NONE), head, &report);
        fits(&text, width);
        insta::with_settings!({filters => vec![(r"version [^:]+:", "version V:")]}, {
            insta::assert_snapshot!(format!("trial-{width}"), text);
        });
    }
    let json = serde_json::to_value(TrialJson::new(head, &report)).unwrap();
    let causes = json["causes"].as_array().unwrap();
    assert!(causes.iter().all(|cause| cause["drawn"].as_u64() >= Some(1)));
    let first = |at: usize| {
        let share = &causes[at]["right_first"];
        share["hits"].as_f64().unwrap() / share["of"].as_f64().unwrap()
    };
    assert!((1..causes.len()).all(|at| first(at - 1) <= first(at)), "worst first");
}

/// Each minute counts once, in whatever it went into.
#[test]
fn the_parts_sum_to_the_minutes() {
    let book = book();
    let diagnosis = Diagnosis::new(&book);
    for seed in 1..6 {
        let drill = draw::fresh(&diagnosis, seed).unwrap();
        let mut world = World::begin(&drill, &diagnosis).unwrap();
        follow::follow(&diagnosis, &mut world);
        let split = Split::of(&world);
        assert!((split.total() - world.minutes()).abs() < 1e-9, "{seed}: {split:?}");
    }
    let report = tried(&book, 10, 1, &ways::said);
    let of = &report.measures;
    assert_eq!(report.solved.hits, 10);
    assert!((of.split.total() - report.minutes.mean.mean).abs() < 1e-9, "all ran true");
    let over = report.minutes.mean.mean - of.clairvoyant.mean.mean;
    assert!((of.minutes_over.mean.mean - over).abs() < 1e-9);
    assert_eq!(of.one_cause.solved.of + of.two_causes.solved.of, 10);
    assert!(of.split.looks > 0.0 && of.clairvoyant.mean.mean > 0.0);
}

/// Whoever cannot tell much is asked more and finds it later; the same people come with the same seed, and the page says
/// how well they see.
#[test]
fn people_who_cannot_tell_take_longer() {
    let book = book();
    let seen = |eyes| {
        let setting = Setting { runs: 20, seed: 1, eyes, other: 0.0, words: &ways::said };
        trial(&book, &setting, &mut |_| {})
    };
    let dim = Eyes { unsure: 0.6, miss: 0.1 };
    let (sharp, dimmed) = (seen(Eyes::default()), seen(dim));
    assert_eq!(dimmed, seen(dim));
    assert!(dimmed.minutes.mean.mean > sharp.minutes.mean.mean, "{dimmed:?}");
    assert!(dimmed.right_in_three.value() < sharp.right_in_three.value(), "{dimmed:?}");
    let said = |eyes| {
        let head = TrialHead { book: &book, seed: 1, eyes, other: 0.0 };
        page(Screen::new(80, Paint::NONE), head, &sharp)
    };
    assert!(said(dim).contains("60 %") && said(dim).contains("10 %"), "{}", said(dim));
    assert_ne!(said(dim), said(Eyes::default()));
}

/// A drill that hides this cause alone.
fn hides_only(diagnosis: &Diagnosis<'_>, cause: &str) -> Drill {
    let book = diagnosis.book();
    let hides = |drill: &Drill| match &drill.hidden[..] {
        [hidden] => book.causes[hidden.cause].id == cause,
        _ => false,
    };
    (0..200).filter_map(|seed| draw::fresh(diagnosis, seed).ok()).find(hides).unwrap()
}

/// One look, one lock-out with work on what is fine and on what is caked, one restart: by hand.
#[test]
fn what_the_minutes_of_a_run_by_hand_went_into() {
    let book = book();
    let diagnosis = Diagnosis::new(&book);
    let drill = hides_only(&diagnosis, "idler-build-up");
    let mut world = World::begin(&drill, &diagnosis).unwrap();
    let fix = |id: &str| -> FixAt { book.fixes.iter().find(|(_, fix)| fix.id == id).unwrap().0 };
    let (right, wrong) = (fix("clean-idler-rolls"), fix("centre-stand"));
    let look = |at: &_| {
        let running = book.symptoms[*at].state != MachineState::LockedOut;
        running && world.answers()[*at].is_some()
    };
    let look = book.symptoms.places().find(look).unwrap();
    // Nobody has said yet where the belt is worst, and from nowhere each way is as long.
    let there = &book.looks[book.symptoms[look].look];
    let standing = there.standing_minutes(world.size(), &book.walking);
    let way = match there.place {
        Some(LookPlace::Papers) => 0.0,
        _ => book.walking.to_turn_to_minutes,
    };
    let moves =
        [Move::Look(look), Move::LockOut, Move::Work(wrong), Move::Work(right), Move::Restore];
    for what in moves {
        world.make(what).unwrap();
    }
    let (right, wrong) = (&book.fixes[right], &book.fixes[wrong]);
    assert!(right.check_minutes() > 0.0 && wrong.check_minutes() > 0.0);
    let by_hand = Split {
        looks: way + standing + book.symptoms[look].minutes,
        checks: right.check_minutes() + wrong.check_minutes(),
        isolation: book.minutes.lock_out + book.minutes.restart_and_watch,
        work_right: right.minutes - right.check_minutes(),
        work_wrong: wrong.minutes - wrong.check_minutes(),
    };
    assert_eq!(Split::of(&world), by_hand);
}
