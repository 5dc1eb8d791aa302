//! The belt as a beam under pull, bending in its own plane: cubic Hermite elements with geometric stiffness.
//!
//! A node has an offset `y` and a slope `y'` along the path. `EI y'''' - T y'' = load`.

/// One node: its offset from the middle of the conveyor and its slope along the path.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Node {
    pub(super) y_m: f64,
    pub(super) slope: f64,
}

/// Stiffness of one element of that length, for `[y, slope]` of its first and its second node.
pub(super) fn element(length_m: f64, stiffness_nm2: f64, tension_n: f64) -> [[f64; 4]; 4] {
    let h = length_m;
    let bend = stiffness_nm2 / h.powi(3);
    let pull = tension_n / (30.0 * h);
    let yy = 12.0 * bend + 36.0 * pull;
    let ys = 6.0 * h * bend + 3.0 * h * pull;
    let near = 4.0 * h * h * (bend + pull);
    let far = h * h * (2.0 * bend - pull);
    [[yy, ys, -yy, ys], [ys, near, -ys, far], [-yy, -ys, yy, -ys], [ys, far, -ys, near]]
}

/// The stiffness applied to the four values of an element.
pub(super) fn forces(stiffness: &[[f64; 4]; 4], values: [f64; 4]) -> [f64; 4] {
    stiffness.map(|row| row.iter().zip(values).map(|(a, b)| a * b).sum())
}

/// The four values of an element.
pub(super) fn values(first: Node, second: Node) -> [f64; 4] {
    [first.y_m, first.slope, second.y_m, second.slope]
}

/// The shape functions of `[y, slope, y, slope]`, at a place in an element of that length.
pub(super) fn shapes(x_m: f64, length_m: f64) -> [f64; 4] {
    let t = x_m / length_m;
    let (t2, t3) = (t * t, t * t * t);
    [
        1.0 - 3.0 * t2 + 2.0 * t3,
        length_m * (t - 2.0 * t2 + t3),
        3.0 * t2 - 2.0 * t3,
        length_m * (t3 - t2),
    ]
}

/// Their slopes: what a change of curvature there adds to the four loads.
pub(super) fn slopes(x_m: f64, length_m: f64) -> [f64; 4] {
    let t = x_m / length_m;
    [
        6.0 * (t * t - t) / length_m,
        1.0 - 4.0 * t + 3.0 * t * t,
        6.0 * (t - t * t) / length_m,
        3.0 * t * t - 2.0 * t,
    ]
}

/// Their curvatures: the loads of a kink there, per EI and angle.
pub(super) fn curvatures(x_m: f64, length_m: f64) -> [f64; 4] {
    let h = length_m;
    let t = x_m / h;
    [
        (12.0 * t - 6.0) / (h * h),
        (6.0 * t - 4.0) / h,
        (6.0 - 12.0 * t) / (h * h),
        (6.0 * t - 2.0) / h,
    ]
}

/// The sum of products.
pub(super) fn dot(left: [f64; 4], right: [f64; 4]) -> f64 {
    left.iter().zip(right).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slopes_and_curvatures_are_derivatives_of_the_shapes() {
        let (h, step) = (1.7, 1e-6);
        for x in [0.1, 0.8, 1.6] {
            let (before, here, after) = (shapes(x - step, h), shapes(x, h), shapes(x + step, h));
            let (low, high) = (slopes(x - step, h), slopes(x + step, h));
            for nth in 0..4 {
                assert!(
                    ((after[nth] - before[nth]) / (2.0 * step) - slopes(x, h)[nth]).abs() < 1e-8
                );
                assert!(
                    ((high[nth] - low[nth]) / (2.0 * step) - curvatures(x, h)[nth]).abs() < 1e-7
                );
                assert!(here[nth].is_finite());
            }
        }
    }

    #[test]
    fn the_element_is_the_integral_of_its_shapes() {
        // Derived: K_ij = integral of EI N_i'' N_j'' + T N_i' N_j'.
        let (h, ei, t, parts) = (1.3, 5.0, 7.0, 20_000);
        let stiffness = element(h, ei, t);
        for (i, row) in stiffness.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                let sum: f64 = (0..parts)
                    .map(|nth| {
                        let x = h * (f64::from(nth) + 0.5) / f64::from(parts);
                        ei * curvatures(x, h)[i] * curvatures(x, h)[j]
                            + t * slopes(x, h)[i] * slopes(x, h)[j]
                    })
                    .sum();
                let mean = sum * h / f64::from(parts);
                assert!((mean - value).abs() < 1e-5 * row[i], "{i} {j}");
            }
        }
        // Moving the element sideways costs nothing.
        assert!(forces(&stiffness, [1.0, 0.0, 1.0, 0.0]).iter().all(|f| f.abs() < 1e-12));
    }
}
