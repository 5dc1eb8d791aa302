//! A snub pulley: by hand, which end is met first, the base's error, readings that cannot be.

use proptest::prelude::*;
use straybelt::gauge::snub::GAUGE;
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{figure, near, si, tells, text, work};

fn tape(left: &str, right: &str, more: &[(&str, &str)]) -> Outcome {
    let base = [("from", "pulley"), ("left", left), ("right", right), ("across", "1 m")];
    work(&GAUGE, "tape", &[&base[..], more].concat(), &[]).unwrap()
}

#[test]
fn the_end_with_the_shorter_distance_is_met_first_and_moved_away() {
    // The book's own rule for the question; 4 mm over 1 m, 1.2 m between the bearings: 4.8 mm there.
    let outcome = tape("800", "804", &[("bearings", "1200")]);
    assert_eq!(tells(&outcome, "leads"), Some("left"));
    near(si(&outcome, "difference"), -0.004, 1e-12);
    near(figure(&outcome, "difference").limit.unwrap().size.si(), 0.001, 1e-12);
    let amount = outcome.amount.as_ref().unwrap();
    near(amount.size.si(), 0.0048, 1e-12);
    assert_eq!(text(&amount.at), "the snub or bend pulley's LEFT bearing");
    assert!(text(&outcome.work[1]).contains("shift the LEFT end 4.8 mm away"));
    assert_eq!(tells(&tape("804", "800", &[]), "leads"), Some("right"));
    let square = tape("800", "800", &[]);
    assert_eq!((tells(&square, "leads"), square.verdict), (Some("square"), Verdict::Within));
}

#[test]
fn what_it_is_measured_from_counts() {
    let error = |line: &str| {
        let outcome = tape("800", "800", &[("line_error", line), ("error", "0.5")]);
        figure(&outcome, "difference").error.unwrap().si()
    };
    near(error("0 %"), 0.000_5 * 2.0_f64.sqrt(), 1e-12);
    near(error("0.1 %"), 0.001_f64.hypot(0.000_5 * 2.0_f64.sqrt()), 1e-12);
    // A base as crooked as the limit tells nothing.
    let close = tape("800", "800", &[("line_error", "0.1 %")]);
    assert_eq!((tells(&close, "leads"), close.verdict), (None, Verdict::TooClose));
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let single = [("from", "line"), ("left", "2 m"), ("right", "1 m"), ("across", "1 m")];
    let amiss = work(&GAUGE, "tape", &single, &[]).unwrap_err();
    assert_eq!(amiss.key.map(ReadingKey::as_str), Some("left"));
}

proptest! {
    #[test]
    fn swapped_sides_swap_the_answer(left in 790.0..810.0_f64, right in 790.0..810.0_f64) {
        let (left, right) = (format!("{left}"), format!("{right}"));
        let (plain, mirror) = (tape(&left, &right, &[]), tape(&right, &left, &[]));
        let swapped = match tells(&plain, "leads") {
            Some("left") => Some("right"),
            Some("right") => Some("left"),
            same => same,
        };
        prop_assert_eq!(tells(&mirror, "leads"), swapped);
    }
}
