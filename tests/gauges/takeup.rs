//! Positions of both take-up screws: worked by hand, and how the result must behave.

use proptest::prelude::*;
use straybelt::conveyor::quantity::{Kind, Quantity};
use straybelt::gauge::takeup::{GAUGE, Screws};
use straybelt::gauge::{Given, Piece, Setting, Verdict};
use straybelt::trade::Side;

use crate::support::{self, any_size, figure, known, near, readings, says, si, tells, text, work};

const LB: f64 = 4.448_221_615_260_5;

#[test]
fn the_shorter_distance_is_the_slack_side() {
    // By hand: marks toward the other end, 512 on the left, 506 on the right: the right bearing is nearer by 6 mm,
    // and 6 mm over 1,000 mm are 0.344 degrees.
    let given = [
        ("left", "512"),
        ("right", "506"),
        ("marks", "inward"),
        ("bearing_centres", "1000"),
        ("pitch", "4"),
    ];
    let outcome = work(&GAUGE, "shaft", &given, &[]).unwrap();
    near(si(&outcome, "lead"), 0.006, 1e-12);
    near(figure(&outcome, "lead").error.unwrap().si(), 0.000_707_1, 1e-7);
    near(si(&outcome, "skew").to_degrees(), 0.343_77, 1e-4);
    assert_eq!(tells(&outcome, "nearer"), Some("right"));
    assert_eq!(outcome.verdict, Verdict::Beyond);
    // Slackening comes first, and the tight side is the left one: 1.5 turns of 4 mm.
    let slacken: Vec<_> = outcome.work.iter().map(text).collect();
    let first = slacken.iter().position(|line| line.contains("slacken both")).unwrap();
    let further = slacken.iter().position(|line| line.contains("further")).unwrap();
    let tighten = slacken.iter().position(|line| line.contains("Tighten")).unwrap();
    assert!(first < further && further < tighten);
    assert!(outcome.work[further].0.contains(&Piece::Side(Side::Left)));
    assert!(outcome.work[further].0.contains(&Piece::Quantity(Quantity::Number(1.5))));
}

#[test]
fn which_way_counts_as_tighter_turns_the_sides_round() {
    let of = |way: &str, key, word| {
        let outcome =
            work(&GAUGE, way, &[("left", "60"), ("right", "50"), (key, word)], &[]).unwrap();
        tells(&outcome, "nearer")
    };
    assert_eq!(of("shaft", "marks", "inward"), Some("right"));
    assert_eq!(of("shaft", "marks", "outward"), Some("left"));
    assert_eq!(of("thread", "tightening", "more"), Some("right"));
    assert_eq!(of("thread", "tightening", "less"), Some("left"));
}

#[test]
fn near_the_limit_it_is_too_close_to_call() {
    // Limit 2 mm (common practice), error 0.71 mm.
    for (right, word, verdict) in [
        ("500", Some("equal"), Verdict::Within),
        ("498.8", Some("equal"), Verdict::Within),
        ("498.5", None, Verdict::TooClose),
        ("497.5", None, Verdict::TooClose),
        ("497.2", Some("right"), Verdict::Beyond),
    ] {
        let outcome =
            work(&GAUGE, "shaft", &[("left", "500"), ("right", right), ("marks", "inward")], &[])
                .unwrap();
        assert_eq!((tells(&outcome, "nearer"), outcome.verdict), (word, verdict), "{right}");
        assert_eq!(outcome.work.is_empty(), verdict != Verdict::Beyond);
    }
}

#[test]
fn what_was_added_since_then_is_the_worked_rise() {
    // Derived here: 24 in, 10,000 lbf/in, 20 ft, 0.70 in: 700 lb more in each strand, doubled.
    let given = [
        ("left", "10.7 in"),
        ("right", "10.7 in"),
        ("left_before", "10 in"),
        ("right_before", "10 in"),
        ("marks", "inward"),
        ("width", "24 in"),
        ("centres", "20 ft"),
        ("modulus", "10000 lbf/in"),
        ("load", "700 lb"),
    ];
    let outcome = work(&GAUGE, "shaft", &given, &[]).unwrap();
    near(si(&outcome, "moved"), 0.7 * 0.0254, 1e-9);
    near(si(&outcome, "strain"), 0.7 / 240.0, 1e-9);
    near(si(&outcome, "rise") / LB, 700.0, 1e-3);
    near(si(&outcome, "pull-rise") / LB, 1_400.0, 1e-3);
    near(si(&outcome, "rise-share"), 1.0, 1e-6);
    // 150 lb per inch that stretch 1.5 % at the rating are the same belt.
    let rated: Vec<_> = given
        .iter()
        .map(|pair| if pair.0 == "modulus" { ("rated_tension", "150 lbf/in") } else { *pair })
        .collect();
    let outcome = work(&GAUGE, "shaft", &rated, &[]).unwrap();
    assert!(says(&outcome.notes, "an estimate"));
    near(si(&outcome, "rise") / LB, 700.0, 1e-3);
    // One screw by twice as much is the same in the middle.
    let one: Vec<_> = given
        .iter()
        .map(|pair| match pair.0 {
            "left" => ("left", "11.4 in"),
            "right" => ("right", "10 in"),
            _ => *pair,
        })
        .collect();
    let outcome = work(&GAUGE, "shaft", &one, &[]).unwrap();
    near(si(&outcome, "rise") / LB, 700.0, 1e-3);
    assert_eq!(tells(&outcome, "nearer"), Some("right"));
}

