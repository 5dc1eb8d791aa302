//! The gauge `trim`.

use proptest::prelude::*;
use straybelt::gauge::trim::{GAUGE, idlers, step_m};
use straybelt::gauge::{Amiss, Basis, Mark, Outcome, Setting, Verdict};
use straybelt::trade::Strand;

use super::support::{figure, known, readings, text, work};

const USUAL: &[(&str, &str)] = &[
    ("drift", "80"),
    ("place", "30"),
    ("centres", "60"),
    ("carry_pitch", "1200"),
    ("return_pitch", "3 m"),
    ("belt_length", "124 m"),
    ("speed", "1.5"),
    ("width", "900"),
];

fn trimmed(strand: &str, side: &str, change: &[(&str, &str)]) -> Result<Outcome, Amiss> {
    let mut single: Vec<(&str, &str)> = vec![("strand", strand), ("side", side)];
    single.extend(USUAL.iter().filter(|(key, _)| !change.iter().any(|(other, _)| other == key)));
    single.extend(change.iter().filter(|(_, given)| !given.is_empty()));
    work(&GAUGE, "drift", &single, &[])
}

/// As published, for both strands and both hands: the end on the side that the belt has run to, in
/// the direction in which that strand travels.
#[test]
fn the_end_on_the_drifted_side_goes_with_the_strands_travel() {
    for (strand, side, end) in [
        ("carry", "left", "the LEFT end 6.0 mm toward the head"),
        ("carry", "right", "the RIGHT end 6.0 mm toward the head"),
        ("return", "left", "the LEFT end 6.0 mm toward the tail"),
        ("return", "right", "the RIGHT end 6.0 mm toward the tail"),
    ] {
        let outcome = trimmed(strand, side, &[]).unwrap();
        assert!(text(&outcome.says).contains(end), "{}", text(&outcome.says));
        let shifts: Vec<String> =
            outcome.work.iter().map(text).filter(|line| line.contains("Shift the")).collect();
        assert_eq!(shifts.len(), 3);
        assert!(shifts.iter().all(|line| line.contains(end)), "{shifts:?}");
    }
}

/// By hand: carry idlers every 1.2 m, trouble at 30 m; return idlers every 3 m.
#[test]
fn the_idlers_are_those_two_to_four_stations_before_the_trouble() {
    let stations =
        |found: Vec<(usize, f64)>| found.iter().map(|(station, _)| *station).collect::<Vec<_>>();
    let carry = idlers(Strand::Carry, 30.0, 60.0, 1.2);
    assert_eq!(stations(carry.clone()), [2, 3, 4]);
    assert!((carry[0].1 - 27.6).abs() < 1e-9 && (carry[2].1 - 25.2).abs() < 1e-9);
    let back = idlers(Strand::Return, 30.0, 60.0, 3.0);
    assert_eq!(stations(back.clone()), [2, 3, 4]);
    assert!((back[0].1 - 36.0).abs() < 1e-9 && (back[2].1 - 42.0).abs() < 1e-9);
    // At the head pulley the nearest one, beside the pulley, is left alone all the same.
    assert_eq!(stations(idlers(Strand::Carry, 60.0, 60.0, 1.2)), [2, 3, 4]);
    // Near the pulley that the strand comes from there are fewer, then none.
    assert_eq!(stations(idlers(Strand::Carry, 5.0, 60.0, 1.2)), [2]);
    assert_eq!(stations(idlers(Strand::Carry, 2.0, 60.0, 1.2)), [0_usize; 0]);
    assert_eq!(stations(idlers(Strand::Return, 47.0, 60.0, 3.0)), [2]);
}

/// Derived here: 6 to 10 mm at one end is 0.4 to 0.6 degrees on 0.9 m.
#[test]
fn a_step_is_six_millimetres_on_nine_hundred() {
    assert_eq!(step_m(None), 0.006);
    assert_eq!(step_m(Some(0.9)), 0.006);
    assert_eq!(step_m(Some(1.4)), 0.010);
    assert_eq!(step_m(Some(3.0)), 0.010);
    let outcome = trimmed("carry", "left", &[("foot_spacing", "900")]).unwrap();
    assert!((figure(&outcome, "angle").size.si().to_degrees() - 0.382).abs() < 1e-3);
    assert!(matches!(figure(&outcome, "step").mark, Mark::Rests(Basis::Derived(_))));
}

/// By arithmetic: three turns of a belt of 124 m at 1.5 m/s take 248 s. Published: three turns
/// (tracking guide, rule 7).
#[test]
fn three_turns_are_watched_as_long_as_they_take() {
    let outcome = trimmed("carry", "left", &[]).unwrap();
    assert!((figure(&outcome, "watch").size.si() - 248.0).abs() < 1e-9);
    assert_eq!(
        figure(&outcome, "watch").mark,
        Mark::Rests(Basis::Published("tracking-rules", "rule 7"))
    );
    // A timed turn is believed before length and speed; without any of them, turns are counted.
    let timed = trimmed("carry", "left", &[("turn", "80")]).unwrap();
    assert!((figure(&timed, "watch").size.si() - 240.0).abs() < 1e-9);
    let untimed = trimmed("carry", "left", &[("speed", "")]).unwrap();
    assert!(untimed.figures.iter().all(|figure| figure.id != "watch"));
    assert!(untimed.work.iter().any(|line| text(line).contains("three full belt turns")));
}

