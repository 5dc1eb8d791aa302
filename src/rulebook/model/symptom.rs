//! Symptoms: questions with fixed answers.

use super::{Condition, Drawing, Meaning, ShiftSays, Sight, Source};
use crate::gauge::{Gauge, Tell};
use crate::rulebook::index::{AnswerAt, List, LookAt, Place};
use crate::rulebook::network::{is_ticked, sets_of_marks};
use crate::source::quoted;
use crate::trade::{LogbookSign, MachineState};

/// Something a person can observe: one question with fixed answers.
#[derive(Debug, Clone)]
pub struct Symptom {
    /// Its id in the files.
    pub id: String,
    /// The question.
    pub ask: String,
    /// The answers. A grade's go from least to most severe; a sign's are no, yes; marks have one for each set of
    /// them, from that of none.
    pub answers: List<AnswerAt, Answer>,
    /// Of marks: the answers in which one is ticked alone, in the order of the files. Empty of other kinds.
    pub marks: Vec<AnswerAt>,
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
    /// Further measurements that answer it, each in some of its words.
    pub also_measured: Vec<GaugeMeasure>,
    /// Answers after which it is shown what steering with a take-up screw costs.
    pub price_of_screw_after: Vec<AnswerAt>,
    /// Answers after which the finding asks first whether the conveyor may run at all.
    pub may_it_run_after: Vec<AnswerAt>,
    /// What of a drill's conveyor answers it; all that this can tell is meant by an answer.
    pub drilled_as: Option<Sight>,
    /// What the shift tells of it at the start of a drawn drill.
    pub shift_says: Option<ShiftSays>,
    /// What in a logbook speaks for an answer; it is offered as answered, and a person confirms it.
    pub in_logbook: Vec<(AnswerAt, LogbookSign)>,
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

/// Joins the ids of marks that are ticked together, in records.
pub const TOGETHER: &str = "+";
/// The id in records of an answer with no mark ticked.
pub const NOTHING_TICKED: &str = "none";

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

/// An answer as documents give it.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(untagged)]
pub enum AnswerIds<'b> {
    /// The id of the one answer.
    One(&'b str),
    /// The ids of the marks that are ticked.
    Ticked(Vec<&'b str>),
}

impl AnswerIds<'_> {
    /// As rule files write it: `"one"`, `["one", "other"]`.
    pub fn written(&self) -> String {
        match self {
            Self::One(id) => quoted(id),
            Self::Ticked(ids) => {
                format!("[{}]", ids.iter().map(|id| quoted(id)).collect::<Vec<_>>().join(", "))
            }
        }
    }
}

/// One answer to a symptom's question.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Its id in the files; of several marks their ids joined with [`TOGETHER`].
    pub id: String,
    /// What the person reads; may hold `{left}` and `{right}`.
    pub says: String,
    /// What it means to drawings and drills.
    pub means: Option<Meaning>,
}

impl Symptom {
    /// Whether several of its answers may be given at once.
    pub fn is_marks(&self) -> bool {
        !self.marks.is_empty()
    }

    /// The answers that the files name: of marks those of one mark alone.
    pub fn named(&self) -> impl Iterator<Item = (AnswerAt, &Answer)> {
        self.answers.iter().filter(|(at, _)| !self.is_marks() || self.marks.contains(at))
    }

    /// Those of `these` that the files name.
    pub fn named_of(&self, these: &[AnswerAt]) -> std::vec::IntoIter<&Answer> {
        let named = self.named().filter(|(at, _)| these.contains(at));
        named.map(|(_, answer)| answer).collect::<Vec<_>>().into_iter()
    }

    /// The answers that are listed one by one: those that the files name, of marks also that nothing is ticked.
    pub fn listed(&self) -> impl Iterator<Item = (AnswerAt, &Answer)> {
        self.answers
            .iter()
            .filter(|(at, _)| !self.is_marks() || at.position() == 0 || self.marks.contains(at))
    }

    /// Which marks an answer has ticked, in the order of the files.
    pub fn ticked(&self, answer: AnswerAt) -> impl Iterator<Item = &Answer> {
        let marks = self.marks.iter().enumerate();
        marks
            .filter(move |(mark, _)| is_ticked(answer.position(), *mark))
            .filter_map(|(_, alone)| self.answers.item(*alone))
    }

    /// The answer with these marks ticked and no other, by their place in [`Self::marks`].
    pub fn ticking(&self, ticked: impl Fn(usize) -> bool) -> AnswerAt {
        let marks = (0..self.marks.len()).filter(|mark| ticked(*mark));
        AnswerAt::at(marks.map(sets_of_marks).sum())
    }

    /// What an answer comes to by what the files name: of marks those ticked alone, or that nothing is.
    pub fn parts(&self, answer: AnswerAt) -> Vec<AnswerAt> {
        let marks = self.marks.iter().enumerate();
        let ticked = marks.filter(|(mark, _)| is_ticked(answer.position(), *mark));
        let ticked: Vec<AnswerAt> = ticked.map(|(_, alone)| *alone).collect();
        if ticked.is_empty() { vec![answer] } else { ticked }
    }

    /// An answer as documents give it: its id, of marks the list of those ticked.
    pub fn told(&self, answer: AnswerAt) -> AnswerIds<'_> {
        match self.is_marks() {
            true => AnswerIds::Ticked(self.ticked(answer).map(|mark| mark.id.as_str()).collect()),
            false => {
                AnswerIds::One(self.answers.item(answer).map_or("", |answer| answer.id.as_str()))
            }
        }
    }

    /// The answer of this id as records keep it.
    pub fn kept(&self, id: &str) -> Option<AnswerAt> {
        self.answers.iter().find(|(_, answer)| answer.id == id).map(|(at, _)| at)
    }

    /// The answer that means this.
    pub fn meant(&self, meaning: Meaning) -> Option<AnswerAt> {
        self.answers.iter().find(|(_, answer)| answer.means == Some(meaning)).map(|(at, _)| at)
    }
}
