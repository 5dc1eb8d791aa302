//! One strand with its faults: nodes, and what every idler set does to the belt.

use super::faults::{Fault, Seized};
use super::line::{GRAVITY_M_S2, Line, MOST_POINTS};
use super::span::{off_centre_load_m, trough_centring_n_per_m};
use super::wrong::{Reason, Wrong};
use crate::trade::Strand;

/// The share of the weight on a set that a wing roll carries; assumed.
pub const WING_CARRIES: f64 = 0.25;
/// Least pull that may be left in a strand.
const LEAST_PULL_N: f64 = 1.0;

/// One strand, in the order of travel.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Path {
    /// +1 toward the head, -1 toward the tail.
    pub(super) travel: f64,
    pub(super) tension_n: f64,
    /// Where the nodes are, along the travel; the first leaves one pulley, the last enters the other.
    pub(super) nodes_m: Vec<f64>,
    pub(super) stands: Vec<Stand>,
    /// Side force on each node that does not depend on the belt.
    pub(super) wind_n: Vec<f64>,
}

/// One idler set. `force = -grip tanh((angle - aim) / creep) - centring (y - middle) + push`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stand {
    pub(super) node: usize,
    pub(super) grip_n: f64,
    pub(super) creep_rad: f64,
    pub(super) aim_rad: f64,
    pub(super) centring_n_per_m: f64,
    pub(super) middle_m: f64,
    pub(super) push_n: f64,
    pub(super) couple_nm: f64,
}

/// What is known of a set before it is put into the terms of the equations.
#[derive(Debug, Clone, Copy, Default)]
struct Set {
    x_m: f64,
    pitch_m: f64,
    /// To the neighbours on both sides.
    gaps_m: (f64, f64),
    pressed_n: f64,
    skew_rad: f64,
    frame_slope: f64,
    middle_m: f64,
    low_rad: f64,
    cake_m: f64,
    push_n: f64,
    /// Whether it turns no more: the whole set, its left wing, its right wing.
    seized: [bool; 3],
}

impl Set {
    fn seize(&mut self, which: Seized) {
        let [whole, left, right] = &mut self.seized;
        match which {
            Seized::Whole => *whole = true,
            Seized::LeftWing => *left = true,
            Seized::RightWing => *right = true,
        }
    }
}

pub(super) fn path(
    line: &Line,
    faults: &[Fault],
    strand: Strand,
    rise_n: f64,
    longest_m: f64,
) -> Result<Path, Wrong> {
    let idlers = line.idlers(strand);
    let tension_n = idlers.tension_n + rise_n;
    if tension_n.is_nan() || tension_n < LEAST_PULL_N {
        return Err(Wrong::new(
            Reason::Slack,
            "take-up screws",
            format!("moved so far in, they leave a pull of {tension_n:.0} N: the belt hangs slack"),
            "Move them in by less, or start from more pull.",
        ));
    }
    let (mut nodes_m, at) = mesh(line.centres_m, &idlers.stations_m, longest_m)?;
    let mut sets = sets(line.centres_m, &idlers.stations_m);
    for fault in faults {
        apply(&mut sets, fault, strand, tension_n);
    }
    let load_shift_m = load_shift_m(line, faults);
    let mut stands: Vec<Stand> = sets
        .iter()
        .zip(at)
        .map(|(set, node)| stand(line, strand, set, node, load_shift_m))
        .collect();
    let mut wind_n = wind(&nodes_m, faults, strand);
    let travel = line.travel(strand);
    if travel < 0.0 {
        let last = nodes_m.len().saturating_sub(1);
        for x in &mut nodes_m {
            *x = line.centres_m - *x;
        }
        nodes_m.reverse();
        wind_n.reverse();
        stands.reverse();
        for stand in &mut stands {
            stand.node = last - stand.node;
        }
    }
    Ok(Path { travel, tension_n, nodes_m, stands, wind_n })
}

