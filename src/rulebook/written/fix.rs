//! Fixes with their checks and steps, as the files write them.

use serde::Deserialize;

use super::{Condition, Favoured, Source};
use crate::rulebook::model::{End, Stage, Toward};
use crate::source::parse::{Spanned, Text};
use crate::trade::MachineState;

/// A fix.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "fix")]
pub struct Fix {
    pub id: Text,
    pub title: Text,
    pub stage: Spanned<Stage>,
    pub cures: Vec<Favoured>,
    #[serde(default)]
    pub begins_with: Vec<FixCheck>,
    #[serde(default)]
    pub no_check: Option<Text>,
    #[serde(default)]
    pub work: Option<Text>,
    pub state: Spanned<MachineState>,
    pub minutes: Spanned<f64>,
    #[serde(default)]
    pub turns: Option<Spanned<f64>>,
    #[serde(default)]
    pub per_carry_set: Option<Spanned<f64>>,
    #[serde(default)]
    pub per_return_set: Option<Spanned<f64>>,
    #[serde(default)]
    pub per_pulley: Option<Spanned<f64>>,
    #[serde(default)]
    pub people: Option<Spanned<u32>>,
    #[serde(default)]
    pub tools: Vec<Text>,
    #[serde(default)]
    pub parts: Vec<Text>,
    #[serde(default)]
    pub after: Vec<Order>,
    #[serde(default)]
    pub needs: Vec<Order>,
    #[serde(default)]
    pub only_if: Vec<Spanned<Condition>>,
    pub steps: Vec<Spanned<Step>>,
    #[serde(default)]
    pub done_when: Option<(Text, Source)>,
    #[serde(default)]
    pub never: Vec<Text>,
    #[serde(default)]
    pub worked: Option<Text>,
    #[serde(default)]
    pub amounts_from: Vec<Text>,
    #[serde(default = "yes")]
    pub lasting: bool,
    #[serde(default)]
    pub if_worse: Option<IfWorse>,
    #[serde(default)]
    pub cautions: Vec<Text>,
    pub source: Source,
}

/// What stands unless something else is said.
fn yes() -> bool {
    true
}

/// What is done with a fix's work when the belt ran worse after it.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "if_worse")]
pub enum IfWorse {
    /// It is undone, so.
    Undo(Text),
    /// It stays, and this is looked at.
    Stays(Text),
}

/// What a fix begins with: a look that tells whether the work is needed.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "check")]
pub struct FixCheck {
    #[serde(default)]
    pub symptom: Option<Text>,
    #[serde(default)]
    pub words: Option<Text>,
    #[serde(default)]
    pub state: Option<Spanned<MachineState>>,
    #[serde(default)]
    pub needs: Option<Text>,
    #[serde(default)]
    pub stop_if: Option<Text>,
    #[serde(default)]
    pub minutes: Option<Spanned<f64>>,
    #[serde(default)]
    pub turns: Option<Spanned<f64>>,
    #[serde(default)]
    pub per_carry_set: Option<Spanned<f64>>,
    #[serde(default)]
    pub per_return_set: Option<Spanned<f64>>,
    #[serde(default)]
    pub per_pulley: Option<Spanned<f64>>,
    #[serde(default)]
    pub go_on: Vec<Text>,
    #[serde(default)]
    pub stop_on: Vec<Text>,
}

impl FixCheck {
    /// The first of its texts: where a problem of the whole check is shown.
    pub fn text(&self) -> Option<&Text> {
        (self.symptom.as_ref())
            .or(self.words.as_ref())
            .or(self.needs.as_ref())
            .or(self.stop_if.as_ref())
    }
}

/// What comes before a fix.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "order")]
pub enum Order {
    /// One other fix.
    Fix(Text),
    /// Every fix of a stage.
    Every(Spanned<Stage>),
}

/// A step of a fix.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "step")]
pub enum Step {
    Do(Text),
    Mark(Text),
    MoveEnd { of: Text, end: End, toward: Toward, by: Text },
    Move { what: Text, how: Text },
    Raise { what: Text, end: End, by: Text },
    Tension(Text),
    Jog(Text),
    Restart(Text),
    Watch(Text),
    Wait(Text),
    Load(Text),
    Ask(Text),
}

impl Step {
    /// What kind of step it is, in the word of the files.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Do(_) => "Do",
            Self::Mark(_) => "Mark",
            Self::MoveEnd { .. } => "MoveEnd",
            Self::Move { .. } => "Move",
            Self::Raise { .. } => "Raise",
            Self::Tension(_) => "Tension",
            Self::Jog(_) => "Jog",
            Self::Restart(_) => "Restart",
            Self::Watch(_) => "Watch",
            Self::Wait(_) => "Wait",
            Self::Load(_) => "Load",
            Self::Ask(_) => "Ask",
        }
    }
}

/// What minutes hang on besides, as written.
#[derive(Debug, Clone, Copy)]
pub struct Besides {
    pub turns: Option<Spanned<f64>>,
    pub per_carry_set: Option<Spanned<f64>>,
    pub per_return_set: Option<Spanned<f64>>,
    pub per_pulley: Option<Spanned<f64>>,
}

impl Besides {
    /// Whether they hang on anything.
    pub fn is_any(self) -> bool {
        let Self { turns, per_carry_set, per_return_set, per_pulley } = self;
        [turns, per_carry_set, per_return_set, per_pulley].iter().any(Option::is_some)
    }
}

impl Fix {
    /// What its minutes hang on besides.
    pub fn besides(&self) -> Besides {
        let Self { turns, per_carry_set, per_return_set, per_pulley, .. } = *self;
        Besides { turns, per_carry_set, per_return_set, per_pulley }
    }
}

impl FixCheck {
    /// What its minutes hang on besides.
    pub fn besides(&self) -> Besides {
        let Self { turns, per_carry_set, per_return_set, per_pulley, .. } = *self;
        Besides { turns, per_carry_set, per_return_set, per_pulley }
    }
}
