//! The gauge `load`.

use proptest::prelude::*;
use straybelt::gauge::load::{GAUGE, bound_m, offset_m};
use straybelt::gauge::{Basis, Mark, Setting, Verdict};

use super::support::{figure, known, readings, tells, text, work};

/// Derived here (no published formula was found): belt 12 kg/m, load 80 kg/m, 50 mm off.
#[test]
fn the_bound_is_that_of_the_common_centre_of_gravity() {
    assert!((bound_m(0.050, 80.0, 12.0) * 1000.0 - -43.478).abs() < 0.001);
    let outcome = work(
        &GAUGE,
        "offset",
        &[
            ("side", "left"),
            ("offset", "50 mm"),
            ("width", "900 mm"),
            ("belt_mass", "12"),
            ("load_mass", "80"),
            ("trough", "troughed"),
            ("error", "1 mm"),
        ],
        &[],
    )
    .unwrap();
    assert!((figure(&outcome, "bound").size.si() - -0.043_478).abs() < 1e-6);
    assert!(matches!(figure(&outcome, "bound").mark, Mark::Rests(Basis::Derived(_))));
    assert_eq!(tells(&outcome, "lies"), Some("left"));
    assert_eq!(outcome.verdict, Verdict::Beyond);
    // 45 mm is the limit, from memory.
    let limit = figure(&outcome, "offset").limit.unwrap();
    assert!((limit.size.si() - 0.045).abs() < 1e-12);
    assert_eq!(limit.mark, Mark::Rests(Basis::Memory));
}

/// Published (direction rules, belt maker's guide p. 7): a troughed belt runs to its lightly loaded edge.
#[test]
fn a_troughed_belt_goes_to_the_light_side_and_a_flat_one_may_creep_to_the_heavy_one() {
    let says = |trough: &str| {
        let outcome = work(
            &GAUGE,
            "edges",
            &[("bare_left", "60"), ("bare_right", "220"), ("width", "900"), ("trough", trough)],
            &[],
        )
        .unwrap();
        assert_eq!(tells(&outcome, "lies"), Some("left"));
        assert_eq!(outcome.figures.iter().any(|figure| figure.id == "bound"), trough == "troughed");
        text(&outcome.says)
    };
    assert!(says("troughed").contains("pushes the belt to the RIGHT"));
    assert!(says("flat").contains("may creep"));
}

#[test]
fn the_conveyor_settles_the_trough_and_the_site_the_limit() {
    let mut setting = Setting { facts: known(&[("class", "flat")]), ..Setting::default() };
    let given = readings(
        &GAUGE,
        "edges",
        &[("bare_left", "60"), ("bare_right", "220"), ("width", "900")],
        &[],
    );
    let outcome = (GAUGE.work)(&given, &setting).unwrap();
    assert!(!outcome.figures.iter().any(|figure| figure.id == "bound"));
    setting.facts = known(&[("class", "troughed-bulk")]);
    let own = straybelt::conveyor::quantity::Quantity::of(straybelt::gauge::Kind::Percent, 0.2);
    setting.limits.insert("load.offset", own);
    let outcome = (GAUGE.work)(&given, &setting).unwrap();
    assert_eq!(tells(&outcome, "lies"), Some("centred"));
    assert_eq!(figure(&outcome, "offset-share").limit.unwrap().mark, Mark::Site);
    assert!(outcome.work.is_empty());
}

/// By hand: 100 and 190 mm bare, so 45 mm off, at the limit of 5 % of 900 mm.
#[test]
fn near_the_limit_is_too_close_to_call() {
    let outcome = work(
        &GAUGE,
        "edges",
        &[("bare_left", "190"), ("bare_right", "100"), ("width", "900")],
        &[],
    )
    .unwrap();
    assert!((figure(&outcome, "offset").size.si() + 0.045).abs() < 1e-12);
    assert_eq!(outcome.verdict, Verdict::TooClose);
    assert_eq!(tells(&outcome, "lies"), None);
    // Two readings of 10 mm, each halved, independent of each other.
    assert!((figure(&outcome, "offset").error.unwrap().si() - 0.01 / 2.0_f64.sqrt()).abs() < 1e-12);
}