/// Nodes at the pulleys, at every station and between, and which nodes are the stations.
fn mesh(
    centres_m: f64,
    stations_m: &[f64],
    longest_m: f64,
) -> Result<(Vec<f64>, Vec<usize>), Wrong> {
    let mut nodes = vec![0.0];
    let mut at = Vec::with_capacity(stations_m.len());
    let mut from = 0.0;
    for to in stations_m.iter().copied().chain([centres_m]) {
        let parts = ((to - from) / longest_m).ceil().max(1.0);
        if parts.is_nan() || nodes.len() as f64 + parts >= MOST_POINTS as f64 {
            return Err(Wrong::new(
                Reason::TooLarge,
                "conveyor",
                format!("so long for its stiffness that more than {MOST_POINTS} points are needed"),
                "Look at a part of it, or check belt width, modulus and pull.",
            ));
        }
        let count = parts as usize;
        nodes.extend((1..count).map(|nth| from + (to - from) * nth as f64 / parts));
        nodes.push(to);
        at.push(nodes.len() - 1);
        from = to;
    }
    at.pop();
    Ok((nodes, at))
}

fn sets(centres_m: f64, stations_m: &[f64]) -> Vec<Set> {
    let before = [0.0].into_iter().chain(stations_m.iter().copied());
    let after = stations_m.iter().copied().skip(1).chain([centres_m]);
    stations_m
        .iter()
        .zip(before)
        .zip(after)
        .map(|((&x, before), after)| Set {
            x_m: x,
            pitch_m: 0.5 * (after - before),
            gaps_m: (x - before, after - x),
            ..Set::default()
        })
        .collect()
}

fn apply(sets: &mut [Set], fault: &Fault, at: Strand, tension_n: f64) {
    let of = |sets: &mut [Set], strand: Strand, station: usize, change: &dyn Fn(&mut Set)| {
        if strand == at
            && let Some(set) = sets.get_mut(station)
        {
            change(set);
        }
    };
    match *fault {
        Fault::Skewed { strand, station, skew_rad } => {
            of(sets, strand, station, &|set| set.skew_rad += skew_rad);
        }
        Fault::OffCentre { strand, station, left_m } => {
            of(sets, strand, station, &|set| set.middle_m += left_m);
        }
        Fault::Leaning { strand, station, left_low_rad } => {
            of(sets, strand, station, &|set| set.low_rad += left_low_rad);
        }
        Fault::CakedRoll { strand, station, left_thicker_m } => {
            of(sets, strand, station, &|set| set.cake_m += left_thicker_m);
        }
        Fault::SeizedRoll { strand, station, which } => {
            of(sets, strand, station, &|set| set.seize(which));
        }
        Fault::SidePush { strand, station, left_n } => {
            of(sets, strand, station, &|set| set.push_n += left_n);
        }
        Fault::High { strand, station, by_m } if strand == at => {
            let Some((before_m, after_m)) = sets.get(station).map(|set| set.gaps_m) else {
                return;
            };
            let (before_n, after_n) = (tension_n * by_m / before_m, tension_n * by_m / after_m);
            of(sets, strand, station, &|set| {
                set.pressed_n += before_n + after_n;
            });
            of(sets, strand, station + 1, &|set| set.pressed_n -= after_n);
            if let Some(before) = station.checked_sub(1) {
                of(sets, strand, before, &|set| set.pressed_n -= before_n);
            }
        }
        Fault::BentFrame { from_m, to_m, left_m } => {
            within(sets, from_m, to_m, |set, share, length_m| {
                let turn = std::f64::consts::TAU;
                set.middle_m += 0.5 * left_m * (1.0 - (turn * share).cos());
                set.frame_slope += 0.5 * left_m * turn / length_m * (turn * share).sin();
            });
        }
        Fault::RackedFrame { from_m, to_m, skew_rad } => {
            within(sets, from_m, to_m, |set, _, _| set.skew_rad += skew_rad);
        }
        Fault::LowFrame { from_m, to_m, left_low_rad } => {
            within(sets, from_m, to_m, |set, _, _| set.low_rad += left_low_rad);
        }
        _ => {}
    }
}

