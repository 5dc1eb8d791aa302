//! Waves in records, and the gauge `trace`.

use std::f64::consts::{FRAC_PI_3, TAU};

use proptest::prelude::*;
use straybelt::conveyor::quantity::Quantity;
use straybelt::gauge::periodogram::{Comb, Look, fit};
use straybelt::gauge::rhythm::{Body, Turning, WINDOW_TURNS, Weave, take_apart};
use straybelt::gauge::trace::GAUGE;
use straybelt::gauge::{Amiss, Given, Kind, Outcome, Plot, Row, Setting, Verdict};

use super::support::{figure, key, readings, says, tells, text};

fn one(frequency_hz: f64) -> [Comb; 1] {
    [Comb { base_hz: frequency_hz, count: 1 }]
}

/// The normalisation is that of scipy's documentation (published: a sine of amplitude A has A^2 N / 4); the number is
/// derived here: amplitude 5 in 64 samples.
#[test]
fn the_power_of_sixty_four_points() {
    let times: Vec<f64> = (0..64).map(f64::from).collect();
    let values: Vec<f64> = times
        .iter()
        .map(|t| 3.0 * (TAU * 5.0 * t / 64.0).cos() + 4.0 * (TAU * 5.0 * t / 64.0).sin())
        .collect();
    let power = |bin: f64| fit(&times, &values, &one(bin / 64.0)).unwrap().power();
    assert!((power(5.0) - 400.0).abs() < 1e-9);
    assert!(power(4.0).abs() < 1e-9);
    assert!(power(6.0).abs() < 1e-9);
    assert!((fit(&times, &values, &one(5.0 / 64.0)).unwrap().share() - 1.0).abs() < 1e-12);
}

fn uneven() -> (Vec<f64>, Vec<f64>) {
    let times: Vec<f64> =
        (0..600).map(|i| 0.41 * f64::from(i) + 0.13 * (1.7 * f64::from(i)).sin()).collect();
    let values = times
        .iter()
        .map(|t| {
            8.0 * (TAU * t / 41.066_667 - 0.6).cos() + 2.0 * (TAU * t / FRAC_PI_3 + 0.4).cos() + 1.0
        })
        .collect();
    (times, values)
}

/// Derived here: an uneven record of two known waves.
#[test]
fn an_uneven_record_gives_its_waves_back() {
    let (times, values) = uneven();
    let both: Vec<Comb> =
        [41.066_667, FRAC_PI_3].iter().flat_map(|period| one(1.0 / period)).collect();
    let joint = fit(&times, &values, &both).unwrap();
    assert!((joint.waves[0].amplitude() - 8.0).abs() < 1e-9);
    assert!((joint.waves[1].amplitude() - 2.0).abs() < 1e-9);
    assert!((joint.mean - 1.0).abs() < 1e-9);
    assert!((joint.share() - 1.0).abs() < 1e-12);
    // The largest amplitudes of single waves with a floating mean, on a grid of 5e-5 Hz.
    let largest = |from: f64, to: f64| {
        let steps = ((to - from) / 5e-5).round() as i32;
        (0..=steps)
            .map(|step| from + 5e-5 * f64::from(step))
            .map(|f| (f, fit(&times, &values, &one(f)).unwrap().waves[0].amplitude()))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap()
    };
    let (slow, large) = largest(0.01, 0.05);
    assert!((slow - 0.0243).abs() < 1e-9 && (large - 8.003).abs() < 5e-4, "{slow} {large}");
    let (quick, small) = largest(0.90, 1.00);
    assert!((quick - 0.9549).abs() < 6e-5 && (small - 2.012).abs() < 1e-3, "{quick} {small}");
}

