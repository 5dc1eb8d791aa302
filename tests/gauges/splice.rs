//! The joint's squareness: hand-worked joints, mirrors, bad readings.

use proptest::prelude::*;
use straybelt::gauge::splice::{GAUGE, MiddleMark, from_diagonals, from_marks, off_square_rad};
use straybelt::gauge::{Outcome, Verdict};

use crate::support::{figure, tells, work};

#[test]
fn diagonals_give_back_the_angle_they_were_drawn_with() {
    // Derived here: sides 6000 and 900 mm, 0.25 degrees from square.
    let off = off_square_rad(6.0, 0.9, 6.071_006_814, 6.063_239_749).unwrap();
    assert!((off.to_degrees() - 0.25).abs() < 1e-6);
    let (a, b, delta) = (6.0_f64, 0.9_f64, 0.25_f64.to_radians());
    let drawn = |sign: f64| (a * a + b * b + sign * 2.0 * a * b * delta.sin()).sqrt();
    assert!((drawn(1.0) - 6.071_006_814).abs() < 1e-9);
    assert!((drawn(-1.0) - 6.063_239_749).abs() < 1e-9);
    assert!((b * off.tan() - 0.003_927_016).abs() < 1e-8);
}

#[test]
fn three_four_five_is_square() {
    // Published: the 3-4-5 rule for a right angle.
    assert_eq!(off_square_rad(3.0, 4.0, 5.0, 5.0), Some(0.0));
}

const MARKS: &[&[&str]] = &[
    &["0", "500", "500"],
    &["1", "500", "500"],
    &["2", "500", "500"],
    &["4", "500", "500"],
    &["5", "500", "500"],
    &["6", "500", "500"],
];

fn marks(left: &str, right: &str, more: &[(&str, &str)], rows: &[&[&str]]) -> Outcome {
    let mut single =
        vec![("joint", "3"), ("ahead_left", left), ("ahead_right", right), ("error", "0.5")];
    single.extend(more);
    work(&GAUGE, "marks", &single, rows).unwrap()
}

#[test]
fn a_joint_of_a_straight_belt_leads_by_what_is_read() {
    // Worked by hand: 1 m wide, straight belt, left end 10 mm nearer the head, right end 2 mm nearer the tail.
    let outcome =
        marks("10", "-2", &[("belt_length", "61.6 m"), ("speed", "1.5"), ("span", "3 m")], MARKS);
    let lead = figure(&outcome, "lead");
    assert!((lead.size.si() - 0.012).abs() < 1e-12);
    assert!((lead.limit.unwrap().size.si() - 0.005).abs() < 1e-12);
    assert_eq!(lead.verdict, Verdict::Beyond);
    assert!((figure(&outcome, "angle").size.si() - 0.012_f64.atan()).abs() < 1e-12);
    assert!(figure(&outcome, "kink").size.si().abs() < 1e-12);
    assert_eq!(tells(&outcome, "joint"), Some("out-of-square"));
    // Derived here: 61.6 m at 1.5 m/s is 41.0667 s.
    assert!((figure(&outcome, "between").size.si() - 41.066_7).abs() < 1e-4);
    assert_eq!(figure(&outcome, "jump").size.si(), 0.0);
    assert_eq!(outcome.work.len(), 1);
}

#[test]
fn the_string_may_lie_askew_on_the_belt() {
    // The belt's middle runs 3 mm to the left of the string in each metre: a joint square to it leads by -3 mm.
    let rows: &[&[&str]] = &[
        &["0", "491", "509"],
        &["1", "494", "506"],
        &["2", "497", "503"],
        &["4", "503", "497"],
        &["5", "506", "494"],
        &["6", "509", "491"],
    ];
    let outcome = marks("-1.5", "1.5", &[], rows);
    assert!(figure(&outcome, "lead").size.si().abs() < 1e-12);
    assert_eq!(tells(&outcome, "joint"), Some("square"));
}

#[test]
fn a_belt_that_bends_at_the_joint_is_out_of_square_there() {
    // From the joint on the belt runs 4 mm in 1 m to the left: beyond 2 mm in 1 m.
    let rows: &[&[&str]] = &[
        &["0", "500", "500"],
        &["1", "500", "500"],
        &["2", "500", "500"],
        &["4", "504", "496"],
        &["5", "508", "492"],
        &["6", "512", "488"],
    ];
    let outcome = marks("0", "0", &[("span", "3 m")], rows);
    assert!((figure(&outcome, "kink").size.si() - 0.004).abs() < 1e-12);
    assert_eq!(figure(&outcome, "kink").verdict, Verdict::Beyond);
    assert_eq!(tells(&outcome, "joint"), Some("out-of-square"));
    assert!((figure(&outcome, "jump").size.si() - 0.012).abs() < 1e-12);
}

