//! Bearing temperatures against the published bands, and what they point to.

use proptest::prelude::*;
use straybelt::conveyor::quantity::{Kind, Quantity};
use straybelt::gauge::heat::GAUGE;
use straybelt::gauge::{Given, Mark, Outcome, Piece, Setting, Side, Verdict, Words};

use crate::support::{any_size, figure, readings, says, tells, work};

fn of(left: &str, right: &str) -> Outcome {
    work(&GAUGE, "infrared", &[("left", left), ("right", right)], &[]).unwrap()
}

#[test]
fn the_word_follows_difference_first_and_heat_second() {
    // Caution from 82 C (published), 15 C between the sides (common practice), reading error 3 C.
    for (left, right, word) in [
        ("45", "47", Some("normal")),
        ("60", "40", Some("one-hotter")),
        ("120", "100", Some("one-hotter")),
        ("40", "60", Some("one-hotter")),
        ("90", "92", Some("both-hot")),
        ("100", "95", Some("both-hot")),
        // 14 and 16 C apart, error 4.2: cannot be told.
        ("50", "64", None),
        ("50", "66", None),
        ("120", "106", None),
        // One each side of 82, or within 3 of it.
        ("81", "81", None),
        ("90", "80", None),
        ("84", "90", None),
        ("78", "78", Some("normal")),
        ("86", "86", Some("both-hot")),
    ] {
        let outcome = of(left, right);
        assert_eq!(tells(&outcome, "bearings"), word, "{left} {right}");
        assert_eq!(
            word.is_none(),
            says(std::slice::from_ref(&outcome.says), "oo close to call"),
            "{left} {right}"
        );
    }
}

#[test]
fn the_bands_are_those_published() {
    // Published: 82 to 93, 93 to 121, 121 to 149 and above 149 C.
    for (heat, limit, published) in [
        ("70", 82.0, "bearing-temp-page"),
        ("88", 82.0, "bearing-temp-page"),
        ("100", 93.0, "lubrication-journal"),
        ("130", 121.0, "lubrication-journal"),
        ("160", 149.0, "bearing-temp-page"),
    ] {
        let outcome = of(heat, heat);
        let left = figure(&outcome, "left");
        let against = left.limit.unwrap();
        assert!((against.size.si() - 273.15 - limit).abs() < 1e-9, "{heat}");
        assert!(matches!(against.mark, Mark::Published(id, _) if id == published));
        let expected = if heat == "70" { Verdict::Within } else { Verdict::Beyond };
        assert_eq!(left.verdict, expected, "{heat}");
    }
    // The same in Fahrenheit: 180 F is the caution mark of the page.
    assert_eq!(figure(&of("190 F", "190 F"), "left").verdict, Verdict::Beyond);
    assert_eq!(figure(&of("170 F", "170 F"), "left").verdict, Verdict::Within);
}

#[test]
fn a_bearing_that_can_start_a_fire_is_stopped_first() {
    for (left, right) in [("160", "158"), ("160", "100"), ("151", "137")] {
        let outcome = of(left, right);
        assert!(says(&outcome.work[..1], "stopped now"), "{left} {right}");
        assert!(!says(std::slice::from_ref(&outcome.says), "another hour"));
    }
    assert!(says(&of("130", "128").work[..1], "as soon as"));
    assert!(of("40", "42").work.is_empty());
}

#[test]
fn a_change_counts_at_any_level() {
    // Published: more than 28 C, at any level.
    let given = [
        ("left", "60"),
        ("right", "60"),
        ("left_before", "25"),
        ("right_before", "40"),
        ("ambient", "20"),
    ];
    let outcome = work(&GAUGE, "infrared", &given, &[]).unwrap();
    assert_eq!(figure(&outcome, "left-change").verdict, Verdict::Beyond);
    assert_eq!(figure(&outcome, "right-change").verdict, Verdict::Within);
    assert!((figure(&outcome, "left-rise").size.si() - 40.0).abs() < 1e-9);
    assert_eq!(outcome.verdict, Verdict::Beyond);
}

