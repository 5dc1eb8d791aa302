//! The strand of belt that leaves a pulley, as a tensioned beam in its own plane.

/// A strand between two pulleys.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TightStrand {
    /// Belt width.
    pub width_m: f64,
    /// Belt modulus: force per width per strain.
    pub modulus_n_per_m: f64,
    /// Pull in the strand.
    pub tension_n: f64,
    /// Its length.
    pub length_m: f64,
}

impl TightStrand {
    /// Bending stiffness EI in the plane of the belt, N m2: `Eb b^3 / 12`.
    pub fn stiffness_nm2(self) -> f64 {
        self.modulus_n_per_m * self.width_m.powi(3) / 12.0
    }

    /// `sqrt(EI/T)`: the length over which bending dies away in a long strand.
    pub fn bending_length_m(self) -> f64 {
        (self.stiffness_nm2() / self.tension_n).sqrt()
    }

    /// The free length over which a skewed end is absorbed when no side force holds the strand and its far end
    /// stands square: `tanh(K C)/K` with `K = sqrt(T/EI)`. The slope is then `sinh(K(C - x))/sinh(K C)` of the skew.
    pub fn absorbed_m(self) -> f64 {
        let length = self.bending_length_m();
        length * (self.length_m / length).tanh()
    }

    /// Bending moment at an end that is turned by an angle.
    pub fn end_moment_nm(self, skew_rad: f64) -> f64 {
        self.stiffness_nm2() * skew_rad / self.absorbed_m()
    }

    /// The moment at which one edge goes slack: the pull then lies a sixth of the width off centre.
    pub fn slack_moment_nm(self) -> f64 {
        self.tension_n * self.width_m / 6.0
    }

    /// Pull per width at the tight and the slack edge under a bending moment; below nothing means slack.
    pub fn edges_n_per_m(self, moment_nm: f64) -> (f64, f64) {
        let mean = self.tension_n / self.width_m;
        let bend = 6.0 * moment_nm / self.width_m.powi(2);
        (mean + bend, mean - bend)
    }
}