#[test]
fn a_slant_on_purpose_is_no_fault() {
    let outcome = marks("200", "-200", &[("slant", "400 mm")], MARKS);
    assert!(figure(&outcome, "lead").size.si().abs() < 1e-12);
    assert_eq!(tells(&outcome, "joint"), Some("square"));
}

#[test]
fn a_lead_near_the_limit_is_not_called() {
    let outcome = marks("5", "0", &[], MARKS);
    assert_eq!(outcome.verdict, Verdict::TooClose);
    assert_eq!(tells(&outcome, "joint"), None);
}

#[test]
fn the_x_shows_the_same_joint_as_the_marks() {
    // 0.5 degrees over 1 m: the left end leads by 8.7 mm; both sides of the joint agree, so the belt is straight.
    let (a, b, delta) = (2.0_f64, 1.0_f64, 0.5_f64.to_radians());
    let drawn = |sign: f64| format!("{} m", (a + sign * b * delta.tan()).hypot(b));
    let (long, short) = (drawn(1.0), drawn(-1.0));
    let single = [
        ("along", "2"),
        ("width", "1000"),
        ("tail_from_left", long.as_str()),
        ("tail_from_right", short.as_str()),
        ("head_from_left", short.as_str()),
        ("head_from_right", long.as_str()),
    ];
    let outcome = work(&GAUGE, "diagonals", &single, &[]).unwrap();
    assert!((figure(&outcome, "lead").size.si() - delta.tan()).abs() < 1e-9);
    assert!(figure(&outcome, "kink").size.si().abs() < 1e-9);
    assert_eq!(tells(&outcome, "joint"), Some("out-of-square"));
    let one_side = work(&GAUGE, "diagonals", &single[..4], &[]).unwrap();
    assert_eq!(figure(&one_side, "lead").size, figure(&outcome, "lead").size);
    assert!(one_side.figures.iter().all(|figure| figure.id != "kink"));
}

#[test]
fn readings_that_cannot_be_are_refused_with_their_place() {
    let single = [("joint", "3"), ("ahead_left", "0"), ("ahead_right", "0")];
    for (rows, row, key) in [
        (&[&["0", "500", "500"][..], &["0", "500", "500"], &["2", "500", "500"]][..], 1, "along"),
        (&[&["2", "500", "500"][..], &["1", "500", "500"], &["0", "500", "500"]], 1, "along"),
        (&[&["0", "500", "500"][..], &["1", "500", "500"], &["2", "5", "5"]], 0, "left"),
        (&[&["0", "0", "0"][..], &["1", "500", "500"], &["2", "500", "500"]], 0, "left"),
    ] {
        let amiss = work(&GAUGE, "marks", &single, rows).unwrap_err();
        assert_eq!(amiss.key.map(straybelt::gauge::ReadingKey::as_str), Some(key), "{amiss:?}");
        if rows.len() == 3 && key == "along" {
            assert_eq!(amiss.row, Some(row));
        }
    }
    // One mark on each side of the joint settles no line.
    let rows: &[&[&str]] = &[&["0", "500", "500"], &["1", "500", "500"], &["2", "500", "500"]];
    let spread = [("joint", "9"), ("ahead_left", "3 m"), ("ahead_right", "0")];
    assert_eq!(
        work(&GAUGE, "marks", &spread, rows)
            .unwrap_err()
            .key
            .map(straybelt::gauge::ReadingKey::as_str),
        Some("ahead_left")
    );
    for (left, right) in [("5", "5"), ("2.3", "2.0"), ("2.4", "2.4"), ("0.5", "2")] {
        let single = [
            ("along", "2"),
            ("width", "1000"),
            ("tail_from_left", left),
            ("tail_from_right", right),
        ];
        let amiss = work(&GAUGE, "diagonals", &single, &[]).unwrap_err();
        assert_eq!(amiss.key.map(straybelt::gauge::ReadingKey::as_str), Some("tail_from_left"));
    }
    let half = [
        ("along", "2"),
        ("width", "1000"),
        ("tail_from_left", "2.236"),
        ("tail_from_right", "2.236"),
        ("head_from_left", "2.236"),
    ];
    assert_eq!(
        work(&GAUGE, "diagonals", &half, &[])
            .unwrap_err()
            .key
            .map(straybelt::gauge::ReadingKey::as_str),
        Some("head_from_right")
    );
    let still = [
        ("joint", "3"),
        ("ahead_left", "0"),
        ("ahead_right", "0"),
        ("belt_length", "60"),
        ("speed", "0.00001"),
    ];
    assert_eq!(
        work(&GAUGE, "marks", &still, MARKS)
            .unwrap_err()
            .key
            .map(straybelt::gauge::ReadingKey::as_str),
        Some("speed")
    );
}

