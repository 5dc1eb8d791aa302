//! Rolls: cake and cones by hand, girths, what only the ends tell, sizes that are no roll.

use straybelt::gauge::roll::GAUGE;
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{near, says, si, tells, text, work};

fn caliper(rows: &[&[&str]], single: &[(&str, &str)]) -> Outcome {
    work(&GAUGE, "caliper", single, rows).unwrap()
}

const CLEAN: [(&str, &str); 1] = [("clean", "108")];

#[test]
fn cake_is_half_of_what_the_diameter_has_grown_by() {
    // By hand: 114 over 108 is 3 mm all round; the book counts 1 mm (common practice).
    let outcome = caliper(&[&["1", "114", "110", "109"], &["2", "108", "108", "108"]], &CLEAN);
    near(si(&outcome, "cake"), 0.003, 1e-12);
    near(si(&outcome, "cone"), 0.005, 1e-12);
    assert_eq!(tells(&outcome, "caked"), Some("caked"));
    assert!(text(&outcome.says).contains("Roll 1 is caked: 3"));
    assert!(says(&outcome.work, "Scrape roll 1 bare") && !says(&outcome.work, "roll 2"));
    let bare = caliper(&[&["1", "108", "", "108"]], &CLEAN);
    assert_eq!((tells(&bare, "caked"), bare.verdict), (Some("bare"), Verdict::Within));
    assert!(bare.work.is_empty());
}

#[test]
fn a_girth_is_divided_by_pi() {
    // 345.58 mm round is 110 mm through.
    let outcome = work(&GAUGE, "girth", &CLEAN, &[&["1", "345.575", "", "339.292"]]).unwrap();
    near(si(&outcome, "cake"), 0.001, 1e-6);
    near(si(&outcome, "cone"), 0.002, 1e-6);
}

#[test]
fn without_the_clean_diameter_only_the_ends_are_compared() {
    let outcome = caliper(&[&["1", "114", "", "108"]], &[]);
    assert_eq!(tells(&outcome, "caked"), None);
    assert!(outcome.figures.iter().all(|figure| figure.id != "cake"));
    assert_eq!(outcome.verdict, Verdict::Beyond);
    assert!(text(&outcome.says).contains("LEFT end is larger by 6"));
}

#[test]
fn a_worn_roll_is_not_a_caked_one() {
    let outcome = caliper(&[&["7", "108", "105", "102"]], &CLEAN);
    assert_eq!(tells(&outcome, "caked"), Some("bare"));
    near(si(&outcome, "worn"), 0.003, 1e-12);
    assert!(says(&outcome.notes, "Roll 7 is thinner") && says(&outcome.work, "renew the roll"));
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let amiss = |single: &[(&str, &str)], rows: &[&[&str]]| {
        let amiss = work(&GAUGE, "caliper", single, rows).unwrap_err();
        (amiss.row, amiss.key.map(ReadingKey::as_str))
    };
    // A girth taken for a diameter.
    assert_eq!(amiss(&CLEAN, &[&["1", "339", "", "339"]]), (Some(0), Some("left")));
    let twice: &[&[&str]] = &[&["1", "108", "", "108"], &["1", "108", "", "108"]];
    assert_eq!(amiss(&CLEAN, twice), (Some(1), Some("roll")));
}
