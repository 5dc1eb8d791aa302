//! The dimensions of a conveyor that gauges use: what each is, in which unit it is typed, and its bounds.

use crate::trade::Units;
use std::collections::BTreeMap;

use super::quantity::{Kind, Quantity};

/// A dimension that may be known of a conveyor.
#[derive(Debug)]
pub struct Dimension {
    /// Its place in the file: `belt.width` is `belt: (width: ..)`.
    pub path: &'static str,
    /// What it is, as a prompt asks for it.
    pub ask: &'static str,
    /// What kind of quantity it is.
    pub kind: Kind,
    /// The least it can be, SI.
    pub least: f64,
    /// The most it can be, SI.
    pub most: f64,
}

const fn of(
    path: &'static str,
    ask: &'static str,
    kind: Kind,
    (least, most): (f64, f64),
) -> Dimension {
    Dimension { path, ask, kind, least, most }
}

/// All dimensions, in the order in which they are asked for and shown. The bounds only catch slips: they are wider
/// than anything that is built.
pub const ALL: &[Dimension] = &[
    of("centres", "Distance between the end pulleys' shafts", Kind::Distance, (0.3, 50_000.0)),
    of("speed", "Belt speed", Kind::Speed, (0.005, 20.0)),
    of("belt.width", "Belt width", Kind::Length, (0.05, 4.0)),
    of("belt.length", "Length of the whole belt, once round", Kind::Distance, (0.6, 100_000.0)),
    of(
        "belt.rated_tension",
        "Rated working tension of the belt, per width",
        Kind::Rated,
        (1e3, 2e6),
    ),
    of("belt.modulus", "Belt modulus, if its maker states it", Kind::Modulus, (1e4, 1e9)),
    of("belt.mass", "Mass of the belt per length", Kind::LineMass, (0.05, 500.0)),
    of("load.mass", "Mass of the load per length of belt", Kind::LineMass, (0.0, 5_000.0)),
    of("idlers.carry_pitch", "Distance between carry idlers", Kind::Length, (0.05, 10.0)),
    of("idlers.return_pitch", "Distance between return rolls", Kind::Length, (0.05, 20.0)),
    of("idlers.trough_angle", "Trough angle of the carry idlers", Kind::Angle, (0.0, 1.222)),
    of("idlers.roll_diameter", "Diameter of the carry rolls", Kind::Length, (0.01, 0.5)),
    of("idlers.return_roll_diameter", "Diameter of the return rolls", Kind::Length, (0.01, 0.5)),
    of(
        "idlers.foot_spacing",
        "Distance across, from foot to foot of an idler stand",
        Kind::Length,
        (0.1, 5.0),
    ),
    of("tail.diameter", "Diameter of the tail pulley", Kind::Length, (0.02, 4.0)),
    of("tail.face", "Face width of the tail pulley", Kind::Length, (0.05, 5.0)),
    of(
        "tail.crown",
        "Crown of the tail pulley: middle over ends, on the diameter",
        Kind::Length,
        (0.0, 0.1),
    ),
    of(
        "tail.bearing_rating",
        "Basic dynamic rating C of one tail bearing",
        Kind::Force,
        (100.0, 1e7),
    ),
    of("tail.bearing_centres", "Distance between the two tail bearings", Kind::Length, (0.1, 6.0)),
    of(
        "tail.hub_arm",
        "Tail pulley: from the middle of a bearing to the hub",
        Kind::Length,
        (0.005, 2.0),
    ),
    of("tail.shaft", "Shaft diameter of the tail pulley", Kind::Length, (0.005, 1.0)),
    of("head.diameter", "Diameter of the head pulley", Kind::Length, (0.02, 4.0)),
    of("head.face", "Face width of the head pulley", Kind::Length, (0.05, 5.0)),
    of(
        "head.crown",
        "Crown of the head pulley: middle over ends, on the diameter",
        Kind::Length,
        (0.0, 0.1),
    ),
    of(
        "head.bearing_rating",
        "Basic dynamic rating C of one head bearing",
        Kind::Force,
        (100.0, 1e7),
    ),
    of("head.bearing_centres", "Distance between the two head bearings", Kind::Length, (0.1, 6.0)),
    of(
        "head.hub_arm",
        "Head pulley: from the middle of a bearing to the hub",
        Kind::Length,
        (0.005, 2.0),
    ),
    of("head.shaft", "Shaft diameter of the head pulley", Kind::Length, (0.005, 1.0)),
    of("screws.travel", "Travel of the take-up screws", Kind::Length, (0.01, 5.0)),
    of(
        "screws.pitch",
        "Pitch of the take-up screws: travel in one turn",
        Kind::Length,
        (0.0005, 0.05),
    ),
    of("screws.load", "Load on one take-up screw, both set alike", Kind::Force, (1.0, 1e6)),
    of("pulleys", "How many pulleys the belt runs over", Kind::Number, (2.0, 40.0)),
];

