//! How good stated chances are: calibration, the Brier score and its split, intervals of shares.
//!
//! All of it works on pairs: the chance that was stated, and whether it came true.

use serde::Serialize;

/// So many bands of stated chances, each a tenth wide.
pub const BANDS: usize = 10;
/// 95 % of a normal distribution lie within so many standard deviations.
const Z: f64 = 1.959_963_984_540_054;

/// A share of a number of trials, with its interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Share {
    /// How many came true.
    pub hits: usize,
    /// Of how many.
    pub of: usize,
    /// The 95 % interval, 0..1.
    pub between: (f64, f64),
}

impl Share {
    /// So many of so many.
    pub fn new(hits: usize, of: usize) -> Self {
        Self { hits, of, between: wilson(hits, of) }
    }

    /// The share itself, 0..1; 0 of nothing.
    pub fn value(&self) -> f64 {
        if self.of == 0 { 0.0 } else { self.hits as f64 / self.of as f64 }
    }
}

/// The 95 % interval of a share, 0..1, by the score test (Wilson 1927); everything when nothing was tried.
pub fn wilson(hits: usize, of: usize) -> (f64, f64) {
    if of == 0 {
        return (0.0, 1.0);
    }
    let n = of as f64;
    let share = hits as f64 / n;
    let z2 = Z * Z;
    let middle = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = Z / (1.0 + z2 / n) * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
    let low = if hits == 0 { 0.0 } else { middle - half };
    let high = if hits == of { 1.0 } else { middle + half };
    (low, high)
}

/// A mean with the half width of its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Mean {
    /// The mean; 0 of nothing.
    pub mean: f64,
    /// Half the width of its 95 % interval, by the normal distribution; 0 of fewer than two.
    pub give_or_take: f64,
}

impl Mean {
    /// The mean of these numbers.
    pub fn new(numbers: impl IntoIterator<Item = f64>) -> Self {
        let numbers: Vec<f64> = numbers.into_iter().collect();
        let n = numbers.len() as f64;
        let mean = numbers.iter().sum::<f64>() / n.max(1.0);
        let squares: f64 = numbers.iter().map(|x| (x - mean) * (x - mean)).sum();
        let give_or_take =
            if numbers.len() < 2 { 0.0 } else { Z * (squares / (n - 1.0) / n).sqrt() };
        Self { mean, give_or_take }
    }
}

/// One band of stated chances.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Chances above this, 0..1; the first band holds 0 as well.
    pub above: f64,
    /// Up to this, 0..1.
    pub up_to: f64,
    /// The mean of the chances stated in it, 0..1; 0 if there are none.
    pub stated: f64,
    /// How many of them came true.
    pub came_true: Share,
}

/// The bands of stated chances, the lowest first, the empty ones too.
pub fn calibration(pairs: &[(f64, bool)]) -> Vec<Band> {
    let edge = |band: usize| band as f64 / BANDS as f64;
    // An edge belongs to the band below it.
    let band_of = |stated: f64| (1..BANDS).filter(|&band| stated > edge(band)).count();
    (0..BANDS)
        .map(|band| {
            let inside = pairs.iter().filter(|(stated, _)| band_of(*stated) == band);
            let (mut sum, mut hits, mut of) = (0.0, 0, 0);
            for (stated, came_true) in inside {
                sum += stated;
                hits += usize::from(*came_true);
                of += 1;
            }
            Band {
                above: edge(band),
                up_to: edge(band + 1),
                stated: if of == 0 { 0.0 } else { sum / of as f64 },
                came_true: Share::new(hits, of),
            }
        })
        .collect()
}

/// The Brier score and what it is made of (Murphy 1973):
/// score = reliability - resolution + uncertainty + within.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Brier {
    /// Mean squared distance of the stated chance from what came: 0 is perfect.
    pub score: f64,
    /// How far the bands are from keeping their word; 0 is perfect.
    pub reliability: f64,
    /// How far the bands differ from the mean of all; the more the better.
    pub resolution: f64,
    /// What the score would be if always the mean of all were stated.
    pub uncertainty: f64,
    /// What the bands blur: 0 when each holds one stated chance only.
    pub within: f64,
}

/// The Brier score of these pairs, split by the bands of [`calibration`]; nothing of no pairs.
pub fn brier(pairs: &[(f64, bool)]) -> Option<Brier> {
    if pairs.is_empty() {
        return None;
    }
    let n = pairs.len() as f64;
    let came = |came_true: bool| f64::from(u8::from(came_true));
    let distance = |(stated, came_true): &(f64, bool)| (stated - came(*came_true)).powi(2);
    let score = pairs.iter().map(distance).sum::<f64>() / n;
    let share = pairs.iter().filter(|(_, came_true)| *came_true).count() as f64 / n;
    let (mut reliability, mut resolution) = (0.0, 0.0);
    for band in calibration(pairs) {
        let weight = band.came_true.of as f64 / n;
        let came = band.came_true.value();
        reliability += weight * (band.stated - came).powi(2);
        resolution += weight * (came - share).powi(2);
    }
    let uncertainty = share * (1.0 - share);
    Some(Brier {
        score,
        reliability,
        resolution,
        uncertainty,
        within: score - (reliability - resolution + uncertainty),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_tried_says_nothing() {
        assert_eq!(wilson(0, 0), (0.0, 1.0));
        assert_eq!(brier(&[]), None);
        assert_eq!(Mean::new([]).mean, 0.0);
        assert!(calibration(&[]).iter().all(|band| band.came_true.of == 0));
    }

    #[test]
    fn an_edge_belongs_to_the_band_below() {
        let bands = calibration(&[(0.0, false), (0.1, true), (0.11, true), (1.0, true)]);
        let counts: Vec<usize> = bands.iter().map(|band| band.came_true.of).collect();
        assert_eq!(counts, [2, 1, 0, 0, 0, 0, 0, 0, 0, 1]);
    }
}
