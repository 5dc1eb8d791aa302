//! One finding: everything that follows from what was answered, found and done.

use super::means::Means;
use super::next_look::{NextLook, Standing};
use super::something_else::{SaidCured, SomethingElse};
use crate::conveyor::ConveyorSize;
use crate::plan::Plan;
use crate::reason::{Evidence, Outcome};
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, LookAt, SymptomAt};
use crate::rulebook::model::{Book, Condition, FixCheck, Shown, Verdict};
use crate::trade::MachineState;

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
    /// What was seen anew after batches, in order: each answer speaks of what was left then.
    pub second: Vec<SecondReplies>,
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
    /// Where the person stands.
    pub standing: Standing,
    /// What the person has at hand and may do.
    pub means: Means,
    /// Notes in the person's own words.
    pub notes: Vec<String>,
    /// How large the conveyor is, as far as it is known: ways and turns of the belt take longer on a long one.
    pub size: ConveyorSize,
}

impl Observations {
    /// Nothing observed yet.
    pub fn none(book: &Book) -> Self {
        Self {
            replies: List::filled(Reply::Unanswered, book.symptoms.len()),
            found: Vec::new(),
            done: Vec::new(),
            outcomes: Vec::new(),
            second: Vec::new(),
            could_not: Vec::new(),
            put_off: Vec::new(),
            found_sound: Vec::new(),
            checked: Vec::new(),
            something_else: Vec::new(),
            said_cured: None,
            machine: Machine::Running,
            standing: Standing::default(),
            means: Means::default(),
            notes: Vec::new(),
            size: ConveyorSize::default(),
        }
    }

    /// The reply to a symptom's question that speaks of how things stand now; what belongs to the past stays as it is.
    pub fn reply_of_now(&self, book: &Book, symptom: SymptomAt) -> Reply {
        let now = self.now();
        if now == 0 || book.symptoms[symptom].state == MachineState::Anywhere {
            return self.replies[symptom];
        }
        let look = self.second.last().filter(|look| look.after_batch == now);
        look.map_or(Reply::Unanswered, |look| look.reply(symptom))
    }

    /// What a check of a fix has shown.
    pub fn shown(&self, book: &Book, fix: FixAt, place: usize) -> Shown {
        let Some(check) = book.fixes[fix].begins_with.get(place) else {
            return Shown::NotYet;
        };
        match check.symptom() {
            Some(symptom) => match self.reply_of_now(book, symptom) {
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
        book.fixes[fix].verdict(|place, _| self.shown(book, fix, place))
    }

    /// The causes that the answered checks of a fix speak of: nobody reports on them besides.
    pub fn spoken_for(&self, book: &Book, fix: FixAt) -> Vec<CauseAt> {
        (book.fixes[fix].begins_with.iter().filter_map(FixCheck::symptom))
            .filter(|symptom| matches!(self.reply_of_now(book, *symptom), Reply::Answer(_)))
            .flat_map(|symptom| book.network.nodes[symptom].linked())
            .collect()
    }

    /// The machine was started: what was looked at before may have changed.
    pub fn started(&mut self) {
        self.found_sound.clear();
        self.checked.clear();
    }

    /// After how many batches we are. A batch is behind us once the belt ran after it; while the machine is
    /// locked out the last one is still in hand.
    pub fn now(&self) -> usize {
        let in_hand = self.machine == Machine::LockedOut && self.outcomes.len() < self.done.len();
        let behind = self.done.len() - usize::from(in_hand);
        self.second.last().map_or(behind, |look| look.after_batch.max(behind))
    }

    /// Begins a look at what is left now: from here on questions are asked of that, and no longer of the
    /// start. Nothing happens before the first batch.
    pub fn look_again(&mut self) {
        let now = self.now();
        if now > 0 && self.second.last().is_none_or(|look| look.after_batch < now) {
            self.second.push(SecondReplies { after_batch: now, replies: Vec::new() });
        }
    }

    /// Takes a reply given now: of what is left, or of the start before the first batch. What belongs to the
    /// past stays with the start whenever it is told.
    pub fn reply_now(&mut self, book: &Book, symptom: SymptomAt, reply: Reply) {
        self.look_again();
        let history = book.symptoms[symptom].state == MachineState::Anywhere;
        match self.second.last_mut().filter(|_| !history) {
            None => self.replies[symptom] = reply,
            Some(look) => look.put(symptom, reply),
        }
    }

    /// The latest answer to a symptom's question; failing one, whether it could not be told.
    pub fn latest(&self, symptom: SymptomAt) -> Reply {
        let start = self.replies[symptom];
        let later = self.second.iter().rev().map(|look| look.reply(symptom));
        let mut all = later.chain([start]).filter(|reply| *reply != Reply::Unanswered);
        let first = all.next().unwrap_or(Reply::Unanswered);
        let is_answer = |reply: &Reply| matches!(reply, Reply::Answer(_));
        [first].into_iter().chain(all).find(is_answer).unwrap_or(first)
    }

    /// After how many batches the latest answer to a symptom's question was given; 0 at the start, and where
    /// there is none.
    pub fn answered_after(&self, symptom: SymptomAt) -> usize {
        let mut later = self.second.iter().rev();
        let told = later.find(|look| matches!(look.reply(symptom), Reply::Answer(_)));
        told.map_or(0, |look| look.after_batch)
    }

    /// The answers given at the start, "can't tell" left out.
    pub fn answers(&self) -> List<SymptomAt, Option<AnswerAt>> {
        self.replies.map(|reply| match reply {
            Reply::Answer(answer) => Some(*answer),
            Reply::Unanswered | Reply::CantTell => None,
        })
    }
}

/// What was replied in a look after a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondReplies {
    /// After so many batches; at least 1.
    pub after_batch: usize,
    /// The replies, in book order, each symptom once.
    pub replies: Vec<(SymptomAt, Reply)>,
}

impl SecondReplies {
    /// The reply of this look to one symptom's question.
    pub fn reply(&self, symptom: SymptomAt) -> Reply {
        let found = self.replies.iter().find(|(asked, _)| *asked == symptom);
        found.map_or(Reply::Unanswered, |(_, reply)| *reply)
    }

