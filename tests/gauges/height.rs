//! Idler heights: by hand on a slope, high, low and tilted ones, idlers out of order.

use proptest::prelude::*;
use straybelt::gauge::height::GAUGE;
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{figure, near, si, tells, text, work};

fn heights(bigger: &str, rows: &[&[&str]]) -> Outcome {
    work(&GAUGE, "level", &[("bigger", bigger)], rows).unwrap()
}

#[test]
fn the_sheets_two_millimetres_for_each_metre_of_pitch() {
    // Published: 2 mm of step for each metre of pitch; 2.4 mm at 1.2 m.
    let three = |middle: &str| {
        heights(
            "lower",
            &[
                &["1", "1.2 m", "100", "100"],
                &["2", "2.4 m", middle, middle],
                &["3", "3.6 m", "100", "100"],
            ],
        )
    };
    let high = three("95");
    near(figure(&high, "rise").limit.unwrap().size.si(), 0.0024, 1e-12);
    near(si(&high, "rise"), 0.005, 1e-12);
    assert_eq!((tells(&high, "stands"), tells(&high, "low-side")), (Some("high"), Some("level")));
    assert!(text(&high.work[0]).contains("Idler 2: take shims out under both feet, by 5"));
    near(high.amount.as_ref().unwrap().size.si(), 0.005, 1e-12);
    assert_eq!(tells(&three("105"), "stands"), Some("low"));
    let alike = three("101");
    assert_eq!((tells(&alike, "stands"), alike.verdict), (Some("alike"), Verdict::Within));
    assert_eq!(three("102.4").verdict, Verdict::TooClose);
}

#[test]
fn a_slope_is_no_step() {
    let slope = heights(
        "higher",
        &[
            &["1", "1 m", "100", "100"],
            &["2", "2.5 m", "250", "250"],
            &["3", "3.5 m", "350", "350"],
            &["4", "5 m", "500", "500"],
        ],
    );
    near(si(&slope, "rise"), 0.0, 1e-12);
    assert_eq!(slope.verdict, Verdict::Within);
}

#[test]
fn one_low_end_is_told_and_a_frame_that_tilts_alike_is_not() {
    let low = heights(
        "lower",
        &[
            &["1", "1.2 m", "100", "100"],
            &["2", "2.4 m", "106", "100"],
            &["3", "3.6 m", "100", "100"],
        ],
    );
    assert_eq!(tells(&low, "low-side"), Some("left"));
    assert!(text(&low.work[0]).contains("Idler 2: shim its LEFT foot up by 6"));
    assert!(text(&low.amount.as_ref().unwrap().at).contains("at its LEFT foot"));
    // That foot brings the middle up too: nothing else is shimmed.
    assert_eq!(low.work.len(), 2);
    let frame = heights(
        "lower",
        &[
            &["1", "1.2 m", "106", "100"],
            &["2", "2.4 m", "106", "100"],
            &["3", "3.6 m", "106", "100"],
        ],
    );
    assert_eq!(tells(&frame, "low-side"), Some("level"));
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let amiss = |rows: &[&[&str]]| {
        let amiss = work(&GAUGE, "level", &[("bigger", "lower")], rows).unwrap_err();
        (amiss.row, amiss.key.map(ReadingKey::as_str))
    };
    let first: &[&str] = &["1", "1 m", "0", "0"];
    assert_eq!(
        amiss(&[first, &["2", "2 m", "0", "0"], &["2", "3 m", "0", "0"]]),
        (Some(2), Some("idler"))
    );
    assert_eq!(
        amiss(&[first, &["2", "3 m", "0", "0"], &["3", "2 m", "0", "0"]]),
        (Some(2), Some("at"))
    );
    assert_eq!(amiss(&[first, &["2", "2 m", "900", "0"], &["3", "3 m", "0", "0"]]).1, Some("left"));
}

proptest! {
    #[test]
    fn a_mirrored_row_of_idlers_is_low_on_the_other_side(ends in proptest::collection::vec((95.0..105.0_f64, 95.0..105.0_f64), 3..7)) {
        let told = |mirror: bool| {
            let cells: Vec<[String; 4]> = ends.iter().enumerate().map(|(at, (left, right))| {
                let (left, right) = if mirror { (right, left) } else { (left, right) };
                [at.to_string(), format!("{:.1} m", 1.2 * (at + 1) as f64), left.to_string(), right.to_string()]
            }).collect();
            let cells: Vec<[&str; 4]> = cells.iter().map(|row| row.each_ref().map(String::as_str)).collect();
            let rows: Vec<&[&str]> = cells.iter().map(<[&str; 4]>::as_slice).collect();
            heights("lower", &rows)
        };
        let (plain, mirror) = (told(false), told(true));
        prop_assert!((si(&plain, "across").abs() - si(&mirror, "across").abs()).abs() < 1e-9);
        prop_assert!((si(&plain, "rise") - si(&mirror, "rise")).abs() < 1e-9);
    }
}
