//! Straight lines against certified and printed values, scipy and brute force.

use proptest::prelude::*;
use straybelt::gauge::fit::{
    Line, least_squares, minimum_zone, most_within, slope_limits, theil_sen,
};

fn close(found: f64, expected: f64, relative: f64) {
    let far = (found - expected).abs();
    assert!(far <= relative * expected.abs().max(1e-12), "{found} is not {expected}");
}

/// Published: NIST StRD "Norris", data and certified values as carried in the GNU Scientific Library's tests.
const NORRIS_X: &str = "0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 447.5 11.6 556.0 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 0.5";
const NORRIS_Y: &str = "0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9 10.8 557.7 228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2";

fn numbers(text: &str) -> Vec<f64> {
    text.split_whitespace().map(|number| number.parse().unwrap()).collect()
}

fn zip(x: &[f64], y: &[f64]) -> Vec<(f64, f64)> {
    assert_eq!(x.len(), y.len());
    x.iter().copied().zip(y.iter().copied()).collect()
}

#[test]
fn norris_comes_out_as_certified() {
    let points = zip(&numbers(NORRIS_X), &numbers(NORRIS_Y));
    assert_eq!(points.len(), 36);
    let fit = least_squares(&points).unwrap();
    let (height, slope) = fit.errors.unwrap();
    close(fit.line.at_zero, -0.262_323_073_774_029, 1e-10);
    close(fit.line.slope, 1.002_116_818_020_45, 1e-10);
    close(height, 0.232_818_234_301_152, 1e-10);
    close(slope, 0.429_796_848_199_937e-3, 1e-10);
    close(fit.left_over, 26.617_398_529_422_4, 1e-10);
}

#[test]
fn sens_own_data_give_his_slope_and_limits() {
    // Published: Sen (1968), as carried in the tests of an R package for method comparison and of scipy.
    let points =
        zip(&[1.0, 2.0, 3.0, 4.0, 10.0, 12.0, 18.0], &[9.0, 15.0, 19.0, 20.0, 45.0, 55.0, 78.0]);
    let line = theil_sen(&points).unwrap();
    close(line.slope, 4.0, 1e-12);
    close(line.at_zero, 6.0, 1e-12);
    // 93 %, two-sided: 1.8119 standard deviations.
    let (low, high) = slope_limits(&points, 1.811_91).unwrap();
    close(low, 26.0 / 7.0, 1e-12);
    close(high, 35.0 / 8.0, 1e-12);
}

#[test]
fn one_knocked_stand_does_not_move_theil_and_sen() {
    // Derived here: y = 0.8 x + 2 with one point 25 too high.
    let points: Vec<(f64, f64)> = (0..11)
        .map(|at| f64::from(at) * 3.0)
        .map(|x| (x, 0.8 * x + 2.0 + if x == 18.0 { 25.0 } else { 0.0 }))
        .collect();
    let squares = least_squares(&points).unwrap().line;
    assert!((squares.slope - 0.875_76).abs() < 5e-6);
    assert!((squares.at_zero - 3.136_36).abs() < 5e-6);
    close(theil_sen(&points).unwrap().slope, 0.8, 1e-12);
}

/// Published: readings of a straightness example in a laser interferometer's user guide, p. 21-3, in m and µm.
const STRAIGHTNESS: [f64; 10] = [-0.3, 0.9, 1.5, 2.5, 2.9, 3.6, 4.2, 5.1, 5.9, 7.2];

fn straightness() -> Vec<(f64, f64)> {
    STRAIGHTNESS.iter().enumerate().map(|(at, y)| (at as f64 / 10.0, *y)).collect()
}

#[test]
fn offsets_from_the_line_through_both_ends_are_as_printed() {
    // Published: line 8.33x - 0.3, residuals to one decimal, on the same page.
    let points = straightness();
    let (first, last) = (points[0], points[9]);
    let slope = (last.1 - first.1) / (last.0 - first.0);
    let line = Line { at_zero: first.1 - slope * first.0, slope };
    assert!((line.slope - 8.33).abs() < 0.005);
    let printed = [0.0, 0.4, 0.1, 0.3, -0.1, -0.3, -0.5, -0.4, -0.5, 0.0];
    for (point, residual) in points.iter().zip(printed) {
        assert!((line.off(*point) - residual).abs() <= 0.05, "{point:?}");
    }
}

fn range(line: Line, points: &[(f64, f64)]) -> f64 {
    let offs = points.iter().map(|point| line.off(*point));
    offs.clone().fold(f64::MIN, f64::max) - offs.fold(f64::MAX, f64::min)
}

#[test]
fn no_line_beats_the_narrowest_zone() {
    // Derived here, by linear programming and by brute force over pairs.
    let points = straightness();
    let zone = minimum_zone(&points).unwrap();
    assert!((zone.width - 0.65).abs() < 1e-6);
    assert!((zone.line.slope - 7.833_333).abs() < 1e-6);
    assert!((range(zone.line, &points) - zone.width).abs() < 1e-12);
    let squares = least_squares(&points).unwrap().line;
    assert!((squares.slope - 7.654_545).abs() < 1e-6);
    assert!((squares.at_zero + 0.094_545).abs() < 1e-6);
    assert!((range(squares, &points) - 0.703_636).abs() < 1e-6);
    let robust = theil_sen(&points).unwrap();
    assert!((robust.slope - 7.5).abs() < 1e-12);
    assert!((range(robust, &points) - 0.75).abs() < 1e-9);
}

