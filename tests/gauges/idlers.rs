//! Idlers: which end the belt meets first on either strand, what to shift, old trims, tilt, bad readings.

use proptest::prelude::*;
use straybelt::conveyor::quantity::{Kind, Quantity};
use straybelt::gauge::idlers::GAUGE;
use straybelt::gauge::{Outcome, Piece, Setting, Verdict, Words};
use straybelt::trade::{Side, Strand};

use crate::support::{figure, known, readings, tells, text, work};

const SINGLE: &[(&str, &str)] = &[("datum", "tail"), ("across", "1000"), ("width", "1000")];

fn way(way: &str, rows: &[&[&str]]) -> Outcome {
    work(&GAUGE, way, SINGLE, rows).unwrap()
}

fn side(words: &Words) -> Option<Side> {
    words.0.iter().find_map(|piece| match piece {
        Piece::Side(side) => Some(*side),
        _ => None,
    })
}

fn amount(words: &Words) -> f64 {
    words
        .0
        .iter()
        .find_map(|piece| match piece {
            Piece::Quantity(size) => Some(size.si()),
            _ => None,
        })
        .unwrap()
}

#[test]
fn the_belt_runs_to_the_end_it_meets_first_and_that_end_goes_with_the_travel() {
    // Worked by hand. Left end 8 mm nearer the head: carry meets the right end first, return the left one.
    let rows: &[&[&str]] = &[&["7", "12.008", "12.000"]];
    let carry = way("carry", rows);
    assert_eq!(tells(&carry, "leads"), Some("right"));
    assert_eq!(side(&carry.work[0]), Some(Side::Right));
    assert!(text(&carry.work[0]).contains("toward the head"));
    let back = way("return", rows);
    assert_eq!(tells(&back, "leads"), Some("left"));
    assert_eq!(side(&back.work[0]), Some(Side::Left));
    assert!(text(&back.work[0]).contains("toward the tail"));
    for outcome in [carry, back] {
        assert!((figure(&outcome, "lead").size.si() - 0.008).abs() < 1e-12);
        assert!((figure(&outcome, "skew").size.si().to_degrees() - 0.458_4).abs() < 1e-4);
        assert!((amount(&outcome.work[0]) - 0.008).abs() < 1e-9);
        assert_eq!(tells(&outcome, "trims"), Some("one-way"));
    }
    assert_eq!(Strand::Carry.meets_first(0.0), None);
}

#[test]
fn a_quarter_inch_over_a_yard_is_0_4_degrees() {
    // Derived here: 6.35 mm on 914 mm is 0.40 degrees.
    let single = [("datum", "tail"), ("across", "914 mm")];
    let outcome = work(&GAUGE, "carry", &single, &[&["1", "5.00635", "5"]]).unwrap();
    assert!((figure(&outcome, "skew").size.si().to_degrees() - 0.398).abs() < 1e-3);
}

#[test]
fn measured_from_the_head_the_shorter_end_is_ahead() {
    let single = [("datum", "head"), ("across", "1000"), ("width", "1000")];
    let outcome = work(&GAUGE, "carry", &single, &[&["7", "3.000", "3.008"]]).unwrap();
    assert!((figure(&outcome, "lead").size.si() - 0.008).abs() < 1e-12);
    assert_eq!(tells(&outcome, "leads"), Some("right"));
}

#[test]
fn the_limit_is_for_the_belt_and_the_amount_for_the_feet() {
    // 3 mm on a roll of 400 mm is 7.5 mm over a belt of 1 m, and 9 mm at feet 1.2 m apart.
    let single = [
        ("datum", "tail"),
        ("across", "400"),
        ("width", "1000"),
        ("feet", "1200"),
        ("error", "0.3"),
    ];
    let outcome = work(&GAUGE, "carry", &single, &[&["7", "3.003", "3"]]).unwrap();
    assert!((figure(&outcome, "lead").size.si() - 0.007_5).abs() < 1e-12);
    assert_eq!(outcome.verdict, Verdict::Beyond);
    assert!((amount(&outcome.work[0]) - 0.009).abs() < 1e-9);
}

#[test]
fn the_worst_comes_first_but_old_trims_go_back_in_order() {
    let one_way = way("carry", &[&["1", "2.006", "2"], &["2", "3", "3"], &["3", "4.010", "4"]]);
    assert_eq!(tells(&one_way, "trims"), Some("one-way"));
    assert!(text(&one_way.work[0]).contains("idler 3"));
    assert!(text(&one_way.work[1]).contains("idler 1"));
    assert_eq!(one_way.work.len(), 2);
    let both = way(
        "return",
        &[
            &["1", "2.006", "2"],
            &["2", "3.002", "3"],
            &["3", "4", "4.010"],
            &["4", "5.0005", "5"],
            &["5", "6", "6"],
        ],
    );
    assert_eq!(tells(&both, "trims"), Some("both-ways"));
    assert!(text(&both.work[0]).contains("before any new trim"));
    // 2 mm can be told from square, half a millimetre cannot.
    let names: Vec<String> = both.work[1..].iter().map(text).collect();
    assert_eq!(names.len(), 3);
    for (name, step) in ["Return idler 1", "Return idler 2", "Return idler 3"].iter().zip(&names) {
        assert!(step.starts_with(name), "{step}");
    }
}