/// Changes every set of a stretch; told how far along it each stands (0 to 1), and how long it is.
fn within(sets: &mut [Set], from_m: f64, to_m: f64, change: impl Fn(&mut Set, f64, f64)) {
    let length_m = (to_m - from_m).max(f64::MIN_POSITIVE);
    for set in sets.iter_mut().filter(|set| (from_m..=to_m).contains(&set.x_m)) {
        change(set, (set.x_m - from_m) / length_m, length_m);
    }
}

fn stand(line: &Line, strand: Strand, set: &Set, node: usize, load_shift_m: f64) -> Stand {
    let idlers = line.idlers(strand);
    let travel = line.travel(strand);
    let loaded = strand == Strand::Carry && (line.load.from_m..=line.load.to_m).contains(&set.x_m);
    let load = if loaded { line.load.mass_kg_per_m } else { 0.0 };
    let mass = line.belt.mass_kg_per_m + load;
    let weight_n = (mass * GRAVITY_M_S2 * set.pitch_m + set.pressed_n).max(0.0);
    let width_m = line.belt.width_m;
    let mut grip_n = line.grip.friction * weight_n;
    let mut creep_rad = line.grip.creep_rad;
    let mut aim_rad = travel * (set.frame_slope - set.skew_rad);
    // A cone under the belt: its larger end runs ahead, its smaller end behind, as far as friction lets it.
    let cone = set.cake_m / width_m / idlers.roll_radius_m;
    let mut couple_nm = -grip_n * 0.25 * width_m * (cone * width_m / (3.0 * creep_rad)).tanh();
    let [whole, left, right] = set.seized;
    if whole {
        // A belt that slides is braked along its own way, wherever the roll points.
        (creep_rad, aim_rad, couple_nm) = (1.0, 0.0, 0.0);
    } else {
        let wing_n = WING_CARRIES * grip_n;
        for (seized, side) in [(left, 1.0), (right, -1.0)] {
            if seized {
                couple_nm += side * wing_n * width_m / 3.0;
                grip_n -= wing_n;
            }
        }
    }
    let upright =
        trough_centring_n_per_m(mass, GRAVITY_M_S2, width_m, idlers.trough_rad, set.pitch_m);
    Stand {
        node,
        grip_n,
        creep_rad,
        aim_rad,
        centring_n_per_m: upright * (1.0 + tilt_helps(line, strand)).max(0.0),
        middle_m: set.middle_m + if load > 0.0 { load_shift_m } else { 0.0 },
        push_n: set.push_n + weight_n * set.low_rad.sin(),
        couple_nm,
    }
}

/// What a forward tilt adds to the centring of a troughed set, as a share: it toes the wings in. It takes away
/// when the belt runs backward.
fn tilt_helps(line: &Line, strand: Strand) -> f64 {
    let idlers = line.idlers(strand);
    if idlers.trough_rad < 1e-3 {
        return 0.0;
    }
    let forward = line.travel(Strand::Carry);
    let toe_in = forward * idlers.forward_tilt_rad * idlers.trough_rad.sin();
    line.grip.friction / idlers.trough_rad.tan() * (toe_in / line.grip.creep_rad).tanh()
}

/// Where an off-centre load puts the middle of a loaded set.
fn load_shift_m(line: &Line, faults: &[Fault]) -> f64 {
    let left_m: f64 = faults
        .iter()
        .map(|fault| match *fault {
            Fault::OffCentreLoad { left_m } => left_m,
            _ => 0.0,
        })
        .sum();
    off_centre_load_m(left_m, line.load.mass_kg_per_m, line.belt.mass_kg_per_m)
}

fn wind(nodes_m: &[f64], faults: &[Fault], at: Strand) -> Vec<f64> {
    let mut forces = vec![0.0; nodes_m.len()];
    for fault in faults {
        let Fault::Wind { strand, from_m, to_m, left_n_per_m } = *fault else {
            continue;
        };
        if strand != at {
            continue;
        }
        for (nth, ends) in nodes_m.windows(2).enumerate() {
            if let &[first, second] = ends {
                let covered = (second.min(to_m) - first.max(from_m)).max(0.0);
                for force in forces.iter_mut().skip(nth).take(2) {
                    *force += 0.5 * covered * left_n_per_m;
                }
            }
        }
    }
    forces
}