#[test]
fn a_small_drift_is_left_alone_and_a_near_one_measured_again() {
    let small = trimmed("carry", "left", &[("drift", "20")]).unwrap();
    assert_eq!(small.verdict, Verdict::Within);
    assert!(small.work.is_empty());
    // 45 mm is 5 % of 900 mm, less than 50 mm.
    let near = trimmed("carry", "left", &[("drift", "43")]).unwrap();
    assert_eq!(near.verdict, Verdict::TooClose);
    assert!(text(&near.says).contains("Measure again"));
    let wide = trimmed("carry", "left", &[("drift", "43"), ("width", "1800")]).unwrap();
    assert!((figure(&wide, "drift").limit.unwrap().size.si() - 0.050).abs() < 1e-12);
}

#[test]
fn the_same_idlers_go_back_and_nobody_touches_a_moving_belt() {
    let outcome = trimmed("return", "right", &[]).unwrap();
    let all: Vec<String> = outcome.work.iter().chain(&outcome.notes).map(text).collect();
    let all = all.join("\n");
    assert!(all.contains("put these same idlers back"));
    assert!(all.contains("the same idlers, back to the lines"));
    assert!(text(&outcome.work[0]).contains("lock out"));
}

#[test]
fn reversing_belts_are_refused_and_manuals_rule_light_conveyors() {
    let given =
        readings(&GAUGE, "drift", &[("strand", "carry"), ("side", "left"), ("drift", "80")], &[]);
    let with = |facts: Vec<(&str, &str)>| {
        let facts = known(&facts);
        (GAUGE.work)(&given, &Setting { facts, ..Setting::default() })
    };
    let refused = with(vec![("reversing", "yes"), ("class", "troughed-bulk")]).unwrap_err();
    assert!(text(&refused.words).contains("reversing"));
    for class in ["flat", "package"] {
        let outcome = with(vec![("class", class)]).unwrap();
        assert!(text(&outcome.says).contains("manual rules"));
        assert!(outcome.work.is_empty() && outcome.figures.is_empty());
    }
}

#[test]
fn impossible_readings_are_refused_by_key() {
    let key = |change: &[(&str, &str)]| {
        trimmed("carry", "left", change).unwrap_err().key.map(straybelt::gauge::ReadingKey::as_str)
    };
    assert_eq!(key(&[("place", "61")]), Some("place"));
    assert_eq!(key(&[("place", "1")]), Some("place"));
    assert_eq!(key(&[("carry_pitch", "")]), Some("carry_pitch"));
    assert_eq!(key(&[("carry_pitch", "0")]), Some("carry_pitch"));
    assert_eq!(key(&[("belt_length", "100 m")]), Some("belt_length"));
    assert_eq!(key(&[("drift", "900")]), Some("drift"));
    assert_eq!(key(&[("drift", "-1")]), Some("drift"));
    assert_eq!(key(&[("speed", "0")]), Some("speed"));
    // The other strand's pitch is not needed.
    assert!(trimmed("carry", "left", &[("return_pitch", "")]).is_ok());
}

proptest! {
    /// All distances scaled: the same stations, their places scaled. Seen from the other end of the conveyor the
    /// return strand is the carry strand.
    #[test]
    fn scale_and_ends(place in 0.0..60.0_f64, pitch in 0.5..4.0_f64, by in 0.25..4.0_f64) {
        let one = idlers(Strand::Carry, place, 60.0, pitch);
        let turned = idlers(Strand::Return, 60.0 - place, 60.0, pitch);
        prop_assert_eq!(one.len(), turned.len());
        for (a, b) in one.iter().zip(&turned) {
            prop_assert_eq!(a.0, b.0);
            prop_assert!((a.1 - (60.0 - b.1)).abs() < 1e-9);
        }
        // Rounding may decide otherwise at the very edge.
        let edge = (2..=4).any(|station| (place - (f64::from(station) + 1.5) * pitch).abs() < 1e-6);
        if !edge {
            let scaled = idlers(Strand::Carry, place * by, 60.0 * by, pitch * by);
            prop_assert_eq!(one.iter().map(|it| it.0).collect::<Vec<_>>(), scaled.iter().map(|it| it.0).collect::<Vec<_>>());
        }
    }

    /// Left and right swapped: the same sentences with the sides swapped.
    #[test]
    fn mirror(drift in 1..400_u32, place in 0..60_u32, strand in 0..2_usize) {
        let (drift, place, strand) = (drift.to_string(), place.to_string(), ["carry", "return"][strand]);
        let outcome = |side| trimmed(strand, side, &[("drift", &drift), ("place", &place)]);
        let swap = |line: String| line.replace("LEFT", "X").replace("RIGHT", "LEFT").replace('X', "RIGHT");
        match (outcome("left"), outcome("right")) {
            (Ok(left), Ok(right)) => {
                let left: Vec<String> = left.work.iter().chain([&left.says]).map(|it| swap(text(it))).collect();
                let right: Vec<String> = right.work.iter().chain([&right.says]).map(text).collect();
                prop_assert_eq!(left, right);
            }
            (left, right) => prop_assert_eq!(left.is_err(), right.is_err()),
        }
    }

    #[test]
    fn never_a_panic(sizes in prop::collection::vec(-1e6..1e6_f64, 10), strand in 0..2_usize) {
        let texts: Vec<String> = sizes.iter().map(|it| format!("{it:.3}")).collect();
        let keys = ["drift", "place", "centres", "carry_pitch", "return_pitch", "belt_length", "speed", "width", "turn", "error"];
        let mut single: Vec<(&str, &str)> = keys.iter().zip(&texts).map(|(key, text)| (*key, text.as_str())).collect();
        single.extend([("strand", ["carry", "return"][strand]), ("side", "left")]);
        let _ = work(&GAUGE, "drift", &single, &[]);
    }

    /// A wider foot spacing never asks for a smaller step.
    #[test]
    fn steps_grow(feet in 0.1..3.0_f64, more in 0.0..1.0_f64) {
        prop_assert!(step_m(Some(feet + more)) >= step_m(Some(feet)));
    }
}
