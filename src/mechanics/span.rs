//! What a crown and a trough do to a belt, and an off-centre load: small formulas of the parts of a path.

/// How strongly a crown bends the belt, per metre off the middle: `8 h / (W^2 R)`.
pub fn crown_per_m2(crown_m: f64, face_m: f64, radius_m: f64) -> f64 {
    8.0 * crown_m / (face_m * face_m * radius_m)
}

/// How strongly a troughed set centres the belt and what lies on it, N per metre off the middle: the wings carry
/// unequally. `2 (m g / b) sin(trough)` for each metre of belt.
pub fn trough_centring_n_per_m(
    mass_kg_per_m: f64,
    gravity_m_s2: f64,
    width_m: f64,
    trough_rad: f64,
    pitch_m: f64,
) -> f64 {
    2.0 * mass_kg_per_m * gravity_m_s2 / width_m * trough_rad.sin() * pitch_m
}

/// The most that an off-centre load can shift a troughed belt: to the other side, so that both together lie lowest.
pub fn off_centre_load_m(load_left_m: f64, load_kg_per_m: f64, belt_kg_per_m: f64) -> f64 {
    -load_left_m * load_kg_per_m / (load_kg_per_m + belt_kg_per_m)
}
