//! Sag against the usual, the pull it means, and what grip and the load need.

use proptest::prelude::*;
use straybelt::conveyor;
use straybelt::conveyor::quantity::{Kind, Quantity};
use straybelt::gauge::sag::GAUGE;
use straybelt::gauge::sag::model::{Hang, Pull};
use straybelt::gauge::{Given, Outcome, Piece, Row, Setting, Verdict};

use crate::support::{self, any_size, figure, known, near, readings, says, si, tells, work};

fn sentence(outcome: &Outcome, text: &str) -> bool {
    says(std::slice::from_ref(&outcome.says), text)
}

fn hung(way: &str, single: &[(&str, &str)], sags: &[&str]) -> Outcome {
    let rows: Vec<Vec<&str>> = sags.iter().map(|sag| vec!["", *sag]).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    work(&GAUGE, way, single, &rows).unwrap()
}

#[test]
fn the_return_strand_is_usual_from_25_to_75_mm_at_3_m() {
    // Published rule of thumb for screw take-ups; reading error 2 mm.
    for (sag, word, verdict) in [
        ("0", Some("too-little"), Verdict::Beyond),
        ("20", Some("too-little"), Verdict::Beyond),
        ("24", None, Verdict::TooClose),
        ("26", None, Verdict::TooClose),
        ("28", Some("usual"), Verdict::Within),
        ("72", Some("usual"), Verdict::Within),
        ("74", None, Verdict::TooClose),
        ("76", None, Verdict::TooClose),
        ("80", Some("too-much"), Verdict::Beyond),
    ] {
        let outcome = hung("return", &[("spacing", "3 m")], &[sag, sag, sag]);
        assert_eq!(tells(&outcome, "hang"), word, "{sag}");
        assert_eq!(figure(&outcome, "sag-share").verdict, verdict, "{sag}");
        assert_eq!(word.is_none(), sentence(&outcome, "too close to call"), "{sag}");
    }
}

#[test]
fn spans_that_differ_widen_the_error() {
    // By hand: mean 50, standard deviation 10, of the mean 5.774; with 2 mm: 6.110 mm.
    let outcome = hung("return", &[("spacing", "3 m")], &["40", "50", "60"]);
    near(si(&outcome, "sag"), 0.050, 1e-12);
    near(figure(&outcome, "sag").error.unwrap().si(), 0.006_110_1, 1e-7);
    assert!(says(&hung("return", &[("spacing", "3 m")], &["50"]).notes, "Fewer than three"));
}

#[test]
fn pull_follows_the_parabola() {
    // Derived here: 100 kg/m × 9.81 m/s² × 1.2 m / (8 × 0.02) = 7,357.5 N. The belt is 20 kg/m, the load 80.
    let given = [("spacing", "1.2 m"), ("mass", "20 kg/m"), ("load", "80 kg/m")];
    let outcome = hung("carry", &given, &["24 mm", "24 mm", "24 mm"]);
    near(si(&outcome, "pull"), 7_357.5, 0.1);
    assert!(outcome.tells.is_empty());
    // Hanging no more than the reading error only tells the least pull.
    let outcome = hung("return", &[("spacing", "3 m"), ("mass", "12 kg/m")], &["1", "1", "1"]);
    near(si(&outcome, "pull"), 12.0 * 9.81 * 9.0 / (8.0 * 0.003), 1e-6);
    assert!(says(&outcome.notes, "at least"));
    assert_eq!(tells(&outcome, "hang"), Some("too-little"));
}

/// 12 kg/m at 3 m and 45 mm: 2,943 N.
const BELT: &[(&str, &str)] = &[("spacing", "3 m"), ("mass", "12 kg/m")];

