//! End pulleys and bays: drawn figures measured back, mirrors, the trapezoid, bad readings.

use proptest::prelude::*;
use straybelt::gauge::square::{Bay, GAUGE, place};
use straybelt::gauge::{Outcome, Piece, Verdict, Words};
use straybelt::trade::Side;

use crate::support::{figure, tells, work};

fn bay(lengths: [f64; 6], more: &[(&str, &str)]) -> Outcome {
    let text: Vec<String> = lengths.iter().map(|length| format!("{length:.9} m")).collect();
    let keys = ["left", "right", "tail", "head", "from_left", "from_right"];
    let mut single: Vec<(&str, &str)> =
        keys.into_iter().zip(text.iter().map(String::as_str)).collect();
    single.extend(more);
    work(&GAUGE, "bay", &single, &[]).unwrap()
}

/// The six lengths between four corners: tail left, tail right, head left, head right; along and to the left.
fn six([tl, tr, hl, hr]: [(f64, f64); 4]) -> [f64; 6] {
    let apart = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
    [apart(tl, hl), apart(tr, hr), apart(tl, tr), apart(hl, hr), apart(tl, hr), apart(tr, hl)]
}

fn side_and_way(words: &Words) -> (Option<Side>, String) {
    let side = words.0.iter().find_map(|piece| match piece {
        Piece::Side(side) => Some(*side),
        _ => None,
    });
    let text = words.0.iter().map(|piece| match piece {
        Piece::Text(text) => text.as_ref(),
        _ => "#",
    });
    (side, text.collect())
}

#[test]
fn a_racked_bay_is_measured_back() {
    // Derived here: sides 6000 and 900 mm, 0.25 degrees from square; the left beam leads by 3.927 mm.
    let delta = 0.25_f64.to_radians();
    let lag = 0.9 * delta.sin();
    let (y, a) = (0.45 * delta.cos(), 6.0);
    let lengths = six([(lag, y), (0.0, -y), (a + lag, y), (a, -y)]);
    assert!((lengths[5] - 6.071_006_814).abs() < 1e-8);
    assert!((lengths[4] - 6.063_239_749).abs() < 1e-8);
    let outcome = bay(lengths, &[]);
    assert!((figure(&outcome, "lead").size.si() - 0.003_927_016).abs() < 1e-8);
    assert_eq!(tells(&outcome, "bay"), Some("racked"));
    let (side, text) = side_and_way(&outcome.work[0]);
    assert_eq!(side, Some(Side::Left));
    assert!(text.contains("toward the tail"), "{text}");
}

#[test]
fn three_four_five_makes_a_square_bay() {
    // Published: the 3-4-5 rule for a right angle.
    let outcome = bay([4.0, 4.0, 3.0, 3.0, 5.0, 5.0], &[]);
    assert_eq!(figure(&outcome, "lead").size.si(), 0.0);
    assert_eq!(outcome.verdict, Verdict::Within);
    assert_eq!(tells(&outcome, "bay"), Some("square"));
    assert!(outcome.work.is_empty());
}

#[test]
fn equal_diagonals_of_a_trapezoid_prove_nothing() {
    let outcome = bay(six([(0.0, 0.5), (0.0, -0.5), (6.0, 0.49), (6.0, -0.49)]), &[]);
    assert!(figure(&outcome, "diagonals").size.si().abs() < 1e-8);
    assert_eq!(figure(&outcome, "diagonals").verdict, Verdict::Within);
    assert!((figure(&outcome, "widths").size.si() + 0.02).abs() < 1e-8);
    assert_eq!(tells(&outcome, "bay"), Some("racked"));
    assert!(outcome.notes.iter().any(|note| side_and_way(note).1.contains("narrows to one end")));
}

#[test]
fn too_close_is_not_called() {
    let outcome = bay([6.0, 6.0, 0.9, 0.9, 6.0671, 6.0671 - 0.003], &[]);
    assert_eq!(outcome.verdict, Verdict::TooClose);
    assert_eq!(tells(&outcome, "bay"), None);
}

fn pulley(single: &[(&str, &str)]) -> Outcome {
    work(&GAUGE, "pulley", single, &[]).unwrap()
}

