//! Run-out: drawn swings measured back, shaft against shell, what the hub adds, marks that cannot be.

use proptest::prelude::*;
use straybelt::gauge::runout::{GAUGE, swing};
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{near, says, si, tells, text, work};

/// Eight marks round, each end swinging by a size with a phase.
fn dial(left: (f64, f64), right: (f64, f64), single: &[(&str, &str)]) -> Outcome {
    let cells: Vec<[String; 3]> = (0..8)
        .map(|mark| {
            let turned = 45.0 * f64::from(mark);
            let read = |(size, phase): (f64, f64)| {
                format!("{:.9} mm", size * (turned - phase).to_radians().cos())
            };
            [format!("{turned} deg"), read(left), read(right)]
        })
        .collect();
    let cells: Vec<[&str; 3]> =
        cells.iter().map(|row| row.each_ref().map(String::as_str)).collect();
    let rows: Vec<&[&str]> = cells.iter().map(<[&str; 3]>::as_slice).collect();
    work(&GAUGE, "dial", single, &rows).unwrap()
}

#[test]
fn both_ends_alike_are_a_shaft_and_against_each_other_a_shell() {
    let bent = dial((2.0, 0.0), (2.0, 0.0), &[]);
    // By hand: a swing of 2 mm to either side is a run-out of 4 mm, all of it together.
    near(si(&bent, "runout-left"), 0.004, 1e-9);
    near(si(&bent, "together"), 0.002, 1e-9);
    near(si(&bent, "against"), 0.0, 1e-9);
    assert_eq!(tells(&bent, "shell"), Some("untrue"));
    assert!(text(&bent.says).contains("shaft is bent or the whole shell off centre"));
    let askew = dial((2.0, 0.0), (2.0, 180.0), &[]);
    near(si(&askew, "against"), 0.002, 1e-9);
    assert!(text(&askew.says).contains("askew on its shaft"));
}

#[test]
fn true_and_tight_needs_the_look_at_the_hub() {
    let alone = dial((0.1, 0.0), (0.1, 0.0), &[]);
    assert_eq!((tells(&alone, "shell"), alone.verdict), (None, Verdict::Within));
    let tight = dial((0.1, 0.0), (0.1, 0.0), &[("hub", "tight")]);
    assert_eq!(tells(&tight, "shell"), Some("true"));
    let moved = dial((0.1, 0.0), (0.1, 0.0), &[("hub", "moved")]);
    assert_eq!((tells(&moved, "shell"), moved.verdict), (Some("untrue"), Verdict::Beyond));
    assert!(says(&moved.work, "mended first"));
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let amiss = |rows: &[&[&str]]| {
        let amiss = work(&GAUGE, "dial", &[], rows).unwrap_err();
        (amiss.row, amiss.key.map(ReadingKey::as_str), text(&amiss.words))
    };
    let mut rows: Vec<&[&str]> = vec![
        &["0 deg", "0", "0"],
        &["60 deg", "0", "0"],
        &["120 deg", "0", "0"],
        &["180 deg", "0", "0"],
        &["240 deg", "0", "0"],
        &["200 deg", "0", "0"],
    ];
    assert_eq!(amiss(&rows).1, Some("turned"));
    rows[5] = &["400 deg", "0", "0"];
    assert_eq!((amiss(&rows).0, amiss(&rows).1), (Some(5), Some("turned")));
    rows[5] = &["300 deg", "0", "900"];
    assert_eq!(amiss(&rows).1, Some("right"));
    let half: Vec<&[&str]> = vec![
        &["0 deg", "0", "0"],
        &["30 deg", "0", "0"],
        &["60 deg", "0", "0"],
        &["90 deg", "0", "0"],
        &["120 deg", "0", "0"],
        &["150 deg", "0", "0"],
    ];
    assert!(amiss(&half).2.contains("more than a quarter of the shell unread"));
}

proptest! {
    #[test]
    fn a_drawn_swing_is_found_from_marks_anywhere(
        size in 0.0..0.01_f64, phase in 0.0..std::f64::consts::TAU, mean in -0.02..0.02_f64, count in 6..14_u32, slide in 0.0..0.4_f64,
    ) {
        let turned: Vec<f64> =
            (0..count).map(|mark| (f64::from(mark) + slide * f64::from(mark % 3)) * std::f64::consts::TAU / f64::from(count)).collect();
        let reads: Vec<f64> = turned.iter().map(|it| mean + size * (it - phase).cos()).collect();
        let found = swing(&turned, &reads).unwrap();
        prop_assert!((found.size_m() - size).abs() < 1e-9);
    }
}