#[test]
fn a_take_up_that_follows_the_belt_adds_no_pull() {
    let given = readings(
        &GAUGE,
        "shaft",
        &[
            ("left", "520"),
            ("right", "520"),
            ("left_before", "500"),
            ("right_before", "500"),
            ("marks", "inward"),
        ],
        &[],
    );
    let setting = Setting { facts: known(&[("take_up", "gravity")]), ..Setting::default() };
    let outcome = (GAUGE.work)(&given, &setting).unwrap();
    assert!(outcome.figures.iter().all(|figure| figure.id != "rise"));
    assert!(says(&outcome.notes, "follows the belt"));
}

#[test]
fn doubtful_and_impossible_readings_are_named() {
    let refused = |pairs: &[(&str, &str)]| {
        work(&GAUGE, "shaft", pairs, &[]).unwrap_err().key.map(straybelt::gauge::ReadingKey::as_str)
    };
    let base = [("left", "500"), ("right", "500"), ("marks", "inward")];
    assert_eq!(refused(&[("left", "900"), base[1], base[2]]), Some("right"));
    assert_eq!(refused(&[base[0], base[1]]), Some("marks"));
    assert_eq!(refused(&[base[1], base[2]]), Some("left"));
    assert_eq!(refused(&[base[0], base[1], base[2], ("left_before", "500")]), Some("right_before"));
    assert_eq!(refused(&[base[0], base[1], base[2], ("right_before", "500")]), Some("left_before"));
    assert_eq!(
        refused(&[("left", "560"), base[1], base[2], ("bearing_centres", "500")]),
        Some("right")
    );
    assert_eq!(
        work(&GAUGE, "thread", &[base[0], base[1]], &[])
            .unwrap_err()
            .key
            .map(straybelt::gauge::ReadingKey::as_str),
        Some("tightening")
    );
    // A belt that stretches by a twentieth: possible only if it was cut, so no pull is told.
    let cut = [
        ("left", "1500"),
        ("right", "1500"),
        ("left_before", "500"),
        ("right_before", "500"),
        ("marks", "inward"),
        ("centres", "20 m"),
        ("width", "600"),
        ("modulus", "2000"),
    ];
    let outcome = work(&GAUGE, "shaft", &cut, &[]).unwrap();
    assert!(says(&outcome.notes, "cut and joined"));
    assert!(outcome.figures.iter().all(|figure| figure.id != "rise"));
}

#[test]
fn a_site_sets_its_own_limit() {
    let given =
        readings(&GAUGE, "shaft", &[("left", "504"), ("right", "500"), ("marks", "inward")], &[]);
    let mut setting = Setting::default();
    setting.limits.insert("take-up-lead", Quantity::of(Kind::Length, 0.005));
    assert_eq!((GAUGE.work)(&given, &setting).unwrap().verdict, Verdict::Within);
}

proptest! {
    #[test]
    fn swapping_the_sides_swaps_the_result(left in 0.3..0.5_f64, right in 0.3..0.5_f64, before in 0.3..0.5_f64) {
        let of = |left: f64, right: f64| {
            let mut given = readings(&GAUGE, "shaft", &[("marks", "inward")], &[]);
            for (key, size) in [("left", left), ("right", right), ("left_before", before), ("right_before", before)] {
                given.single.insert(support::key(key), Given::Quantity(Quantity::of(Kind::Length, size)));
            }
            (GAUGE.work)(&given, &Setting::default()).unwrap()
        };
        let (one, other) = (of(left, right), of(right, left));
        let swapped = match tells(&other, "nearer") {
            Some("left") => Some("right"),
            Some("right") => Some("left"),
            word => word,
        };
        prop_assert_eq!(tells(&one, "nearer"), swapped);
        prop_assert_eq!(si(&one, "lead"), si(&other, "lead"));
        prop_assert!((si(&one, "moved") - si(&other, "moved")).abs() < 1e-12);
    }

    #[test]
    fn moving_the_marks_changes_nothing(left in 0.0..0.2_f64, right in 0.0..0.2_f64, by in 0.0..2.0_f64) {
        let screws = Screws { left_m: left, right_m: right, before: Some((right, left)), error_m: 0.001 };
        let moved = Screws { left_m: left + by, right_m: right + by, before: Some((right + by, left + by)), ..screws };
        prop_assert!((screws.lead_m() - moved.lead_m()).abs() < 1e-12);
        prop_assert!((screws.moved_m().unwrap() - moved.moved_m().unwrap()).abs() < 1e-12);
    }

    #[test]
    fn nothing_given_makes_it_panic(sizes in proptest::collection::vec(any_size(), 10), way in any::<bool>()) {
        let mut given = if way {
            readings(&GAUGE, "shaft", &[("marks", "outward")], &[])
        } else {
            readings(&GAUGE, "thread", &[("tightening", "less")], &[])
        };
        let keys = [
            "left", "right", "left_before", "right_before", "bearing_centres", "pitch", "centres", "width", "load", "error",
        ];
        for (key, size) in keys.into_iter().zip(sizes) {
            given.single.insert(support::key(key), Given::Quantity(Quantity::of(Kind::Length, size)));
        }
        if let Ok(outcome) = (GAUGE.work)(&given, &Setting::default()) {
            prop_assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
        }
    }
}
