//! Work: fixes, their stages and their steps.

use super::{Book, Condition, Source, Takes};
use crate::gauge::Gauge;
use crate::rulebook::index::{AnswerAt, CauseAt, CautionAt, FixAt, SymptomAt};
use crate::trade::MachineState;

/// A piece of work that cures one or more causes.
#[derive(Debug, Clone)]
pub struct Fix {
    /// Its id in the files.
    pub id: String,
    /// What the work is.
    pub title: String,
    /// Where it stands in the usual order of work.
    pub stage: Stage,
    /// Chance that it cures the cause, done well, 0.001..0.999. Sorted by cause.
    pub cures: Vec<(CauseAt, f64)>,
    /// What is looked at first, in this order.
    pub begins_with: Vec<FixCheck>,
    /// Why it begins with no check; empty when it has one or is short.
    pub no_check: String,
    /// The work itself in a few words, as it follows a check: "square it".
    pub in_short: String,
    /// What is done. The state of the machine follows from it.
    pub work: Work,
    /// Minutes elapsed on the conveyor at hand, or one of which nothing is known: the whole, checks included, and giving
    /// back and isolating again round each move of the belt.
    pub minutes: f64,
    /// What that hangs on.
    pub takes: Takes,
    /// How many people.
    pub people: u32,
    /// Tools, by their names in the book.
    pub tools: Vec<String>,
    /// What is fitted or used up, and papers.
    pub parts: Vec<String>,
    /// When both are planned these come first. Sorted.
    pub after: Vec<FixAt>,
    /// These must be done, found fine, not apply, or be unlikely to matter. Sorted.
    pub needs: Vec<FixAt>,
    /// All must hold; unknown means no.
    pub only_if: Vec<Condition>,
    /// How to know it is done.
    pub done_when: (String, Source),
    /// What never to do, each beginning with the verb.
    pub never: Vec<String>,
    /// How to see, from outside the guards, that it worked.
    pub worked: String,
    /// The gauges whose latest result says how much.
    pub amounts_from: Vec<&'static Gauge>,
    /// Whether its cure lasts. Waiting for other weather cures nothing for good: the belt runs off again with it.
    pub lasting: bool,
    /// What is done with its work when the belt runs worse after it.
    pub if_worse: IfWorse,
    /// This job's own warnings; the standing ones come by themselves.
    pub cautions: Vec<CautionAt>,
    /// Where this comes from.
    pub source: Source,
}

impl Fix {
    /// [`State::Running`] (watch, wait, load, ask) or [`State::LockedOut`].
    pub fn state(&self) -> MachineState {
        match self.work {
            Work::Running(_) => MachineState::Running,
            Work::LockedOut(_) => MachineState::LockedOut,
        }
    }

    /// The steps of work by hand; none of a running fix.
    pub fn steps(&self) -> &[Step] {
        match &self.work {
            Work::Running(_) => &[],
            Work::LockedOut(steps) => steps,
        }
    }

    /// Whether something of it can be put back to where it was.
    pub fn can_be_undone(&self) -> bool {
        matches!(self.if_worse, IfWorse::Undo(_))
    }

    /// Minutes of all its checks together.
    pub fn check_minutes(&self) -> f64 {
        self.begins_with.iter().map(|check| check.minutes).sum()
    }

    /// Minutes of the work behind the checks.
    pub fn work_minutes(&self) -> f64 {
        self.minutes - self.check_minutes()
    }

    /// Whether a check can call for the work. None can where a site has switched that question off: then the work is
    /// needed unless one ends it.
    pub fn checks_call(&self) -> bool {
        self.begins_with.iter().any(|check| !check.needs.is_empty())
    }

    /// What the checks say of the work, given what each has shown so far.
    pub fn verdict(&self, shown: impl Fn(usize, &FixCheck) -> Shown) -> Verdict {
        let shown: Vec<Shown> =
            self.begins_with.iter().enumerate().map(|(at, check)| shown(at, check)).collect();
        if shown.contains(&Shown::Ends) {
            return Verdict::Sound;
        }
        // What may end the job is looked at before anything calls for it.
        let open = |may_end: bool| {
            shown.iter().zip(&self.begins_with).position(|(shown, check)| {
                *shown == Shown::NotYet && (!may_end || !check.stop_if.is_empty())
            })
        };
        if let Some(open) = open(true) {
            return Verdict::Open(open);
        }
        if shown.is_empty() || shown.contains(&Shown::Calls) {
            return Verdict::NeedsWork;
        }
        if let Some(open) = open(false) {
            return Verdict::Open(open);
        }
        if !self.checks_call() {
            return Verdict::NeedsWork;
        }
        if shown.contains(&Shown::CantTell) { Verdict::Unclear } else { Verdict::Sound }
    }

