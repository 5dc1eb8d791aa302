//! Symptoms, and the looks that show them, as the files write them.

use serde::Deserialize;

use super::{Condition, Likely, SeenWith, Source};
use crate::rulebook::model::{Drawing, Meaning, Sight, ToldBy};
use crate::source::parse::{Spanned, Text};
use crate::trade::{LookPlace, MachineState};

/// A symptom.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "symptom")]
pub struct Symptom {
    pub id: Text,
    pub kind: Spanned<SymptomKind>,
    pub ask: Text,
    pub answers: Vec<(Text, Text)>,
    pub look: Text,
    pub why: Text,
    #[serde(default)]
    pub drawing: Option<Drawing>,
    pub minutes: Spanned<f64>,
    pub state: MachineState,
    #[serde(default)]
    pub told_by: Option<ToldBy>,
    #[serde(default)]
    pub tick: Option<Text>,
    #[serde(default)]
    pub none: Option<Text>,
    #[serde(default)]
    pub tools: Vec<Text>,
    #[serde(default)]
    pub opening: Option<Spanned<u32>>,
    #[serde(default)]
    pub group: Option<Text>,
    #[serde(default)]
    pub measured_by: Option<MeasuredBy>,
    #[serde(default)]
    pub also_measured_by: Vec<MeasuredBy>,
    #[serde(default)]
    pub price_of_screw_after: Vec<Text>,
    #[serde(default)]
    pub may_it_run_after: Vec<Text>,
    #[serde(default)]
    pub means: Vec<(Text, Spanned<Meaning>)>,
    #[serde(default)]
    pub drilled_as: Option<Spanned<Sight>>,
    #[serde(default)]
    pub shift_says: Option<ShiftSays>,
    #[serde(default)]
    pub in_logbook: Vec<(Text, Text)>,
    #[serde(default)]
    pub only_if: Vec<Spanned<Condition>>,
    #[serde(default)]
    pub follows: Vec<(Spanned<Condition>, Text)>,
    #[serde(rename = "by_itself")]
    pub leak: Spanned<Likely>,
    #[serde(default)]
    pub seen_with: Vec<SeenWith>,
    pub source: Source,
}

/// How a symptom depends on the causes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum SymptomKind {
    /// No or yes.
    Sign,
    /// Several answers without an order.
    Pattern,
    /// Answers from least to most severe.
    Grade,
    /// Several answers at once, or none of them.
    Marks,
}

/// What the shift tells at the start of a drawn drill: the place among what is told, and the words by answer.
#[derive(Debug, Clone, Deserialize)]
pub struct ShiftSays(pub u32, pub Vec<(Text, Text)>);

/// How a measurement answers a symptom: the gauge, what it tells, and which answer each of its words gives.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "measured_by")]
pub enum MeasuredBy {
    Gauge(Text, Text, Vec<(Text, Text)>),
}

/// A look: what one person takes in standing at one place in one state of the machine.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "look")]
pub struct Look {
    pub id: Text,
    pub title: Text,
    pub place: LookPlace,
    pub state: Spanned<MachineState>,
    pub stand: Text,
    pub minutes: Spanned<f64>,
    #[serde(default)]
    pub turns: Option<Spanned<f64>>,
    #[serde(default)]
    pub per_50_m: Option<Spanned<f64>>,
    #[serde(default)]
    pub early_if: Vec<Spanned<Condition>>,
    pub symptoms: Vec<Text>,
    #[serde(default)]
    pub tools: Vec<Text>,
    #[serde(default)]
    pub cautions: Vec<Text>,
    pub source: Source,
}
