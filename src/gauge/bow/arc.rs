//! The arc of one length of belt.

/// An even bow through the gaps of one length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// How deep it is in the middle of the string: above nothing where the edge lies in from the string.
    pub deep_m: f64,
    /// How much the error of one gap comes to in it.
    pub error: f64,
    /// From the first place to the last.
    pub long_m: f64,
    /// The largest gap from the straight line through both ends.
    pub largest_m: f64,
    /// The largest distance of a gap from the arc.
    pub off_m: f64,
}

/// The parabola of least squares through gaps by place. Nothing with fewer than three places apart.
///
/// Places are counted from -1 to 1, and the square of that without what a straight line has of it is all that tells a
/// bow; so its share in the gaps, and the error of that, come without solving anything.
pub fn arc(points: &[(f64, f64)]) -> Option<Arc> {
    let (first, last) = (points.first()?, points.last()?);
    let (half_m, middle_m) = ((last.0 - first.0) / 2.0, f64::midpoint(first.0, last.0));
    if points.len() < 3 || half_m.is_nan() || half_m <= 0.0 {
        return None;
    }
    let count = points.len() as f64;
    let along: Vec<f64> = points.iter().map(|(at, _)| (at - middle_m) / half_m).collect();
    let mean = |list: &mut dyn Iterator<Item = f64>| list.sum::<f64>() / count;
    let centre = mean(&mut along.iter().copied());
    let level = mean(&mut along.iter().map(|u| u * u));
    let spread: f64 = along.iter().map(|u| (u - centre).powi(2)).sum();
    let leaning = along.iter().map(|u| u * u * (u - centre)).sum::<f64>() / spread;
    let bent: Vec<f64> = along.iter().map(|u| u * u - level - leaning * (u - centre)).collect();
    let weight: f64 = bent.iter().map(|it| it * it).sum();
    let bend = bent.iter().zip(points).map(|(it, (_, gap))| it * gap).sum::<f64>() / weight;
    let height = mean(&mut points.iter().map(|(_, gap)| *gap));
    let slope =
        along.iter().zip(points).map(|(u, (_, gap))| (u - centre) * gap).sum::<f64>() / spread;
    let largest =
        |list: &mut dyn Iterator<Item = f64>| list.fold(0.0, |most: f64, it| most.max(it.abs()));
    let off_m = largest(
        &mut along
            .iter()
            .zip(&bent)
            .zip(points)
            .map(|((u, bent), (_, gap))| gap - height - slope * (u - centre) - bend * bent),
    );
    let chord = |at: f64| first.1 + (last.1 - first.1) * (at - first.0) / (2.0 * half_m);
    let largest_m = largest(&mut points.iter().map(|(at, gap)| gap - chord(*at)));
    let arc =
        Arc { deep_m: -bend, error: weight.sqrt().recip(), long_m: 2.0 * half_m, largest_m, off_m };
    (arc.deep_m.is_finite() && arc.error.is_finite()).then_some(arc)
}
