//! Bow: drawn arcs measured back, mirrors, two lengths, places that cannot be.

use proptest::prelude::*;
use straybelt::gauge::bow::{GAUGE, arc};
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{near, says, si, tells, text, work};

/// Five places over a length, from its tail end, of an even bow of a depth, in text.
fn five(part: &str, long_m: f64, deep_m: f64) -> Vec<[String; 3]> {
    [0.0, 0.25, 0.5, 0.75, 1.0]
        .map(|at: f64| {
            let gap = 4.0 * deep_m * at * (1.0 - at);
            [part.to_owned(), format!("{:.4} m", at * long_m), format!("{gap:.9} m")]
        })
        .to_vec()
}

fn measured(edge: &str, lengths: &[Vec<[String; 3]>], more: &[(&str, &str)]) -> Outcome {
    let cells: Vec<[&str; 3]> =
        lengths.iter().flatten().map(|row| row.each_ref().map(String::as_str)).collect();
    let rows: Vec<&[&str]> = cells.iter().map(<[&str; 3]>::as_slice).collect();
    work(&GAUGE, "string", &[&[("edge", edge)], more].concat(), &rows).unwrap()
}

#[test]
fn the_books_limit_is_fifty_millimetres_in_ten_metres() {
    // The book's own figure for a bowed belt: over 0.5 %, or 50 mm in 10 m (from memory).
    let over = measured("left", &[five("1", 10.0, 0.055)], &[("width", "1000")]);
    assert_eq!(tells(&over, "bows"), Some("one-way"));
    near(si(&over, "bow"), 0.055, 1e-8);
    near(si(&over, "bow-share"), 0.0055, 1e-9);
    // By hand: the radius of 55 mm over 10 m is 100/(8 x 0.055) = 227.3 m, and 1 m of width is 0.44 % of that.
    near(si(&over, "edge-longer"), 0.0044, 1e-9);
    assert!(text(&over.says).contains("LEFT edge is hollow"));
    let under = measured("left", &[five("1", 10.0, 0.045)], &[]);
    assert_eq!((tells(&under, "bows"), under.verdict), (Some("straight"), Verdict::Within));
    assert!(under.work.is_empty());
    let close = measured("left", &[five("1", 10.0, 0.0499)], &[("error", "1")]);
    assert_eq!((tells(&close, "bows"), close.verdict), (None, Verdict::TooClose));
}

#[test]
fn a_string_along_the_other_edge_tells_the_same() {
    let left = measured("left", &[five("1", 12.0, 0.08)], &[]);
    let right = measured("right", &[five("1", 12.0, -0.08)], &[]);
    near(si(&left, "bow"), si(&right, "bow"), 1e-12);
    assert_eq!(text(&left.says), text(&right.says));
}

#[test]
fn lengths_bowed_opposite_ways_are_told_apart_from_lengths_bowed_alike() {
    let two =
        |second: f64| measured("left", &[five("A", 10.0, 0.06), five("B", 12.0, second)], &[]);
    assert_eq!(tells(&two(-0.09), "bows"), Some("opposed"));
    assert_eq!(tells(&two(0.09), "bows"), Some("one-way"));
    assert_eq!(tells(&two(0.0), "bows"), Some("one-way"));
    // The second may be beyond its limit the other way: that is not told.
    assert_eq!(tells(&two(-0.06), "bows"), None);
    assert_eq!(two(-0.06).verdict, Verdict::Beyond);
}

#[test]
fn a_bent_place_is_no_even_bow_and_is_named() {
    let mut rows = five("1", 10.0, 0.0);
    rows[1][2] = "40 mm".to_owned();
    let outcome = measured("left", &[rows], &[]);
    assert!(says(&outcome.notes, "does not bow evenly"));
    near(si(&outcome, "largest"), 0.04, 1e-9);
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let amiss = |rows: &[&[&str]]| work(&GAUGE, "string", &[("edge", "left")], rows).unwrap_err();
    let back = amiss(&[&["1", "0 m", "0"], &["1", "5 m", "0"], &["1", "3 m", "0"]]);
    assert_eq!((back.row, back.key.map(ReadingKey::as_str)), (Some(2), Some("at")));
    let few = amiss(&[&["1", "0 m", "0"], &["1", "5 m", "0"], &["2", "0 m", "0"]]);
    assert!(text(&few.words).contains("length 1"));
    let far = amiss(&[&["1", "0 m", "0"], &["1", "5 m", "3 m"], &["1", "10 m", "0"]]);
    assert!(text(&far.words).contains("no edge along it"));
}

proptest! {
    #[test]
    fn the_arc_is_what_was_drawn_wherever_the_places_lie(
        deep in -0.2..0.2_f64, long in 4.0..30.0_f64, inner in proptest::collection::vec(0.05..0.95_f64, 1..6),
        tilt in -0.05..0.05_f64, start in 0.0..5.0_f64,
    ) {
        let mut parts = inner;
        parts.extend([0.0, 1.0]);
        parts.sort_by(f64::total_cmp);
        parts.dedup_by(|a, b| (*a - *b).abs() < 0.01);
        prop_assume!(parts.len() >= 3);
        let points: Vec<(f64, f64)> =
            parts.iter().map(|at| (start + at * long, 0.01 + tilt * at + 4.0 * deep * at * (1.0 - at))).collect();
        let arc = arc(&points).unwrap();
        prop_assert!((arc.deep_m - deep).abs() < 1e-9);
        prop_assert!(arc.off_m < 1e-9);
        prop_assert!(arc.error > 0.5);
    }
}