#[test]
fn the_drive_needs_its_grip() {
    let with = |more: &[(&'static str, &'static str)]| {
        let given: Vec<_> = BELT.iter().chain(more).copied().collect();
        hung("return", &given, &["45", "45", "45"])
    };
    // Screws on a bare pulley, half a turn: 1.2 times the drive's pull (from memory).
    let outcome = with(&[("pull", "2 kN")]);
    near(si(&outcome, "grip-needs"), 2_400.0, 1e-6);
    near(si(&outcome, "margin"), 2_943.0 / 2_400.0, 1e-3);
    assert!(sentence(&outcome, "right"));
    // 3 kW at 1.5 m/s are 2 kN; lagged: 0.8.
    let outcome = with(&[("motor_kw", "3"), ("speed", "1.5"), ("lagging", "lagged")]);
    near(si(&outcome, "grip-needs"), 1_600.0, 1e-6);
    // It hangs as usual, but the drive may slip: tightened only if it does, a tenth beyond the need, and never near the
    // published least of 25 mm: a sixth of the 50 mm up to the published most stays free.
    let outcome = with(&[("pull", "2.6 kN")]);
    assert!(sentence(&outcome, "less than grip"));
    assert_eq!(figure(&outcome, "margin").verdict, Verdict::Beyond);
    assert!(says(&outcome.work[..1], "only if the drive slips"));
    near(wanted_sag(&outcome), 12.0 * 9.81 * 9.0 / (8.0 * 1.1 * 3_120.0), 1e-6);
    near(wanted_sag(&with(&[("pull", "40 kN")])), 0.025 + 0.05 / 6.0, 1e-9);
    // Far more than it needs, but it hangs as the published rule has it: nothing to do.
    let outcome = with(&[("pull", "0.5 kN")]);
    assert!(sentence(&outcome, "far more than needed"));
    assert!(outcome.work.is_empty());
    assert_eq!(outcome.verdict, Verdict::Within);
    // About as much as it needs, within the reading error of 4 %.
    let outcome = with(&[("pull", "2.4 kN")]);
    assert!(sentence(&outcome, "too close to call"));
    assert!(outcome.work.is_empty());
    // The word for the symptom is about the depth alone.
    assert_eq!(tells(&outcome, "hang"), Some("usual"));
}

#[test]
fn a_strand_that_must_be_tight_is_not_called_too_tight() {
    // 15 mm: 8,829 N; the drive needs 1.2 * 6 kN.
    let given: Vec<_> = BELT.iter().chain(&[("pull", "6 kN")]).copied().collect();
    let outcome = hung("return", &given, &["15", "15", "15"]);
    assert!(sentence(&outcome, "no more than"));
    assert!(outcome.work.is_empty());
    let outcome = hung("return", BELT, &["15", "15", "15"]);
    assert!(sentence(&outcome, "too tight"));
    near(wanted_sag(&outcome), 0.025 + 0.05 / 6.0, 1e-9);
    // Too little already, and the drive wants more: screws are not the cure.
    let given: Vec<_> = BELT.iter().chain(&[("pull", "20 kN")]).copied().collect();
    let outcome = hung("return", &given, &["15", "15", "15"]);
    assert!(says(&outcome.work, "Do not tighten"));
    assert_eq!(outcome.work.len(), 1);
}

/// The sag that the work leads to.
fn wanted_sag(outcome: &Outcome) -> f64 {
    let lengths = outcome.work.iter().flat_map(|line| &line.0).filter_map(|piece| match piece {
        Piece::Quantity(Quantity::Length(length)) => Some(length.value),
        _ => None,
    });
    lengths.collect::<Vec<_>>()[0]
}

#[test]
fn a_carry_strand_far_above_its_needs_is_too_tight() {
    // 20 kg/m at 1.2 m and 4 mm: 8,829 N; grip needs 1.2 kN.
    let given = [("spacing", "1.2 m"), ("mass", "20 kg/m"), ("pull", "1 kN"), ("error", "0.5")];
    let outcome = hung("carry", &given, &["4", "4", "4"]);
    assert!(sentence(&outcome, "too tight"));
    assert!(says(&outcome.work, "Slacken"));
    assert_eq!(figure(&outcome, "margin").verdict, Verdict::Beyond);
}

#[test]
fn the_loaded_carry_strand_sets_a_need_too() {
    let given: Vec<_> =
        BELT.iter().chain(&[("carry_pitch", "1.2 m"), ("full_load", "88 kg/m")]).copied().collect();
    let outcome = hung("return", &given, &["45", "45", "45"]);
    // 100 kg/m at 2 % on 1.2 m, as above.
    near(si(&outcome, "carry-needs"), 7_357.5, 0.1);
    assert!(sentence(&outcome, "less than grip or the load"));
}

