//! Pulley faces: crowned, worn flat, hollow, too high, worn at one end; the published rules; bad readings.

use proptest::prelude::*;
use straybelt::conveyor::quantity::{Kind, Quantity};
use straybelt::gauge::crown::{Face, GAUGE, light_height_m, trapezoid_height_m};
use straybelt::gauge::{Outcome, Setting, Verdict};

use crate::support::{figure, known, readings, tells, work};

#[test]
fn crown_by_diameter_is_as_published() {
    // Published: a page on crown shapes, d 350 mm.
    assert!((trapezoid_height_m(0.35) - 0.001).abs() < 1e-12);
    // Published: light-belt guidelines, chapter 11, the whole table, mm.
    for (diameter, height) in [
        (50.0, 0.25),
        (100.0, 0.35),
        (150.0, 0.45),
        (200.0, 0.55),
        (250.0, 0.65),
        (300.0, 0.75),
        (350.0, 0.85),
        (400.0, 0.95),
        (450.0, 1.05),
        (500.0, 1.15),
    ] {
        assert!((light_height_m(diameter / 1000.0) * 1000.0 - height).abs() < 1e-9, "{diameter}");
    }
}

fn face(diameters: &[&str], single: &[(&str, &str)], setting: &Setting) -> Outcome {
    // Over 1 m, evenly.
    let places: Vec<String> = (0..diameters.len())
        .map(|at| format!("{} mm", 1000.0 * at as f64 / (diameters.len() - 1) as f64))
        .collect();
    let rows: Vec<[&str; 2]> =
        places.iter().zip(diameters).map(|(place, d)| [place.as_str(), *d]).collect();
    let rows: Vec<&[&str]> = rows.iter().map(|row| &row[..]).collect();
    let mut all = vec![("pulley", "tail"), ("error", "0.2")];
    all.extend(single);
    (GAUGE.work)(&readings(&GAUGE, "diameters", &all, &rows), setting).unwrap()
}

fn drawn(diameters: &[&str]) -> Outcome {
    face(diameters, &[("drawn", "3")], &Setting::default())
}

#[test]
fn a_crown_as_drawn_a_worn_one_a_hollow_one_and_too_much() {
    // Worked by hand: 3 mm drawn on the diameter; half of it must be left; 3.175 mm is the most.
    let good = drawn(&["500", "502", "502.4", "502", "500"]);
    assert!((figure(&good, "crown").size.si() - 0.002_4).abs() < 1e-12);
    assert_eq!(
        (tells(&good, "face"), tells(&good, "bigger-end")),
        (Some("as-drawn"), Some("even"))
    );
    let worn = drawn(&["500", "500.5", "500.6", "500.5", "500"]);
    assert_eq!(tells(&worn, "face"), Some("flat-or-hollow"));
    assert_eq!(worn.verdict, Verdict::Beyond);
    let hollow = drawn(&["500", "498", "497", "498", "500"]);
    assert!((figure(&hollow, "crown").size.si() + 0.003).abs() < 1e-12);
    assert_eq!(tells(&hollow, "face"), Some("flat-or-hollow"));
    let high = drawn(&["500", "504", "506", "504", "500"]);
    assert_eq!(tells(&high, "face"), Some("too-much"));
    assert!((figure(&high, "crown").limit.unwrap().size.si() - 0.003_175).abs() < 1e-12);
    let close = drawn(&["500", "501", "501.6", "501", "500"]);
    assert_eq!((tells(&close, "face"), close.verdict), (None, Verdict::TooClose));
}

#[test]
fn the_upper_limit_is_an_eighth_of_an_inch_in_a_foot() {
    // Published: 1/8 in per ft on the diameter: 1.5875 mm over 6 in.
    let rows: &[&[&str]] = &[&["0", "200"], &["3 in", "203"], &["6 in", "200"]];
    let outcome = work(&GAUGE, "diameters", &[("pulley", "tail"), ("error", "0.1")], rows).unwrap();
    assert!((figure(&outcome, "crown").limit.unwrap().size.si() - 0.001_587_5).abs() < 1e-9);
    // Its source prints the fraction damaged: by itself it calls for no work.
    assert_eq!((tells(&outcome, "face"), outcome.work.len()), (None, 0));
}

