//! The rule book as written in the files: every id is still a text with its place. `check` turns it
//! into the model. Field names and words here are the file format; rules/REFERENCE.md tells of it.

use serde::{Deserialize, Deserializer};

use super::model::{
    Drawing, DrillFault, End, Grade, Hazard, Held, Meaning, RoomMeans, Sight, Stage, Standing,
    StopMeans, Toward,
};
use crate::source::parse::{Spanned, Text, either};
use crate::trade::Basis;
use crate::trade::MachineState;

/// book.ron: what stands once for the whole book.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "book")]
pub struct BookFile {
    pub schema: Spanned<u32>,
    pub name: Text,
    pub version: Text,
    pub at_most: Spanned<usize>,
    pub minutes: MinutesFile,
    pub reports: ReportsFile,
    pub thresholds: ThresholdsFile,
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
    pub everyday: Spanned<f64>,
    pub common: Spanned<f64>,
    pub occasional: Spanned<f64>,
    pub rare: Spanned<f64>,
}

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
    pub tools: Vec<Text>,
    #[serde(default)]
    pub opening: Option<Spanned<u32>>,
    #[serde(default)]
    pub group: Option<Text>,
    #[serde(default)]
    pub measured_by: Option<MeasuredBy>,
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
    pub only_if: Vec<Spanned<Condition>>,
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
}

/// What the shift tells at the start of a drawn drill: the place among what is told, and the words by answer.
#[derive(Debug, Clone, Deserialize)]
pub struct ShiftSays(pub u32, pub Vec<(Text, Text)>);

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
        either(deserializer, Likely::Row, Likely::Word)
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
    Everyday,
    Common,
    Occasional,
    Rare,
    Chance(f64),
}

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

/// How a measurement answers a symptom: the gauge, what it tells, and which answer each of its words gives.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "measured_by")]
pub enum MeasuredBy {
    Gauge(Text, Text, Vec<(Text, Text)>),
}

/// Where something comes from.
pub type Source = Basis<Text, Text>;

/// A cause.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "cause")]
pub struct Cause {
    pub id: Text,
    #[serde(default)]
    pub code: Option<Text>,
    pub name: Text,
    pub how_common: Spanned<Common>,
    pub happens_because: Text,
    #[serde(default)]
    pub shows_at: Option<Text>,
    #[serde(default)]
    pub signs: Vec<Spanned<Sign>>,
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
            | Self::SameSideAs(id, ..)
            | Self::OppositeSideTo(id, ..) => id,
        }
    }
}

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

/// A caution.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "caution")]
pub struct Caution {
    pub id: Text,
    #[serde(default)]
    pub hazard: Option<Hazard>,
    #[serde(default)]
    pub standing: Option<Spanned<Standing>>,
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
}

/// A question before everything else.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "question")]
pub struct StopQuestion {
    pub id: Text,
    pub ask: Text,
    pub answers: Vec<StopAnswer>,
    pub look: Text,
    pub do_now: Vec<Text>,
    pub tell: Text,
    #[serde(default)]
    pub cautions: Vec<Text>,
    pub source: Source,
}

/// An answer to a question before everything else.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "stop answer")]
pub struct StopAnswer {
    pub id: Text,
    pub says: Text,
    pub means: StopMeans,
}

/// How far off against the edge room.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "edge room")]
pub struct EdgeRoom {
    pub id: Text,
    pub ask: Text,
    pub answers: Vec<RoomAnswer>,
    pub look: Text,
    pub why: Text,
    pub source: Source,
    #[serde(default)]
    pub leave_it: Vec<Text>,
    #[serde(default)]
    pub urgent: Vec<Text>,
}

/// An answer about the edge room.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename = "answer")]
pub struct RoomAnswer {
    pub id: Text,
    pub says: Text,
    pub means: RoomMeans,
}
