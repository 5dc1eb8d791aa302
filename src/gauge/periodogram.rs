//! Waves in a record over time that may be sampled unevenly: least squares with a floating mean, which is what
//! Lomb and Scargle's periodogram is, and a quick look over all frequencies at once.
//!
//! Normalisation: the power at a frequency is half the sum of squares that the best wave of that frequency explains
//! beyond the mean, so a wave of amplitude `A` in `N` samples has about `A^2 N / 4`; its share is what it explains of
//! the sum of squares about the mean. (Those of scipy's `lombscargle` with `floating_mean`, without and with
//! `normalize`.)

use super::fourier;

/// Waves whose frequencies are 1, 2, 3 ... times that of the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comb {
    /// The lowest frequency, in Hz.
    pub base_hz: f64,
    /// How many.
    pub count: usize,
}

/// A wave `cosine * cos(2 pi f t) + sine * sin(2 pi f t)`, `t` counted from the first sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wave {
    /// `f`, in Hz.
    pub frequency_hz: f64,
    /// What goes with the cosine, in the unit of the values.
    pub cosine: f64,
    /// What goes with the sine.
    pub sine: f64,
}

impl Wave {
    /// Its amplitude: half of what it swings from end to end.
    pub fn amplitude(&self) -> f64 {
        self.cosine.hypot(self.sine)
    }
}

/// Waves fitted to a record together with a mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The mean that the waves swing about.
    pub mean: f64,
    /// The waves, in the order of the combs.
    pub waves: Vec<Wave>,
    /// The sum of squares that they explain together.
    pub explained: f64,
    /// The sum of squares about the plain mean.
    pub total: f64,
}

impl Fit {
    /// Half the sum of squares that is explained.
    pub fn power(&self) -> f64 {
        self.explained / 2.0
    }

    /// The share of the sum of squares that is explained; nothing if there is nothing to explain.
    pub fn share(&self) -> f64 {
        if self.total > 0.0 { self.explained / self.total } else { 0.0 }
    }
}

/// Fits waves and a mean by least squares. Times in s. Nothing if the record is too short for so many waves, or two
/// of them cannot be told apart in it.
pub fn fit(times_s: &[f64], values: &[f64], combs: &[Comb]) -> Option<Fit> {
    let waves: usize = combs.iter().map(|comb| comb.count).sum();
    let unknowns = 1 + 2 * waves;
    let count = times_s.len().min(values.len());
    let start_s = *times_s.first()?;
    if count < unknowns {
        return None;
    }
    let mean = values.iter().take(count).sum::<f64>() / count as f64;
    let mut normal = Normal::new(unknowns);
    let mut total = 0.0;
    let mut block = [const { Vec::new() }; 4];
    let samples: Vec<(&f64, &f64)> = times_s.iter().zip(values).collect();
    for four in samples.chunks(4) {
        for row in &mut block {
            row.clear();
        }
        let mut heights = [0.0; 4];
        for (((time, value), row), height) in four.iter().zip(&mut block).zip(&mut heights) {
            *height = **value - mean;
            total += *height * *height;
            row.push(1.0);
            for comb in combs {
                push_waves(row, comb, **time - start_s);
            }
        }
        for row in &mut block {
            row.resize(unknowns, 0.0);
        }
        normal.add(&block, heights);
    }
    let (solution, explained) = normal.solve(count as f64)?;
    let mut rest = solution.iter().skip(1);
    let mut fitted = Vec::with_capacity(waves);
    for comb in combs {
        for number in 1..=comb.count {
            fitted.push(Wave {
                frequency_hz: number as f64 * comb.base_hz,
                cosine: *rest.next()?,
                sine: *rest.next()?,
            });
        }
    }
    Some(Fit {
        mean: mean + solution.first()?,
        waves: fitted,
        explained: explained.clamp(0.0, total),
        total,
    })
}

