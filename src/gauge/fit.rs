//! Straight lines through points: by least squares, by the median of slopes, by the narrowest zone, and the line
//! that most points keep to.
//!
//! Points are (along, across), any one unit each. All functions answer nothing when no line is settled: fewer than
//! two different places along, or numbers that are not finite.

/// A straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Across where along is nothing.
    pub at_zero: f64,
    /// Across for one of along.
    pub slope: f64,
}

impl Line {
    /// How high it is there.
    pub fn at(self, along: f64) -> f64 {
        self.at_zero + self.slope * along
    }

    /// How far a point lies off it, measured across.
    pub fn off(self, (along, across): (f64, f64)) -> f64 {
        across - self.at(along)
    }
}

/// The line of least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastSquares {
    /// The line.
    pub line: Line,
    /// Standard errors of its height at zero and of its slope; nothing with two points only.
    pub errors: Option<(f64, f64)>,
    /// Sum of the squares of what is left.
    pub left_over: f64,
}

/// The narrowest zone between two parallel lines, measured across, that holds all points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zone {
    /// The line half way between the two.
    pub line: Line,
    /// How wide it is.
    pub width: f64,
}

/// The line that most points keep to.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// The line.
    pub line: Line,
    /// For each point whether it keeps to the line.
    pub keeps: Vec<bool>,
}

fn settled(points: &[(f64, f64)]) -> bool {
    let finite = points.iter().all(|(along, across)| along.is_finite() && across.is_finite());
    let first = points.first().map(|(along, _)| *along);
    finite && points.iter().any(|(along, _)| Some(*along) != first)
}

fn mean(numbers: impl Iterator<Item = f64>, count: f64) -> f64 {
    numbers.sum::<f64>() / count
}

fn count(points: &[(f64, f64)]) -> f64 {
    points.len() as f64
}

/// The line whose squares of distances across sum to the least.
pub fn least_squares(points: &[(f64, f64)]) -> Option<LeastSquares> {
    if !settled(points) {
        return None;
    }
    let n = count(points);
    // About the middle, so that little is lost when all lie far from zero.
    let middle = mean(points.iter().map(|(along, _)| *along), n);
    let height = mean(points.iter().map(|(_, across)| *across), n);
    let (mut spread, mut shared) = (0.0, 0.0);
    for (along, across) in points {
        spread += (along - middle) * (along - middle);
        shared += (along - middle) * (across - height);
    }
    let slope = shared / spread;
    let line = Line { at_zero: height - slope * middle, slope };
    let left_over: f64 = points
        .iter()
        .map(|(along, across)| (across - height) - slope * (along - middle))
        .map(|off| off * off)
        .sum();
    let errors = (points.len() > 2).then(|| {
        let each = left_over / (n - 2.0);
        ((each * (1.0 / n + middle * middle / spread)).sqrt(), (each / spread).sqrt())
    });
    (slope.is_finite() && line.at_zero.is_finite()).then_some(LeastSquares {
        line,
        errors,
        left_over,
    })
}

/// The middle one of numbers, or the mean of the middle two.
pub(super) fn median(numbers: &mut [f64]) -> Option<f64> {
    numbers.sort_unstable_by(f64::total_cmp);
    let half = numbers.len() / 2;
    let upper = numbers.get(half)?;
    if numbers.len() % 2 == 1 {
        return Some(*upper);
    }
    Some((numbers.get(half.checked_sub(1)?)? + upper) / 2.0)
}

/// The slopes between all pairs of points at different places, from low to high.
fn slopes(points: &[(f64, f64)]) -> Vec<f64> {
    let mut slopes = Vec::new();
    for (at, (along, across)) in points.iter().enumerate() {
        for (other, height) in points.iter().skip(at + 1) {
            // A difference too small to divide by is the same place.
            let slope = (height - across) / (other - along);
            if slope.is_finite() {
                slopes.push(slope);
            }
        }
    }
    slopes.sort_unstable_by(f64::total_cmp);
    slopes
}

/// The line of Theil and Sen: the median of the slopes of all pairs, and the median of what is left for its height.
/// A few points that are far off do not move it.
pub fn theil_sen(points: &[(f64, f64)]) -> Option<Line> {
    if !settled(points) {
        return None;
    }
    let slope = median(&mut slopes(points))?;
    let mut heights: Vec<f64> =
        points.iter().map(|(along, across)| across - slope * along).collect();
    Some(Line { at_zero: median(&mut heights)?, slope })
}

/// Between which slopes the true one lies, by Sen (1968): `sure` is how many standard deviations of Kendall's
/// score are allowed for (1.96 for 95 %). Places along must differ.
pub fn slope_limits(points: &[(f64, f64)], sure: f64) -> Option<(f64, f64)> {
    if !settled(points) {
        return None;
    }
    let slopes = slopes(points);
    let pairs = count(points) * (count(points) - 1.0) / 2.0;
    // Kendall's score without ties has the variance n(n-1)(2n+5)/18.
    let deviation = (pairs * (2.0 * count(points) + 5.0) / 9.0).sqrt() * sure;
    let last = slopes.len().checked_sub(1)?;
    let low = ((pairs - deviation) / 2.0).round_ties_even().max(1.0) - 1.0;
    let low = (low as usize).min(last);
    Some((*slopes.get(low)?, *slopes.get(last - low)?))
}

