//! Slip: speeds by hand, belt thickness, when it may be told, times that tell nothing.

use straybelt::gauge::slip::GAUGE;
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{figure, near, says, si, tells, work};

fn speeds(belt: &str, more: &[(&str, &str)]) -> Outcome {
    let base = [("pulley_speed", "2 m/s"), ("belt_speed", belt)];
    work(&GAUGE, "speeds", &[&base[..], more].concat(), &[]).unwrap()
}

#[test]
fn a_belt_slower_by_a_tenth_slips_and_one_by_a_hundredth_creeps() {
    let slips = speeds("1.8 m/s", &[]);
    near(si(&slips, "slip"), 0.1, 1e-12);
    assert_eq!(tells(&slips, "slips"), Some("yes"));
    assert!(says(&slips.work, "stopped by the site's procedure"));
    let creeps = speeds("1.98 m/s", &[]);
    assert_eq!(creeps.verdict, Verdict::Within);
    // It slips first at a start under load: only there is it told that it does not.
    assert_eq!(tells(&creeps, "slips"), None);
    assert_eq!(tells(&speeds("1.98 m/s", &[("when", "empty")]), "slips"), None);
    assert_eq!(tells(&speeds("1.98 m/s", &[("when", "start")]), "slips"), Some("no"));
    // A belt that seems the faster one does not slip; a reading is off.
    let faster = speeds("2.1 m/s", &[]);
    assert_eq!(faster.verdict, Verdict::Within);
    assert!(says(&faster.notes, "seems faster"));
}

#[test]
fn turns_and_lengths_by_stopwatch() {
    // By hand: 60 turns of 0.5 m in 60 s are 1.5708 m/s at the face; with 10 mm of belt 1.6022 m/s. 94.248 m in 60 s.
    let base = [
        ("diameter", "500"),
        ("turns", "60"),
        ("turns_time", "60 s"),
        ("passed", "94.248 m"),
        ("passed_time", "60 s"),
    ];
    let bare = work(&GAUGE, "timed", &base, &[]).unwrap();
    near(si(&bare, "pulley-speed"), std::f64::consts::FRAC_PI_2, 1e-6);
    near(si(&bare, "slip"), 0.0, 1e-5);
    assert!(says(&bare.notes, "thickness is not counted"));
    let thick = work(&GAUGE, "timed", &[&base[..], &[("thickness", "10")]].concat(), &[]).unwrap();
    near(si(&thick, "slip"), 1.0 - 500.0 / 510.0, 1e-5);
    // Each clock's error counts by its share of the time.
    let error = figure(&bare, "slip").error.unwrap().si();
    assert!(error > 0.3 / 60.0 && error < 0.6 / 60.0, "{error}");
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let key = |single: &[(&str, &str)]| {
        work(&GAUGE, "timed", single, &[]).unwrap_err().key.map(ReadingKey::as_str)
    };
    let base = |time: &'static str, passed: &'static str| {
        [
            ("diameter", "500"),
            ("turns", "1"),
            ("turns_time", time),
            ("passed", passed),
            ("passed_time", "60 s"),
        ]
    };
    assert_eq!(key(&base("1 s", "94 m")), Some("turns_time"));
    assert_eq!(key(&base("60 s", "94 m")), Some("passed"));
}
