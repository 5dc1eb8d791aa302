//! What a table of edge readings belongs to: a place on the conveyor, a piece of belt, or neither.

use statrs::distribution::{ContinuousCDF, FisherSnedecor};

use super::two_way::{self, Split, Sums, Table};

/// How sure it must be that a part is more than chance.
const SURE: f64 = 0.99;

/// What the readings belong to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lead {
    /// A place on the conveyor.
    Place,
    /// Several neighbouring stations, or all.
    Stretch,
    /// A piece of belt.
    Part,
    /// A place and a piece of belt, each beyond chance, and neither of them alone.
    Both,
    /// Nothing that comes again.
    Neither,
    /// All readings are as good as nothing: there is nothing to split.
    Still,
    /// Nothing leads clearly.
    Unclear,
    /// A place, but whether one or a stretch is too close to call.
    PlaceOrStretch,
}

/// A table of edge readings split up.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// By means.
    pub means: Split,
    /// By medians: names the worst station and mark, because one wild reading does not move it.
    pub medians: Split,
    /// Shares of the sum of squares about the mean: place, piece of belt, neither. They add up to one.
    pub shares: [f64; 3],
    /// The same with the chance scatter taken out of the first two.
    pub sure: [f64; 3],
    /// How far reading errors may put a share off, as the root of the sum of their squares.
    pub share_error: f64,
    /// The station that is furthest off, and how far (m).
    pub worst_station: (usize, f64),
    /// The mark that differs most from the rest, and by how much (m).
    pub worst_mark: (usize, f64),
    /// What it belongs to.
    pub lead: Lead,
}

/// Splits readings, rows being stations from tail to head and columns marks, in m and left positive; `error_m` is
/// how far one reading may be off and `clear` the share that leads clearly. Nothing if the table does not hang
/// together.
pub fn split(table: &Table, error_m: f64, clear: f64) -> Option<Spread> {
    let means = two_way::by_means(table)?;
    let medians = two_way::by_medians(table);
    let sums = means.sums();
    let total = sums.rows + sums.columns + sums.rest;
    let part = |sum: f64| if total > 0.0 { sum / total } else { 0.0 };
    let shares = [part(sums.rows), part(sums.columns), part(sums.rest)];
    let (count, stations, marks) =
        (table.count() as f64, table.rows() as f64, table.columns() as f64);
    let free = count - stations - marks + 1.0;
    let scatter = if free > 0.5 { sums.rest / free } else { 0.0 };
    // A reading's error is twice its standard deviation.
    let noise = scatter.max(error_m * error_m / 4.0);
    let place = (sums.rows - (stations - 1.0) * noise).max(0.0);
    let piece = (sums.columns - (marks - 1.0) * noise).max(0.0);
    let sure = [part(place), part(piece), part((total - place - piece).max(0.0))];
    let levels: Vec<f64> = medians.rows.iter().map(|it| medians.overall + it).collect();
    let mut spread = Spread {
        shares,
        sure,
        share_error: share_error(&sums, total, error_m),
        worst_station: largest(&levels),
        worst_mark: largest(&medians.columns),
        lead: Lead::Unclear,
        means,
        medians,
    };
    let about_mean = total / count;
    let overall = spread.medians.overall;
    let all_along = overall.abs() > 2.0 * error_m && about_mean < overall * overall / 4.0;
    spread.lead = if table.read().all(|(_, _, it)| it.abs() <= 2.0 * error_m) {
        Lead::Still
    } else if all_along {
        Lead::Stretch
    } else {
        let real = [
            beyond_chance(sums.rows, stations - 1.0, noise, free),
            beyond_chance(sums.columns, marks - 1.0, noise, free),
        ];
        let enough = clear + spread.share_error;
        leading(&spread, enough, scatter > error_m * error_m, &levels, real)
    };
    Some(spread)
}

/// Whether a sum of squares of so many freedoms is more than chance makes, 99 times of 100: Fisher's ratio of variances.
fn beyond_chance(sum: f64, freedoms: f64, noise: f64, free: f64) -> bool {
    let ratio = sum / freedoms / noise;
    FisherSnedecor::new(freedoms, free.max(1.0)).is_ok_and(|chance| chance.cdf(ratio) > SURE)
}

fn leading(spread: &Spread, enough: f64, scattered: bool, levels: &[f64], real: [bool; 2]) -> Lead {
    let [place, piece, neither] = spread.sure;
    if place >= enough && place >= 2.0 * piece {
        // A place shows at its neighbours too: what stands at less than about half of the worst does not count.
        return match (near_worst(levels, 0.4), near_worst(levels, 0.6)) {
            (0..=2, 0..=2) => Lead::Place,
            (3.., 3..) => Lead::Stretch,
            _ => Lead::PlaceOrStretch,
        };
    }
    if piece >= enough && piece >= 2.0 * place {
        return Lead::Part;
    }
    if real == [true, true] {
        return Lead::Both;
    }
    if neither >= enough && scattered {
        return Lead::Neither;
    }
    Lead::Unclear
}

/// How many neighbouring stations round the worst are off by at least a share of it, to the same side.
fn near_worst(levels: &[f64], share: f64) -> usize {
    let (worst, size) = largest(levels);
    let off = |level: &&f64| **level * size.signum() >= share * size.abs();
    let (before, after) = levels.split_at(worst.min(levels.len()));
    before.iter().rev().take_while(off).count() + after.iter().take_while(off).count()
}

/// The entry furthest from nothing.
fn largest(list: &[f64]) -> (usize, f64) {
    list.iter()
        .copied()
        .enumerate()
        .fold((0, 0.0), |best, it| if it.1.abs() > f64::abs(best.1) { it } else { best })
}

/// Independent readings, each off by twice its standard deviation `e`, move a sum of squares `S` by `2 e sqrt(S)`, which is
/// twice the standard deviation of that.
fn share_error(sums: &Sums, total: f64, error_m: f64) -> f64 {
    if total <= 0.0 {
        return 1.0;
    }
    let widest = sums.rows.max(sums.columns).max(sums.rest);
    let others = total - widest;
    // The share's slope against its own sum is (others / total) / total, against the others' (widest / total) / total.
    let own = (others / total) * 2.0 * widest.sqrt();
    let theirs = (widest / total) * 2.0 * others.sqrt();
    (own.hypot(theirs) * error_m / total).min(1.0)
}