#[test]
fn grease_and_cold_spots_are_said() {
    let outcome =
        work(&GAUGE, "infrared", &[("left", "60"), ("right", "42"), ("greased", "yes")], &[])
            .unwrap();
    assert!(says(&outcome.notes, "after greasing is normal"));
    let outcome =
        work(&GAUGE, "infrared", &[("left", "10"), ("right", "12"), ("ambient", "25")], &[])
            .unwrap();
    assert!(says(&outcome.notes, "colder than the air"));
}

#[test]
fn impossible_readings_are_refused_by_name() {
    let refused = |pairs: &[(&str, &str)]| work(&GAUGE, "infrared", pairs, &[]).unwrap_err().key;
    assert_eq!(refused(&[("left", "1200"), ("right", "40")]), Some("left"));
    assert_eq!(refused(&[("left", "40"), ("right", "-90")]), Some("right"));
    assert_eq!(refused(&[("left", "40")]), Some("right"));
    assert_eq!(refused(&[("left", "40"), ("right", "40"), ("ambient", "900")]), Some("ambient"));
}

proptest! {
    #[test]
    fn left_and_right_are_mirror_images(left in 10.0..200.0_f64, right in 10.0..200.0_f64) {
        let of = |left: f64, right: f64| {
            let mut given = readings(&GAUGE, "infrared", &[], &[]);
            for (key, celsius) in [("left", left), ("right", right)] {
                given.single.insert(key, Given::Quantity(Quantity::of(Kind::Temperature, celsius + 273.15)));
            }
            (GAUGE.work)(&given, &Setting::default()).unwrap()
        };
        let mirrored = |words: &Words| {
            Words(words.0.iter().map(|piece| match piece {
                Piece::Side(Side::Left) => Piece::Side(Side::Right),
                Piece::Side(Side::Right) => Piece::Side(Side::Left),
                other => other.clone(),
            }).collect())
        };
        let (one, other) = (of(left, right), of(right, left));
        prop_assert_eq!(tells(&one, "bearings"), tells(&other, "bearings"));
        prop_assert_eq!(mirrored(&one.says), other.says);
        prop_assert_eq!(one.verdict, other.verdict);
        prop_assert_eq!(one.work.iter().map(mirrored).collect::<Vec<_>>(), other.work);
    }

    #[test]
    fn hotter_is_never_judged_better(left in 10.0..200.0_f64, right in 10.0..200.0_f64, more in 0.0..60.0_f64) {
        let of = |left: f64, right: f64| {
            let mut given = readings(&GAUGE, "infrared", &[("error", "0")], &[]);
            for (key, celsius) in [("left", left), ("right", right)] {
                given.single.insert(key, Given::Quantity(Quantity::of(Kind::Temperature, celsius + 273.15)));
            }
            (GAUGE.work)(&given, &Setting::default()).unwrap()
        };
        let (cool, hot) = (of(left, right), of(left + more, right + more));
        // Both hotter by as much: never from hot back to normal.
        if tells(&cool, "bearings") != Some("normal") {
            prop_assert_ne!(tells(&hot, "bearings"), Some("normal"));
        }
    }

    #[test]
    fn nothing_given_makes_it_panic(left in any_size(), right in any_size(), air in any_size(), error in any_size()) {
        let mut given = readings(&GAUGE, "infrared", &[], &[]);
        for (key, size) in [("left", left), ("right", right), ("ambient", air)] {
            given.single.insert(key, Given::Quantity(Quantity::of(Kind::Temperature, size)));
        }
        given.single.insert("error", Given::Quantity(Quantity::of(Kind::Rise, error)));
        if let Ok(outcome) = (GAUGE.work)(&given, &Setting::default()) {
            prop_assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
        }
    }
}
