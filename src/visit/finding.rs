//! One finding: everything that follows from what was answered, found and done.

use super::something_else::{SaidCured, SomethingElse};
use crate::plan::Plan;
use crate::reason::{Evidence, Outcome};
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use crate::rulebook::model::{Book, Condition, FixCheck, Shown, Verdict};

/// What a person has observed and told so far: the input of a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Observations {
    /// Reply to each symptom's question.
    pub replies: List<SymptomAt, Reply>,
    /// What was found about causes.
    pub found: Vec<(CauseAt, FoundReport)>,
    /// Fixes done, batch by batch.
    pub done: Vec<Vec<FixAt>>,
    /// How the belt ran after each batch; may be shorter than `done`.
    pub outcomes: Vec<Outcome>,
    /// Fixes that could not be done; not offered again.
    pub could_not: Vec<FixAt>,
    /// Fixes that are put off: not today.
    pub put_off: Vec<FixAt>,
    /// Fixes whose checks called for nothing since the machine was last started.
    pub found_sound: Vec<FixAt>,
    /// What checks that no symptom covers have shown since then: of which fix, by their place.
    pub checked: Vec<(FixAt, usize, Shown)>,
    /// Something else that was found, in the person's own words.
    pub something_else: Vec<SomethingElse>,
    /// What cured it, where the person was asked.
    pub said_cured: Option<SaidCured>,
    /// The state the machine is in now.
    pub machine: Machine,
}

impl Observations {
    /// Nothing observed yet.
    pub fn none(book: &Book) -> Self {
        Self {
            replies: List::filled(Reply::Unanswered, book.symptoms.len()),
            found: Vec::new(),
            done: Vec::new(),
            outcomes: Vec::new(),
            could_not: Vec::new(),
            put_off: Vec::new(),
            found_sound: Vec::new(),
            checked: Vec::new(),
            something_else: Vec::new(),
            said_cured: None,
            machine: Machine::Running,
        }
    }

    /// What a check of a fix has shown.
    pub fn shown(&self, fix: FixAt, place: usize, check: &FixCheck) -> Shown {
        match check.symptom() {
            Some(symptom) => match self.replies[symptom] {
                Reply::Answer(answer) => check.shown_by(answer),
                Reply::CantTell => Shown::CantTell,
                Reply::Unanswered => Shown::NotYet,
            },
            None => (self.checked.iter())
                .find(|(of, at, _)| (*of, *at) == (fix, place))
                .map_or(Shown::NotYet, |(.., shown)| *shown),
        }
    }

    /// What the checks of a fix say so far.
    pub fn verdict(&self, book: &Book, fix: FixAt) -> Verdict {
        book.fixes[fix].verdict(|place, check| self.shown(fix, place, check))
    }

    /// The causes that the answered checks of a fix speak of: nobody reports on them besides.
    pub fn spoken_for(&self, book: &Book, fix: FixAt) -> Vec<CauseAt> {
        (book.fixes[fix].begins_with.iter().filter_map(FixCheck::symptom))
            .filter(|symptom| matches!(self.replies[*symptom], Reply::Answer(_)))
            .flat_map(|symptom| book.network.nodes[symptom].linked())
            .collect()
    }

    /// The machine was started: what was looked at before may have changed.
    pub fn started(&mut self) {
        self.found_sound.clear();
        self.checked.clear();
    }

    /// The answers given, "can't tell" left out.
    pub fn answers(&self) -> List<SymptomAt, Option<AnswerAt>> {
        self.replies.map(|reply| match reply {
            Reply::Answer(answer) => Some(*answer),
            Reply::Unanswered | Reply::CantTell => None,
        })
    }
}

/// Reply to a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reply {
    /// Not asked or not answered.
    Unanswered,
    /// "Can't tell": no evidence, and not offered again.
    CantTell,
    /// This answer.
    Answer(AnswerAt),
}

/// What was found about a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FoundReport {
    /// It was as suspected.
    AsSuspected,
    /// It was fine.
    WasFine,
}

/// The state of the machine.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Machine {
    /// Running, or free to run.
    #[default]
    Running,
    /// Stopped, isolated, locked, tagged, tried.
    LockedOut,
}

/// A finding.
#[derive(Debug, Clone)]
pub struct Finding {
    /// What was told.
    pub observed: Observations,
    /// The evidence as the engine took it.
    pub evidence: Evidence,
    /// Answers that count.
    pub answers: List<SymptomAt, Option<AnswerAt>>,
    /// Answers that do not apply, with the condition that fails.
    pub ignored: Vec<(SymptomAt, Condition)>,
    /// Which causes apply.
    pub causes_apply: List<CauseAt, bool>,
    /// Which symptoms apply.
    pub symptoms_apply: List<SymptomAt, bool>,
    /// Which fixes apply.
    pub fixes_apply: List<FixAt, bool>,
    /// Fixes that wait for nothing but answers, with the conditions on those.
    pub fixes_waiting: Vec<(FixAt, Vec<Condition>)>,
    /// Causes that apply, most likely first; empty when none applies.
    pub ranked: Vec<Ranked>,
    /// The most likely sets of causes present at the start, at most 20.
    pub sets: Vec<(Vec<CauseAt>, f64)>,
    /// ln P(answers); nothing when no cause applies.
    pub log_evidence: Option<f64>,
    /// Chance that more causes are present than the book reckons with, before any answer.
    pub mass_left_out: f64,
    /// How the answers fit together; worked out on demand.
    pub fits: Option<Fits>,
    /// Questions that may be asked, best first.
    pub next: Vec<NextQuestion>,
    /// Whether to stop asking, and why.
    pub stop: Stop,
    /// The plan.
    pub plan: Plan,
}

