//! A take-up weight: pulls by hand through rope and sheaves, the drawing, the strand's need, ropes that cannot be.

use straybelt::gauge::weight::{GAUGE, Hung};
use straybelt::gauge::{Outcome, ReadingKey, Verdict};

use crate::support::{near, says, si, tells, text, work};

fn hung(more: &[(&str, &str)]) -> Outcome {
    work(&GAUGE, "hung", &[&[("weight", "10 kN")], more].concat(), &[]).unwrap()
}

#[test]
fn two_strands_share_what_hangs_at_the_pulley() {
    // By hand: 10 kN and 3 kN of pulley and frame on two strands.
    near(si(&hung(&[("own_weight", "3 kN")]), "strand"), 6500.0, 1e-6);
    near(si(&hung(&[]), "strand"), 5000.0, 1e-6);
}

#[test]
fn the_rope_multiplies_or_divides() {
    let hung = |carriage_parts, weight_parts, slope_rad| Hung {
        weight_n: 10_000.0,
        carriage_parts,
        weight_parts,
        own_n: 4000.0,
        slope_rad,
    };
    // By hand: each part of rope carries its share of the weight, and each part at the carriage pulls with that.
    near(hung(2, 1, Some(0.0)).pull_n(), 20_000.0, 1e-9);
    near(hung(1, 2, Some(0.0)).pull_n(), 5000.0, 1e-9);
    near(hung(2, 2, Some(0.0)).pull_n(), 10_000.0, 1e-9);
    // A carriage on a slope of 30 degrees adds half of its own weight.
    near(hung(1, 1, Some(30_f64.to_radians())).pull_n(), 12_000.0, 1e-6);
    near(hung(1, 1, None).pull_n(), 14_000.0, 1e-9);
}

#[test]
fn a_weight_is_held_against_its_drawing() {
    let heavy = hung(&[("drawn", "8 kN")]);
    assert_eq!((tells(&heavy, "hangs"), heavy.verdict), (Some("too-heavy"), Verdict::Beyond));
    near(heavy.amount.as_ref().unwrap().size.si(), 2000.0, 1e-6);
    assert!(text(&heavy.amount.as_ref().unwrap().at).contains("to come off"));
    assert!(says(&heavy.work, "nobody under it"));
    let light = hung(&[("drawn", "12 kN")]);
    assert_eq!(tells(&light, "hangs"), Some("too-light"));
    let right = hung(&[("drawn", "10.1 kN")]);
    assert_eq!((tells(&right, "hangs"), right.verdict), (Some("as-drawn"), Verdict::Within));
    assert!(right.work.is_empty());
}

#[test]
fn too_little_for_the_strand_is_not_cured_by_weight_added_by_feel() {
    let short = hung(&[("needed", "9 kN")]);
    assert_eq!(short.verdict, Verdict::Beyond);
    assert!(says(&short.work, "Do not add weight by feel"));
    assert_eq!(hung(&[("needed", "3 kN")]).verdict, Verdict::Within);
    assert_eq!(hung(&[("needed", "5 kN")]).verdict, Verdict::TooClose);
    let rated = hung(&[("width", "800"), ("rated_tension", "5 N/mm")]);
    near(si(&rated, "rated-share"), 5000.0 / 4000.0, 1e-9);
    assert_eq!(rated.verdict, Verdict::Beyond);
}

#[test]
fn kilograms_count_as_what_they_weigh() {
    let kilograms = work(&GAUGE, "hung", &[("weight", "1000 kg")], &[]).unwrap();
    near(si(&kilograms, "strand"), 1000.0 * 9.806_65 / 2.0, 1e-6);
}

#[test]
fn what_cannot_be_is_refused_by_its_reading() {
    let key = |more: &[(&str, &str)]| {
        let single = [&[("weight", "10 kN")], more].concat();
        work(&GAUGE, "hung", &single, &[]).unwrap_err().key.map(ReadingKey::as_str)
    };
    assert_eq!(key(&[("carriage_parts", "40")]), Some("carriage_parts"));
    assert_eq!(key(&[("slope", "120 deg")]), Some("slope"));
    assert_eq!(key(&[("friction", "100 %")]), Some("friction"));
}
