//! From the data of a conveyor to the conveyor of the belt-line model.

use crate::conveyor::Conveyor;
use crate::conveyor::quantity::Quantity;
use crate::gauge::tension;
use crate::mechanics::{Belt, Idlers, Line, Load, Pulley, TakeUp};

/// Sag of the return strand at which a conveyor is taken to be set up, when its screw load is not known.
const SET_UP_SAG: f64 = 0.015;
/// Most sag that is allowed on either strand: what the pull is held against.
pub const MOST_SAG: f64 = 0.02;

/// The conveyor, square, level and clean. What its data leave open is taken as on a middling conveyor; take-ups of
/// all kinds keep the pull where it was set, since what changes it here is somebody's hand.
pub fn line(conveyor: &Conveyor) -> Line {
    let si = |path: &str| conveyor.dimensions().get(path).map(Quantity::si);
    let centres_m = si("centres").unwrap_or(30.0);
    let mut line = Line::middling(centres_m);
    let width_m = si("belt.width").unwrap_or(line.belt.width_m);
    line.speed_m_s = si("speed").unwrap_or(line.speed_m_s);
    line.belt = Belt {
        width_m,
        modulus_n_per_m: si("belt.modulus").unwrap_or(line.belt.modulus_n_per_m),
        mass_kg_per_m: si("belt.mass")
            .unwrap_or(line.belt.mass_kg_per_m * width_m / line.belt.width_m),
    };
    let flat = conveyor.facts().troughed() == Some(false);
    let pitch = |path, usual: f64| si(path).unwrap_or(usual).min(0.5 * centres_m);
    let carry_pitch_m = pitch("idlers.carry_pitch", 1.2);
    let return_pitch_m = pitch("idlers.return_pitch", 3.0);
    line.carry.trough_rad =
        if flat { 0.0 } else { si("idlers.trough_angle").unwrap_or(line.carry.trough_rad) };
    let radius = |path: &str, usual: f64| si(path).map_or(usual, |diameter: f64| 0.5 * diameter);
    line.carry.roll_radius_m = radius("idlers.roll_diameter", line.carry.roll_radius_m);
    line.ret.roll_radius_m = radius("idlers.return_roll_diameter", line.ret.roll_radius_m);
    line.carry.stations_m = Idlers::even(centres_m, carry_pitch_m);
    line.ret.stations_m = Idlers::even(centres_m, return_pitch_m);
    let pulley = |end: &str, usual: &Pulley| Pulley {
        radius_m: radius(&format!("{end}.diameter"), usual.radius_m),
        face_m: si(&format!("{end}.face")).unwrap_or(width_m + 0.1),
        crown_m: match conveyor.facts().crowned() {
            Some(false) => 0.0,
            _ => si(&format!("{end}.crown")).map_or(usual.crown_m, |on_diameter| 0.5 * on_diameter),
        },
    };
    (line.tail, line.head) = (pulley("tail", &line.tail), pulley("head", &line.head));
    let loaded_m = (0.1 * centres_m).min(3.0);
    line.load = Load {
        mass_kg_per_m: si("load.mass").unwrap_or(60.0 * width_m / 0.9),
        from_m: loaded_m,
        to_m: centres_m,
    };
    line.take_up = TakeUp {
        keeps_pull: false,
        bearing_centres_m: si("tail.bearing_centres").unwrap_or(line.tail.face_m + 0.2),
    };
    line.ret.tension_n = si("screws.load").unwrap_or_else(|| {
        tension::tension_of_sag(line.belt.mass_kg_per_m, return_pitch_m, SET_UP_SAG)
            .max(needed_n(&line))
    });
    line.carry.tension_n = 1.4 * line.ret.tension_n;
    line
}

/// From foot to foot of an idler stand, m; a little wider than the belt where the data leave it open.
pub fn feet_m(conveyor: &Conveyor, belt_width_m: f64) -> f64 {
    let spacing = conveyor.dimensions().get("idlers.foot_spacing");
    spacing.map_or(1.2 * belt_width_m, Quantity::si)
}

/// The pull that keeps both strands from sagging more than allowed, N; the loaded carry strand usually asks more.
pub fn needed_n(line: &Line) -> f64 {
    let widest = |idlers: &Idlers| {
        let mut before = 0.0;
        idlers.stations_m.iter().fold(0.0_f64, |widest, x| {
            let gap = x - before;
            before = *x;
            widest.max(gap)
        })
    };
    let carried = line.belt.mass_kg_per_m + line.load.mass_kg_per_m;
    let carry = tension::tension_of_sag(carried, widest(&line.carry), MOST_SAG);
    let ret = tension::tension_of_sag(line.belt.mass_kg_per_m, widest(&line.ret), MOST_SAG);
    carry.max(ret)
}