/// The dimension of that path.
pub fn named(path: &str) -> Option<&'static Dimension> {
    ALL.iter().find(|dimension| dimension.path == path)
}

/// What is known of a conveyor's dimensions.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Dimensions {
    sizes: BTreeMap<&'static str, Quantity>,
}

/// Two dimensions that cannot both be right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clash {
    /// The one to point at.
    pub path: &'static str,
    /// The other.
    pub other: &'static str,
    /// What cannot be.
    pub says: &'static str,
}

/// `path` is never more than a share of `other`.
const NOT_ABOVE: &[(&str, &str, f64, &str)] = &[
    ("belt.width", "tail.face", 1.0, "the belt is wider than the face of the tail pulley"),
    ("belt.width", "head.face", 1.0, "the belt is wider than the face of the head pulley"),
    (
        "tail.face",
        "tail.bearing_centres",
        1.0,
        "the tail pulley's face is wider than its bearings stand apart",
    ),
    (
        "head.face",
        "head.bearing_centres",
        1.0,
        "the head pulley's face is wider than its bearings stand apart",
    ),
    ("tail.shaft", "tail.diameter", 1.0, "the tail pulley's shaft is thicker than the pulley"),
    ("head.shaft", "head.diameter", 1.0, "the head pulley's shaft is thicker than the pulley"),
    (
        "tail.crown",
        "tail.diameter",
        0.2,
        "the tail pulley's crown is more than a fifth of its diameter",
    ),
    (
        "head.crown",
        "head.diameter",
        0.2,
        "the head pulley's crown is more than a fifth of its diameter",
    ),
    (
        "tail.hub_arm",
        "tail.bearing_centres",
        0.5,
        "the tail pulley's hubs lie beyond the middle between its bearings",
    ),
    (
        "head.hub_arm",
        "head.bearing_centres",
        0.5,
        "the head pulley's hubs lie beyond the middle between its bearings",
    ),
    (
        "idlers.carry_pitch",
        "centres",
        1.0,
        "the carry idlers stand further apart than the end pulleys",
    ),
    (
        "idlers.return_pitch",
        "centres",
        1.0,
        "the return rolls stand further apart than the end pulleys",
    ),
    (
        "screws.pitch",
        "screws.travel",
        1.0,
        "one turn of the take-up screws is more than their travel",
    ),
    ("screws.travel", "centres", 0.5, "the take-up screws travel more than half the conveyor"),
];

impl Dimensions {
    /// What is known under a path.
    pub fn get(&self, path: &str) -> Option<Quantity> {
        self.sizes.get(path).copied()
    }

    /// Notes a dimension; an unknown path is passed over.
    pub fn set(&mut self, path: &str, size: Quantity) {
        if let Some(dimension) = named(path) {
            self.sizes.insert(dimension.path, size);
        }
    }

    /// All that are known, in the order of [`ALL`].
    pub fn known(&self) -> impl Iterator<Item = (&'static Dimension, Quantity)> {
        ALL.iter().filter_map(|dimension| Some((dimension, self.get(dimension.path)?)))
    }

    /// What cannot all be right.
    pub fn clashes(&self) -> Vec<Clash> {
        let si = |path: &str| self.get(path).map(Quantity::si);
        let mut clashes: Vec<Clash> = NOT_ABOVE
            .iter()
            .filter(|(path, other, share, _)| {
                matches!((si(path), si(other)), (Some(size), Some(bound)) if size > bound * share)
            })
            .map(|&(path, other, _, says)| Clash { path, other, says })
            .collect();
        // The belt goes there and back, and round the pulleys; a take-up loop makes it longer, never shorter.
        if let (Some(length), Some(centres)) = (si("belt.length"), si("centres"))
            && length < 1.99 * centres
        {
            clashes.push(Clash {
                path: "belt.length",
                other: "centres",
                says: "the belt is shorter than there and back between the end pulleys",
            });
        }
        clashes
    }
}

/// Whether a size lies within a dimension's bounds; if not, both bounds in words.
///
/// # Errors
/// The bounds.
pub fn within(dimension: &Dimension, size: Quantity, units: Units) -> Result<(), String> {
    if (dimension.least..=dimension.most).contains(&size.si()) {
        return Ok(());
    }
    let words = |si| Quantity::of(dimension.kind, si).words(units);
    Err(format!(
        "{} is out of reason here: it lies between {} and {}",
        size.words(units),
        words(dimension.least),
        words(dimension.most)
    ))
}