/// Cosine and sine of a comb's waves; the higher ones by turning on, which is quicker than asking for each.
fn push_waves(row: &mut Vec<f64>, comb: &Comb, time_s: f64) {
    let (sine, cosine) = (std::f64::consts::TAU * comb.base_hz * time_s).sin_cos();
    let (mut c, mut s) = (cosine, sine);
    for _ in 0..comb.count {
        row.push(c);
        row.push(s);
        (c, s) = (c * cosine - s * sine, s * cosine + c * sine);
    }
}

/// Normal equations: the upper half of the matrix, row by row from the diagonal, and the right side.
struct Normal {
    matrix: Vec<Vec<f64>>,
    right: Vec<f64>,
}

impl Normal {
    fn new(unknowns: usize) -> Self {
        Self {
            matrix: (0..unknowns).map(|row| vec![0.0; unknowns - row]).collect(),
            right: vec![0.0; unknowns],
        }
    }

    /// Adds four samples at a time, which halves the traffic.
    fn add(&mut self, block: &[Vec<f64>], heights: [f64; 4]) {
        let [a, b, c, d] = block else { return };
        let [ya, yb, yc, yd] = heights;
        for (place, (row, right)) in self.matrix.iter_mut().zip(&mut self.right).enumerate() {
            let (Some(a), Some(b), Some(c), Some(d)) =
                (a.get(place..), b.get(place..), c.get(place..), d.get(place..))
            else {
                return;
            };
            let (Some(&ta), Some(&tb), Some(&tc), Some(&td)) =
                (a.first(), b.first(), c.first(), d.first())
            else {
                return;
            };
            *right += ta * ya + tb * yb + tc * yc + td * yd;
            for ((((sum, a), b), c), d) in row.iter_mut().zip(a).zip(b).zip(c).zip(d) {
                *sum += ta * a + tb * b + tc * c + td * d;
            }
        }
    }

    /// Solves by elimination. Gives the unknowns and the sum of squares that they explain. Nothing if two unknowns
    /// cannot be told apart.
    fn solve(mut self, count: f64) -> Option<(Vec<f64>, f64)> {
        let unknowns = self.right.len();
        let before = self.right.clone();
        let mut done: Vec<Vec<f64>> = Vec::with_capacity(unknowns);
        let mut rights = Vec::with_capacity(unknowns);
        for place in 0..unknowns {
            let row = std::mem::take(self.matrix.get_mut(place)?);
            let pivot = *row.first()?;
            // Of a wave's own sum of squares, half the count, nothing would be left.
            if pivot.is_nan() || pivot <= 1e-10 * count {
                return None;
            }
            let right = *self.right.get(place)?;
            for (below, factor) in row.iter().enumerate().skip(1) {
                let factor = factor / pivot;
                let target = self.matrix.get_mut(place + below)?;
                for (sum, own) in target.iter_mut().zip(row.get(below..)?) {
                    *sum -= factor * own;
                }
                *self.right.get_mut(place + below)? -= factor * right;
            }
            rights.push(right);
            done.push(row);
        }
        let mut solution = vec![0.0; unknowns];
        for (place, (row, right)) in done.iter().zip(&rights).enumerate().rev() {
            let known: f64 =
                row.iter().zip(solution.get(place..)?).skip(1).map(|(a, b)| a * b).sum();
            *solution.get_mut(place)? = (right - known) / row.first()?;
        }
        let explained = solution.iter().zip(&before).map(|(a, b)| a * b).sum();
        Some((solution, explained))
    }
}

/// What waves of each frequency explain, over all frequencies up to a highest.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spectrum {
    /// How far apart the frequencies are, in Hz; the first is 0.
    pub step_hz: f64,
    /// The sum of squares that a wave of the frequency explains, about.
    pub explained: Vec<f64>,
    /// How many samples were used.
    pub samples: usize,
}

