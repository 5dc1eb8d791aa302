//! A robust slope: the median of the slopes between all pairs of points, with a range. One wrong reading hardly moves it.
//!
//! Theil (1950), Sen (1968). The range is that of Sen: ranks of the sorted slopes by the spread of Kendall's score, with
//! its correction for ties. It is worked out as the function `theilslopes` of scipy does, which the tests hold it against.

use statrs::distribution::{ContinuousCDF, Normal};

/// How sure the range is.
pub const SURE: f64 = 0.95;

/// A slope with its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// The median of the slopes, up per along.
    pub slope: f64,
    /// Where the line stands at 0 along.
    pub start: f64,
    /// The lower end of the range.
    pub low: f64,
    /// The upper end of the range.
    pub high: f64,
}

impl Slope {
    /// Through these points, along and up; nothing with fewer than two places along.
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        let mut slopes: Vec<f64> = Vec::new();
        for (place, one) in points.iter().enumerate() {
            for other in points.iter().skip(place + 1) {
                let along = other.0 - one.0;
                if along != 0.0 {
                    slopes.push((other.1 - one.1) / along);
                }
            }
        }
        slopes.sort_by(f64::total_cmp);
        let slope = median(&slopes)?;
        let along: Vec<f64> = points.iter().map(|point| point.0).collect();
        let up: Vec<f64> = points.iter().map(|point| point.1).collect();
        let start = median(&sorted(&up))? - slope * median(&sorted(&along))?;
        let (low, high) = range(&slopes, &along, &up)?;
        Some(Self { slope, start, low, high })
    }

    /// Where the line stands.
    pub fn at(&self, along: f64) -> f64 {
        self.start + self.slope * along
    }

    /// Whether the whole range lies above nothing.
    pub fn surely_rises(&self) -> bool {
        self.low > 0.0
    }

    /// Whether the range leaves nothing out: it surely goes up or down.
    pub fn surely_goes(&self) -> bool {
        self.low > 0.0 || self.high < 0.0
    }
}

fn range(slopes: &[f64], along: &[f64], up: &[f64]) -> Option<(f64, f64)> {
    let count = along.len() as f64;
    let ties = |numbers: &[f64]| {
        let numbers = sorted(numbers);
        let groups = numbers.chunk_by(|one, other| one == other).map(<[f64]>::len);
        groups.map(|tied| spread(tied as f64)).sum::<f64>()
    };
    let variance = (spread(count) - ties(along) - ties(up)) / 18.0;
    let sure = Normal::standard().inverse_cdf(f64::midpoint(1.0, SURE));
    let of = slopes.len() as f64;
    // With many ties nothing is left to tell a range by: then it is all the slopes.
    let reach = if variance > 0.0 { sure * variance.sqrt() } else { of };
    let upper = ((of + reach) / 2.0).round_ties_even() as usize;
    let lower = ((of - reach) / 2.0).round_ties_even().max(1.0) as usize - 1;
    Some((*slopes.get(lower)?, *slopes.get(upper.min(slopes.len().checked_sub(1)?))?))
}

/// Of so many numbers, eighteen times the variance of Kendall's score.
fn spread(count: f64) -> f64 {
    count * (count - 1.0) * (2.0 * count + 5.0)
}

fn sorted(numbers: &[f64]) -> Vec<f64> {
    let mut numbers = numbers.to_vec();
    numbers.sort_by(f64::total_cmp);
    numbers
}

fn median(sorted: &[f64]) -> Option<f64> {
    let middle = sorted.len() / 2;
    match sorted.len() % 2 {
        1 => sorted.get(middle).copied(),
        _ => Some(f64::midpoint(*sorted.get(middle.checked_sub(1)?)?, *sorted.get(middle)?)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_line_is_its_own_slope_and_one_wrong_reading_does_not_move_it() {
        let mut points: Vec<(f64, f64)> =
            (0..9).map(|day| (f64::from(day) * 30.0, 200.0 + f64::from(day) * 2.0)).collect();
        let slope = Slope::through(&points).unwrap();
        assert!((slope.slope - 2.0 / 30.0).abs() < 1e-12);
        assert!((slope.at(300.0) - 220.0).abs() < 1e-9);
        points[4].1 = 900.0;
        let wrong = Slope::through(&points).unwrap();
        assert!((wrong.slope - slope.slope).abs() < 1e-12);
        assert!(wrong.surely_rises() && wrong.low <= wrong.high);
    }

    #[test]
    fn one_place_along_has_no_slope() {
        assert_eq!(Slope::through(&[]), None);
        assert_eq!(Slope::through(&[(1.0, 2.0)]), None);
        assert_eq!(Slope::through(&[(1.0, 2.0), (1.0, 3.0)]), None);
    }

    /// `theilslopes` of scipy 1.17.1; `tests/oracle/slopes.py` made the file.
    #[test]
    fn slopes_and_their_ranges_are_those_of_scipy() {
        #[derive(serde::Deserialize)]
        struct Case {
            name: String,
            along: Vec<f64>,
            up: Vec<f64>,
            slope: f64,
            start: f64,
            low: f64,
            high: f64,
        }
        #[derive(serde::Deserialize)]
        struct File {
            scipy: String,
            cases: Vec<Case>,
        }
        let file: File =
            serde_json::from_str(include_str!("../../tests/oracle/slopes.json")).unwrap();
        assert_eq!(file.scipy, "1.17.1");
        assert!(file.cases.len() >= 20, "{}", file.cases.len());
        for case in file.cases {
            let points: Vec<(f64, f64)> =
                case.along.iter().copied().zip(case.up.iter().copied()).collect();
            let got = Slope::through(&points).unwrap();
            let pairs = [
                (got.slope, case.slope),
                (got.start, case.start),
                (got.low, case.low),
                (got.high, case.high),
            ];
            for (got, expected) in pairs {
                let most = 1e-9 * expected.abs().max(1.0);
                assert!((got - expected).abs() <= most, "{}: {got} {expected}", case.name);
            }
        }
    }

    proptest! {
        /// Whatever the order of the points, and whatever is added to all of them, the slope and its range stay.
        #[test]
        fn order_and_place_do_not_count(
            ups in proptest::collection::vec(-500.0..500.0_f64, 3..20),
            turn in 0..20_usize,
        ) {
            let points: Vec<(f64, f64)> =
                ups.iter().enumerate().map(|(day, up)| ((day * 7) as f64, *up)).collect();
            let mut turned = points.clone();
            turned.rotate_left(turn % points.len());
            let moved: Vec<(f64, f64)> = turned.iter().map(|p| (p.0 + 40.0, p.1 - 12.0)).collect();
            let (one, other) =
                (Slope::through(&points).unwrap(), Slope::through(&moved).unwrap());
            for (a, b) in [(one.slope, other.slope), (one.low, other.low), (one.high, other.high)] {
                prop_assert!((a - b).abs() < 1e-9);
            }
            prop_assert!(one.low <= one.slope && one.slope <= one.high);
        }
    }
}