    /// The checks that are still to be made, by their places; none once it is told whether the work is needed.
    pub fn open_checks(&self, shown: impl Fn(usize, &FixCheck) -> Shown) -> Vec<usize> {
        let Verdict::Open(first) = self.verdict(&shown) else {
            return Vec::new();
        };
        let later = self
            .begins_with
            .iter()
            .enumerate()
            .filter(|(place, check)| *place != first && shown(*place, check) == Shown::NotYet);
        std::iter::once(first).chain(later.map(|(place, _)| place)).collect()
    }

    /// The steps of a locked-out fix, cut where the belt or its tension moves. Nothing of a running fix.
    pub fn stretches(&self) -> Vec<Stretch<'_>> {
        let steps = self.steps();
        if matches!(self.work, Work::Running(_)) {
            return Vec::new();
        }
        let mut stretches = Vec::new();
        let mut hands = Vec::new();
        for step in steps {
            let then = match step {
                Step::Jog(order) => Then::Jog(order),
                Step::Restart(order) => Then::Restart(order),
                Step::Tension(_) => {
                    hands.push(step);
                    Then::IsolateAgain
                }
                _ => {
                    hands.push(step);
                    continue;
                }
            };
            stretches.push(Stretch { hands: std::mem::take(&mut hands), then });
        }
        if !hands.is_empty() || stretches.is_empty() {
            stretches.push(Stretch { hands, then: Then::Done });
        } else if let Some(last) = stretches.last_mut()
            && matches!(last.then, Then::IsolateAgain)
        {
            // The batch isolates or gives back after its last step anyway.
            last.then = Then::Done;
        }
        stretches
    }
}

/// What is done with a fix's work when the belt runs worse after it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum IfWorse {
    /// It is undone; how, in words. Empty: what was moved goes back to its marks.
    Undo(String),
    /// It stays: a part that is sound, clean or new is never taken off for the old one. What is looked at instead;
    /// empty where nothing was changed that can have done it.
    Stays(String),
}

/// What is done, by the state of the machine it is done in: whoever holds work for a running machine holds no step
/// that touches it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Work {
    /// From outside the guards, nothing touched.
    Running(Vec<Observed>),
    /// With the machine isolated, locked and tried.
    LockedOut(Vec<Step>),
}

/// One step on a running machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Observed {
    /// Watch or listen.
    Watch(String),
    /// Let time pass.
    Wait(String),
    /// Have it fed, so much and so evenly.
    Load(String),
    /// Ask somebody.
    Ask(String),
}

impl Observed {
    /// The words of the step.
    pub fn text(&self) -> &str {
        match self {
            Self::Watch(text) | Self::Wait(text) | Self::Load(text) | Self::Ask(text) => text,
        }
    }
}

/// The steps that hands do in one go, and what follows them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stretch<'f> {
    /// Steps on an isolated machine; may be none.
    pub hands: Vec<&'f Step>,
    /// What comes next.
    pub then: Then<'f>,
}

/// What follows a stretch of steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Then<'f> {
    /// The fix is through.
    Done,
    /// Tension or weight has moved: the isolation is walked again.
    IsolateAgain,
    /// The machine is given back, the belt moved a short way, and isolated again.
    Jog(&'f str),
    /// The machine is given back, run and watched, and isolated again.
    Restart(&'f str),
}

/// A look that tells whether the work is needed.
#[derive(Debug, Clone, PartialEq)]
pub struct FixCheck {
    /// What is looked at.
    pub looks_at: LooksAt,
    /// What calls for the work: "More than 3 mm apart"; empty if nothing of it does.
    pub needs: String,
    /// What ends it at once: "No travel left"; empty if nothing of it does.
    pub stop_if: String,
    /// Minutes until it is known, on the conveyor at hand or one of which nothing is known.
    pub minutes: f64,
    /// What that hangs on.
    pub takes: Takes,
}

/// What a check looks at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LooksAt {
    /// A symptom; its answer counts as evidence.
    Symptom {
        /// Which.
        at: SymptomAt,
        /// How it is looked at, as an order; empty: the symptom's own question.
        words: String,
        /// Answers that call for the work.
        go_on: Vec<AnswerAt>,
        /// Answers that end it at once.
        stop_on: Vec<AnswerAt>,
    },
    /// Something that no symptom covers.
    Words {
        /// How it is looked at, as an order.
        words: String,
        /// In which state of the machine.
        state: MachineState,
    },
}

