//! The conveyor that the belt runs on: strands, idlers, pulleys, belt. All of it square, level and clean.

use crate::trade::{End, PulleyAt, Strand};
use std::fmt;

/// Acceleration of free fall, m/s2.
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// Which way the belt runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Run {
    /// The carry strand runs from tail to head.
    #[default]
    Forward,
    /// A reversing conveyor run the other way.
    Backward,
}

impl fmt::Display for Strand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Carry => "carry idler",
            Self::Return => "return roll",
        })
    }
}

impl fmt::Display for End {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(PulleyAt::from(*self).name())
    }
}

/// The belt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belt {
    /// Its width.
    pub width_m: f64,
    /// Its modulus: force per width per strain.
    pub modulus_n_per_m: f64,
    /// Its mass per length.
    pub mass_kg_per_m: f64,
}

impl Belt {
    /// Bending stiffness in the plane of the belt: `Eb b^3 / 12`.
    pub fn stiffness_nm2(&self) -> f64 {
        self.modulus_n_per_m * self.width_m.powi(3) / 12.0
    }
}

/// The idlers of one strand.
#[derive(Debug, Clone, PartialEq)]
pub struct Idlers {
    /// Where they stand, metres from the tail pulley, in rising order. None at all is allowed.
    pub stations_m: Vec<f64>,
    /// Angle of the wing rolls; 0 for flat rolls.
    pub trough_rad: f64,
    /// How far the sets lean forward, with the forward run; 0 for upright ones.
    pub forward_tilt_rad: f64,
    /// Radius of a roll.
    pub roll_radius_m: f64,
    /// Pull in this strand.
    pub tension_n: f64,
}

impl Idlers {
    /// Stations at an even pitch, the first one pitch from the tail, none nearer to the head than half a pitch.
    pub fn even(centres_m: f64, pitch_m: f64) -> Vec<f64> {
        if !(pitch_m > 0.0 && centres_m.is_finite() && centres_m / pitch_m < MOST_POINTS as f64) {
            return Vec::new();
        }
        (1_u32..)
            .map(|nth| f64::from(nth) * pitch_m)
            .take_while(|x| *x < centres_m - 0.5 * pitch_m)
            .collect()
    }
}

/// An end pulley.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulley {
    /// Radius at the middle of the face.
    pub radius_m: f64,
    /// Width of the face.
    pub face_m: f64,
    /// How much larger the radius is in the middle than at the ends; 0 for a flat face.
    pub crown_m: f64,
}

/// What lies on the carry strand.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Load {
    /// Its mass per length; 0 for an empty belt.
    pub mass_kg_per_m: f64,
    /// From where, metres from the tail.
    pub from_m: f64,
    /// To where.
    pub to_m: f64,
}

/// How a roll takes hold of the belt sideways. Both numbers are assumed: none is published.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grip {
    /// Friction between belt and roll, at most.
    pub friction: f64,
    /// The angle between belt and roll at which three quarters of that are reached.
    pub creep_rad: f64,
}

impl Default for Grip {
    fn default() -> Self {
        Self { friction: 0.3, creep_rad: 0.01 }
    }
}

/// The take-up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TakeUp {
    /// Whether it keeps the pull by itself (weight, spring); locked screws do not.
    pub keeps_pull: bool,
    /// Distance between the two bearings of the tail pulley.
    pub bearing_centres_m: f64,
}

/// A conveyor with two end pulleys, everything square, level and clean.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Distance between the pulleys.
    pub centres_m: f64,
    /// Speed of the belt, above nothing.
    pub speed_m_s: f64,
    /// Which way it runs.
    pub run: Run,
    /// The belt.
    pub belt: Belt,
    /// Upper strand.
    pub carry: Idlers,
    /// Lower strand.
    pub ret: Idlers,
    /// Tail pulley.
    pub tail: Pulley,
    /// Head pulley.
    pub head: Pulley,
    /// The load.
    pub load: Load,
    /// Hold of the rolls.
    pub grip: Grip,
    /// Take-up at the tail.
    pub take_up: TakeUp,
}

/// Least distance between two stations, or from a station to a pulley.
pub const LEAST_GAP_M: f64 = 0.02;
/// Most points along both strands that are reckoned with.
pub const MOST_POINTS: usize = 60_000;

impl Line {
    /// A middling conveyor of that length to begin from: 0.9 m fabric belt of 2 MN/m, carry idlers every 1.2 m at
    /// 35 degrees, flat return rolls every 3 m, crown 2 mm on both pulleys, empty, 1.5 m/s.
    pub fn middling(centres_m: f64) -> Self {
        let pulley = Pulley { radius_m: 0.25, face_m: 1.0, crown_m: 0.002 };
        Self {
            centres_m,
            speed_m_s: 1.5,
            run: Run::Forward,
            belt: Belt { width_m: 0.9, modulus_n_per_m: 2.0e6, mass_kg_per_m: 12.0 },
            carry: Idlers {
                stations_m: Idlers::even(centres_m, 1.2),
                trough_rad: 35_f64.to_radians(),
                forward_tilt_rad: 0.0,
                roll_radius_m: 0.0665,
                tension_n: 9_000.0,
            },
            ret: Idlers {
                stations_m: Idlers::even(centres_m, 3.0),
                trough_rad: 0.0,
                forward_tilt_rad: 0.0,
                roll_radius_m: 0.0665,
                tension_n: 6_000.0,
            },
            tail: pulley,
            head: pulley,
            load: Load { mass_kg_per_m: 0.0, from_m: 0.0, to_m: centres_m },
            grip: Grip::default(),
            take_up: TakeUp { keeps_pull: false, bearing_centres_m: 1.2 },
        }
    }

    /// The idlers of a strand.
    pub fn idlers(&self, strand: Strand) -> &Idlers {
        match strand {
            Strand::Carry => &self.carry,
            Strand::Return => &self.ret,
        }
    }

    /// The idlers of a strand, to be changed.
    pub fn idlers_mut(&mut self, strand: Strand) -> &mut Idlers {
        match strand {
            Strand::Carry => &mut self.carry,
            Strand::Return => &mut self.ret,
        }
    }

    /// The pulley at an end.
    pub fn pulley(&self, end: End) -> &Pulley {
        match end {
            End::Tail => &self.tail,
            End::Head => &self.head,
        }
    }

    /// The pulley at an end, to be changed.
    pub fn pulley_mut(&mut self, end: End) -> &mut Pulley {
        match end {
            End::Tail => &mut self.tail,
            End::Head => &mut self.head,
        }
    }

    /// +1 if this strand travels from tail to head, -1 if from head to tail.
    pub fn travel(&self, strand: Strand) -> f64 {
        match (strand, self.run) {
            (Strand::Carry, Run::Forward) | (Strand::Return, Run::Backward) => 1.0,
            _ => -1.0,
        }
    }

    /// Length of the belt, once round: both strands and half the girth of each pulley.
    pub fn belt_m(&self) -> f64 {
        2.0 * self.centres_m + std::f64::consts::PI * (self.tail.radius_m + self.head.radius_m)
    }

    /// How far the belt may be off before its edge leaves the narrower pulley.
    pub fn edge_room_m(&self) -> f64 {
        0.5 * (self.tail.face_m.min(self.head.face_m) - self.belt.width_m)
    }

    /// `sqrt(EI/T)`: the length over which a bend of the belt dies away in a strand.
    pub fn bending_length_m(&self, strand: Strand) -> f64 {
        (self.belt.stiffness_nm2() / self.idlers(strand).tension_n).sqrt()
    }
}