#[test]
fn the_larger_need_counts() {
    let given = |pull: &'static str| {
        let needs = [("carry_pitch", "1.2 m"), ("full_load", "8 kg/m"), ("pull", pull)];
        let given: Vec<_> = BELT.iter().copied().chain(needs).collect();
        hung("return", &given, &["45", "45", "45"])
    };
    // 20 kg/m at 2 % on 1.2 m: 1,471.5 N; grip 1.2 times the pull.
    near(si(&given("1 kN"), "margin"), 2_943.0 / 1_471.5, 1e-6);
    near(si(&given("2 kN"), "margin"), 2_943.0 / 2_400.0, 1e-6);
}

#[test]
fn a_pull_known_from_below_only_is_never_called_short() {
    // Within the reading error: at least 44,145 N, and the drive may need 120 kN.
    let given: Vec<_> = BELT.iter().chain(&[("pull", "100 kN")]).copied().collect();
    let outcome = hung("return", &given, &["1", "1", "1"]);
    assert!(!sentence(&outcome, "less than"));
    assert!(sentence(&outcome, "too tight"));
}

#[test]
fn nobody_is_sent_past_the_rating_of_the_belt() {
    // One aims at 66.7 mm, a sixth of 50 mm inside the published most: 1,986.5 N are more than 2 N/mm on 600 mm.
    let of = |rated: &'static str| {
        let given: Vec<_> =
            BELT.iter().copied().chain([("width", "600 mm"), ("rated_tension", rated)]).collect();
        hung("return", &given, &["150", "150", "150"])
    };
    assert!(says(&of("2 N/mm").work, "Do not tighten"));
    assert!(!says(&of("4 N/mm").work, "Do not tighten"));
    assert!(says(&of("4 N/mm").work, "Tighten"));
}

#[test]
fn the_work_names_sag_and_travel() {
    let given: Vec<_> = BELT
        .iter()
        .chain(&[("width", "600 mm"), ("modulus", "1000 N/mm"), ("centres", "20 m")])
        .copied()
        .collect();
    let outcome = hung("return", &given, &["150", "150", "150"]);
    let turn = &outcome.work[1];
    let lengths: Vec<f64> = turn
        .0
        .iter()
        .filter_map(|piece| {
            if let Piece::Quantity(Quantity::Length(length)) = piece {
                Some(length.value)
            } else {
                None
            }
        })
        .collect();
    near(lengths[0], 0.075 - 0.05 / 6.0, 1e-12);
    // By hand: 882.9 N now, 1,986.525 N at 66.7 mm: 1,103.6 N * 20 m / (1e6 N/m * 0.6 m) = 36.79 mm of stretch, and
    // 20 m * 8/3 (0.05^2 - 0.02222^2) / 2 = 53.50 mm that hang in the sag.
    near(lengths[1], 0.036_787_5 + 0.053_498, 1e-5);
}

#[test]
fn a_weight_is_not_turned_with_a_spanner() {
    let setting = Setting { facts: known(&[("take_up", "gravity")]), ..Setting::default() };
    let given = readings(&GAUGE, "return", BELT, &[&["", "150"]]);
    let outcome = (GAUGE.work)(&given, &setting).unwrap();
    assert!(!says(&outcome.work, "screws"));
    assert!(says(&outcome.work, "maker's figure"));
}

#[test]
fn the_rating_of_the_belt_is_a_limit() {
    let given: Vec<_> =
        BELT.iter().chain(&[("width", "600 mm"), ("rated_tension", "10 N/mm")]).copied().collect();
    let outcome = hung("return", &given, &["15", "15", "15"]);
    // 8,829 N of 6,000.
    near(si(&outcome, "rated-share"), 8_829.0 / 6_000.0, 1e-9);
    assert_eq!(figure(&outcome, "rated-share").verdict, Verdict::Beyond);
}

#[test]
fn impossible_readings_are_refused_with_their_row() {
    let refused = |single: &[(&str, &str)], rows: &[&[&str]]| {
        let amiss = work(&GAUGE, "return", single, rows).unwrap_err();
        (amiss.row, amiss.key.map(straybelt::gauge::ReadingKey::as_str))
    };
    let spacing = ("spacing", "3 m");
    assert_eq!(refused(&[spacing], &[&["", "40"], &["", "900"]]), (Some(1), Some("sag")));
    assert_eq!(refused(&[spacing], &[&["", "40"], &["2", ""]]), (Some(1), Some("sag")));
    assert_eq!(refused(&[spacing], &[]), (None, None));
    assert_eq!(refused(&[], &[&["", "40"]]), (None, Some("spacing")));
    assert_eq!(refused(&[spacing, ("wrap", "10 deg")], &[&["", "40"]]), (None, Some("wrap")));
}

