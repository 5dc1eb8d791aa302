//! The rule book as written in the files: every id is still a text with its place. `check` turns it
//! into the model. Field names and words here are the file format; rules/REFERENCE.md tells of it.

mod before_all;
mod book;
mod fix;
mod gauges;
mod symptom;

use serde::{Deserialize, Deserializer};

use super::model::{DrillFault, Grade, Hazard, Held, Standing};
use crate::source::parse::{Spanned, Text, either};
use crate::trade::Basis;

pub use before_all::{EdgeRoom, RoomAnswer, StopAnswer, StopQuestion};
pub use book::{
    BookFile, CommonWords, LikelihoodWords, MinutesFile, ReportsFile, RolesFile, StageEntry,
    ThresholdsFile, ToldFile, TwoChances, WalkingFile,
};
pub use fix::{Besides, Fix, FixCheck, IfWorse, Order, Step};
pub use gauges::{ErrorEntry, GaugeFile, LIMIT, LimitEntry, READING_ERROR, SizeKind};
pub use symptom::{Look, MeasuredBy, ShiftSays, Symptom, SymptomKind};

/// A link from the symptom's side: a cause, and how likely what is then.
#[derive(Debug, Clone, Deserialize)]
pub struct SeenWith(pub Text, pub Spanned<Likely>);

/// A single likelihood, or a row of answers with theirs.
#[derive(Debug, Clone)]
pub enum Likely {
    /// `Often`: of a yes.
    Word(Likelihood),
    /// `[("some", Often)]`: the favoured answers.
    Row(Vec<Favoured>),
}

impl<'de> Deserialize<'de> for Likely {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        either(deserializer, Likely::Row, |word: Spanned<Likelihood>| Likely::Word(word.value))
    }
}

/// An answer with its likelihood.
#[derive(Debug, Clone, Deserialize)]
pub struct Favoured(pub Text, pub Spanned<Likelihood>);

/// A likelihood by word, or by number.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(rename = "likelihood")]
pub enum Likelihood {
    Always,
    Usually,
    Often,
    Sometimes,
    Seldom,
    Never,
    Chance(f64),
}

/// How common a cause is, by word or by number.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(rename = "how_common")]
pub enum Common {
    Leading,
    Everyday,
    Common,
    Occasional,
    Rare,
    Rarest,
    Chance(f64),
}

/// How common a cause is on conveyors of which all of these hold, in place of how common it is elsewhere.
#[derive(Debug, Clone, Deserialize)]
pub struct On(pub Vec<Spanned<Condition>>, pub Spanned<Common>);

/// A condition.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "condition")]
pub enum Condition {
    Conveyor(Text, Vec<Text>),
    Answer(Text, Vec<Text>),
    Not(Box<Condition>),
}

impl Condition {
    /// The symptom that it is about.
    pub fn asks(&self) -> Option<&Text> {
        match self {
            Self::Answer(symptom, _) => Some(symptom),
            Self::Not(inner) => inner.asks(),
            Self::Conveyor(..) => None,
        }
    }
}

/// Where something comes from.
pub type Source = Basis<Text, Text>;

/// A cause.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "cause")]
pub struct Cause {
    pub id: Text,
    pub name: Text,
    pub how_common: Spanned<Common>,
    #[serde(default)]
    pub on: Vec<On>,
    pub happens_because: Text,
    #[serde(default)]
    pub shows_at: Option<Text>,
    #[serde(default)]
    pub signs: Vec<Spanned<Sign>>,
    #[serde(default)]
    pub brought_on_by: Vec<BroughtOn>,
    #[serde(default)]
    pub mistaken_for: Vec<Text>,
    #[serde(default)]
    pub only_if: Vec<Spanned<Condition>>,
    #[serde(default)]
    pub specialist: Option<Text>,
    #[serde(default)]
    pub drilled_as: Option<DrillFault>,
    #[serde(default)]
    pub not_drilled: Option<Text>,
    pub source: Source,
}

/// What commonly brings a cause on, what to look for, and the one job that ends it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "brought on")]
pub struct BroughtOn {
    pub words: Text,
    pub look_for: Text,
    pub job: Text,
    #[serde(default)]
    pub cause: Option<Text>,
    pub source: Source,
}

/// What a cause shows.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "sign")]
pub enum Sign {
    /// A sign: chance of yes.
    Sees(Text, Spanned<Likelihood>),
    /// A pattern: favoured answers.
    Shows(Text, Vec<Favoured>),
    /// A grade: favoured answers.
    Reaches(Text, Vec<Favoured>),
    /// Marks: which of the answers it brings, each by itself.
    Marks(Text, Vec<Favoured>),
    /// A pattern whose answer follows the parent's side.
    SameSideAs(Text, Text, Spanned<Likelihood>),
    /// A pattern whose answer is the other side.
    OppositeSideTo(Text, Text, Spanned<Likelihood>),
}

impl Sign {
    /// The symptom it speaks of.
    pub fn symptom(&self) -> &Text {
        match self {
            Self::Sees(id, _)
            | Self::Shows(id, _)
            | Self::Reaches(id, _)
            | Self::Marks(id, _)
            | Self::SameSideAs(id, ..)
            | Self::OppositeSideTo(id, ..) => id,
        }
    }
}

/// A caution.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "caution")]
pub struct Caution {
    pub id: Text,
    #[serde(default)]
    pub hazard: Option<Hazard>,
    #[serde(default)]
    pub standing: Option<Spanned<Standing>>,
    #[serde(default)]
    pub only_if: Vec<Spanned<Condition>>,
    pub text: Text,
    pub rule: Text,
    pub source: Source,
}

/// A published source.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "source")]
pub struct SourceEntry {
    pub id: Text,
    pub short: Text,
    pub cite: Text,
    pub grade: Grade,
}

/// A term of the trade.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "term")]
pub struct Term {
    pub term: Text,
    pub means: Text,
}

/// A tool: its one name, and the words by which a step may speak of it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "tool")]
pub struct Tool {
    pub name: Text,
    #[serde(default)]
    pub words: Vec<Text>,
    #[serde(default)]
    pub held: Option<Spanned<Held>>,
    #[serde(default)]
    pub without: Option<Text>,
}
