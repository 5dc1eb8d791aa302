//! A squared line: published 3-4-5, drawn leans measured back, what it hands on to other gauges.

use proptest::prelude::*;
use straybelt::gauge::line::{GAUGE, of_diagonals, of_triangle};
use straybelt::gauge::{ReadingKey, Verdict, idlers, square};

use crate::support::{figure, near, says, si, text, work};

#[test]
fn three_four_five_is_a_right_angle() {
    // Published: the 3-4-5 rule.
    let single = [
        ("along", "4 m"),
        ("toward", "head"),
        ("left_out", "3 m"),
        ("left_slant", "5 m"),
        ("right_out", "3 m"),
        ("right_slant", "5 m"),
    ];
    let outcome = work(&GAUGE, "triangles", &single, &[]).unwrap();
    assert_eq!((si(&outcome, "off"), si(&outcome, "bend")), (0.0, 0.0));
    assert_eq!(outcome.verdict, Verdict::Within);
    assert!(outcome.work.is_empty() && outcome.amount.is_none());
}

#[test]
fn a_line_that_leans_is_shifted_back_at_its_far_end() {
    // Drawn: 3 m out, the left end 6 mm toward the head: 2 mm in 1 m. The point lies 4 m toward the head.
    let slant = |ahead: f64| format!("{:.9} m", (4.0 - ahead).hypot(3.0));
    let (left, right) = (slant(0.006), slant(-0.006));
    let out = format!("{:.9} m", 3.0_f64.hypot(0.006));
    let single = [
        ("along", "4 m"),
        ("toward", "head"),
        ("out", out.as_str()),
        ("left_slant", left.as_str()),
        ("right_slant", right.as_str()),
    ];
    let outcome = work(&GAUGE, "diagonals", &single, &[]).unwrap();
    near(si(&outcome, "lead-share"), 0.002, 1e-9);
    assert_eq!(outcome.verdict, Verdict::Beyond);
    near(outcome.amount.as_ref().unwrap().size.si(), 0.006, 1e-6);
    assert!(text(&outcome.says).contains("LEFT end is nearer the head"));
    assert!(text(&outcome.work[0]).contains("LEFT end of the squared line 6"));
    // Seen from the tail side the longer slant is the other one.
    let mut tail = single;
    tail[1].1 = "tail";
    let tail = work(&GAUGE, "diagonals", &tail, &[]).unwrap();
    near(si(&tail, "lead-share"), -0.002, 1e-9);
}

#[test]
fn a_line_bent_at_the_crossing_shows_only_from_both_sides() {
    let single = [
        ("along", "4 m"),
        ("toward", "head"),
        ("left_out", "3 m"),
        ("left_slant", "4.99 m"),
        ("right_out", "3 m"),
        ("right_slant", "4.99 m"),
    ];
    let outcome = work(&GAUGE, "triangles", &single, &[]).unwrap();
    near(si(&outcome, "off"), 0.0, 1e-12);
    assert!(says(&outcome.notes, "bent at the crossing"));
}

#[test]
fn what_the_line_hands_on_counts_in_what_is_measured_from_it() {
    let single = [
        ("along", "1500"),
        ("toward", "head"),
        ("out", "600"),
        ("left_slant", "1615.5"),
        ("right_slant", "1615.5"),
    ];
    let line = work(&GAUGE, "diagonals", &single, &[]).unwrap();
    let hands_on = format!("{} %", 100.0 * si(&line, "hands-on"));
    let pulley = |more: &[(&str, &str)]| {
        let base = [
            ("pulley", "tail"),
            ("to", "line"),
            ("left", "2 m"),
            ("right", "2 m"),
            ("across", "1.2 m"),
        ];
        let outcome = work(&square::GAUGE, "pulley", &[&base[..], more].concat(), &[]).unwrap();
        figure(&outcome, "difference").error.unwrap().si()
    };
    let (usual, worse) = (pulley(&[("line_error", "0 %")]), pulley(&[("line_error", &hands_on)]));
    near(worse, usual.hypot(1.2 * si(&line, "hands-on")), 1e-9);
    let idler = |more: &[(&str, &str)]| {
        let base = [("datum", "tail"), ("across", "0.6 m")];
        let rows: &[&[&str]] = &[&["1", "2 m", "2 m"]];
        let outcome = work(&idlers::GAUGE, "return", &[&base[..], more].concat(), rows).unwrap();
        figure(&outcome, "lead").error.unwrap().si()
    };
    let (usual, worse) = (idler(&[("line_error", "0 %")]), idler(&[("line_error", &hands_on)]));
    near(worse, usual.hypot(0.6 * si(&line, "hands-on")), 1e-9);
}

#[test]
fn longer_legs_tell_more_and_it_is_said_beforehand() {
    let foretold = |along: &str, out: &str| {
        let single = [
            ("along", along),
            ("toward", "head"),
            ("out", out),
            ("left_slant", "5 m"),
            ("right_slant", "5 m"),
        ];
        let readings = crate::support::readings(&GAUGE, "diagonals", &single, &[]);
        (GAUGE.foretell)(&readings, &straybelt::gauge::Setting::default()).unwrap()
    };
    assert!(foretold("4 m", "3 m").tells());
    let short = foretold("0.8 m", "0.3 m");
    assert!(!short.tells());
    assert!(text(&short.words()).contains("longer"));
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let key = |way: &str, single: &[(&str, &str)]| {
        let amiss = work(&GAUGE, way, single, &[]).unwrap_err();
        amiss.key.map(ReadingKey::as_str)
    };
    let legs = [("along", "4 m"), ("toward", "head")];
    let with = |more: &[(&'static str, &'static str)]| [&legs[..], more].concat();
    assert_eq!(key("triangles", &legs), Some("left_out"));
    assert_eq!(key("triangles", &with(&[("left_out", "3 m")])), Some("left_slant"));
    assert_eq!(key("triangles", &with(&[("right_slant", "3 m")])), Some("right_out"));
    let apart = with(&[("left_out", "3 m"), ("left_slant", "9 m")]);
    assert_eq!(key("triangles", &apart), Some("left_slant"));
    let askew = with(&[("left_out", "3 m"), ("left_slant", "4 m")]);
    assert_eq!(key("triangles", &askew), Some("along"));
    let unlike = with(&[("out", "3 m"), ("left_slant", "8 m"), ("right_slant", "8 m")]);
    assert_eq!(key("diagonals", &unlike), Some("left_slant"));
}

proptest! {
    #[test]
    fn a_drawn_lean_is_found_by_both_ways(along in 0.6..6.0_f64, out in 0.3..3.0_f64, lean in -0.05..0.05_f64) {
        let slant = |sign: f64| (along - sign * out * lean.sin()).hypot(out * lean.cos());
        let by_triangle = of_triangle(along, out, slant(1.0), 0.001).unwrap();
        let by_diagonals = of_diagonals(along, out, (slant(1.0), slant(-1.0)), 0.001).unwrap();
        prop_assert!((by_triangle.rad - lean).abs() < 1e-9);
        prop_assert!((by_diagonals.rad - lean).abs() < 1e-9);
        // Two slants halve what three lengths leave open, near a right angle.
        prop_assert!(by_diagonals.error_rad < by_triangle.error_rad);
    }
}
