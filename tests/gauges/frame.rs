//! The frame: bowed beams, stands knocked aside, tilted and twisted stretches, bad readings.

use proptest::prelude::*;
use straybelt::gauge::frame::{GAUGE, shifts, worst_stretch};
use straybelt::gauge::{Outcome, Piece, Plot, Verdict, Words};
use straybelt::trade::Side;

use crate::support::{figure, tells, work};

/// Offsets in mm at every 3 m, the string to the right: plus is to the left.
fn string(offsets: &[f64], line: &str, error: &str) -> Outcome {
    let cells: Vec<[String; 2]> = offsets
        .iter()
        .enumerate()
        .map(|(at, offset)| [format!("{}", 3 * at), format!("{offset:.6}")])
        .collect();
    let rows: Vec<Vec<&str>> =
        cells.iter().map(|row| row.iter().map(String::as_str).collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let single = [("line", line), ("error", error), ("of", "both"), ("diagonals", "alike")];
    work(&GAUGE, "string", &single, &rows).unwrap()
}

fn parts(words: &Words) -> (Vec<Side>, Vec<f64>) {
    let mut found = (Vec::new(), Vec::new());
    for piece in &words.0 {
        match piece {
            Piece::Side(side) => found.0.push(*side),
            Piece::Quantity(size) => found.1.push(size.si()),
            Piece::Place(metres) => found.1.push(*metres),
            Piece::Text(_) => {}
        }
    }
    found
}

#[test]
fn one_stand_knocked_aside_is_shifted_back_alone() {
    // Worked by hand: all on 100 mm from the string but the fourth, 8 mm further left.
    let outcome = string(&[100.0, 100.0, 100.0, 108.0, 100.0, 100.0, 100.0], "right", "0.5");
    assert_eq!(tells(&outcome, "stands"), Some("some"));
    assert_eq!(tells(&outcome, "line"), Some("straight"));
    assert_eq!(outcome.verdict, Verdict::Beyond);
    assert!((figure(&outcome, "station").size.si() - 0.008).abs() < 1e-12);
    assert_eq!(outcome.work.len(), 1);
    let (sides, sizes) = parts(&outcome.work[0]);
    assert_eq!(sides, [Side::Right]);
    assert!((sizes[0] - 9.0).abs() < 1e-12 && (sizes[1] - 0.008).abs() < 1e-12, "{sizes:?}");
    let Some(Plot::Points(plot)) = &outcome.plot else { panic!("a plot") };
    assert_eq!(plot.lines.len(), 3);
    let beyond: Vec<f64> =
        plot.points.iter().filter(|point| point.beyond).map(|point| point.along).collect();
    assert_eq!(beyond, [9.0]);
}

#[test]
fn a_string_on_the_other_side_says_the_same() {
    // The beam 8 mm nearer to a string on its left lies 8 mm further left.
    let outcome = string(&[100.0, 100.0, 100.0, 92.0, 100.0, 100.0, 100.0], "left", "0.5");
    assert_eq!(parts(&outcome.work[0]).0, [Side::Right]);
    assert!((figure(&outcome, "station").size.si() - 0.008).abs() < 1e-12);
}

#[test]
fn a_bowed_beam_is_not_a_knocked_stand() {
    // A bow of 12 mm over 24 m: 3 mm in the worst 12 m is just at the limit, so twice that is beyond.
    let bow = |high: f64| -> Vec<f64> {
        (0..9).map(|at| f64::from(at) / 4.0 - 1.0).map(|x| high * (1.0 - x * x)).collect()
    };
    let outcome = string(&bow(24.0), "right", "0.5");
    assert_eq!(tells(&outcome, "line"), Some("bowed"));
    assert_eq!(tells(&outcome, "stands"), Some("none"));
    // A parabola over half its length has a quarter of its height.
    assert!((figure(&outcome, "stretch").size.si() - 0.006).abs() < 1e-9);
    assert!((figure(&outcome, "zone").size.si() - 0.024).abs() < 1e-9);
    let close = string(&bow(12.0), "right", "0.5");
    assert_eq!(tells(&close, "line"), None);
    let straight = string(&bow(2.0), "right", "0.5");
    assert_eq!(tells(&straight, "line"), Some("straight"));
    assert_eq!(tells(&straight, "stands"), Some("none"));
    assert!(straight.work.is_empty());
}

#[test]
fn an_askew_string_is_no_fault() {
    let offsets: Vec<f64> = (0..10).map(|at| 50.0 + 4.0 * f64::from(at)).collect();
    let outcome = string(&offsets, "right", "0.5");
    assert_eq!(outcome.verdict, Verdict::Within);
    // 4 mm in 3 m.
    assert!((figure(&outcome, "askew").size.si() - 0.04 / 3.0).abs() < 1e-9);
}

#[test]
fn the_three_widths_stand_in_order() {
    // Derived here, in mm for µm and 1 m for 0.1 m: the readings of the interferometer guide's example.
    let outcome = work(
        &GAUGE,
        "string",
        &[("line", "right")],
        &[
            &["0", "-0.3"],
            &["1", "0.9"],
            &["2", "1.5"],
            &["3", "2.5"],
            &["4", "2.9"],
            &["5", "3.6"],
            &["6", "4.2"],
            &["7", "5.1"],
            &["8", "5.9"],
            &["9", "7.2"],
        ],
    )
    .unwrap();
    let size = |id| figure(&outcome, id).size.si();
    assert!((size("zone") - 0.000_65).abs() < 1e-9);
    assert!((size("zone-least-squares") - 0.000_703_636).abs() < 1e-9);
    assert!((size("zone-theil-sen") - 0.000_75).abs() < 1e-9);
}

/// Heights in mm at 0, 3, 6 m ...: how much the left is the higher.
fn level(high: &[f64], bigger: &str) -> Outcome {
    let sign = if bigger == "higher" { 1.0 } else { -1.0 };
    let cells: Vec<[String; 3]> = high
        .iter()
        .enumerate()
        .map(|(at, high)| {
            [format!("{}", 3 * at), format!("{}", 50.0 + sign * high), "50".to_owned()]
        })
        .collect();
    let rows: Vec<Vec<&str>> =
        cells.iter().map(|row| row.iter().map(String::as_str).collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    work(&GAUGE, "level", &[("bigger", bigger)], &rows).unwrap()
}

#[test]
fn the_low_side_is_named_and_lifted() {
    for bigger in ["higher", "lower"] {
        let outcome = level(&[0.0, 6.0, 7.0, 1.0], bigger);
        assert_eq!(tells(&outcome, "low-side"), Some("right"), "{bigger}");
        assert_eq!(outcome.work.len(), 2);
        let (sides, sizes) = parts(&outcome.work[1]);
        assert_eq!(sides, [Side::Right]);
        assert!((sizes[0] - 6.0).abs() < 1e-12 && (sizes[1] - 0.007).abs() < 1e-12);
    }
    assert_eq!(tells(&level(&[-6.0, -6.0, 0.0], "higher"), "low-side"), Some("left"));
    assert_eq!(tells(&level(&[0.5, -0.5, 1.0], "higher"), "low-side"), Some("level"));
    // Within the reading error of 3 mm.
    assert_eq!(tells(&level(&[0.0, 3.5, 0.0], "higher"), "low-side"), None);
    let twisted = level(&[6.0, 0.0, -6.0], "higher");
    assert_eq!(tells(&twisted, "low-side"), None);
    assert_eq!(twisted.verdict, Verdict::Beyond);
}

#[test]
fn stations_twice_or_out_of_order_are_refused_with_their_row() {
    let single = [("line", "right")];
    for (rows, row, key) in [
        (&[&["0", "1"][..], &["3", "1"], &["3", "2"], &["6", "1"]][..], 2, "station"),
        (&[&["0", "1"][..], &["30", "1"], &["6", "2"], &["9", "1"]], 2, "station"),
        (&[&["9", "1"][..], &["6", "1"], &["6", "2"], &["0", "1"]], 2, "station"),
        (&[&["0", "1"][..], &["3", "11 m"], &["6", "2"], &["9", "1"]], 1, "gap"),
        (&[&["0", "1"][..], &["3", "1"], &["6", "2"], &["900 km", "1"]], 3, "station"),
    ] {
        let amiss = work(&GAUGE, "string", &single, rows).unwrap_err();
        assert_eq!(
            (amiss.row, amiss.key.map(straybelt::gauge::ReadingKey::as_str)),
            (Some(row), Some(key)),
            "{amiss:?}"
        );
    }
    // From head to tail is in order too.
    let back: &[&[&str]] = &[&["9", "1"], &["6", "1"], &["3", "2"], &["0", "1"]];
    assert_eq!(work(&GAUGE, "string", &single, back).unwrap().verdict, Verdict::Within);
    let amiss = work(&GAUGE, "string", &single, &[&["0", "1"], &["3", "1"]]).unwrap_err();
    assert_eq!(amiss.row, None);
    let wide: &[&[&str]] = &[&["0", "1"], &["20", "1"], &["40", "2"], &["60", "1"]];
    let far = work(&GAUGE, "string", &single, wide).unwrap();
    assert_eq!(tells(&far, "line"), None);
}

fn swapped(word: Option<&'static str>) -> Option<&'static str> {
    match word {
        Some("left") => Some("right"),
        Some("right") => Some("left"),
        same => same,
    }
}

fn offsets() -> impl Strategy<Value = Vec<f64>> {
    (proptest::collection::vec(-2.0..2.0_f64, 4..16), 0..16_usize, -12.0..12.0_f64).prop_map(
        |(mut offsets, at, knock)| {
            if let Some(one) = offsets.get_mut(at) {
                *one += knock;
            }
            offsets
        },
    )
}

proptest! {
    #[test]
    fn in_a_mirror_all_goes_to_the_other_side(offsets in offsets()) {
        let (plain, mirror) = (string(&offsets, "right", "0.5"), string(&offsets, "left", "0.5"));
        prop_assert_eq!(&plain.tells, &mirror.tells);
        prop_assert_eq!(plain.verdict, mirror.verdict);
        prop_assert_eq!(plain.work.len(), mirror.work.len());
        for (step, other) in plain.work.iter().zip(&mirror.work) {
            let ((sides, sizes), (others, same)) = (parts(step), parts(other));
            prop_assert_eq!(sides[0], others[0].other());
            prop_assert!((sizes[1] - same[1]).abs() < 1e-9);
        }
        let (plain, mirror) = (level(&offsets, "higher"), level(&offsets, "lower"));
        prop_assert_eq!(tells(&plain, "low-side"), tells(&mirror, "low-side"));
        let turned: Vec<f64> = offsets.iter().map(|high| -high).collect();
        prop_assert_eq!(swapped(tells(&plain, "low-side")), tells(&level(&turned, "higher"), "low-side"));
    }

    #[test]
    fn once_shifted_as_told_the_frame_is_straight(offsets in offsets()) {
        let points: Vec<(f64, f64)> = offsets.iter().enumerate().map(|(at, offset)| (at as f64 * 3.0, offset / 1000.0)).collect();
        let moved: Vec<(f64, f64)> = points
            .iter()
            .map(|(along, offset)| {
                let shift = shifts(&points, 0.0015).iter().find(|(at, _)| at == along).map_or(0.0, |(_, off)| *off);
                (*along, offset - shift)
            })
            .collect();
        prop_assert!(worst_stretch(&moved, 12.0).unwrap().0 <= 0.003 + 1e-9);
        prop_assert!(shifts(&moved, 0.0015).is_empty());
    }

    #[test]
    fn a_further_knock_is_never_a_smaller_zone(at in 1..7_usize, knock in 0.0..10.0_f64, more in 0.0..10.0_f64) {
        let of = |knock: f64| {
            let points: Vec<(f64, f64)> = (0..8).map(|n| (n as f64 * 3.0, if n == at { knock } else { 0.0 })).collect();
            worst_stretch(&points, 12.0).unwrap().0
        };
        prop_assert!(of(knock + more) >= of(knock) - 1e-12);
    }
}