impl Spectrum {
    /// Between two of its frequencies, along a straight line.
    pub fn at(&self, frequency_hz: f64) -> f64 {
        let place = (frequency_hz / self.step_hz).max(0.0);
        let below = place.floor() as usize;
        let part = place - place.floor();
        let get = |place: usize| self.explained.get(place).copied().unwrap_or(0.0);
        get(below) * (1.0 - part) + get(below + 1) * part
    }

    /// The amplitude of a wave that explains so much.
    pub fn amplitude(&self, explained: f64) -> f64 {
        (2.0 * explained.max(0.0) / self.samples.max(1) as f64).sqrt()
    }

    /// Adds that of another window, looked at in the same way.
    pub fn add(&mut self, other: &Self) {
        self.step_hz = other.step_hz;
        self.samples += other.samples;
        self.explained.resize(other.explained.len(), 0.0);
        for (sum, more) in self.explained.iter_mut().zip(&other.explained) {
            *sum += more;
        }
    }
}

/// The largest table that is transformed at once.
const LARGEST: usize = 1 << 22;

/// The highest frequency that can be looked at in windows of that length, in Hz.
pub fn highest_hz(window_s: f64) -> f64 {
    (LARGEST / 32) as f64 / window_s
}

/// A window of a record: times in s, and values.
pub type Window<'a> = (&'a [f64], &'a [f64]);

/// A quick look over all frequencies of a window.
///
/// Samples are gathered in cells of a quarter of the shortest wave, so the highest frequencies come out up to a fifth
/// too small.
#[derive(Debug)]
pub struct Look {
    cell_s: f64,
    size: usize,
    kept: usize,
    step_hz: f64,
    twiddles: Vec<(f64, f64)>,
}

impl Look {
    /// A look at windows of at most that length, up to a frequency.
    pub fn new(window_s: f64, most_hz: f64) -> Self {
        let most_hz = most_hz.min(highest_hz(window_s));
        let cell_s = 0.25 / most_hz;
        let cells = (window_s / cell_s).ceil() as usize + 1;
        let size = (4 * cells).next_power_of_two();
        let step_hz = 1.0 / (size as f64 * cell_s);
        Self {
            cell_s,
            size,
            kept: ((most_hz / step_hz).ceil() as usize + 2).min(size / 2),
            step_hz,
            twiddles: fourier::twiddles(size),
        }
    }

    /// How many points one look takes.
    pub fn points(&self) -> usize {
        self.size
    }

    /// Looks at two windows at once, which costs no more than one: one is the real, one the imaginary part of the
    /// same table.
    pub fn at(&self, windows: [Window; 2]) -> [Spectrum; 2] {
        let mut table = vec![(0.0, 0.0); self.size];
        for (which, (times, values)) in windows.iter().enumerate() {
            let count = times.len().min(values.len());
            let start = times.first().copied().unwrap_or(0.0);
            let mean = values.iter().sum::<f64>() / count.max(1) as f64;
            for (time, value) in times.iter().zip(*values) {
                let cell = ((time - start) / self.cell_s).round() as usize;
                if let Some((real, imaginary)) = table.get_mut(cell) {
                    *(if which == 0 { real } else { imaginary }) += value - mean;
                }
            }
        }
        fourier::transform(&mut table, &self.twiddles);
        let mut looks = windows.map(|(times, values)| Spectrum {
            step_hz: self.step_hz,
            explained: vec![0.0; self.kept],
            samples: times.len().min(values.len()),
        });
        let [first, second] = &mut looks;
        let scale = |look: &Spectrum| 0.5 / look.samples.max(1) as f64;
        let (of_first, of_second) = (scale(first), scale(second));
        // A window without its mean has nothing at frequency 0.
        let sums = first.explained.iter_mut().zip(&mut second.explained);
        for ((place, (a, b)), (one, two)) in table.iter().enumerate().zip(sums).skip(1) {
            let Some((c, d)) = table.get(self.size - place) else {
                break;
            };
            *one = of_first * ((a + c).powi(2) + (b - d).powi(2));
            *two = of_second * ((b + d).powi(2) + (c - a).powi(2));
        }
        looks
    }
}
