//! site.ron as written: what a site changes in entries of the book below. The grammar by example
//! stands in [`super::overlay`].

use serde::Deserialize;

use super::model::Stage;
use super::written::{
    BroughtOn, Common, Condition, Favoured, FixCheck, IfWorse, Likely, On, Order, SeenWith, Sign,
    Source, Step,
};
use crate::source::parse::{Spanned, Text};
use crate::trade::{LookPlace, MachineState};

/// site.ron.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default, rename = "site")]
pub struct SiteFile {
    pub name: Option<Text>,
    pub version: Option<Text>,
    pub at_most: Option<Spanned<usize>>,
    pub something_else: Option<Spanned<f64>>,
    pub rescale: Option<Spanned<f64>>,
    pub over: Option<Text>,
    pub minutes: SiteMinutes,
    pub reports: SiteReports,
    pub tell_specialist: Vec<Text>,
    pub change: Vec<Spanned<Change>>,
    pub switch_off: Vec<Which>,
}

/// The minutes that differ at this site.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default, rename = "site minutes")]
pub struct SiteMinutes {
    pub lock_out: Option<Spanned<f64>>,
    pub restart_and_watch: Option<Spanned<f64>>,
    pub watch_turns: Option<Spanned<f64>>,
    pub give_up: Option<Spanned<f64>>,
}

/// How far reports are believed at this site.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default, rename = "site reports")]
pub struct SiteReports {
    pub same_again: Option<Spanned<f64>>,
}

/// An entry that is switched off.
#[derive(Debug, Deserialize)]
#[serde(rename = "entry")]
pub enum Which {
    Cause(Text),
    Symptom(Text),
    Look(Text),
    Fix(Text),
    Caution(Text),
}

