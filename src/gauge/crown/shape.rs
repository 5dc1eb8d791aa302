//! What a pulley's face is like, and what crown it should have.

/// The crown of light belts by a light-belt guideline: how far the middle stands above the ends on the radius,
/// `2 (0.001 d + 0.075) mm` up to 500 mm of diameter and 1.5 mm beyond. Published: `light-belt-guidelines`,
/// chapter 11.
pub fn light_height_m(diameter_m: f64) -> f64 {
    if diameter_m > 0.5 { 0.001_5 } else { 2.0 * (0.001 * diameter_m + 0.000_075) }
}

/// The crown of light belts by another page, for a trapezoid whose flat middle is half the belt's width:
/// `(d + 100)/450 mm`. Published: `crown-shape-page`.
pub fn trapezoid_height_m(diameter_m: f64) -> f64 {
    (diameter_m + 0.1) / 450.0
}

/// A pulley's face: diameters by place from its left edge, both in m. Gaps make diameters less some constant.
#[derive(Debug, Clone, PartialEq)]
pub struct Face(pub Vec<(f64, f64)>);

/// What a face is like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// The middle's diameter less the mean of both ends'.
    pub crown_m: f64,
    /// The same at the very middle, if the crown is a straight one: two cones that meet there. The mean over the middle
    /// third reads low by up to a sixth of it.
    pub straight_m: f64,
    /// How much the reading error of one diameter comes to in it: the root sum of squares, 1 for 1.
    pub crown_error: f64,
    /// The left end's diameter less the right end's.
    pub left_larger_m: f64,
    /// From the first to the last place.
    pub over_m: f64,
}

impl Face {
    /// Its shape: ends are the first and the last place, the middle is all places in the middle third. Nothing if
    /// there is none there.
    pub fn shape(&self) -> Option<Shape> {
        let (first, last) = (self.0.first()?, self.0.last()?);
        let over_m = last.0 - first.0;
        let across = |place: f64| (place - first.0) / over_m;
        let in_the_middle =
            |place: f64| (1.0 / 3.0 - 1e-9..=2.0 / 3.0 + 1e-9).contains(&across(place));
        let middle: Vec<(f64, f64)> =
            self.0.iter().copied().filter(|(place, _)| in_the_middle(*place)).collect();
        let count = middle.len() as f64;
        let mean = middle.iter().map(|(_, diameter)| diameter).sum::<f64>() / count;
        let crown_m = mean - f64::midpoint(first.1, last.1);
        // A tent of height 1 over the face, at the places that were measured.
        let tent = middle.iter().map(|(place, _)| 1.0 - (2.0 * across(*place) - 1.0).abs());
        let low = tent.sum::<f64>() / count;
        (over_m > 0.0 && crown_m.is_finite()).then(|| Shape {
            crown_m,
            straight_m: crown_m / low,
            crown_error: (1.0 / count + 0.5).sqrt(),
            left_larger_m: first.1 - last.1,
            over_m,
        })
    }
}
