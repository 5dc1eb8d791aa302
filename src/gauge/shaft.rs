//! The shaft of a pulley between its two bearings: slope and bending at the hubs.

use std::f64::consts::PI;

use super::limits::Mark;

/// Young's modulus of steel, Pa: 29 million psi.
pub const STEEL_PA: f64 = 29e6 * PSI_PA;
/// A pound per square inch in Pa.
pub const PSI_PA: f64 = 4.448_221_615_260_5 / (0.0254 * 0.0254);
/// Bending stress that drum pulleys are designed to at the hub, Pa: 8,000 psi.
pub const BENDING_PA: f64 = 8_000.0 * PSI_PA;

/// What the hub slope rests on.
pub const SLOPE: Mark = Mark::Derived(
    "the published formula for two equal hub loads (pulley standard, appendix II), by superposition for unequal ones",
);

/// A shaft with two hubs, each as far from its bearing as the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shaft {
    /// Its diameter.
    pub diameter_m: f64,
    /// From the middle of a bearing to the hub.
    pub arm_m: f64,
    /// Between the two bearings.
    pub bearing_centres_m: f64,
}

impl Shaft {
    /// Bending stiffness EI of steel, N m2.
    pub fn stiffness_nm2(self) -> f64 {
        STEEL_PA * PI / 64.0 * self.diameter_m.powi(4)
    }

    /// Slope of the free shaft at both hubs under a resultant load shared equally: `R A (B - 2A) / (4 E I)`. The
    /// true slope is less, as the hubs and end discs restrain it.
    pub fn slope_equal(self, resultant_n: f64) -> f64 {
        let Self { arm_m: a, bearing_centres_m: b, .. } = self;
        resultant_n * a * (b - 2.0 * a) / (4.0 * self.stiffness_nm2())
    }

    /// Slope of the free shaft at the hub on the side of the first bearing, from the loads on both bearings.
    ///
    /// The mean of the loads gives the published slope. The difference is carried by hub loads of `D/2 * B/(B - 2A)`
    /// up and down; each half of the shaft is then a simple beam of half the length, which adds
    /// `D/2 * A (B - 4A) / (6 E I)`.
    pub fn slope_unequal(self, load_here_n: f64, load_there_n: f64) -> f64 {
        let Self { arm_m: a, bearing_centres_m: b, .. } = self;
        let half_difference_n = (load_here_n - load_there_n) / 2.0;
        self.slope_equal(load_here_n + load_there_n)
            + half_difference_n * a * (b - 4.0 * a) / (6.0 * self.stiffness_nm2())
    }

    /// Bending stress at the hub, Pa, from the load on the bearing beside it.
    pub fn stress_pa(self, load_here_n: f64) -> f64 {
        32.0 * load_here_n * self.arm_m / (PI * self.diameter_m.powi(3))
    }
}