/// The root sum of squares of what a small change of each reading does, per unit of change.
fn felt(of: impl Fn(&[f64]) -> f64, readings: &[f64]) -> f64 {
    let step = 1e-6;
    let squares = (0..readings.len()).map(|at| {
        let mut moved = readings.to_vec();
        moved[at] += step;
        let up = of(&moved);
        moved[at] -= 2.0 * step;
        ((up - of(&moved)) / (2.0 * step)).powi(2)
    });
    squares.sum::<f64>().sqrt()
}

#[test]
fn the_error_told_is_what_the_readings_errors_do() {
    // Each reading off by 1 mm, one after the other: left and right of five marks, and both ends of the joint.
    let readings = [0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5, 0.004, -0.003];
    let skew = |r: &[f64]| {
        let marks: Vec<MiddleMark> = (0..5)
            .map(|at| MiddleMark {
                along_m: at as f64,
                middle_m: (r[2 * at] - r[2 * at + 1]) / 2.0,
            })
            .collect();
        from_marks(&marks, r[10] - r[11], 1.0, 0.001).unwrap()
    };
    let told = skew(&readings).error_rad;
    let found = felt(|r| skew(r).angle_rad, &readings) * 0.001;
    assert!((told - found).abs() < 1e-3 * found, "{told} {found}");

    let x = |r: &[f64]| from_diagonals(2.0, 1.0, (r[0], r[1]), true, 0.001).unwrap();
    let readings = [2.24, 2.232];
    let (told, found) = (x(&readings).error_rad, felt(|r| x(r).angle_rad, &readings) * 0.001);
    assert!((told - found).abs() < 1e-3 * found, "{told} {found}");
}

#[test]
fn a_joint_that_slants_on_purpose_is_square_to_its_own_slant() {
    // Drawn: 0.9 m wide, the left end meant 300 mm ahead; edges of 1.5 m from both ends toward the tail.
    let x = |ahead: f64| format!("{:.6} m", (1.5 + ahead).hypot(0.9));
    let (from_left, from_right) = (x(0.3), x(-0.3));
    let single = [
        ("along", "1.5"),
        ("width", "900"),
        ("tail_from_left", from_left.as_str()),
        ("tail_from_right", from_right.as_str()),
        ("slant", "300"),
    ];
    let outcome = crate::support::work(&GAUGE, "diagonals", &single, &[]).unwrap();
    assert!(crate::support::si(&outcome, "lead").abs() < 1e-5);
    assert!(!crate::support::says(&outcome.notes, "fit the length and width badly"));
}

#[test]
fn scattered_marks_make_it_less_sure() {
    let marks = |off: f64| -> Vec<MiddleMark> {
        [0.0, off, 0.0, -off, 0.0, off]
            .iter()
            .enumerate()
            .map(|(at, middle)| MiddleMark { along_m: at as f64, middle_m: *middle })
            .collect()
    };
    let sure = from_marks(&marks(0.0), 0.0, 1.0, 0.001).unwrap();
    let unsure = from_marks(&marks(0.01), 0.0, 1.0, 0.001).unwrap();
    assert!(unsure.error_rad > 1.5 * sure.error_rad);
}

proptest! {
    #[test]
    fn a_mirrored_joint_leads_the_other_way(
        middles in proptest::collection::vec(-0.02..0.02_f64, 3..9), lead in -0.05..0.05_f64, width in 0.3..2.4_f64,
    ) {
        let marks = |sign: f64| -> Vec<MiddleMark> {
            middles.iter().enumerate().map(|(at, middle)| MiddleMark { along_m: at as f64, middle_m: sign * middle }).collect()
        };
        let plain = from_marks(&marks(1.0), lead, width, 0.001).unwrap();
        let mirror = from_marks(&marks(-1.0), -lead, width, 0.001).unwrap();
        prop_assert!((plain.angle_rad + mirror.angle_rad).abs() < 1e-12);
        prop_assert!((plain.error_rad - mirror.error_rad).abs() < 1e-12);
    }

    #[test]
    fn the_angle_does_not_hang_on_the_size(
        along in 1.0..6.0_f64, width in 0.4..2.0_f64, delta in -0.05..0.05_f64, scale in 0.1..10.0_f64,
    ) {
        // Straight edges so far apart; the joint slants between them.
        let drawn = |sign: f64| (along + sign * width * delta.tan()).hypot(width);
        let plain = from_diagonals(along, width, (drawn(1.0), drawn(-1.0)), true, 0.001).unwrap();
        let bigger = from_diagonals(along * scale, width * scale, (drawn(1.0) * scale, drawn(-1.0) * scale), true, 0.001 * scale).unwrap();
        prop_assert!((plain.angle_rad - delta).abs() < 1e-12);
        prop_assert!((plain.angle_rad - bigger.angle_rad).abs() < 1e-12);
        prop_assert!((plain.error_rad - bigger.error_rad).abs() < 1e-12);
        let swapped = from_diagonals(along, width, (drawn(-1.0), drawn(1.0)), true, 0.001).unwrap();
        prop_assert!((plain.angle_rad + swapped.angle_rad).abs() < 1e-12);
    }
}
