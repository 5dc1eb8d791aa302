//! Whether such a conveyor can be.

use super::line::{LEAST_GAP_M, Line, MOST_POINTS};
use super::wrong::{Reason, Wrong, within};
use crate::trade::End;
use crate::trade::Strand;

impl Line {
    /// Looks whether such a conveyor can be.
    ///
    /// # Errors
    /// The first part that cannot be, with the reason.
    pub fn check(&self) -> Result<(), Wrong> {
        let conveyor = &"conveyor";
        within(conveyor, "distance between the pulleys", self.centres_m, (0.3, 50_000.0), "m")?;
        within(conveyor, "belt speed", self.speed_m_s, (0.005, 20.0), "m/s")?;
        within(&"belt", "width", self.belt.width_m, (0.05, 4.0), "m")?;
        within(&"belt", "modulus", self.belt.modulus_n_per_m, (1e4, 1e9), "N/m")?;
        within(&"belt", "mass", self.belt.mass_kg_per_m, (0.05, 500.0), "kg/m")?;
        within(&"load", "mass", self.load.mass_kg_per_m, (0.0, 5_000.0), "kg/m")?;
        within(&"load", "beginning", self.load.from_m, (0.0, self.centres_m), "m")?;
        within(&"load", "end", self.load.to_m, (self.load.from_m, self.centres_m), "m")?;
        within(&"rolls", "friction", self.grip.friction, (0.001, 2.0), "")?;
        within(&"rolls", "creep angle", self.grip.creep_rad, (1e-4, 0.2), "rad")?;
        for end in [End::Tail, End::Head] {
            self.check_pulley(end)?;
        }
        within(
            &"take-up",
            "distance between its bearings",
            self.take_up.bearing_centres_m,
            (self.belt.width_m, 10.0),
            "m",
        )?;
        self.check_idlers(Strand::Carry)?;
        self.check_idlers(Strand::Return)
    }

    fn check_pulley(&self, end: End) -> Result<(), Wrong> {
        let pulley = self.pulley(end);
        within(&end, "radius", pulley.radius_m, (0.01, 2.0), "m")?;
        within(&end, "face", pulley.face_m, (0.05, 5.0), "m")?;
        within(&end, "crown", pulley.crown_m, (0.0, 0.5 * pulley.radius_m), "m")?;
        if pulley.radius_m > 0.5 * self.centres_m {
            return Err(Wrong::new(
                Reason::Overlap,
                end,
                format!(
                    "its radius of {} m does not fit between pulleys {} m apart",
                    pulley.radius_m, self.centres_m
                ),
                "Give the radius, not the girth, and check the distance between the pulleys.",
            ));
        }
        if self.belt.width_m > pulley.face_m {
            return Err(Wrong::new(
                Reason::WiderThanFace,
                end,
                format!(
                    "the belt is {} m wide, the face only {} m",
                    self.belt.width_m, pulley.face_m
                ),
                "Give a face at least as wide as the belt.",
            ));
        }
        Ok(())
    }

    fn check_idlers(&self, strand: Strand) -> Result<(), Wrong> {
        let idlers = self.idlers(strand);
        let all = format!("all {strand}s");
        within(&all, "trough angle", idlers.trough_rad, (0.0, 1.222), "rad")?;
        within(&all, "forward tilt", idlers.forward_tilt_rad, (-0.1, 0.1), "rad")?;
        within(&all, "roll radius", idlers.roll_radius_m, (0.005, 0.5), "m")?;
        if idlers.tension_n <= 0.0 {
            return Err(Wrong::new(
                Reason::Slack,
                format!("strand of the {strand}s"),
                format!("its pull is {} N", idlers.tension_n),
                "A belt only pulls: give a tension above nothing.",
            ));
        }
        within(&all, "pull in their strand", idlers.tension_n, (1.0, 1e7), "N")?;
        if idlers.stations_m.len() > MOST_POINTS {
            return Err(Wrong::new(
                Reason::TooLarge,
                all,
                format!("{} of them; the model takes {MOST_POINTS}", idlers.stations_m.len()),
                "Look at a part of the conveyor.",
            ));
        }
        let mut before = 0.0;
        for (nth, &x) in idlers.stations_m.iter().enumerate() {
            let part = format!("{strand} {} from the tail", nth + 1);
            if !x.is_finite() {
                return Err(Wrong::new(
                    Reason::NotANumber,
                    part,
                    "its place is not a number",
                    "Give a finite number.",
                ));
            }
            if x <= 0.0 || x >= self.centres_m {
                return Err(Wrong::new(
                    Reason::OffTheConveyor,
                    part,
                    format!("it stands at {x} m, the conveyor goes from 0 to {} m", self.centres_m),
                    "Give its distance from the tail pulley, between the pulleys.",
                ));
            }
            if x - before < LEAST_GAP_M || self.centres_m - x < LEAST_GAP_M {
                return Err(Wrong::new(
                    Reason::Overlap,
                    part,
                    format!("it stands at {x} m, less than {LEAST_GAP_M} m from its neighbour"),
                    "Give the stations in order from the tail, each once.",
                ));
            }
            before = x;
        }
        Ok(())
    }
}