/// What is changed in one entry: single values are put in place of the old ones, lists are added to.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "change")]
#[expect(
    clippy::large_enum_variant,
    reason = "a site changes a handful of entries, each read once"
)]
pub enum Change {
    Cause {
        id: Text,
        #[serde(default)]
        was: Option<Text>,
        #[serde(default)]
        name: Option<Text>,
        #[serde(default)]
        how_common: Option<Spanned<Common>>,
        #[serde(default)]
        on: Vec<On>,
        #[serde(default)]
        happens_because: Option<Text>,
        #[serde(default)]
        shows_at: Option<Text>,
        #[serde(default)]
        specialist: Option<Text>,
        #[serde(default)]
        signs: Vec<Spanned<Sign>>,
        #[serde(default)]
        brought_on_by: Vec<BroughtOn>,
        #[serde(default)]
        mistaken_for: Vec<Text>,
        #[serde(default)]
        only_if: Option<Vec<Spanned<Condition>>>,
        #[serde(default)]
        drop_signs: Vec<Text>,
        #[serde(default)]
        drop_mistaken_for: Vec<Text>,
    },
    Symptom {
        id: Text,
        #[serde(default)]
        was: Option<Text>,
        #[serde(default)]
        ask: Option<Text>,
        #[serde(default)]
        look: Option<Text>,
        #[serde(default)]
        why: Option<Text>,
        #[serde(default)]
        minutes: Option<Spanned<f64>>,
        #[serde(default, rename = "by_itself")]
        leak: Option<Spanned<Likely>>,
        #[serde(default)]
        says: Vec<(Text, Text)>,
        #[serde(default)]
        tools: Vec<Text>,
        #[serde(default)]
        seen_with: Vec<SeenWith>,
        #[serde(default)]
        state: Option<Spanned<MachineState>>,
        #[serde(default)]
        only_if: Option<Vec<Spanned<Condition>>>,
        #[serde(default)]
        drop_tools: Vec<Text>,
        #[serde(default)]
        drop_seen_with: Vec<Text>,
    },
    Look {
        id: Text,
        #[serde(default)]
        was: Option<Text>,
        #[serde(default)]
        title: Option<Text>,
        #[serde(default)]
        stand: Option<Text>,
        #[serde(default)]
        minutes: Option<Spanned<f64>>,
        #[serde(default)]
        turns: Option<Spanned<f64>>,
        #[serde(default)]
        per_50_m: Option<Spanned<f64>>,
        #[serde(default)]
        symptoms: Vec<Text>,
        #[serde(default)]
        tools: Vec<Text>,
        #[serde(default)]
        cautions: Vec<Text>,
        #[serde(default)]
        place: Option<LookPlace>,
        #[serde(default)]
        state: Option<Spanned<MachineState>>,
        #[serde(default)]
        early_if: Option<Vec<Spanned<Condition>>>,
        #[serde(default)]
        drop_symptoms: Vec<Text>,
        #[serde(default)]
        drop_tools: Vec<Text>,
        #[serde(default)]
        drop_cautions: Vec<Text>,
    },
    Fix {
        id: Text,
        #[serde(default)]
        was: Option<Text>,
        #[serde(default)]
        title: Option<Text>,
        #[serde(default)]
        stage: Option<Spanned<Stage>>,
        #[serde(default)]
        state: Option<Spanned<MachineState>>,
        #[serde(default)]
        work: Option<Text>,
        #[serde(default)]
        no_check: Option<Text>,
        #[serde(default)]
        if_worse: Option<IfWorse>,
        #[serde(default)]
        minutes: Option<Spanned<f64>>,
        #[serde(default)]
        turns: Option<Spanned<f64>>,
        #[serde(default)]
        per_carry_set: Option<Spanned<f64>>,
        #[serde(default)]
        per_return_set: Option<Spanned<f64>>,
        #[serde(default)]
        per_pulley: Option<Spanned<f64>>,
        #[serde(default)]
        people: Option<Spanned<u32>>,
        #[serde(default)]
        done_when: Option<(Text, Source)>,
        #[serde(default)]
        worked: Option<Text>,
        #[serde(default)]
        cures: Vec<Favoured>,
        #[serde(default)]
        tools: Vec<Text>,
        #[serde(default)]
        steps: Vec<Spanned<Step>>,
        #[serde(default)]
        begins_with: Vec<FixCheck>,
        #[serde(default)]
        parts: Vec<Text>,
        #[serde(default)]
        never: Vec<Text>,
        #[serde(default)]
        cautions: Vec<Text>,
        #[serde(default)]
        only_if: Option<Vec<Spanned<Condition>>>,
        #[serde(default)]
        after: Option<Vec<Order>>,
        #[serde(default)]
        needs: Option<Vec<Order>>,
        #[serde(default)]
        also_after: Vec<Order>,
        #[serde(default)]
        also_needs: Vec<Order>,
        #[serde(default)]
        drop_after: Vec<Order>,
        #[serde(default)]
        drop_needs: Vec<Order>,
        #[serde(default)]
        replace_checks: Vec<(Spanned<u32>, FixCheck)>,
        #[serde(default)]
        drop_checks: Vec<Spanned<u32>>,
        #[serde(default)]
        replace_never: Vec<(Spanned<u32>, Text)>,
        #[serde(default)]
        drop_never: Vec<Spanned<u32>>,
        #[serde(default)]
        replace_steps: Vec<(Spanned<u32>, Spanned<Step>)>,
        #[serde(default)]
        drop_steps: Vec<Spanned<u32>>,
        #[serde(default)]
        drop_tools: Vec<Text>,
        #[serde(default)]
        drop_parts: Vec<Text>,
        #[serde(default)]
        drop_cautions: Vec<Text>,
    },
    Caution {
        id: Text,
        #[serde(default)]
        was: Option<Text>,
        #[serde(default)]
        text: Option<Text>,
        #[serde(default)]
        rule: Option<Text>,
        #[serde(default)]
        only_if: Option<Vec<Spanned<Condition>>>,
    },
}

impl Change {
    /// What is changed: the kind of entry, and its id.
    pub fn names(&self) -> (&'static str, &Text) {
        match self {
            Self::Cause { id, .. } => ("cause", id),
            Self::Symptom { id, .. } => ("symptom", id),
            Self::Look { id, .. } => ("look", id),
            Self::Fix { id, .. } => ("fix", id),
            Self::Caution { id, .. } => ("caution", id),
        }
    }
}