#[test]
fn a_face_worn_at_one_end_is_larger_at_the_other() {
    let outcome = drawn(&["500", "501", "502", "499", "496"]);
    assert!((figure(&outcome, "ends").size.si() - 0.004).abs() < 1e-12);
    assert_eq!(tells(&outcome, "bigger-end"), Some("left"));
    assert!(!outcome.work.is_empty());
}

#[test]
fn steel_cord_wants_flat_pulleys() {
    let setting = Setting { facts: known(&[("carcass", "steel-cord")]), ..Setting::default() };
    let flat = face(&["500", "500", "500.1", "500", "500"], &[], &setting);
    assert_eq!((tells(&flat, "face"), flat.verdict), (Some("as-drawn"), Verdict::Within));
    let crowned = face(&["500", "501", "502", "501", "500"], &[("drawn", "2")], &setting);
    assert_eq!(tells(&crowned, "face"), Some("too-much"));
    assert_eq!(crowned.notes.len(), 1);
    let hollow = face(&["500", "499", "498", "499", "500"], &[], &setting);
    assert_eq!(tells(&hollow, "face"), Some("flat-or-hollow"));
}

#[test]
fn without_a_drawing_the_class_says_what_should_be() {
    let class = |class| Setting { facts: known(&[("class", class)]), ..Setting::default() };
    let light = face(&["350", "351", "351.6", "351", "350"], &[], &class("flat"));
    // Published: 0.85 mm at 350 mm, above the ends on the radius.
    assert!((figure(&light, "should").size.si() - 0.001_7).abs() < 1e-9);
    assert!((figure(&light, "should-trapezoid").size.si() - 0.002).abs() < 1e-9);
    assert_eq!(tells(&light, "face"), Some("as-drawn"));
    let bulk =
        face(&["500", "501", "501.5", "501", "500"], &[("face", "1000")], &class("troughed-bulk"));
    // Published: about 1/16 in per ft of face.
    assert!((figure(&bulk, "should").size.si() - 0.005_208_3).abs() < 1e-6);
    let mut file = class("flat");
    file.dimensions.insert("tail.crown", Quantity::of(Kind::Length, 0.001));
    let from_file = face(&["350", "351", "351", "351", "350"], &[], &file);
    assert!((figure(&from_file, "should").size.si() - 0.001).abs() < 1e-12);
}

#[test]
fn gaps_show_half_of_the_crown() {
    let rows: &[&[&str]] =
        &[&["0", "1.2"], &["300", "0.2"], &["500", "0"], &["700", "0.2"], &["1000", "1.2"]];
    let single = [("pulley", "head"), ("drawn", "2.4")];
    let outcome = work(&GAUGE, "gaps", &single, rows).unwrap();
    // The middle third holds the middle place only.
    assert!((figure(&outcome, "crown").size.si() - 0.002_4).abs() < 1e-12);
    assert_eq!(tells(&outcome, "face"), Some("as-drawn"));
    assert!(outcome.tells.iter().all(|(id, _)| *id != "bigger-end"));
    let askew: &[&[&str]] = &[&["0", "0"], &["500", "0.5"], &["1000", "3"]];
    let parallel = [("pulley", "head"), ("parallel", "yes")];
    let outcome = work(&GAUGE, "gaps", &parallel, askew).unwrap();
    // A gap of 3 mm at the right end: it is 6 mm smaller in diameter.
    assert!((figure(&outcome, "ends").size.si() - 0.006).abs() < 1e-12);
    assert_eq!(tells(&outcome, "bigger-end"), Some("left"));
}

