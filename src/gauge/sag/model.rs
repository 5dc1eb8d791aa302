//! The numbers behind sag.

use super::super::Basis;
use super::super::tension::{self, Holds};

/// How deep the belt hangs between idlers.
#[derive(Debug, Clone, PartialEq)]
pub struct Hang {
    /// From idler to idler.
    pub spacing_m: f64,
    /// Half way, span by span; never empty.
    pub sags_m: Vec<f64>,
    /// How far off one reading may be.
    pub error_m: f64,
    /// What hangs there: belt and the load on it.
    pub mass_kg_per_m: Option<f64>,
}

impl Hang {
    /// Mean over the spans.
    pub fn sag_m(&self) -> f64 {
        self.sags_m.iter().sum::<f64>() / self.spans()
    }

    /// How far off the mean may be: the error of one reading, which all share, and the scatter of the spans over the
    /// square root of their number, added as squares.
    pub fn sag_error_m(&self) -> f64 {
        let (mean, spans) = (self.sag_m(), self.spans());
        let scatter = if spans > 1.0 {
            let squares: f64 = self.sags_m.iter().map(|sag| (sag - mean).powi(2)).sum();
            (squares / (spans - 1.0) / spans).sqrt()
        } else {
            0.0
        };
        self.error_m.hypot(scatter)
    }

    /// Sag as a share of the spacing.
    pub fn share(&self) -> f64 {
        self.sag_m() / self.spacing_m
    }

    /// How far off the share may be.
    pub fn share_error(&self) -> f64 {
        self.sag_error_m() / self.spacing_m
    }

    /// The pull that the sag means. Nothing if the mass is not known.
    pub fn pull(&self) -> Option<Pull> {
        let mass = self.mass_kg_per_m?;
        let of = |share| tension::tension_of_sag(mass, self.spacing_m, share);
        let (share, error) = (self.share(), self.share_error());
        if share > error {
            Some(Pull::About {
                pull_n: of(share),
                least_n: of(share + error),
                most_n: of(share - error),
            })
        } else if share + error > 0.0 {
            Some(Pull::AtLeast(of(share + error)))
        } else {
            None
        }
    }

    /// The sag at which the belt is pulled so much. Nothing if the mass is not known.
    pub fn sag_at_m(&self, pull_n: f64) -> Option<f64> {
        Some(tension::sag_share(self.mass_kg_per_m?, self.spacing_m, pull_n) * self.spacing_m)
    }

    fn spans(&self) -> f64 {
        f64::from(u32::try_from(self.sags_m.len()).unwrap_or(u32::MAX)).max(1.0)
    }
}

/// How much more belt than the spacing hangs between two idlers, as a share of it: `8/3 (s/a)^2` of a parabola.
pub fn slack_share(share: f64) -> f64 {
    8.0 / 3.0 * share * share
}

/// What a sag says of the pull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pull {
    /// About so much. Pull goes with one over sag, so it may be further above than below.
    About {
        /// The pull.
        pull_n: f64,
        /// The least it may be.
        least_n: f64,
        /// The most it may be.
        most_n: f64,
    },
    /// The belt hangs too little to tell: at least so much.
    AtLeast(f64),
}

impl Pull {
    /// The pull, or what it is at least.
    pub fn n(self) -> f64 {
        match self {
            Self::About { pull_n, .. } => pull_n,
            Self::AtLeast(pull_n) => pull_n,
        }
    }

    /// How far off it may be, the worse way.
    pub fn error_n(self) -> f64 {
        match self {
            Self::About { pull_n, most_n, .. } => most_n - pull_n,
            Self::AtLeast(_) => 0.0,
        }
    }
}

/// The grip of the drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grip {
    /// Effective tension: what the drive puts into the belt.
    pub effective_n: f64,
    /// Wrap on the drive pulley.
    pub wrap_rad: f64,
    /// Whether that pulley is lagged.
    pub lagged: bool,
    /// How the take-up holds the belt.
    pub holds: Holds,
}

impl Grip {
    /// The pull that the slack side needs so that the belt does not slip, and what that rests on.
    pub fn needs(self) -> (f64, Basis) {
        let (factor, mark) = tension::wrap_factor_of(self.holds, self.lagged, self.wrap_rad);
        (self.effective_n * factor, mark)
    }
}
