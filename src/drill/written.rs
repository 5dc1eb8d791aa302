//! A drill as written in `drills/*.ron`: ids and sizes are texts with their places. [`super::read`] checks them.

use crate::trade::{End, Side, Strand};
use serde::{Deserialize, Deserializer};

use crate::rulebook::written::Source;
use crate::source::parse::{Spanned, Text, Unread, either};

/// One drill.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "drill")]
#[expect(missing_docs, reason = "the fields of the file; rules/REFERENCE.md tells of them")]
pub struct DrillEntry {
    pub id: Text,
    pub title: Text,
    pub grade: Grade,
    pub briefing: Text,
    pub conveyor: Unread,
    #[serde(default)]
    pub hidden: Vec<HiddenEntry>,
    #[serde(default)]
    pub shows: Vec<Shown>,
    #[serde(default)]
    pub expert: Vec<Text>,
    pub aims: Vec<Text>,
    pub talk: Vec<Text>,
    #[serde(default)]
    pub seed: u32,
    pub source: Source,
}

/// An answer that stands whatever else is the case: the symptom, and its answer.
#[derive(Debug, Clone, Deserialize)]
pub struct Shown(pub Text, pub ShownAnswer);

/// One answer, or all marks that are ticked.
#[derive(Debug, Clone)]
pub enum ShownAnswer {
    /// `"yes"`.
    One(Text),
    /// `["one-place", "one-part"]`.
    Ticked(Vec<Text>),
}

impl ShownAnswer {
    /// The answers named.
    pub fn ids(&self) -> &[Text] {
        match self {
            Self::One(id) => std::slice::from_ref(id),
            Self::Ticked(ids) => ids,
        }
    }
}

impl<'de> Deserialize<'de> for ShownAnswer {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        either(deserializer, Self::Ticked, Self::One)
    }
}

/// How much a drill asks of whoever runs it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename = "drill grade")]
pub enum Grade {
    /// One cause that shows itself.
    First,
    /// One cause that looks like another, or must be proved by measuring.
    Second,
    /// Two causes, or one hidden behind an old correction.
    Third,
}

/// A cause that is present, and what it is made of.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "hidden cause")]
#[expect(missing_docs, reason = "the fields of the file; rules/REFERENCE.md tells of them")]
pub struct HiddenEntry {
    pub cause: Text,
    pub parts: Vec<Spanned<PartEntry>>,
    #[serde(default)]
    pub yields_to: Vec<Text>,
}

/// Which rolls of an idler set stand still.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename = "rolls")]
pub enum Rolls {
    /// All of them.
    Whole,
    /// The wing on the left.
    Left,
    /// The wing on the right.
    Right,
}

/// Something out of order, with its size. Stations count from the tail, the first is 1; places along the conveyor
/// are measured from the tail pulley, places on the belt from mark 0.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "part")]
#[expect(missing_docs, reason = "rules/REFERENCE.md tells of the fields")]
pub enum PartEntry {
    /// An idler set out of square: one end nearer to the head, measured at its feet.
    IdlerSkewed { strand: Strand, station: Spanned<usize>, ahead: Side, by: Text },
    /// An idler stand out of the middle.
    IdlerOffCentre { strand: Strand, station: Spanned<usize>, toward: Side, by: Text },
    /// An idler set that stands high.
    IdlerHigh { strand: Strand, station: Spanned<usize>, by: Text },
    /// An idler set that leans across: one end low, measured at its feet.
    IdlerLeaning { strand: Strand, station: Spanned<usize>, low: Side, by: Text },
    /// Cake on a roll, thicker at one end by so much.
    RollCaked { strand: Strand, station: Spanned<usize>, thick: Side, by: Text },
    /// A roll that no longer turns.
    RollSeized { strand: Strand, station: Spanned<usize>, rolls: Rolls },
    /// A stretch of frame bowed to one side.
    FrameBent { from: Text, to: Text, toward: Side, by: Text },
    /// A stretch of frame racked: one beam pushed toward the head, measured at the feet.
    FrameRacked { from: Text, to: Text, ahead: Side, by: Text },
    /// A stretch of frame with one side low, measured at the feet.
    FrameLow { from: Text, to: Text, low: Side, by: Text },
    /// A pulley out of square: one bearing nearer to the head.
    PulleySkewed { pulley: End, ahead: Side, by: Text },
    /// A pulley out of level, measured at its bearings.
    PulleyLow { pulley: End, low: Side, by: Text },
    /// Cake or uneven lagging: the radius is larger at one end of the face.
    PulleyCaked { pulley: End, thick: Side, by: Text },
    /// A crown of which this share is worn away: 0 as new, 1 flat.
    CrownWorn { pulley: End, share: Spanned<f64> },
    /// A crooked splice: out of square by so much over the belt's width, the belt ahead of it pointing to a side.
    SpliceCrooked { at: Text, toward: Side, by: Text },
    /// A length of belt that bows to one side by so much in its middle.
    BeltBowed { from: Text, to: Text, toward: Side, by: Text },
    /// The load lies off the middle of the belt.
    LoadOff { toward: Side, by: Text },
    /// One take-up screw is further out than the other: that end of the pulley is further from the head.
    ScrewsUneven { out: Side, by: Text },
    /// The pull in the belt is so many times what the conveyor needs as it is drawn.
    Pull { times: Spanned<f64> },
    /// Wind, or anything that pushes evenly toward a side, newtons per metre.
    Wind { strand: Strand, from: Text, to: Text, toward: Side, newtons_per_metre: Spanned<f64> },
    /// Something that pushes at one station, newtons: a plough, a skirt, a cleaner.
    Push { strand: Strand, station: Spanned<usize>, toward: Side, newtons: Spanned<f64> },
}
