//! Minutes that hang on the conveyor: turns of its belt, its idler sets, its pulleys.

use serde_json::Value;
use straybelt::conveyor::ConveyorSize;
use straybelt::conveyor::facts::{FactKey, Facts};
use straybelt::problem::Code;
use straybelt::rulebook::export;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::visit::{Diagnosis, Observations};

use super::overlay::{book, entry, over};

fn of_class(class: &str) -> Facts {
    [FactKey::Class.with(class).unwrap()].into_iter().collect()
}

fn long() -> ConveyorSize {
    ConveyorSize {
        centres_m: Some(100.0),
        speed_m_s: Some(2.0),
        carry_pitch_m: Some(1.2),
        return_pitch_m: Some(3.0),
        pulleys: Some(6.0),
    }
}

/// What another program reads of the book for a conveyor.
fn exported(book: &Book, facts: &Facts, size: ConveyorSize) -> Value {
    let book = book.on(facts, size);
    serde_json::to_value(export::document_for(&book, facts, size)).unwrap()
}

fn near(found: &Value, wanted: f64) {
    let found = found.as_f64().unwrap();
    assert!((found - wanted).abs() < 1e-9, "{found} instead of {wanted}");
}

#[test]
fn the_book_reckons_by_the_conveyor() {
    let book = load::default_book().unwrap();
    let document = exported(&book, &Facts::default(), long());
    // 100 m of sets 1.2 and 3 m apart, 5 minutes each, and 60 for all.
    let all = entry(&document, "fixes", "all-idlers-back-to-square").unwrap();
    near(&all["minutes"], 60.0 + 5.0 * (100.0 / 1.2 + 100.0 / 3.0));
    // Three turns of 200 m at 2 m/s are five minutes.
    near(&document["minutes"]["restart_and_watch"], 5.6 + 5.0);
    near(&document["figures"]["turn_minutes"], 100.0 / 60.0);
    near(&document["figures"]["pulleys"], 6.0);
    // Of which nothing is known: as `walking` says.
    let document = exported(&book, &Facts::default(), ConveyorSize::default());
    near(&document["minutes"]["restart_and_watch"], 5.6 + 3.0 * 88.0 / 60.0);
    near(&document["figures"]["carry_sets"], 55.0);
}

#[test]
fn pulleys_are_those_of_the_file_else_of_the_class() {
    // 60 minutes for the first pulley and 45 for each further one.
    let site = r#"(change: [Fix(id: "clean-pulleys", minutes: 15.0, per_pulley: 45.0)])"#;
    let book = book(&[("site.ron", site)]);
    let takes = |facts: &Facts, size| {
        let document = exported(&book, facts, size);
        entry(&document, "fixes", "clean-pulleys").unwrap()["minutes"].clone()
    };
    near(&takes(&Facts::default(), long()), 60.0 + 5.0 * 45.0);
    near(&takes(&Facts::default(), ConveyorSize::default()), 15.0 + 4.0 * 45.0);
    near(&takes(&of_class("flat"), ConveyorSize::default()), 15.0 + 2.0 * 45.0);
}

#[test]
fn a_book_on_no_conveyor_is_itself() {
    let book = load::default_book().unwrap();
    let same = book.on(&Facts::default(), ConveyorSize::default());
    let document = |book: &Book| serde_json::to_value(export::document(book)).unwrap();
    assert_eq!(document(&same), document(&book));
    // And one for a long conveyor can be made one for another.
    let there_and_back =
        book.on(&Facts::default(), long()).on(&Facts::default(), ConveyorSize::default());
    assert_eq!(document(&there_and_back), document(&book));
}

#[test]
fn work_and_checks_always_make_the_whole() {
    let book = load::default_book().unwrap();
    let tiny = ConveyorSize {
        centres_m: Some(0.3),
        speed_m_s: Some(20.0),
        pulleys: Some(2.0),
        ..ConveyorSize::default()
    };
    let huge = ConveyorSize {
        centres_m: Some(10_000.0),
        speed_m_s: Some(4.0),
        pulleys: Some(40.0),
        ..ConveyorSize::default()
    };
    for size in [ConveyorSize::default(), tiny, long(), huge] {
        let book = book.on(&Facts::default(), size);
        for fix in book.fixes.values() {
            assert!(fix.work_minutes() > 0.0, "{} on {size:?}: {}", fix.id, fix.work_minutes());
        }
    }
}

#[test]
fn a_site_changes_them_and_its_minutes_are_the_whole() {
    let site = r#"(minutes: (restart_and_watch: 15.0, watch_turns: 1.0), change: [
        Fix(id: "all-idlers-back-to-square", per_carry_set: 8.0),
        Fix(id: "clean-pulleys", minutes: 90.0),
    ])"#;
    let document = exported(&book(&[("site.ron", site)]), &Facts::default(), long());
    let all = entry(&document, "fixes", "all-idlers-back-to-square").unwrap();
    near(&all["minutes"], 60.0 + 8.0 * 100.0 / 1.2 + 5.0 * 100.0 / 3.0);
    near(&entry(&document, "fixes", "clean-pulleys").unwrap()["minutes"], 90.0);
    near(&document["minutes"]["restart_and_watch"], 15.0 + 100.0 / 60.0);
}

/// A check that takes longer with each turn would use up a fix that does not.
#[test]
fn a_check_that_grows_beyond_its_fix_is_refused() {
    let site = r#"(change: [Fix(id: "clean-pulleys", minutes: 90.0,
        begins_with: [(words: "Watch it", needs: "It jumps", state: Running, minutes: 1.0, turns: 3.0)])])"#;
    let checked = over(&[("site.ron", site)]);
    let told: Vec<_> = checked.problems.iter().filter(|p| p.code == Code::CheckMinutes).collect();
    assert_eq!(told.len(), 1, "{:?}", checked.problems);
    let grows = site.replace("minutes: 90.0,", "minutes: 90.0, turns: 3.0,");
    let checked = over(&[("site.ron", &grows)]);
    assert!(
        checked.problems.iter().all(|p| p.code != Code::CheckMinutes),
        "{:?}",
        checked.problems
    );
}

/// A plan costs what the work takes on that conveyor.
#[test]
fn a_plan_takes_longer_on_a_long_conveyor() {
    let book = load::default_book().unwrap();
    let expected = |size: ConveyorSize| {
        let book = book.on(&Facts::default(), size);
        let diagnosis = Diagnosis::new(&book);
        let observed = Observations { size, ..Observations::none(&book) };
        diagnosis.finding(&Facts::default(), &observed).plan.expected_minutes
    };
    let slow = ConveyorSize { centres_m: Some(1_000.0), ..long() };
    assert!(expected(slow) > expected(ConveyorSize::default()) + 30.0);
}
