//! What stands once for the whole book, as book.ron writes it.

use serde::Deserialize;

use super::Common;
use crate::rulebook::model::Stage;
use crate::source::parse::{Spanned, Text};

/// book.ron: what stands once for the whole book.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "book")]
pub struct BookFile {
    pub schema: Spanned<u32>,
    pub name: Text,
    pub version: Text,
    pub at_most: Spanned<usize>,
    #[serde(default)]
    pub something_else: Option<Spanned<f64>>,
    pub minutes: MinutesFile,
    pub reports: ReportsFile,
    pub thresholds: ThresholdsFile,
    #[serde(default)]
    pub walking: Option<WalkingFile>,
    #[serde(default)]
    pub told: Option<ToldFile>,
    pub likelihood: LikelihoodWords,
    pub how_common: CommonWords,
    pub stages: Vec<StageEntry>,
    #[serde(default)]
    pub roles: RolesFile,
    pub tell_specialist: Vec<Text>,
}

/// What the book reckons with, minutes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "minutes")]
pub struct MinutesFile {
    pub lock_out: Spanned<f64>,
    pub restart_and_watch: Spanned<f64>,
    #[serde(default)]
    pub watch_turns: Option<Spanned<f64>>,
    pub give_up: Spanned<f64>,
}

/// Where the plan and its words change.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "thresholds")]
pub struct ThresholdsFile {
    pub unlikely: Spanned<f64>,
    pub enough: Spanned<f64>,
    pub looking: Spanned<f64>,
    pub clear: Spanned<f64>,
    pub unclear_work: Spanned<f64>,
    pub supervisor_first: Spanned<f64>,
}

/// How far reports from the work are believed.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "reports")]
pub struct ReportsFile {
    pub as_suspected: TwoChances,
    pub was_fine: TwoChances,
    pub outcome_wrong: Spanned<f64>,
    pub same_again: Spanned<f64>,
}

/// The chance of a report if the cause was present, and if it was not.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "report")]
pub struct TwoChances {
    pub if_present: Spanned<f64>,
    pub if_not: Spanned<f64>,
}

/// The numbers behind the likelihood words.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "likelihood")]
pub struct LikelihoodWords {
    pub always: Spanned<f64>,
    pub usually: Spanned<f64>,
    pub often: Spanned<f64>,
    pub sometimes: Spanned<f64>,
    pub seldom: Spanned<f64>,
    pub never: Spanned<f64>,
}

/// The numbers behind the words of how common a cause is.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "how_common")]
pub struct CommonWords {
    #[serde(default)]
    pub leading: Option<Spanned<f64>>,
    pub everyday: Spanned<f64>,
    pub common: Spanned<f64>,
    pub occasional: Spanned<f64>,
    pub rare: Spanned<f64>,
    #[serde(default)]
    pub rarest: Option<Spanned<f64>>,
}

impl CommonWords {
    /// The prior of a cause that is so common. A book without a number for `Leading` or `Rarest` has one made of its
    /// neighbour's.
    pub fn of(&self, common: Common) -> f64 {
        match common {
            Common::Leading => self.leading.map_or(self.everyday.value * LEADING, |n| n.value),
            Common::Everyday => self.everyday.value,
            Common::Common => self.common.value,
            Common::Occasional => self.occasional.value,
            Common::Rare => self.rare.value,
            Common::Rarest => self.rarest.map_or(self.rare.value * RAREST, |n| n.value),
            Common::Chance(chance) => chance,
        }
    }
}

/// `Leading` is so many times `Everyday`, unless the book says.
const LEADING: f64 = 1.8;
/// `Rarest` is so many times `Rare`, unless the book says.
const RAREST: f64 = 0.5;

/// Where a stage stands in the usual order of work.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "stage")]
pub struct StageEntry {
    pub stage: Spanned<Stage>,
    #[serde(default)]
    pub after: Vec<Spanned<Stage>>,
    #[serde(default)]
    pub needs: Vec<Spanned<Stage>>,
}

/// Symptoms with a part of their own in steps and drawings.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default, rename = "roles")]
pub struct RolesFile {
    pub belt_side: Option<Text>,
    pub strand: Option<Text>,
    pub place: Option<Text>,
    pub first_split: Option<Text>,
    pub slack_side: Option<Text>,
    pub low_frame_side: Option<Text>,
    pub low_pulley_side: Option<Text>,
    pub low_idler_side: Option<Text>,
    pub leading_end: Option<Text>,
    pub short_pulley_side: Option<Text>,
    pub leading_snub_end: Option<Text>,
    pub heavy_side: Option<Text>,
    pub wind_side: Option<Text>,
}

impl RolesFile {
    /// The role of a symptom, if it has one.
    pub fn of(&self, symptom: &str) -> Option<&'static str> {
        let all = [
            (&self.belt_side, "belt_side"),
            (&self.strand, "strand"),
            (&self.place, "place"),
            (&self.first_split, "first_split"),
            (&self.slack_side, "slack_side"),
            (&self.low_frame_side, "low_frame_side"),
            (&self.low_pulley_side, "low_pulley_side"),
            (&self.low_idler_side, "low_idler_side"),
            (&self.leading_end, "leading_end"),
            (&self.short_pulley_side, "short_pulley_side"),
            (&self.leading_snub_end, "leading_snub_end"),
            (&self.heavy_side, "heavy_side"),
            (&self.wind_side, "wind_side"),
        ];
        let is = |id: &&(&Option<Text>, &'static str)| {
            id.0.as_ref().is_some_and(|id| id.text == symptom)
        };
        all.iter().find(is).map(|(_, role)| *role)
    }
}

/// Ways on foot, and the sizes of a conveyor of which nothing is known.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields, rename = "walking")]
pub struct WalkingFile {
    pub centres_m: Spanned<f64>,
    pub speed_m_s: Spanned<f64>,
    pub metres_a_minute: Spanned<f64>,
    pub to_turn_to: Spanned<f64>,
    #[serde(default)]
    pub carry_pitch_m: Option<Spanned<f64>>,
    #[serde(default)]
    pub return_pitch_m: Option<Spanned<f64>>,
    #[serde(default)]
    pub pulleys_bulk: Option<Spanned<f64>>,
    #[serde(default)]
    pub pulleys_flat: Option<Spanned<f64>>,
    #[serde(default)]
    pub pulleys_package: Option<Spanned<f64>>,
}

/// How likely somebody can tell a symptom, by how it is told.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields, rename = "told")]
pub struct ToldFile {
    pub weight: Spanned<f64>,
    pub history: Spanned<f64>,
    pub seen: Spanned<f64>,
    pub felt: Spanned<f64>,
    pub measured: Spanned<f64>,
}