    /// Puts a reply in the place of the one before.
    pub fn put(&mut self, symptom: SymptomAt, reply: Reply) {
        self.replies.retain(|(asked, _)| *asked != symptom);
        if reply != Reply::Unanswered {
            self.replies.push((symptom, reply));
            self.replies.sort_unstable_by_key(|(asked, _)| *asked);
        }
    }

    /// The answers given, "can't tell" left out.
    pub fn answers(&self) -> impl Iterator<Item = (SymptomAt, AnswerAt)> {
        self.replies.iter().filter_map(|(symptom, reply)| match reply {
            Reply::Answer(answer) => Some((*symptom, *answer)),
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

impl Reply {
    /// Whether it was answered, and not only asked.
    pub fn is_answer(self) -> bool {
        matches!(self, Self::Answer(_))
    }
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
    /// Answers of the start that count.
    pub answers: List<SymptomAt, Option<AnswerAt>>,
    /// Answers of the start that do not apply, with the condition that fails.
    pub ignored: Vec<(SymptomAt, Condition)>,
    /// What was seen anew after batches, in order.
    pub second: Vec<SeenAnew>,
    /// The latest answers that count and apply by now, and what follows from them.
    pub latest: List<SymptomAt, Option<AnswerAt>>,
    /// Which symptoms applied at the start.
    pub applied_at_start: List<SymptomAt, bool>,
    /// Which causes apply.
    pub causes_apply: List<CauseAt, bool>,
    /// Which symptoms apply now.
    pub symptoms_apply: List<SymptomAt, bool>,
    /// Which fixes apply now.
    pub fixes_apply: List<FixAt, bool>,
    /// Fixes that wait for nothing but answers, with the conditions on those.
    pub fixes_waiting: Vec<(FixAt, Vec<Condition>)>,
    /// Causes that apply, most likely first; empty when none applies.
    pub ranked: Vec<Ranked>,
    /// The most likely sets of causes present at the start, at most 20; an empty one is none of the book.
    pub sets: Vec<(Vec<CauseAt>, f64)>,
    /// Chance that it is none of the causes of the book.
    pub something_else: f64,
    /// ln P(answers), given that it is one of the causes; nothing when no cause applies.
    pub log_evidence: Option<f64>,
    /// Chance that more causes are present than the book reckons with, before any answer.
    pub mass_left_out: f64,
    /// How the answers fit together; worked out on demand.
    pub fits: Option<Fits>,
    /// Questions that may be asked, best first.
    pub next: Vec<NextQuestion>,
    /// Looks that what was said calls for before others.
    pub looks_early: List<LookAt, bool>,
    /// Looks worth taking before any work, best first.
    pub next_looks: Vec<NextLook>,
    /// Whether to stop asking, and why.
    pub stop: Stop,
    /// The plan.
    pub plan: Plan,
}

/// What was seen anew after a batch, as it counts.
#[derive(Debug, Clone, PartialEq)]
pub struct SeenAnew {
    /// After so many batches.
    pub after_batch: usize,
    /// Which symptoms applied by then.
    pub applies: List<SymptomAt, bool>,
    /// Answers that count, in book order.
    pub answers: Vec<(SymptomAt, AnswerAt)>,
    /// Answers that do not apply, with the condition that fails.
    pub ignored: Vec<(SymptomAt, Condition)>,
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

    /// Whether none of the causes of the book is as likely as that it is none of them.
    pub fn something_else_leads(&self) -> bool {
        self.something_else > self.ranked.first().map_or(0.0, |first| first.probability)
    }

    /// Whether it is said outright that it is none of them: none is as likely, or it is likelier than not.
    pub fn says_none_of_them(&self) -> bool {
        self.something_else_leads() || self.is_likely_not_in_the_book()
    }

    /// Whether it is likelier that it is none of the causes of the book than that it is one of them.
    pub fn is_likely_not_in_the_book(&self) -> bool {
        self.something_else > 0.5
    }

    /// Whether it stands out that it is none of the causes: as likely as a cause has to be to be clear, and more than
    /// twice as likely as each of them.
    pub fn none_of_them_stands_out(&self, book: &Book) -> bool {
        let first = self.ranked.first().map_or(0.0, |first| first.probability);
        self.is_likely_not_in_the_book()
            || (self.something_else >= book.thresholds.clear && self.something_else > 2.0 * first)
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
#[derive(Debug, Clone, PartialEq)]
pub enum Stop {
    /// Go on: this look tells most for its minutes.
    LookOn(NextLook),
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
    pub fn now(&self) -> bool {
        !matches!(self, Self::LookOn(_))
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
    /// After how many batches it was given; 0 at the start.
    pub after_batch: usize,
    /// 10 log10 of the odds with it over the odds without it.
    pub decibans: f64,
}