/// The narrowest zone, measured across, that holds all points. No line has a smaller greatest distance than the
/// one half way through it.
///
/// One of its two edges runs along an edge of the hull, so the edges of the hull are tried.
pub fn minimum_zone(points: &[(f64, f64)]) -> Option<Zone> {
    if !settled(points) {
        return None;
    }
    let mut sorted = points.to_vec();
    sorted.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let lower = half_hull(&sorted, 1.0);
    let upper = half_hull(&sorted, -1.0);
    let mut best: Option<Zone> = None;
    for (edges, others, sign) in [(&lower, &upper, 1.0), (&upper, &lower, -1.0)] {
        for (from, to) in edges.iter().zip(edges.iter().skip(1)) {
            let slope = (to.1 - from.1) / (to.0 - from.0);
            if !slope.is_finite() {
                continue;
            }
            let edge = Line { at_zero: from.1 - slope * from.0, slope };
            let width = others.iter().map(|point| sign * edge.off(*point)).fold(0.0, f64::max);
            if best.is_none_or(|zone| width < zone.width) {
                let line = Line { at_zero: edge.at_zero + sign * width / 2.0, slope };
                best = Some(Zone { line, width });
            }
        }
    }
    best
}

/// The lower hull of points sorted along (`sign` 1), or the upper one (-1).
fn half_hull(sorted: &[(f64, f64)], sign: f64) -> Vec<(f64, f64)> {
    let mut hull: Vec<(f64, f64)> = Vec::new();
    for point in sorted {
        while let [.., before, last] = hull.as_slice() {
            let turn = (last.0 - before.0) * (point.1 - before.1)
                - (last.1 - before.1) * (point.0 - before.0);
            if turn * sign > 0.0 {
                break;
            }
            hull.pop();
        }
        hull.push(*point);
    }
    hull
}

/// The line that the most points keep to within `half` of it, measured across. Of equally good ones that were tried
/// it is that from which the others lie the least way off in sum.
///
/// Some best line runs at `half` above or below a point. For each point and side, the slopes that suit another
/// point are an interval, and the slope in most of them is found by going through their ends in order.
pub fn most_within(points: &[(f64, f64)], half: f64) -> Option<Kept> {
    if !settled(points) || !half.is_finite() || half < 0.0 {
        return None;
    }
    // Rounding must not put out a point that the line runs at `half` from.
    let slack = half * (1.0 + 1e-9) + 1e-12;
    let mut best: Option<(usize, f64, Kept)> = None;
    for pivot in points {
        for side in [half, -half] {
            let through = (pivot.0, pivot.1 + side);
            for slope in fullest(points, through, half) {
                let at_zero = through.1 - slope * through.0;
                let (line, keeps) = centred(points, Line { at_zero, slope }, slack);
                let number = keeps.iter().filter(|keeps| **keeps).count();
                let others =
                    of(points, &keeps, false).map(|point| line.off(point).abs()).sum::<f64>();
                let better = best.as_ref().is_none_or(|(most, least, kept)| {
                    let order = number.cmp(most).then(least.total_cmp(&others));
                    order.then(keeps.cmp(&kept.keeps)).is_gt()
                });
                if better {
                    best = Some((number, others, Kept { line, keeps }));
                }
            }
        }
    }
    best.map(|(_, _, kept)| kept)
}

/// The line half way through the zone of the points that a line keeps, so that nothing hangs on the line that was
/// tried; it may keep more, and is then centred on those.
fn centred(points: &[(f64, f64)], line: Line, slack: f64) -> (Line, Vec<bool>) {
    let keeps = |line: Line| -> Vec<bool> {
        let near = |point: &(f64, f64)| line.off(*point).abs() <= slack;
        points.iter().map(near).collect()
    };
    let (mut line, mut kept) = (line, keeps(line));
    for _ in points {
        let those: Vec<(f64, f64)> = of(points, &kept, true).collect();
        line = minimum_zone(&those).map_or(line, |zone| zone.line);
        let now = keeps(line);
        if now == kept {
            break;
        }
        kept = now;
    }
    (line, kept)
}

/// The points that are kept, or those that are not.
fn of(points: &[(f64, f64)], keeps: &[bool], kept: bool) -> impl Iterator<Item = (f64, f64)> {
    points.iter().zip(keeps).filter(move |(_, keeps)| **keeps == kept).map(|(point, _)| *point)
}

/// The lowest and the highest slope through a place that most points come within `half` of: both, so that nothing
/// changes in a mirror.
fn fullest(points: &[(f64, f64)], through: (f64, f64), half: f64) -> [f64; 2] {
    // Ends of intervals: where it is, and whether one begins (true) or ends there.
    let mut ends: Vec<(f64, bool)> = Vec::with_capacity(points.len() * 2);
    for (along, across) in points {
        let (ahead, up) = (along - through.0, across - through.1);
        let (a, b) = ((up - half) / ahead, (up + half) / ahead);
        if a.is_finite() && b.is_finite() {
            ends.push((a.min(b), true));
            ends.push((a.max(b), false));
        }
    }
    // Of ends at one slope those that begin come first, so that touching counts.
    ends.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    let (mut inside, mut most) = (0_usize, 0);
    let mut slopes = [0.0; 2];
    for ((end, begins), next) in ends.iter().zip(ends.iter().skip(1)) {
        if !*begins {
            inside = inside.saturating_sub(1);
            continue;
        }
        inside += 1;
        let slope = end + (next.0 - end) / 2.0;
        if inside > most {
            most = inside;
            slopes = [slope; 2];
        } else if inside == most {
            slopes = [slopes[0], slope];
        }
    }
    slopes
}
