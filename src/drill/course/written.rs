//! A course as written in `courses/*.ron`. [`super::read`] checks it.

use serde::Deserialize;

use super::goal::Matched;
use crate::rulebook::written::Source;
use crate::source::parse::{Spanned, Text};

/// One course.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "course")]
#[expect(missing_docs, reason = "the fields of the file; rules/REFERENCE.md tells of them")]
pub struct CourseEntry {
    pub id: Text,
    pub title: Text,
    pub about: Text,
    pub reach: Vec<Spanned<GoalEntry>>,
    pub steps: Vec<StepEntry>,
    pub source: Source,
}

/// One drill of a course.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "course step")]
#[expect(missing_docs, reason = "the fields of the file; rules/REFERENCE.md tells of them")]
pub struct StepEntry {
    pub drill: Text,
    #[serde(default)]
    pub reach: Vec<Spanned<GoalEntry>>,
    #[serde(default)]
    pub exam: bool,
}

/// What a run must have reached.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(rename = "goal")]
pub enum GoalEntry {
    /// The belt runs true in the end.
    RunsTrue,
    /// Everything hidden is put right.
    Cured,
    /// Each hidden cause was named, and nothing else.
    Named,
    /// No hand at a moving belt.
    Safe,
    /// At most so many times the expert's minutes.
    Times(Spanned<f64>),
    /// What was said with what certainty fits what was so, this well at least.
    Certain(Matched),
    /// Without asking straybelt.
    NoAdvice,
}