#[test]
fn impossible_readings_are_refused_by_key() {
    let key = |way, single: &[(&str, &str)]| {
        work(&GAUGE, way, single, &[]).unwrap_err().key.map(straybelt::gauge::ReadingKey::as_str)
    };
    assert_eq!(
        key("edges", &[("bare_left", "500"), ("bare_right", "400"), ("width", "900")]),
        Some("bare_left")
    );
    assert_eq!(
        key("edges", &[("bare_left", "-5"), ("bare_right", "400"), ("width", "900")]),
        Some("bare_left")
    );
    assert_eq!(key("edges", &[("bare_left", "5"), ("width", "900")]), Some("bare_right"));
    assert_eq!(
        key("edges", &[("bare_left", "5"), ("bare_right", "5"), ("width", "0")]),
        Some("width")
    );
    assert_eq!(
        key("offset", &[("side", "left"), ("offset", "450"), ("width", "900")]),
        Some("offset")
    );
    assert_eq!(key("offset", &[("offset", "45"), ("width", "900")]), Some("side"));
    assert_eq!(
        key(
            "offset",
            &[
                ("side", "left"),
                ("offset", "4"),
                ("width", "900"),
                ("belt_mass", "0"),
                ("load_mass", "1")
            ]
        ),
        Some("belt_mass")
    );
}

proptest! {
    /// Left and right swapped, everything swaps; all lengths scaled, all lengths scale.
    #[test]
    fn mirror_and_scale(left in 0.0..0.4_f64, right in 0.0..0.4_f64, by in 0.2..5.0_f64) {
        prop_assert_eq!(offset_m(left, right), -offset_m(right, left));
        prop_assert!((offset_m(left * by, right * by) - by * offset_m(left, right)).abs() < 1e-12);
        let outcome = |left: f64, right: f64, by: f64| {
            let (left, right) = (format!("{:.12} m", left * by), format!("{:.12} m", right * by));
            let (width, error) = (format!("{:.12} m", 0.9 * by), format!("{:.12} m", 0.01 * by));
            work(&GAUGE, "edges", &[("bare_left", &left), ("bare_right", &right), ("width", &width), ("error", &error)], &[]).unwrap()
        };
        let (one, other) = (outcome(left, right, 1.0), outcome(right, left, 1.0));
        prop_assert!((figure(&one, "bound").size.si() + figure(&other, "bound").size.si()).abs() < 1e-9);
        prop_assert_eq!(one.verdict, other.verdict);
        let swapped = tells(&other, "lies").map(|word| match word { "left" => "right", "right" => "left", same => same });
        prop_assert_eq!(tells(&one, "lies"), swapped);
    }

    /// A heavier load, or one further off, never has a smaller bound; it never passes the load's own offset.
    #[test]
    fn the_bound_grows(offset in 0.0..0.4_f64, load in 1.0..300.0_f64, more in 0.1..100.0_f64, belt in 1.0..60.0_f64) {
        let bound = bound_m(offset, load, belt).abs();
        prop_assert!(bound_m(offset, load + more, belt).abs() >= bound);
        prop_assert!(bound_m(offset, load, belt + more).abs() <= bound);
        prop_assert!(bound_m(offset + more, load, belt).abs() >= bound);
        prop_assert!(bound <= offset);
    }

    #[test]
    fn never_a_panic(way in 0..2_usize, sizes in prop::collection::vec(-1e9..1e9_f64, 6)) {
        let way = ["edges", "offset"][way];
        let texts: Vec<String> = sizes.iter().map(|it| format!("{it:.3}")).collect();
        let mut single: Vec<(&str, &str)> = vec![("width", &texts[2]), ("belt_mass", &texts[3]), ("load_mass", &texts[4]), ("error", &texts[5])];
        if way == "edges" {
            single.extend([("bare_left", texts[0].as_str()), ("bare_right", texts[1].as_str())]);
        } else {
            single.extend([("side", "right"), ("offset", texts[0].as_str())]);
        }
        if let Ok(outcome) = work(&GAUGE, way, &single, &[]) {
            prop_assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
        }
    }
}