#[test]
fn a_tail_pulley_nearer_on_the_left_is_let_back_on_the_right() {
    // Worked by hand: 4 mm over 1 m, 1.2 m between the bearings: 4.8 mm there. Limit 1 mm in 1 m.
    let outcome = pulley(&[
        ("pulley", "tail"),
        ("to", "line"),
        ("left", "2.000"),
        ("right", "2.004"),
        ("across", "1000"),
        ("bearings", "1200"),
    ]);
    assert!((figure(&outcome, "difference").size.si() + 0.004).abs() < 1e-12);
    assert!((figure(&outcome, "difference").limit.unwrap().size.si() - 0.001).abs() < 1e-12);
    assert_eq!(tells(&outcome, "short-side"), Some("left"));
    let step = &outcome.work[1];
    let (side, text) = side_and_way(step);
    assert_eq!(side, Some(Side::Right));
    assert!(text.contains("tail pulley") && text.contains("toward the head"), "{text}");
    let amount = step.0.iter().find_map(|piece| match piece {
        Piece::Quantity(size) => Some(size.si()),
        _ => None,
    });
    assert!((amount.unwrap() - 0.004_8).abs() < 1e-12);
    let head = pulley(&[
        ("pulley", "head"),
        ("to", "line"),
        ("left", "2.006"),
        ("right", "2"),
        ("across", "1000"),
    ]);
    assert_eq!(tells(&head, "short-side"), Some("right"));
    let (side, text) = side_and_way(&head.work[1]);
    assert_eq!(side, Some(Side::Left));
    assert!(text.contains("toward the tail"), "{text}");
}

#[test]
fn equal_distances_between_pulleys_need_the_diagonals() {
    let equal =
        [("pulley", "tail"), ("to", "pulley"), ("left", "4"), ("right", "4"), ("across", "3 m")];
    let alone = pulley(&equal);
    assert_eq!(alone.verdict, Verdict::Within);
    assert_eq!(tells(&alone, "short-side"), None);
    let mut square = equal.to_vec();
    square.extend([("from_left", "5"), ("from_right", "5")]);
    assert_eq!(tells(&pulley(&square), "short-side"), Some("equal"));
    let mut racked = equal.to_vec();
    racked.extend([("from_left", "5.02"), ("from_right", "4.98")]);
    let racked = pulley(&racked);
    assert_eq!(tells(&racked, "short-side"), None);
    assert_eq!(racked.verdict, Verdict::Beyond);
    let line =
        [("pulley", "tail"), ("to", "line"), ("left", "4"), ("right", "4"), ("across", "3 m")];
    assert_eq!(tells(&pulley(&line), "short-side"), Some("equal"));
}

#[test]
fn pulleys_askew_alike_are_measured_back_from_the_diagonals() {
    // Drawn: 4 m apart, 3 m across, the left ends 30 mm nearer the head at both.
    let corners = [(0.03, 1.5), (0.0, -1.5), (4.03, 1.5), (4.0, -1.5)];
    let [left, right, _, across, from_left, from_right] =
        six(corners).map(|length| format!("{length:.9} m"));
    let outcome = pulley(&[
        ("pulley", "tail"),
        ("to", "pulley"),
        ("left", &left),
        ("right", &right),
        ("across", &across),
        ("from_left", &from_left),
        ("from_right", &from_right),
        ("error", "1"),
    ]);
    let lead = figure(&outcome, "askew-alike");
    assert!((lead.size.si() - 0.03).abs() < 1e-5, "{lead:?}");
    // One mm off in each diagonal: about half of it each, both together 0.7 mm times 5/4 for the slope of the X,
    // and the straight distances as much again less.
    let error = lead.error.unwrap().si();
    assert!(error > 0.000_8 && error < 0.001_4, "{error}");
    // Seen from the head its left point is the far end of the other diagonal.
    let head = pulley(&[
        ("pulley", "head"),
        ("to", "pulley"),
        ("left", &left),
        ("right", &right),
        ("across", &across),
        ("from_left", &from_right),
        ("from_right", &from_left),
    ]);
    assert!((figure(&head, "askew-alike").size.si() - 0.03).abs() < 1e-5);
    assert_eq!(tells(&outcome, "short-side"), None);
}