proptest! {
    #[test]
    fn deeper_never_means_more_pull(sag in 0.001..0.5_f64, more in 0.0..0.2_f64, mass in 1.0..100.0_f64, error in 0.0..0.01_f64) {
        let of = |sag: f64| {
            Hang { spacing_m: 3.0, sags_m: vec![sag; 3], error_m: error, mass_kg_per_m: Some(mass) }.pull().unwrap().n()
        };
        // Below the error only the least is told, which may lie below what a deeper sag tells.
        if sag > error {
            prop_assert!(of(sag + more) <= of(sag) * (1.0 + 1e-12));
        }
    }

    #[test]
    fn the_pull_lies_within_its_bounds(sag in 0.01..0.5_f64, error in 0.0..0.02_f64) {
        let hang = Hang { spacing_m: 3.0, sags_m: vec![sag], error_m: error, mass_kg_per_m: Some(10.0) };
        match hang.pull().unwrap() {
            Pull::About { pull_n, least_n, most_n } => {
                prop_assert!(least_n <= pull_n && pull_n <= most_n);
                prop_assert!((hang.sag_at_m(pull_n).unwrap() / sag - 1.0).abs() < 1e-12);
            }
            Pull::AtLeast(least) => prop_assert!(least > 0.0 && sag <= error),
        }
    }

    #[test]
    fn the_size_of_the_conveyor_does_not_matter(sag in 0.002..0.2_f64, by in 0.1..10.0_f64) {
        let of = |by: f64| Hang { spacing_m: 3.0 * by, sags_m: vec![sag * by], error_m: 0.001 * by, mass_kg_per_m: None };
        prop_assert!((of(1.0).share() / of(by).share() - 1.0).abs() < 1e-12);
        prop_assert!((of(1.0).share_error() / of(by).share_error() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_given_makes_it_panic(
        sags in proptest::collection::vec(any_size(), 0..4), sizes in proptest::collection::vec(any_size(), 12),
        carry in any::<bool>(),
    ) {
        let mut given = readings(&GAUGE, if carry { "carry" } else { "return" }, &[], &[]);
        let keys = [
            ("spacing", Kind::Length), ("mass", Kind::LineMass), ("load", Kind::LineMass), ("pull", Kind::Force),
            ("speed", Kind::Speed), ("motor_kw", Kind::Number), ("full_load", Kind::LineMass), ("width", Kind::Length),
            ("rated_tension", Kind::Modulus), ("centres", Kind::Distance), ("error", Kind::Length), ("carry_pitch", Kind::Length),
        ];
        for ((key, kind), size) in keys.into_iter().zip(sizes) {
            given.single.insert(support::key(key), Given::Quantity(Quantity::of(kind, size)));
        }
        given.rows = sags
            .iter()
            .map(|sag| Row::from_iter([(support::key("sag"), Given::Quantity(Quantity::of(Kind::Length, *sag)))]))
            .collect();
        if let Ok(outcome) = (GAUGE.work)(&given, &Setting::default()) {
            prop_assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
        }
    }
}

#[test]
fn a_lagged_drive_is_known_from_the_conveyors_file() {
    let text = r#"(name: "OQ-04", take_up: "screw", lagging: "lagged")"#;
    let (conveyor, warnings) = conveyor::parse("OQ-04.ron", text.to_owned()).unwrap();
    assert_eq!(warnings, []);
    let filed = Setting::from(&conveyor);
    let given = [("pull", "2 kN")];
    let given: Vec<_> = BELT.iter().chain(&given).copied().collect();
    // From memory: screws on a lagged pulley, half a turn: 0.8 times the drive's pull.
    let given = readings(&GAUGE, "return", &given, &[&["", "45"], &["", "45"], &["", "45"]]);
    let outcome = (GAUGE.work)(&given, &filed).unwrap();
    near(si(&outcome, "grip-needs"), 1_600.0, 1e-6);
}
