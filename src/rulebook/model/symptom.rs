//! Symptoms: questions with fixed answers.

use super::{Condition, Drawing, Meaning, ShiftSays, Sight, Source};
use crate::gauge::{Gauge, Tell};
use crate::rulebook::index::{AnswerAt, List, LookAt};
use crate::trade::MachineState;

/// Something a person can observe: one question with fixed answers.
#[derive(Debug, Clone)]
pub struct Symptom {
    /// Its id in the files.
    pub id: String,
    /// The question.
    pub ask: String,
    /// The answers. A grade's go from least to most severe; a sign's are no, yes.
    pub answers: List<AnswerAt, Answer>,
    /// How to look, and from where it is safe.
    pub how_to_look: String,
    /// The look that shows it.
    pub look: LookAt,
    /// How somebody comes to know it.
    pub told_by: ToldBy,
    /// Of a sign: what is ticked when it is there. Nothing of other kinds.
    pub tick: String,
    /// Why it matters.
    pub why: String,
    /// A drawing that helps to answer.
    pub drawing: Option<Drawing>,
    /// Minutes that answering takes.
    pub minutes: f64,
    /// What state the machine must be in.
    pub state: MachineState,
    /// What is needed for it.
    pub tools: Vec<String>,
    /// Whether it is one of the opening questions.
    pub opening: bool,
    /// Its evidence group, a place in [`Book::groups`].
    pub group: Option<usize>,
    /// The measurement that answers it.
    pub measured: Option<GaugeMeasure>,
    /// Answers after which it is shown what steering with a take-up screw costs.
    pub price_of_screw_after: Vec<AnswerAt>,
    /// Answers after which the finding asks first whether the conveyor may run at all.
    pub may_it_run_after: Vec<AnswerAt>,
    /// What of a drill's conveyor answers it; all that this can tell is meant by an answer.
    pub drilled_as: Option<Sight>,
    /// What the shift tells of it at the start of a drawn drill.
    pub shift_says: Option<ShiftSays>,
    /// All must hold.
    pub only_if: Vec<Condition>,
    /// Answers that follow from one to another question. What follows is not asked and is no evidence of its own.
    pub follows: Vec<Follows>,
    /// Where this comes from.
    pub source: Source,
}

/// An answer that follows from one to another question, such as the strand from a place that lies on one strand only.
#[derive(Debug, Clone)]
pub struct Follows {
    /// From what it follows: an answer to a question that waits for nothing.
    pub from: Condition,
    /// What is so then.
    pub is: AnswerAt,
}

/// How somebody comes to know a symptom.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename = "told by")]
pub enum ToldBy {
    /// From memory or papers.
    History,
    /// By eye or ear.
    Seen,
    /// By hand, on the isolated machine.
    Felt,
    /// With an instrument or a tape.
    Measured,
}

impl ToldBy {
    /// Its word in documents.
    pub fn word(self) -> &'static str {
        match self {
            Self::History => "history",
            Self::Seen => "seen",
            Self::Felt => "felt",
            Self::Measured => "measured",
        }
    }
}

/// A measurement that answers a symptom.
#[derive(Debug, Clone)]
pub struct GaugeMeasure {
    /// The gauge.
    pub gauge: &'static Gauge,
    /// What of it answers.
    pub tell: &'static Tell,
    /// Which answer each of its words gives; a word that is not here gives none.
    pub means: Vec<(&'static str, AnswerAt)>,
}

/// One answer to a symptom's question.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Its id in the files.
    pub id: String,
    /// What the person reads; may hold `{left}` and `{right}`.
    pub says: String,
    /// What it means to drawings and drills.
    pub means: Option<Meaning>,
}

impl Symptom {
    /// The answer that means this.
    pub fn meant(&self, meaning: Meaning) -> Option<AnswerAt> {
        self.answers.iter().find(|(_, answer)| answer.means == Some(meaning)).map(|(at, _)| at)
    }
}