#[test]
fn readings_that_cannot_be_are_refused() {
    let single = [("pulley", "tail"), ("face", "1000")];
    for (rows, row, key) in [
        (&[&["0", "500"][..], &["500", "500"], &["500", "500"]][..], Some(2), Some("place")),
        (&[&["0", "500"][..], &["500", "50"], &["900", "500"]], Some(1), Some("diameter")),
        (&[&["0", "500"][..], &["500", "500"], &["1100", "500"]], Some(2), Some("place")),
        (&[&["0", "500"][..], &["100", "500"], &["900", "500"]], None, None),
    ] {
        let amiss = work(&GAUGE, "diameters", &single, rows).unwrap_err();
        assert_eq!((amiss.row, amiss.key.map(straybelt::gauge::ReadingKey::as_str)), (row, key));
    }
    let amiss =
        work(&GAUGE, "gaps", &single, &[&["0", "1"], &["500", "2"], &["900", "1"]]).unwrap_err();
    assert_eq!(amiss.key.map(straybelt::gauge::ReadingKey::as_str), None);
    let drawn = [("pulley", "tail"), ("drawn", "300")];
    let rows: &[&[&str]] = &[&["0", "500"], &["500", "500"], &["900", "500"]];
    assert_eq!(
        work(&GAUGE, "diameters", &drawn, rows)
            .unwrap_err()
            .key
            .map(straybelt::gauge::ReadingKey::as_str),
        Some("drawn")
    );
}

#[test]
fn the_error_told_is_what_the_readings_errors_do() {
    // Five places, each diameter off by 1 mm in turn: two in the middle third would share, here one is there.
    let face = |diameters: &[f64]| {
        let places = [0.0, 0.25, 0.5, 0.75, 1.0];
        Face(places.into_iter().zip(diameters.iter().copied()).collect()).shape().unwrap()
    };
    let flat = [0.5; 5];
    let squares = (0..5).map(|at| {
        let mut moved = flat;
        moved[at] += 0.001;
        ((face(&moved).crown_m - face(&flat).crown_m) / 0.001).powi(2)
    });
    assert!((face(&flat).crown_error - squares.sum::<f64>().sqrt()).abs() < 1e-9);
}

proptest! {
    #[test]
    fn a_mirrored_face_has_the_same_crown_and_the_other_end_larger(
        diameters in proptest::collection::vec(0.49..0.51_f64, 3..9), scale in 0.1..10.0_f64,
    ) {
        let count = diameters.len() as f64 - 1.0;
        let at = |n: usize| n as f64 / count;
        let face = |scale: f64, turned: bool| {
            let mut order = diameters.clone();
            if turned {
                order.reverse();
            }
            Face(order.iter().enumerate().map(|(n, d)| (at(n) * scale, d * scale)).collect()).shape()
        };
        match (face(1.0, false), face(1.0, true), face(scale, false)) {
            (Some(plain), Some(mirror), Some(bigger)) => {
                prop_assert!((plain.crown_m - mirror.crown_m).abs() < 1e-12);
                prop_assert!((plain.left_larger_m + mirror.left_larger_m).abs() < 1e-12);
                prop_assert!((plain.crown_m * scale - bigger.crown_m).abs() < 1e-9);
                prop_assert!((plain.crown_error - bigger.crown_error).abs() < 1e-12);
            }
            // Four places leave the middle third's ends only.
            other => prop_assert!(other == (None, None, None), "{other:?}"),
        }
    }

    #[test]
    fn more_wear_never_makes_it_better(worn in 0.2..4.0_f64, more in 0.0..2.0_f64) {
        let rank = |worn: f64| {
            let middle = format!("{} mm", 503.0 - worn);
            match tells(&drawn(&["500", &middle, &middle, &middle, "500"]), "face") {
                Some("as-drawn") => 0,
                None => 1,
                Some("flat-or-hollow") => 2,
                _ => -1,
            }
        };
        prop_assert!(rank(worn + more) >= rank(worn));
    }
}
