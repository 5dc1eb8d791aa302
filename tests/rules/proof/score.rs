//! Calibration, Brier score and intervals against scikit-learn, scipy and a worked example.

use serde::Deserialize;
use straybelt::proof::score::{Mean, brier, calibration, wilson};

use crate::support::{close, close_all};

#[derive(Deserialize)]
struct Oracle {
    calibration: Vec<Case>,
    wilson: Vec<Interval>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    stated: Vec<f64>,
    came_true: Vec<bool>,
    brier_score_loss: f64,
    curve_stated: Vec<f64>,
    curve_came_true: Vec<f64>,
    reliability: f64,
    resolution: f64,
    uncertainty: f64,
}

#[derive(Deserialize)]
struct Interval {
    hits: usize,
    of: usize,
    low: f64,
    high: f64,
}

fn oracle() -> Oracle {
    serde_json::from_str(include_str!("../../oracle/calibration.json")).unwrap()
}

#[test]
fn calibration_and_brier_score_are_those_of_scikit_learn() {
    for case in oracle().calibration {
        let stated = case.stated.iter().copied();
        let pairs: Vec<(f64, bool)> = stated.zip(case.came_true.iter().copied()).collect();
        let bands = calibration(&pairs);
        let full: Vec<_> = bands.iter().filter(|b| b.came_true.of > 0).collect();
        let stated: Vec<f64> = full.iter().map(|b| b.stated).collect();
        let came: Vec<f64> = full.iter().map(|b| b.came_true.value()).collect();
        close_all(&stated, &case.curve_stated, &case.name);
        close_all(&came, &case.curve_came_true, &case.name);
        let brier = brier(&pairs).unwrap();
        close(brier.score, case.brier_score_loss, &case.name);
        close(brier.reliability, case.reliability, &case.name);
        close(brier.resolution, case.resolution, &case.name);
        close(brier.uncertainty, case.uncertainty, &case.name);
    }
}

#[test]
fn the_split_of_a_worked_example() {
    // Ten each of 0.9 (7 right), 0.6 (6) and 0.2 (2).
    let some = |stated: f64, right: usize| (0..10).map(move |n| (stated, n < right));
    let pairs: Vec<(f64, bool)> = some(0.9, 7).chain(some(0.6, 6)).chain(some(0.2, 2)).collect();
    let brier = brier(&pairs).unwrap();
    close(brier.score, 0.65 / 3.0, "score");
    close(brier.reliability, 0.04 / 3.0, "reliability");
    close(brier.resolution, 0.14 / 3.0, "resolution");
    close(brier.uncertainty, 0.25, "uncertainty");
    close(brier.within, 0.0, "within");
}

#[test]
fn intervals_of_shares_are_those_of_scipy() {
    for interval in oracle().wilson {
        let what = format!("{} of {}", interval.hits, interval.of);
        let (low, high) = wilson(interval.hits, interval.of);
        close(low, interval.low, &what);
        close(high, interval.high, &what);
    }
}

#[test]
fn a_mean_says_how_sure_it_is() {
    // 1, 2, 3: variance 1, standard error 1 / sqrt(3).
    let mean = Mean::new([1.0, 2.0, 3.0]);
    close(mean.mean, 2.0, "mean");
    close(mean.give_or_take, 1.959_963_984_540_054 / 3.0_f64.sqrt(), "give or take");
}