#[test]
fn a_point_is_found_from_two_distances() {
    // 3-4-5 again: base 3 m, straight 4 m, crosswise 5 m is opposite the end of the base.
    assert_eq!(place(3.0, 4.0, 5.0), Some((4.0, 1.5)));
    assert_eq!(place(3.0, 1.0, 5.0), None);
}

#[test]
fn readings_that_cannot_be_are_refused() {
    let base = [("pulley", "tail"), ("to", "pulley"), ("left", "4"), ("across", "3 m")];
    for (more, key) in [
        (&[("right", "9")][..], "left"),
        (&[("right", "4"), ("from_left", "5")], "from_right"),
        (&[("right", "4"), ("from_right", "5")], "from_left"),
        (&[("right", "4"), ("from_left", "50"), ("from_right", "5")], "from_left"),
        (&[("right", "4"), ("from_left", "4.5"), ("from_right", "4.5")], "from_left"),
    ] {
        let mut single = base.to_vec();
        single.extend(more);
        let amiss = work(&GAUGE, "pulley", &single, &[]).unwrap_err();
        assert_eq!(amiss.key.map(straybelt::gauge::ReadingKey::as_str), Some(key), "{more:?}");
    }
    let keys = ["left", "right", "tail", "head", "from_left", "from_right"];
    for (lengths, key) in [
        (["4", "4", "3", "3", "8", "5"], "from_left"),
        (["4", "4", "3", "3", "5", "4.9"], "from_right"),
        (["4", "4", "3", "3", "0.5", "0.5"], "from_left"),
    ] {
        let single: Vec<(&str, &str)> = keys.into_iter().zip(lengths).collect();
        let amiss = work(&GAUGE, "bay", &single, &[]).unwrap_err();
        assert_eq!(amiss.key.map(straybelt::gauge::ReadingKey::as_str), Some(key), "{lengths:?}");
    }
}

proptest! {
    #[test]
    fn the_second_diagonal_of_any_flat_bay_is_foreseen(
        a in 1.0..8.0_f64, b in 0.4..2.0_f64, off in proptest::array::uniform8(-0.1..0.1_f64), scale in 0.1..10.0_f64,
    ) {
        let corners = [(off[0], b / 2.0 + off[1]), (off[2], -b / 2.0 + off[3]), (a + off[4], b / 2.0 + off[5]), (a + off[6], -b / 2.0 + off[7])];
        let make = |[left_m, right_m, tail_m, head_m, from_left_m, from_right_m]: [f64; 6]| {
            Bay { left_m, right_m, tail_m, head_m, from_left_m, from_right_m }
        };
        let bay = make(six(corners));
        prop_assert!((bay.second_m().unwrap() - bay.from_right_m).abs() < 1e-7);
        let lead = bay.lead_m().unwrap();
        // In a mirror the right beam leads.
        let [tl, tr, hl, hr] = corners.map(|(x, y)| (x, -y));
        let mirror = make(six([tr, tl, hr, hl])).lead_m().unwrap();
        prop_assert!((lead + mirror).abs() < 1e-9);
        let bigger = make(six(corners.map(|(x, y)| (x * scale, y * scale)))).lead_m().unwrap();
        prop_assert!((lead * scale - bigger).abs() < 1e-9 * scale.max(1.0));
    }

    #[test]
    fn swapped_sides_swap_the_answer(left in 3.9..4.1_f64, right in 3.9..4.1_f64) {
        let (left, right) = (format!("{left} m"), format!("{right} m"));
        let of = |left: &str, right: &str| pulley(&[("pulley", "head"), ("to", "line"), ("left", left), ("right", right), ("across", "1000")]);
        let (plain, mirror) = (of(&left, &right), of(&right, &left));
        let other = match tells(&plain, "short-side") {
            Some("left") => Some("right"),
            Some("right") => Some("left"),
            same => same,
        };
        prop_assert_eq!(tells(&mirror, "short-side"), other);
        prop_assert_eq!(figure(&plain, "difference").size.si(), -figure(&mirror, "difference").size.si());
    }
}