impl FixCheck {
    /// The symptom it looks at, if it looks at one.
    pub fn symptom(&self) -> Option<SymptomAt> {
        match &self.looks_at {
            LooksAt::Symptom { at, .. } => Some(*at),
            LooksAt::Words { .. } => None,
        }
    }

    /// In which state of the machine it is looked at.
    pub fn state(&self, book: &Book) -> MachineState {
        match &self.looks_at {
            LooksAt::Symptom { at, .. } => book.symptoms[*at].state,
            LooksAt::Words { state, .. } => *state,
        }
    }

    /// What an answer to its symptom shows.
    pub fn shown_by(&self, answer: AnswerAt) -> Shown {
        match &self.looks_at {
            LooksAt::Symptom { stop_on, .. } if stop_on.contains(&answer) => Shown::Ends,
            LooksAt::Symptom { go_on, .. } if go_on.contains(&answer) => Shown::Calls,
            LooksAt::Symptom { .. } | LooksAt::Words { .. } => Shown::Sound,
        }
    }
}

/// What one check has shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// Nobody has looked yet.
    NotYet,
    /// Somebody looked and could not tell.
    CantTell,
    /// It calls for the work.
    Calls,
    /// It is sound.
    Sound,
    /// It ends the fix at once: the fault lies elsewhere.
    Ends,
}

/// What all checks of a fix say together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The check at this place comes next.
    Open(usize),
    /// The work is needed.
    NeedsWork,
    /// Everything is sound, or one look ends it: the work is not done.
    Sound,
    /// Nothing calls for it, but something could not be told.
    Unclear,
}

/// The usual order of work.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize,
)]
#[expect(missing_docs, reason = "the words are the trade's own and say it all")]
pub enum Stage {
    Weather,
    Clean,
    Rolls,
    Supports,
    Frame,
    Pulleys,
    TakeUp,
    Idlers,
    Tension,
    Surface,
    Belt,
    Load,
    Train,
    Trainers,
}

impl Stage {
    /// Whether work of this stage moves what steers the belt: idlers, screws, pulleys. Two such moves between two
    /// starts, and nobody can say what each did. Common practice, no source.
    pub fn steers(self) -> bool {
        matches!(self, Self::Pulleys | Self::TakeUp | Self::Idlers | Self::Train)
    }
}

/// One step on an isolated machine. Sides and directions are filled in when it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Plain work; may hold placeholders such as `{belt-side}`.
    Do(String),
    /// Mark and note the old position of this before it moves.
    Mark(String),
    /// Move one end of something along the conveyor.
    MoveEnd {
        /// Of what.
        of: String,
        /// Which end.
        end: End,
        /// Which way.
        toward: Toward,
        /// How far.
        by: String,
    },
    /// Move something without side logic.
    Move {
        /// What.
        what: String,
        /// How.
        how: String,
    },
    /// Raise or shim up one side of something.
    Raise {
        /// What.
        what: String,
        /// Which side.
        end: End,
        /// How far.
        by: String,
    },
    /// Work on a winch, jack or take-up under tension: the isolation is walked again after it.
    Tension(String),
    /// The belt is moved a short way; what for and how far.
    Jog(String),
    /// The belt is run and watched in the middle of the job.
    Restart(String),
}

/// Which end or side of a thing a step speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
pub enum End {
    /// The side the belt has run to.
    BeltSide,
    /// The other side.
    FarSide,
    /// The side whose take-up stands shorter.
    SlackSide,
    /// The other one.
    TightSide,
    /// The low side of the frame.
    LowFrameSide,
    /// The low side of the pulley.
    LowPulleySide,
    /// The low side of the idler.
    LowIdlerSide,
    /// The end of the roll that the belt meets first.
    LeadingEnd,
    /// The end of the roll that the belt meets last.
    LaggingEnd,
    /// The side on which the end pulley is nearer to the other one.
    ShortPulleySide,
    /// The other one.
    LongPulleySide,
    /// The end of the snub or bend pulley that the belt meets first.
    LeadingSnubEnd,
}

/// Which way along the conveyor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
pub enum Toward {
    /// The way this strand travels: a skew.
    WithStrand,
    /// Against it: a skew.
    AgainstStrand,
    /// The way this strand travels, until it is square: no skew, so it holds on a reversing belt too.
    SquareUp,
    /// Toward the head.
    Head,
    /// Toward the tail.
    Tail,
    /// Of an end pulley: toward the other end pulley.
    OtherPulley,
}
