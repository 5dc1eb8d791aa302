//! The level of a pulley: by hand, mirrored, a level that is itself off, readings that cannot be.

use proptest::prelude::*;
use straybelt::gauge::level::GAUGE;
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{figure, near, says, si, tells, text, work};

fn spirit(packing: [&str; 4], more: &[(&str, &str)]) -> Outcome {
    let keys = ["left_packing", "right_packing", "left_turned", "right_turned"];
    let packing: Vec<(&str, &str)> =
        keys.into_iter().zip(packing).filter(|(_, size)| !size.is_empty()).collect();
    work(&GAUGE, "spirit", &[&[("base", "500")], &packing[..], more].concat(), &[]).unwrap()
}

#[test]
fn two_millimetres_in_a_metre_are_shimmed_at_the_bearing() {
    // By hand: 1 mm under the right end of a 0.5 m level both times is 2 mm in 1 m, 2.4 mm over 1.2 m.
    let outcome = spirit(["0", "1", "0", "1"], &[("bearings", "1200")]);
    near(si(&outcome, "fall"), 0.001, 1e-12);
    near(si(&outcome, "slope"), 0.002, 1e-12);
    near(si(&outcome, "own"), 0.0, 1e-12);
    assert_eq!(tells(&outcome, "low-side"), Some("right"));
    let amount = outcome.amount.as_ref().unwrap();
    near(amount.size.si(), 0.0024, 1e-12);
    assert_eq!(text(&amount.at), "the RIGHT bearing");
    assert!(text(&outcome.work[1]).contains("RIGHT bearing of this pulley up by 2.4"));
}

#[test]
fn a_level_that_is_itself_off_is_turned_and_found_out() {
    // The pulley is level: the level alone is off by 1 mm in its 0.5 m, once to each side.
    let outcome = spirit(["1", "0", "0", "1"], &[]);
    near(si(&outcome, "fall"), 0.0, 1e-12);
    near(si(&outcome, "own").abs(), 0.002, 1e-12);
    assert_eq!(tells(&outcome, "low-side"), Some("level"));
    assert!(says(&outcome.notes, "level itself is off"));
    // Not turned, it is taken for the pulley's: no end is named and nothing is shimmed.
    let once = spirit(["1", "0", "", ""], &[]);
    assert_eq!((tells(&once, "low-side"), once.verdict), (None, Verdict::Beyond));
    assert!(once.amount.is_none() && text(&once.work[0]).starts_with("Turn the level"));
}

#[test]
fn heights_by_water_level_go_by_what_a_bigger_reading_means() {
    let heights = |bigger: &str| {
        let single = [("left", "104"), ("right", "100"), ("across", "1 m"), ("bigger", bigger)];
        work(&GAUGE, "water", &single, &[]).unwrap()
    };
    assert_eq!(tells(&heights("lower"), "low-side"), Some("left"));
    assert_eq!(tells(&heights("higher"), "low-side"), Some("right"));
    let error = figure(&heights("lower"), "fall").error.unwrap().si();
    assert!(error > 0.0 && error < 0.001, "{error}");
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let steep = [("base", "500"), ("left_packing", "300"), ("right_packing", "0")];
    let amiss = work(&GAUGE, "spirit", &steep, &[]).unwrap_err();
    assert_eq!(amiss.key.map(ReadingKey::as_str), Some("left_packing"));
    let steep = [("left", "400"), ("right", "0"), ("across", "1 m"), ("bigger", "lower")];
    let amiss = work(&GAUGE, "water", &steep, &[]).unwrap_err();
    assert_eq!(amiss.key.map(ReadingKey::as_str), Some("left"));
}

proptest! {
    #[test]
    fn swapped_ends_swap_the_answer(left in 0.0..3.0_f64, right in 0.0..3.0_f64) {
        let (left, right) = (format!("{left}"), format!("{right}"));
        let plain = spirit([&left, &right, &left, &right], &[]);
        let mirror = spirit([&right, &left, &right, &left], &[]);
        let swapped = match tells(&plain, "low-side") {
            Some("left") => Some("right"),
            Some("right") => Some("left"),
            same => same,
        };
        prop_assert_eq!(tells(&mirror, "low-side"), swapped);
        prop_assert!((si(&plain, "fall") + si(&mirror, "fall")).abs() < 1e-12);
    }
}