#[test]
fn forty_random_cases_agree_with_scipy() {
    let text = include_str!("reference/lines.txt");
    let rows: Vec<Vec<f64>> = text.lines().map(numbers).collect();
    assert_eq!(rows.len(), 200);
    for case in rows.chunks(5) {
        let [x, y, squares, robust, zone] = case else { panic!("five rows to a case") };
        let points = zip(x, y);
        let fit = least_squares(&points).unwrap();
        let (height, slope) = fit.errors.unwrap();
        let found = [fit.line.at_zero, fit.line.slope, height, slope, fit.left_over];
        for (found, expected) in found.iter().zip(squares) {
            close(*found, *expected, 1e-9);
        }
        let line = theil_sen(&points).unwrap();
        let (low, high) = slope_limits(&points, 1.959_963_984_540_054).unwrap();
        for (found, expected) in [line.at_zero, line.slope, low, high].iter().zip(robust) {
            close(*found, *expected, 1e-9);
        }
        let narrowest = minimum_zone(&points).unwrap();
        close(narrowest.width, zone[0], 1e-7);
        close(narrowest.line.slope, zone[1], 1e-6);
    }
}

/// The narrowest zone, tried over the slopes of all pairs.
fn brute_zone(points: &[(f64, f64)]) -> f64 {
    let mut least = f64::INFINITY;
    for a in points {
        for b in points {
            if a.0 != b.0 {
                let slope = (b.1 - a.1) / (b.0 - a.0);
                least = least.min(range(Line { at_zero: 0.0, slope }, points));
            }
        }
    }
    least
}

/// The most points within `half` of a line, tried over all pairs of points moved up or down by `half`.
fn brute_most(points: &[(f64, f64)], half: f64) -> usize {
    let mut most = 0;
    for a in points {
        for b in points.iter().filter(|b| b.0 != a.0) {
            for (up, down) in [(half, half), (half, -half), (-half, half), (-half, -half)] {
                let slope = (b.1 + down - a.1 - up) / (b.0 - a.0);
                let line = Line { at_zero: a.1 + up - slope * a.0, slope };
                let kept = points.iter().filter(|point| line.off(**point).abs() <= half + 1e-9);
                most = most.max(kept.count());
            }
        }
    }
    most
}

fn some_points() -> impl Strategy<Value = Vec<(f64, f64)>> {
    proptest::collection::vec(-8.0..8.0_f64, 2..12).prop_map(|offsets| {
        offsets.into_iter().enumerate().map(|(at, offset)| (at as f64 * 1.5, offset)).collect()
    })
}

fn typed_points() -> impl Strategy<Value = Vec<(f64, f64)>> {
    // Whole millimetres, so that many lie in line and at the same height.
    proptest::collection::vec((0..15_i32, -4..5_i32), 3..14)
        .prop_map(|points| points.into_iter().map(|(x, y)| (f64::from(x), f64::from(y))).collect())
}

proptest! {
    #[test]
    fn the_narrowest_zone_is_that_of_brute_force(points in prop_oneof![some_points(), typed_points()]) {
        match minimum_zone(&points) {
            Some(zone) => {
                prop_assert!((zone.width - brute_zone(&points)).abs() < 1e-9);
                prop_assert!((range(zone.line, &points) - zone.width).abs() < 1e-9);
                let squares = least_squares(&points).unwrap().line;
                let robust = theil_sen(&points).unwrap();
                prop_assert!(zone.width <= range(squares, &points) + 1e-9);
                prop_assert!(zone.width <= range(robust, &points) + 1e-9);
            }
            None => prop_assert!(points.iter().all(|point| point.0 == points[0].0)),
        }
    }

    #[test]
    fn most_points_are_kept(points in prop_oneof![some_points(), typed_points()], half in 0.1..3.0_f64) {
        if let Some(kept) = most_within(&points, half) {
            let number = kept.keeps.iter().filter(|keeps| **keeps).count();
            prop_assert_eq!(number, brute_most(&points, half));
            for (point, keeps) in points.iter().zip(&kept.keeps) {
                prop_assert_eq!(*keeps, kept.line.off(*point).abs() <= half * (1.0 + 1e-9) + 1e-12);
            }
        }
    }

    #[test]
    fn lines_follow_a_mirror_and_a_scale(points in some_points(), scale in 0.01..100.0_f64) {
        let mirrored: Vec<(f64, f64)> = points.iter().map(|(x, y)| (*x, -y)).collect();
        let scaled: Vec<(f64, f64)> = points.iter().map(|(x, y)| (*x, y * scale)).collect();
        let line = |points: &[(f64, f64)]| [least_squares(points).unwrap().line, theil_sen(points).unwrap(), minimum_zone(points).unwrap().line];
        for ((plain, mirror), bigger) in line(&points).into_iter().zip(line(&mirrored)).zip(line(&scaled)) {
            prop_assert!((plain.slope + mirror.slope).abs() < 1e-9);
            prop_assert!((plain.at_zero + mirror.at_zero).abs() < 1e-9);
            prop_assert!((plain.slope * scale - bigger.slope).abs() < 1e-7 * scale);
        }
    }
}

#[test]
fn no_line_is_made_of_nothing() {
    for points in
        [vec![], vec![(1.0, 2.0)], vec![(1.0, 2.0), (1.0, 3.0)], vec![(0.0, f64::NAN), (1.0, 2.0)]]
    {
        assert_eq!(least_squares(&points), None);
        assert_eq!(theil_sen(&points), None);
        assert_eq!(minimum_zone(&points), None);
        assert_eq!(most_within(&points, 1.0), None);
    }
}
