//! Closed forms for one span, which the elements are held against.
//!
//! `KL = L sqrt(T/EI)`. The moving tensioned beam and its limits for the curvature factor are published (a thesis
//! of 1968, as summarised openly); side force, drift, crown and slack edge are derived from the same equations and
//! checked by computation. No size of any belt's movement is published that they could be held against.

/// Curvature factor: how far the belt is off at a skewed pulley, as a share of `skew * L`. From 2/3 (no pull) to 1.
pub(super) fn curvature_factor(kl: f64) -> f64 {
    if kl < 1e-2 {
        return 2.0 / 3.0 + kl * kl / 90.0;
    }
    // Divided by cosh KL, so that nothing overflows.
    let sech = 1.0 / kl.cosh();
    (kl - kl.tanh()) / (kl * (1.0 - sech))
}

/// How far the belt is off at `x` in a span that begins square in the middle and ends at a pulley skewed by that angle.
pub(super) fn skewed_span_m(skew_rad: f64, x_m: f64, length_m: f64, kl: f64) -> f64 {
    let k = kl / length_m;
    let kx = k * x_m;
    if kl < 1e-2 {
        // No pull: y = theta (x^2/L - x^3/(3 L^2)).
        return skew_rad * (x_m * x_m / length_m - x_m.powi(3) / (3.0 * length_m * length_m));
    }
    let below = 1.0 - 1.0 / kl.cosh();
    skew_rad * ((x_m - kx.sinh() / k) / below + kl.tanh() / (k * below) * (kx.cosh() - 1.0))
}

/// A crown or cone that bends the belt by `curvature` at its pulley shifts it by `-curvature * L^2` times this.
/// From 1/6 (no pull) to 0.
pub(super) fn crown_factor(kl: f64) -> f64 {
    if kl < 1e-2 {
        return 1.0 / 6.0 - kl * kl / 360.0;
    }
    (kl / (0.5 * kl).tanh() - 2.0) / (kl * kl)
}

/// The skew at which one edge of the belt goes slack.
pub(super) fn slack_edge_skew_rad(kl: f64, width_m: f64, length_m: f64) -> f64 {
    kl / 6.0 * (width_m / length_m) * (0.5 * kl).tanh()
}

/// How far off the belt is then, as a share of its width.
pub(super) fn slack_edge_share(kl: f64) -> f64 {
    if kl < 1e-2 {
        return kl * kl / 18.0;
    }
    (kl / kl.tanh() - 1.0) / 6.0
}

/// How far a side force at `x = at_m` puts the belt off at a square pulley at `x = L`, the belt coming square from
/// `x = 0`. Nothing at the pulley itself: its grip takes the force. Without pull it is largest at `at_m = 2 L / 3`.
///
/// `None` above `KL = 25`, where the closed form loses its digits.
pub(super) fn side_force_m(
    force_n: f64,
    at_m: f64,
    length_m: f64,
    stiffness_nm2: f64,
    tension_n: f64,
) -> Option<f64> {
    let before_pulley = length_m - at_m;
    let k = (tension_n / stiffness_nm2).sqrt();
    if k.is_nan() || k * length_m > 25.0 {
        return None;
    }
    if k * length_m < 1e-2 {
        return Some(force_n * at_m * at_m * before_pulley / (6.0 * stiffness_nm2));
    }
    let (ka, kd) = (k * at_m, k * before_pulley);
    let f = force_n / (stiffness_nm2 * k.powi(3));
    let c = f * (ka.cosh() - 1.0) / ((k * length_m).cosh() - 1.0);
    let a = c - f;
    let b = -(c * kd.sinh() + a * ka.sinh()) / ka.cosh();
    Some(a * (ka.sinh() - ka) + b * (ka.cosh() - 1.0) + c * (kd.sinh() - kd))
}

/// Two flat pulleys, no idlers: sideways speed as a share of belt speed. Skews are positive with the LEFT end nearer
/// to the head, the answer to the left: the belt drifts to the side with the shorter centre distance.
pub(super) fn drift_share(
    tail_skew_rad: f64,
    head_skew_rad: f64,
    kl: f64,
    length_m: f64,
    radius_m: f64,
) -> f64 {
    0.5 * (tail_skew_rad - head_skew_rad) * (2.0 * curvature_factor(kl) - 1.0) * length_m
        / (length_m + std::f64::consts::PI * radius_m)
}