/// A cause with its chances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranked {
    /// The cause.
    pub cause: CauseAt,
    /// Chance that it is still present.
    pub probability: f64,
    /// Chance that it was present at the start.
    pub was_present: f64,
}

impl Finding {
    /// A cause not seen by eye is named as cured when it was there at the start with at least this chance.
    const LIKELY: f64 = 0.30;

    /// What cured it, once the belt runs true: of the causes that the fixes done can cure, those found as
    /// suspected and those likely present at the start; failing these, the likeliest that was not found fine.
    /// Those seen come first, then the likelier. Empty if every one was found fine. Where the person has said which
    /// cause it was, it is that one; where something else was, it is none.
    pub fn cured(&self, book: &Book) -> Vec<Cured> {
        let candidates = self.cured_perhaps(book);
        match self.observed.said_cured {
            None | Some(SaidCured::NotClear) => candidates,
            Some(SaidCured::SomethingElse(_)) => Vec::new(),
            Some(SaidCured::Cause(cause)) => {
                candidates.into_iter().filter(|cured| cured.cause == cause).collect()
            }
        }
    }

    /// Whether the likeliest cause is likely enough for long work to be planned on it.
    pub fn is_clear(&self, book: &Book) -> bool {
        self.ranked.first().is_some_and(|first| first.probability >= book.thresholds.clear)
    }

    /// Whether a cause was last found to be fine.
    pub fn found_fine(&self, cause: CauseAt) -> bool {
        let mut found = self.observed.found.iter().rev();
        found.find(|(c, _)| *c == cause).is_some_and(|(_, how)| *how == FoundReport::WasFine)
    }

    fn cured_perhaps(&self, book: &Book) -> Vec<Cured> {
        let observed = &self.observed;
        let report = |cause: CauseAt| {
            let mut found = observed.found.iter().rev();
            found.find(|(c, _)| *c == cause).map(|(_, report)| *report)
        };
        let mut cured: Vec<Cured> = (self.ranked.iter())
            .filter(|ranked| report(ranked.cause) != Some(FoundReport::WasFine))
            .map(|ranked| Cured {
                cause: ranked.cause,
                was_present: ranked.was_present,
                seen: report(ranked.cause) == Some(FoundReport::AsSuspected),
                by: (observed.done.iter().flatten().copied())
                    .filter(|fix| book.fixes[*fix].cures.iter().any(|c| c.0 == ranked.cause))
                    .collect(),
            })
            .filter(|cured| !cured.by.is_empty())
            .collect();
        cured.sort_by(|a, b| b.seen.cmp(&a.seen).then(b.was_present.total_cmp(&a.was_present)));
        let named = (cured.iter())
            .take_while(|cured| cured.seen || cured.was_present >= Self::LIKELY)
            .count();
        cured.truncate(named.max(1));
        cured
    }
}

/// A cause that was most likely cured.
#[derive(Debug, Clone, PartialEq)]
pub struct Cured {
    /// The cause.
    pub cause: CauseAt,
    /// The chance that it was present at the start, 0..1.
    pub was_present: f64,
    /// Whether it was found as suspected.
    pub seen: bool,
    /// The fixes done that cure it.
    pub by: Vec<FixAt>,
}

/// How the answers fit together.
#[derive(Debug, Clone, PartialEq)]
pub struct Fits {
    /// Per cent of visits drawn from the book, with the same questions, that are at most as likely.
    pub percentile: f64,
    /// The answers that fit worst, worst first.
    pub worst: Vec<SymptomAt>,
}

impl Fits {
    /// Below this per cent the answers are said not to fit together.
    const BAD: f64 = 1.0;

    /// Whether the answers do not fit together, so that it must be said.
    pub fn is_bad(&self) -> bool {
        self.percentile < Self::BAD
    }
}

/// A question that may be asked next.
#[derive(Debug, Clone, PartialEq)]
pub struct NextQuestion {
    /// The symptom.
    pub symptom: SymptomAt,
    /// Chance of each answer.
    pub chances: Vec<f64>,
    /// Bits about the causes present.
    pub bits: f64,
    /// Minutes, changing the machine's state included.
    pub minutes: f64,
}

/// Whether to stop asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// Go on: opening questions are left.
    Opening,
    /// Go on: this question tells most for its minutes.
    LookOn(SymptomAt),
    /// Stop: one cause is likely enough to act.
    LeaderStands,
    /// Stop: looking has taken long enough.
    TimeIsUp,
    /// Stop: nothing is left to ask.
    NothingLeft,
    /// Stop: no cause of the book applies to this conveyor.
    NoCause,
}

impl Stop {
    /// Whether to stop now.
    pub fn now(self) -> bool {
        !matches!(self, Self::Opening | Self::LookOn(_))
    }
}

/// Answers for and against a cause, strongest first, in decibans.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Why {
    /// Answers that raise it.
    pub raises: Vec<Weighed>,
    /// Answers that lower it.
    pub lowers: Vec<Weighed>,
}

/// An answer with its weight for one cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighed {
    /// The symptom.
    pub symptom: SymptomAt,
    /// The answer.
    pub answer: AnswerAt,
    /// 10 log10 of the odds with it over the odds without it.
    pub decibans: f64,
}
