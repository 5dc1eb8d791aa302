//! The least distance between a pulley and the first idler of full trough angle, as printed: in belt widths.

use super::super::Basis;
use crate::trade::Carcass;

/// How much of the belt's rated pull is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Used {
    /// More than 90 %.
    Most,
    /// 60 to 90 %.
    Middle,
    /// Less than 60 %.
    Little,
}

/// How high the pulley stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Height {
    /// Its top is level with the centre roll: the edges rise by the whole depth of the trough.
    CentreRoll,
    /// Its top stands half the depth of the trough above the centre roll.
    HalfTrough,
}

/// The printed trough angles, degrees.
pub const ANGLES_DEG: [f64; 3] = [20.0, 35.0, 45.0];

/// Rows: more than 90 %, 60 to 90 %, less than 60 % of the rated pull; columns: 20, 35, 45 degrees.
type Table = [[f64; 3]; 3];

const FABRIC_FULL: Table = [[1.8, 3.2, 4.0], [1.6, 2.4, 3.2], [1.2, 1.8, 2.4]];
const FABRIC_HALF: Table = [[0.9, 1.6, 2.0], [0.8, 1.2, 1.6], [0.6, 0.9, 1.2]];
const STEEL_FULL: Table = [[4.0, 6.8, 8.0], [3.2, 5.2, 6.4], [2.0, 3.6, 4.4]];
const STEEL_HALF: Table = [[2.0, 3.4, 4.0], [1.6, 2.6, 3.2], [1.0, 1.8, 2.2]];

/// The printed least distance in belt widths, with the angle of its column; nothing for a trough steeper than any
/// that is printed, or a carcass that is not. An angle between two columns takes the steeper one.
pub fn least_widths(
    carcass: Carcass,
    height: Height,
    used: Used,
    angle_deg: f64,
) -> Option<(f64, f64)> {
    let table = match (carcass, height) {
        (Carcass::Fabric, Height::CentreRoll) => FABRIC_FULL,
        (Carcass::Fabric, Height::HalfTrough) => FABRIC_HALF,
        (Carcass::SteelCord, Height::CentreRoll) => STEEL_FULL,
        (Carcass::SteelCord, Height::HalfTrough) => STEEL_HALF,
        (Carcass::Other, _) => return None,
    };
    let [most, middle, little] = table;
    let row = match used {
        Used::Most => most,
        Used::Middle => middle,
        Used::Little => little,
    };
    // A degree of slack: a 35 degree idler measures 35.4.
    let column = ANGLES_DEG.into_iter().zip(row).find(|(angle, _)| angle_deg <= angle + 1.0)?;
    Some((column.1, column.0))
}

/// The least distance between two printed columns, in belt widths, as the edge's rise lies between theirs: derived, the
/// source prints none. The printed one where the angle has its own column.
pub fn between_widths(carcass: Carcass, height: Height, used: Used, angle_deg: f64) -> Option<f64> {
    let (steeper, column_deg) = least_widths(carcass, height, used, angle_deg)?;
    let flatter = ANGLES_DEG.into_iter().rev().find(|angle| *angle < angle_deg - 1.0);
    let Some(flatter_deg) = flatter.filter(|flatter| *flatter < column_deg) else {
        return Some(steeper);
    };
    if angle_deg >= column_deg - 1.0 {
        return Some(steeper);
    }
    let (flatter, _) = least_widths(carcass, height, used, flatter_deg)?;
    let rise = |degrees: f64| degrees.to_radians().sin();
    let along = (rise(angle_deg) - rise(flatter_deg)) / (rise(column_deg) - rise(flatter_deg));
    Some(flatter + (steeper - flatter) * along)
}

/// The most of the rated pull that a row of the table stands for, as a share.
pub fn most_used(used: Used) -> f64 {
    match used {
        Used::Most => 1.0,
        Used::Middle => 0.9,
        Used::Little => 0.6,
    }
}

/// What the table of a carcass rests on, if one is printed.
pub fn source(carcass: Carcass) -> Option<Basis> {
    match carcass {
        Carcass::Fabric => Some(Basis::Published("transition-note", "table, fabric")),
        Carcass::SteelCord => Some(Basis::Published("heavy-belt-catalogue", "table, steel cord")),
        Carcass::Other => None,
    }
}

/// How far the belt's edge rises over the flat belt in a trough of three equal rolls, m: a third of the width up the
/// wing; half of that where the pulley stands at half the depth. Derived.
pub fn rise_m(width_m: f64, angle_rad: f64, height: Height) -> f64 {
    let depth_m = width_m / 3.0 * angle_rad.sin();
    match height {
        Height::CentreRoll => depth_m,
        Height::HalfTrough => depth_m / 2.0,
    }
}

/// How much longer the edge is than the middle over the transition: the edge runs up a slope. Derived; half the square of
/// rise over distance, which the standard's formula rests on, is more by less than 0.3 % of it at the printed distances.
pub fn edge_strain(rise_m: f64, distance_m: f64) -> f64 {
    let slope2 = (rise_m / distance_m).powi(2);
    slope2 / (1.0 + (1.0 + slope2).sqrt())
}

/// The distance at which the edge takes no more than an extra pull per width, m, as ISO 5293 has it: from memory; it
/// follows from half the square of rise over distance, close to [`edge_strain`]. `modulus_over_extra` is the belt's modulus over the extra pull per width.
pub fn least_m(rise_m: f64, modulus_over_extra: f64) -> f64 {
    rise_m * (modulus_over_extra / 2.0).sqrt()
}