#[test]
fn square_idlers_and_doubtful_ones() {
    let square = way("carry", &[&["1", "2.001", "2"], &["2", "3", "3"]]);
    assert_eq!((tells(&square, "leads"), tells(&square, "trims")), (Some("square"), Some("none")));
    assert!(square.work.is_empty());
    // 3.5 mm against 3 mm, both ends read to 1 mm.
    let close = way("carry", &[&["1", "2.0035", "2"], &["2", "3", "3"]]);
    assert_eq!((tells(&close, "leads"), tells(&close, "trims")), (None, None));
    assert!(close.tells.iter().all(|(id, _)| *id != "tilt"));
}

#[test]
fn tilt_is_held_against_two_degrees_and_none_in_reverse() {
    let rows: &[&[&str]] =
        &[&["1", "2", "2", "1.5"], &["2", "3", "3", "2.6"], &["3", "4", "4", ""]];
    let outcome = way("carry", rows);
    // Published: forward tilt of at most 2 degrees.
    assert!((figure(&outcome, "tilt").limit.unwrap().size.si().to_degrees() - 2.0).abs() < 1e-12);
    assert_eq!(tells(&outcome, "tilt"), Some("too-far"));
    assert_eq!(outcome.work.len(), 1);
    let little = way("carry", &rows[..1]);
    assert_eq!(tells(&little, "tilt"), Some("within"));
    let setting = Setting { facts: known(&[("reversing", "yes")]), ..Setting::default() };
    let reversing = (GAUGE.work)(&readings(&GAUGE, "carry", SINGLE, &rows[..1]), &setting).unwrap();
    assert_eq!(tells(&reversing, "tilt"), Some("too-far"));
}

#[test]
fn a_site_may_set_its_own_limit() {
    let mut setting = Setting::default();
    setting.limits.insert("idler-square", Quantity::of(Kind::Length, 0.02));
    let read = readings(&GAUGE, "carry", SINGLE, &[&["7", "12.008", "12.000"]]);
    assert_eq!(tells(&(GAUGE.work)(&read, &setting).unwrap(), "leads"), Some("square"));
}

#[test]
fn readings_that_cannot_be_are_refused() {
    for (rows, row, key) in [
        (&[&["1", "2", "2"][..], &["1", "3", "3"]][..], 1, "idler"),
        (&[&["1", "2", "2"][..], &["2", "3", "4"]], 1, "left"),
        (&[&["1", "2", "2", "60"][..]], 0, "tilt"),
    ] {
        let amiss = work(&GAUGE, "carry", SINGLE, rows).unwrap_err();
        assert_eq!(
            (amiss.row, amiss.key.map(straybelt::gauge::ReadingKey::as_str)),
            (Some(row), Some(key))
        );
    }
    for (key, size) in [("width", "30 m"), ("feet", "2 mm")] {
        let single = [("datum", "tail"), ("across", "1000"), (key, size)];
        let amiss = work(&GAUGE, "carry", &single, &[&["1", "2", "2"]]).unwrap_err();
        assert_eq!(amiss.key.map(straybelt::gauge::ReadingKey::as_str), Some(key));
    }
}

fn rows(leads: &[f64], mirror: bool) -> Vec<[String; 3]> {
    leads
        .iter()
        .enumerate()
        .map(|(at, lead)| {
            let (a, b) = (format!("{} m", 5.0 + lead / 1000.0), "5 m".to_owned());
            if mirror { [at.to_string(), b, a] } else { [at.to_string(), a, b] }
        })
        .collect()
}

fn of(strand: &str, cells: &[[String; 3]]) -> Outcome {
    let rows: Vec<Vec<&str>> =
        cells.iter().map(|row| row.iter().map(String::as_str).collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    way(strand, &rows)
}

proptest! {
    #[test]
    fn a_mirror_or_the_other_strand_swaps_the_sides(leads in proptest::collection::vec(-15.0..15.0_f64, 1..9)) {
        let plain = of("carry", &rows(&leads, false));
        let swap = |word| match word {
            Some("left") => Some("right"),
            Some("right") => Some("left"),
            same => same,
        };
        for other in [of("carry", &rows(&leads, true)), of("return", &rows(&leads, false))] {
            prop_assert_eq!(swap(tells(&plain, "leads")), tells(&other, "leads"));
            prop_assert_eq!(tells(&plain, "trims"), tells(&other, "trims"));
            prop_assert_eq!(plain.work.len(), other.work.len());
            for (step, mirrored) in plain.work.iter().zip(&other.work) {
                prop_assert_eq!(side(step), side(mirrored).map(Side::other));
            }
        }
    }

    #[test]
    fn what_is_shifted_as_told_stands_square(lead in prop_oneof![-40.0..-5.0_f64, 5.0..40.0_f64]) {
        for strand in ["carry", "return"] {
            let outcome = of(strand, &rows(&[lead], false));
            let step = &outcome.work[0];
            let toward_head = if text(step).contains("toward the head") { 1.0 } else { -1.0 };
            let end = if side(step) == Some(Side::Left) { 1.0 } else { -1.0 };
            let after = lead / 1000.0 + end * toward_head * amount(step);
            prop_assert!(after.abs() < 1e-9, "{after}");
        }
    }
}