/// Random records against scipy's `lombscargle` and numpy's least squares (`reference/periodogram.py`, which states
/// the normalisations).
#[test]
fn power_and_share_are_those_of_scipy() {
    let (mut times, mut values) = (Vec::new(), Vec::new());
    let mut joint = None;
    let mut checked = 0;
    for line in include_str!("reference/periodogram.txt").lines() {
        let (word, rest) = line.split_once(' ').unwrap();
        let numbers: Vec<f64> = rest.split(' ').map(|it| it.parse().unwrap()).collect();
        let near = |got: f64, wanted: f64| {
            assert!((got - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{line}: {got}");
        };
        match word {
            "case" => (times, values) = (Vec::new(), Vec::new()),
            "sample" => {
                times.push(numbers[0]);
                values.push(numbers[1]);
            }
            "power" => {
                let fit = fit(&times, &values, &one(numbers[0])).unwrap();
                near(fit.power(), numbers[1]);
                near(fit.share(), numbers[2]);
                checked += 1;
            }
            "joint" => {
                // The first two frequencies are a comb: one and two waves.
                let combs = [Comb { base_hz: numbers[0], count: 2 }, one(numbers[4])[0]];
                let fit = fit(&times, &values, &combs).unwrap();
                for (wave, pair) in fit.waves.iter().zip(numbers.chunks(2)) {
                    near(wave.frequency_hz, pair[0]);
                    near(wave.amplitude(), pair[1]);
                }
                joint = Some(fit);
            }
            "explained" => near(joint.as_ref().unwrap().explained, numbers[0]),
            other => panic!("{other}"),
        }
    }
    assert_eq!(checked, 35);
}

#[test]
fn waves_that_cannot_be_told_apart_are_not_fitted() {
    let times: Vec<f64> = (0..50).map(f64::from).collect();
    let values: Vec<f64> = times.iter().map(|t| t.sin()).collect();
    assert_eq!(fit(&times, &values, &[one(0.1)[0], one(0.1)[0]]), None);
    assert_eq!(fit(&times[..2], &values[..2], &one(0.1)), None);
    assert_eq!(fit(&[], &[], &one(0.1)), None);
}

/// The quick look over all frequencies against the exact fit: the same but for the cells, which take at most a fifth
/// off the amplitude of the quickest waves; two windows at once, and each by itself.
#[test]
fn the_quick_look_is_near_the_exact_one() {
    let (times, values) = uneven();
    let (a, b) = times.split_at(300);
    let (u, v) = values.split_at(300);
    let windows: [(&[f64], &[f64]); 2] = [(a, u), (b, v)];
    for (window, quick) in windows.iter().zip(Look::new(124.0, 1.2).at(windows)) {
        for place in [12, 40, 200, 477, quick.explained.len() - 20] {
            let frequency = place as f64 * quick.step_hz;
            let exact = fit(window.0, window.1, &one(frequency)).unwrap().explained;
            let got = quick.explained[place];
            assert!((got - exact).abs() < 0.36 * exact + 100.0, "{frequency}: {got} for {exact}");
        }
        let peak = quick.at(1.0 / FRAC_PI_3);
        assert!((quick.amplitude(peak) - 2.0).abs() < 0.4, "{}", quick.amplitude(peak));
    }
}

/// A conveyor: belt 61.6 m at 1.5 m/s, pulleys 500 mm, rolls 127 mm; turns of 41.07 s, 1.047 s, 0.266 s.
const BELT_HZ: f64 = 1.5 / 61.6;
const PULLEY_HZ: f64 = 0.954_930;
const ROLL_HZ: f64 = 3.759_566;

fn turnings() -> Vec<Turning> {
    [(Body::Belt, BELT_HZ), (Body::TailPulley, PULLEY_HZ), (Body::CarryRoll, ROLL_HZ)]
        .map(|(body, turns_hz)| Turning { body, turns_hz })
        .to_vec()
}

/// Chance numbers from -1 to 1 that are the same every time.
fn chance(place: usize) -> f64 {
    let mut state = (place as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    state ^= state >> 29;
    state = state.wrapping_mul(0xBF58_476D_1CE4_E5B9);
    state ^= state >> 32;
    (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

fn record(turns: f64, every_s: f64, offset_m: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
    let count = (turns / BELT_HZ / every_s).ceil() as usize + 1;
    (0..count)
        .map(|place| {
            let time = every_s * (place as f64 + 0.2 * chance(3 * place));
            (time, offset_m(time) + 0.001 * chance(7 * place + 1))
        })
        .collect()
}

const MACHINE: &[(&str, &str)] = &[
    ("belt_length", "61.6 m"),
    ("speed", "1.5"),
    ("tail_diameter", "500"),
    ("roll_diameter", "127"),
];

fn traced(single: &[(&str, &str)], record: &[(f64, f64)]) -> Result<Outcome, Amiss> {
    let mut given = readings(&GAUGE, "edge", single, &[]);
    given.rows = record
        .iter()
        .map(|(time, offset)| {
            Row::from_iter([
                (key("time"), Given::Quantity(Quantity::of(Kind::Time, *time))),
                (key("offset"), Given::Quantity(Quantity::of(Kind::Length, *offset))),
            ])
        })
        .collect();
    (GAUGE.work)(&given, &Setting::default())
}

fn wave(hz: f64, time: f64) -> f64 {
    (TAU * hz * time + 0.7).sin()
}

#[test]
fn each_rhythm_tells_its_word() {
    let belt = traced(
        MACHINE,
        &record(6.0, 0.1, |t| 0.02 * wave(BELT_HZ, t) + 0.004 * wave(PULLEY_HZ, t)),
    )
    .unwrap();
    assert_eq!(tells(&belt, "moves"), Some("belt-sway"));
    assert!((figure(&belt, "amplitude-belt").size.si() - 0.02).abs() < 2e-4);
    // 0.02^2 of 0.02^2 + 0.004^2 and what the reading scatter of variance 1e-6/3 leaves.
    let expected = 2e-4 / (2e-4 + 8e-6 + 3.3e-7);
    assert!((figure(&belt, "share-belt").size.si() - expected).abs() < 2e-3);
    assert!((figure(&belt, "amplitude-tail-pulley").size.si() - 0.004).abs() < 2e-4);
    assert_eq!(belt.verdict, Verdict::Beyond);

    let pulley = traced(
        MACHINE,
        &record(6.0, 0.1, |t| 0.002 * wave(BELT_HZ, t) + 0.01 * wave(0.99 * PULLEY_HZ, t)),
    )
    .unwrap();
    assert_eq!(tells(&pulley, "moves"), Some("pulley-turn"));
    assert!((figure(&pulley, "turn-tail-pulley").size.si() * 0.99 * PULLEY_HZ - 1.0).abs() < 1e-3);

    let roll = traced(MACHINE, &record(4.0, 0.05, |t| 0.006 * wave(1.013 * ROLL_HZ, t))).unwrap();
    assert_eq!(tells(&roll, "moves"), Some("roll-turn"));

    let slow = traced(
        MACHINE,
        &record(12.0, 0.1, |t| 0.03 * wave(BELT_HZ / 5.0, t) + 0.005 * wave(BELT_HZ, t)),
    )
    .unwrap();
    assert_eq!(tells(&slow, "moves"), Some("slow"));

    let none =
        traced(&[("error", "0.1 mm"), MACHINE[0], MACHINE[1]], &record(6.0, 0.1, |_| 0.0)).unwrap();
    assert_eq!(tells(&none, "moves"), Some("none"));
    assert_eq!(none.verdict, Verdict::Within);

    let still = traced(MACHINE, &record(6.0, 0.1, |_| 0.05)).unwrap();
    assert_eq!(tells(&still, "moves"), Some("none"));
    assert!(text(&still.says).contains("no weave"));

    let dead: Vec<(f64, f64)> = (0..2000).map(|i| (0.1 * f64::from(i), 0.01)).collect();
    assert_eq!(tells(&traced(MACHINE, &dead).unwrap(), "moves"), Some("none"));

    let between = traced(
        MACHINE,
        &record(6.0, 0.1, |t| {
            0.01 * wave(BELT_HZ, t)
                + 0.009 * wave(7.3 * BELT_HZ / 2.0, t)
                + 0.009 * wave(11.4 * BELT_HZ / 2.0, t)
                + 0.009 * wave(20.3 * BELT_HZ, t)
        }),
    )
    .unwrap();
    assert_eq!(tells(&between, "moves"), None);
    assert_eq!(between.verdict, Verdict::TooClose);
}

/// A crooked splice: a jump once per belt turn, which is many waves per turn.
#[test]
fn a_jump_points_to_the_splice_and_a_slow_weave_to_a_bow() {
    let jump = traced(
        MACHINE,
        &record(8.0, 0.1, |t| if (t * BELT_HZ).fract() < 0.06 { 0.03 } else { 0.0 }),
    )
    .unwrap();
    assert_eq!(tells(&jump, "moves"), Some("belt-jump"));
    assert!(says(&jump.work, "look at the splice, whether it is square"));
    let bow = traced(MACHINE, &record(8.0, 0.1, |t| 0.02 * wave(BELT_HZ, t))).unwrap();
    assert!(says(&bow.work, "bowed length"));
}

/// Speed that changes with the load smears lines over a long record; windows keep them.
#[test]
fn a_changing_speed_does_not_hide_the_pulley() {
    let record = record(60.0, 0.2, |t| {
        // One per cent faster and slower, in waves of 3000 s.
        let run = t + 0.01 * 3000.0 / TAU * (TAU * t / 3000.0).sin();
        0.01 * wave(PULLEY_HZ, run) + 0.002 * wave(BELT_HZ, run)
    });
    let outcome = traced(MACHINE, &record).unwrap();
    assert_eq!(tells(&outcome, "moves"), Some("pulley-turn"));
}

/// A pulley that turns 20 times in a belt turn, or nearly: told from the belt's waves by the length of the record.
#[test]
fn only_a_long_record_tells_a_pulley_from_the_belts_waves() {
    let near = |turns_per_belt_turn: f64, turns: f64, belt_m: f64| {
        let pulley_hz = turns_per_belt_turn * BELT_HZ;
        let diameter = format!("{} m", 1.5 / std::f64::consts::PI / pulley_hz);
        let single = [MACHINE[0], MACHINE[1], ("tail_diameter", diameter.as_str())];
        let record = record(turns, 0.2, |t| 0.01 * wave(pulley_hz, t) + belt_m * wave(BELT_HZ, t));
        traced(&single, &record).unwrap()
    };
    let short = near(20.05, 6.0, 0.004);
    assert_eq!(tells(&short, "moves"), None);
    assert!(text(&short.says).contains("too close to call"));
    let long = near(20.05, 45.0, 0.004);
    assert_eq!(tells(&long, "moves"), Some("pulley-turn"));
    // A belt without slower waves has none of twenty per turn either.
    assert_eq!(tells(&near(20.05, 6.0, 0.0), "moves"), Some("pulley-turn"));
    // Half way between two of the belt's waves even a short record tells.
    assert_eq!(tells(&near(20.5, 6.0, 0.004), "moves"), Some("pulley-turn"));
}

#[test]
fn parts_too_quick_for_the_readings_are_named() {
    let outcome = traced(MACHINE, &record(6.0, 0.4, |t| 0.02 * wave(BELT_HZ, t))).unwrap();
    assert_eq!(tells(&outcome, "moves"), Some("belt-sway"));
    assert!(outcome.figures.iter().all(|figure| figure.id != "share-carry-roll"));
    assert!(says(&outcome.notes, "Too quick for this record"));
}

#[test]
fn the_spectrum_is_drawn_with_its_lines_named() {
    let outcome = traced(MACHINE, &record(6.0, 0.1, |t| 0.01 * wave(PULLEY_HZ, t))).unwrap();
    let Some(Plot::Points(plot)) = &outcome.plot else { panic!("no spectrum") };
    let beyond: Vec<_> = plot.points.iter().filter(|point| point.beyond).collect();
    assert_eq!(beyond.len(), 1);
    assert_eq!(beyond[0].label.as_deref(), Some("the tail pulley"));
    assert!((beyond[0].along - PULLEY_HZ / BELT_HZ).abs() < 0.1);
    let highest = plot.points.iter().map(|point| point.up).fold(0.0, f64::max);
    assert!((highest - 0.01).abs() < 1e-3);
}

#[test]
fn two_pulleys_of_one_size_are_both_looked_at() {
    let mut single = MACHINE.to_vec();
    single.push(("head_diameter", "500"));
    let outcome = traced(&single, &record(6.0, 0.1, |t| 0.01 * wave(PULLEY_HZ, t))).unwrap();
    assert_eq!(tells(&outcome, "moves"), Some("pulley-turn"));
    assert_eq!(outcome.work.len(), 2);
    assert!(says(&outcome.notes, "cannot tell the tail pulley from the head pulley"));
}

#[test]
fn a_timed_turn_is_believed_before_length_and_speed() {
    let mut single = MACHINE.to_vec();
    single.push(("turn", "41.07 s"));
    single[1] = ("speed", "2.5");
    let outcome = traced(&single, &record(6.0, 0.1, |t| 0.01 * wave(PULLEY_HZ, t))).unwrap();
    assert_eq!(tells(&outcome, "moves"), Some("pulley-turn"));
    assert!(says(&outcome.notes, "The timed turn is believed"));
}

#[test]
fn bad_records_are_refused_with_row_and_key() {
    let good = record(4.0, 0.5, |t| 0.01 * wave(BELT_HZ, t));
    let amiss =
        |single: &[(&str, &str)], record: &[(f64, f64)]| traced(single, record).unwrap_err();
    let short = amiss(MACHINE, &good[..200]);
    assert_eq!(short.key.map(straybelt::gauge::ReadingKey::as_str), Some("time"));
    assert!(text(&short.words).contains("span 3 belt turns"));
    assert_eq!(amiss(MACHINE, &[]).key.map(straybelt::gauge::ReadingKey::as_str), Some("time"));
    assert_eq!(
        amiss(MACHINE, &good[..1]).key.map(straybelt::gauge::ReadingKey::as_str),
        Some("time")
    );
    let thin: Vec<_> = good.iter().copied().step_by(20).collect();
    assert!(text(&amiss(MACHINE, &thin).words).contains("too few readings"));
    let mut back = good.clone();
    back[7].0 = 0.0;
    assert_eq!(
        (
            amiss(MACHINE, &back).row,
            amiss(MACHINE, &back).key.map(straybelt::gauge::ReadingKey::as_str)
        ),
        (Some(7), Some("time"))
    );
    let mut wild = good.clone();
    wild[9].1 = f64::NAN;
    assert_eq!(
        (
            amiss(MACHINE, &wild).row,
            amiss(MACHINE, &wild).key.map(straybelt::gauge::ReadingKey::as_str)
        ),
        (Some(9), Some("offset"))
    );
    wild[9].1 = 12.0;
    assert_eq!(amiss(MACHINE, &wild).row, Some(9));
    assert_eq!(
        amiss(&[("speed", "1.5")], &good).key.map(straybelt::gauge::ReadingKey::as_str),
        Some("turn")
    );
    assert_eq!(
        amiss(&[("turn", "0 s")], &good).key.map(straybelt::gauge::ReadingKey::as_str),
        Some("turn")
    );
    assert_eq!(
        amiss(&[MACHINE[0], MACHINE[1], ("tail_diameter", "50 m")], &good)
            .key
            .map(straybelt::gauge::ReadingKey::as_str),
        Some("tail_diameter")
    );
    // Loggers that stamp whole seconds are taken as they stand, and it is said.
    let stamped: Vec<_> =
        good.iter().map(|(time, offset)| (time.floor().max(0.0), *offset)).collect();
    let outcome = traced(MACHINE, &stamped).unwrap();
    assert!(says(&outcome.notes, "the same time as the one before"));
}

fn apart(record: &[(f64, f64)], turnings: &[Turning]) -> Option<Weave> {
    let (times, offsets): (Vec<f64>, Vec<f64>) = record.iter().copied().unzip();
    take_apart(&times, &offsets, turnings, WINDOW_TURNS)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Mirrored, moved sideways, started later, larger, or run slower with everything else: the shares stay.
    #[test]
    fn shares_do_not_depend_on_side_start_size_and_pace(
        belt in 0.0..0.03_f64, pulley in 0.0..0.03_f64, slow in 0.0..0.03_f64,
        by in 0.1..10.0_f64, later in 0.0..500.0_f64, aside in -0.5..0.5_f64, pace in 0.5..2.0_f64,
    ) {
        let plain = record(5.0, 0.25, |t| belt * wave(BELT_HZ, t) + pulley * wave(PULLEY_HZ, t) + slow * wave(0.2 * BELT_HZ, t));
        let changed: Vec<_> = plain.iter().map(|(t, y)| (t * pace + later, aside - by * y)).collect();
        let paced: Vec<_> = turnings().iter().map(|it| Turning { turns_hz: it.turns_hz / pace, ..*it }).collect();
        let (one, other) = (apart(&plain, &turnings()).unwrap(), apart(&changed, &paced).unwrap());
        prop_assert_eq!(one.rhythms.len(), other.rhythms.len());
        // Whether a reading falls inside a turn or a cell may turn on rounding.
        prop_assert!((one.slow_share - other.slow_share).abs() < 0.02);
        for (a, b) in one.rhythms.iter().zip(&other.rhythms) {
            prop_assert_eq!(a.body, b.body);
            prop_assert!((a.share - b.share).abs() < 0.02, "{} {}", a.share, b.share);
        }
    }

    /// More of the belt's wave never lowers the belt's share.
    #[test]
    fn more_weave_more_share(amplitude in 0.001..0.05_f64, more in 0.001..0.05_f64) {
        let share = |belt: f64| {
            apart(&record(4.0, 0.25, |t| belt * wave(BELT_HZ, t) + 0.01 * wave(PULLEY_HZ, t)), &turnings()).unwrap().rhythms[0].share
        };
        prop_assert!(share(amplitude + more) >= share(amplitude) - 1e-6);
    }

    #[test]
    fn never_a_panic(
        steps in prop::collection::vec((0.0..30.0_f64, -6.0..6.0_f64), 0..200),
        turn in 0.001..200.0_f64, diameter in 0.001..3000.0_f64,
    ) {
        let mut time = 0.0;
        let record: Vec<_> = steps.iter().map(|(step, offset)| { time += step; (time, *offset) }).collect();
        let (turn, diameter) = (format!("{turn:.4} s"), format!("{diameter:.4}"));
        let single = [("turn", turn.as_str()), ("belt_length", "60"), ("tail_diameter", diameter.as_str())];
        if let Ok(outcome) = traced(&single, &record) {
            prop_assert!(outcome.figures.iter().all(|figure| figure.size.si().is_finite()));
        }
    }
}
