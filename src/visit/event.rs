//! What can happen in a visit, as it stands in the visit's file. Ids are those of the rule files, so that a
//! visit can be read by people and replayed against a later book.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::measured::Measured;
pub use super::outcome::{CauseFound, CheckShown, CuredBy, Ended, How, NotedPlace, Ran};
use super::something_else::ElseHow;
use crate::trade::Units;

/// What the list of parts is called among the replies about a conveyor.
pub const PARTS: &str = "parts";

/// Something that happened, and when.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stamped {
    /// When.
    pub at: Timestamp,
    /// What.
    pub what: Event,
}

/// Something that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Event {
    /// What the conveyor is called; nothing when skipped.
    Named {
        /// The name.
        name: Option<String>,
    },
    /// A fact of the conveyor; nothing when skipped.
    Fact {
        /// Its key, as in a conveyor file.
        key: String,
        /// Its value.
        value: Option<String>,
    },
    /// Which parts the conveyor has: one reply. What could not be told is left out.
    Parts {
        /// Facts by key, "yes" or "no".
        parts: Vec<(String, String)>,
    },
    /// What a side is called here; nothing when skipped.
    SideNamed {
        /// "left" or "right".
        side: String,
        /// Its name.
        name: Option<String>,
    },
    /// A question that may stop everything.
    StopNow {
        /// Its id.
        question: String,
        /// Yes stops.
        yes: bool,
    },
    /// The answer to a question that may stop everything. It is no reply that "back" takes out: such a question
    /// is asked again instead.
    StopAnswered {
        /// The question.
        question: String,
        /// The answer's id.
        answer: String,
        /// Whether it stops the visit.
        stops: bool,
    },
    /// A visit that was stopped goes on: every question that may stop it was answered anew.
    Reopened,
    /// The belt is in danger, and whoever decides has said that it runs on.
    RunsOn,
    /// How far off against the edge room; nothing when it cannot be told.
    EdgeRoom {
        /// The answer's id.
        answer: Option<String>,
    },
    /// What is at hand: the tools that were asked about, and somebody who knows the past; nothing when skipped.
    MeansTold {
        /// The tools, by their names in the book.
        tools: Option<Vec<String>>,
        /// Whether somebody is there who knows the conveyor's past.
        history: Option<bool>,
    },
    /// Whether the person may lock the machine out.
    MayLockOut {
        /// Whether.
        may: bool,
    },
    /// A note in the person's own words on something that the book has no question on.
    Remarked {
        /// The note.
        text: String,
    },
    /// Who made the visit.
    By {
        /// The name.
        name: String,
    },
    /// A photo that stands beside the visit.
    Photographed {
        /// The name of its file there.
        file: String,
    },
    /// Go on, though the belt is inside its edge room and steady.
    WentOn,
    /// A symptom's question was answered; nothing is "can't tell".
    Answered {
        /// The symptom.
        symptom: String,
        /// The answer's id.
        answer: Option<String>,
    },
    /// A look was begun: somebody goes there and takes in these things.
    LookBegun {
        /// The look.
        look: String,
        /// The symptoms that are to be taken in.
        symptoms: Vec<String>,
    },
    /// What was ticked in a list of yes-or-no things: one reply.
    Ticked {
        /// The symptoms that are there.
        there: Vec<String>,
        /// Those that are not.
        not_there: Vec<String>,
        /// Those that could not be told.
        cant_tell: Vec<String>,
    },
    /// A gauge was taken in hand: what follows are its lines.
    MeasuringBegun {
        /// The gauge.
        gauge: String,
        /// How it is measured.
        way: String,
        /// In which units bare numbers are read.
        units: String,
        /// The symptom that it was to answer, if one was asked.
        symptom: Option<String>,
    },
    /// A line of the gauge in hand, as it was typed.
    ReadingTyped {
        /// The line.
        line: String,
    },
    /// The last line of the gauge in hand was taken back.
    ReadingTakenBack,
    /// The gauge was put away, its lines with it.
    MeasuringLeft,
    /// Something was measured, and answered questions: one reply.
    Measured(Measured),
    /// Whether what commonly brings on a cause that was cured is there; nothing when it cannot be told.
    BroughtOn {
        /// The cause.
        cause: String,
        /// What was looked for.
        look_for: String,
        /// The one job, if it is there.
        job: String,
        /// Whether it is.
        there: Option<bool>,
    },
    /// What may have brought it on is not looked for.
    NotLookedFor,
    /// Asked on, though it was enough to act.
    AskedOn,
    /// Enough asked: on to the plan.
    Enough,
    /// Work on a batch began.
    BatchBegun {
        /// Whether it is done locked out.
        locked_out: bool,
        /// The fixes planned in it.
        fixes: Vec<String>,
    },
    /// Nothing was changed in the batch, and nothing of it is left to do.
    BatchDropped,
    /// From here on what is looked at speaks of how things stand after the work so far.
    LookedAnew,
    /// A fix of the batch was taken in hand.
    FixBegun {
        /// The fix.
        fix: String,
    },
    /// What a check that no symptom covers has shown.
    Checked {
        /// The fix.
        fix: String,
        /// Which of its checks, from 0.
        check: usize,
        /// What it showed.
        shown: CheckShown,
    },
    /// The steps of a stretch of a fix are done, up to where the belt or its tension moves.
    StretchDone {
        /// The fix.
        fix: String,
        /// Which stretch, from 0.
        stretch: usize,
    },
    /// The belt was moved, or run and watched, after a stretch of a fix.
    BeltMoved {
        /// The fix.
        fix: String,
        /// After which stretch, from 0.
        stretch: usize,
    },
    /// Somebody begins to make the machine dead: it is given back no longer. That it is dead is never kept.
    LockOutBegun,
    /// Every point of giving back was confirmed: the belt runs, and nobody is at it.
    GivenBack,
    /// How a fix went.
    Worked {
        /// The fix.
        fix: String,
        /// How it went.
        how: How,
        /// The causes it was done for: each is asked about.
        causes: Vec<String>,
    },
    /// A note on something that the fix moved; nothing when skipped.
    Noted {
        /// What was moved.
        what: String,
        /// Its old place or its new one.
        mark: NotedPlace,
        /// Where that is.
        place: Option<String>,
    },
    /// What was found about a cause; nothing when it could not be seen.
    Found {
        /// The cause.
        cause: String,
        /// What was found.
        report: Option<CauseFound>,
    },
    /// How the belt runs after the batch, against the start of the visit.
    Ran {
        /// How.
        outcome: Ran,
    },
    /// Something moved was put back to its old place; nothing of the kind when it was left.
    PutBack {
        /// What, as in the list of moved things.
        what: String,
        /// Whether it was put back.
        done: bool,
    },
    /// A job is not done today: it was neither done nor could it not be done. It is planned again once it is picked.
    PutOff {
        /// The fix.
        fix: String,
    },
    /// A job is done before the others; if it was put off, it is so no longer.
    Picked {
        /// The fix.
        fix: String,
    },
    /// Something was found that no job is about, in the person's own words; one line of the three at least.
    SomethingElse {
        /// What.
        what: Option<String>,
        /// Where.
        place: Option<String>,
        /// Which part.
        part: Option<String>,
    },
    /// What became of the something else that was told last.
    ElseDealtWith {
        /// What.
        how: ElseHow,
        /// Whether the machine stood locked out.
        locked_out: bool,
    },
    /// What cured it, as the person says where something else was put right.
    SaidCured {
        /// What.
        by: CuredBy,
    },
    /// Back by so many replies: they are as if never given.
    Back {
        /// How many.
        steps: usize,
    },
    /// What was believed when a finding was shown, most likely first.
    Believed {
        /// Causes with the chance that each is still present.
        causes: Vec<(String, f64)>,
    },
    /// What cured it, now that it runs true: those found as suspected first, then the likelier.
    Cured {
        /// Causes with the chance that each was present at the start.
        causes: Vec<(String, f64)>,
    },
    /// The visit is over.
    Ended {
        /// How.
        how: Ended,
    },
}

impl Event {
    /// Whether a person replied something here: these are what "back" takes out.
    pub fn is_reply(&self) -> bool {
        !matches!(
            self,
            Self::BatchBegun { .. }
                | Self::BatchDropped
                | Self::LookedAnew
                | Self::LookBegun { .. }
                | Self::FixBegun { .. }
                | Self::MeasuringBegun { .. }
                | Self::ReadingTyped { .. }
                | Self::ReadingTakenBack
                | Self::MeasuringLeft
                | Self::StopAnswered { .. }
                | Self::Reopened
                | Self::LockOutBegun
                | Self::GivenBack
                | Self::Back { .. }
                | Self::Believed { .. }
                | Self::Cured { .. }
                | Self::Ended { .. }
        )
    }

    /// Whether a person typed it: a reply, or one of the lines that stand for themselves.
    pub fn is_typed(&self) -> bool {
        self.is_reply()
            || matches!(
                self,
                Self::StopAnswered { .. } | Self::ReadingTyped { .. } | Self::ReadingTakenBack
            )
    }

    /// Whether it says what the machine or the belt did. Taking a reply back does not undo it.
    pub fn is_of_the_machine(&self) -> bool {
        matches!(
            self,
            Self::StopAnswered { .. }
                | Self::Reopened
                | Self::LockOutBegun
                | Self::GivenBack
                | Self::BeltMoved { .. }
        )
    }
}

/// The units that the latest measurement with a gauge was typed in, as far as it still stands.
pub fn units_typed(events: &[Stamped], gauge: &str) -> Option<Units> {
    standing(events).iter().rev().find_map(|event| match &event.what {
        Event::MeasuringBegun { gauge: with, units, .. } if with == gauge => Units::named(units),
        _ => None,
    })
}

/// The events that stand once every "back" has taken out what it takes out.
pub fn standing(events: &[Stamped]) -> Vec<&Stamped> {
    let mut standing: Vec<&Stamped> = Vec::with_capacity(events.len());
    for event in events {
        let Event::Back { steps } = event.what else {
            standing.push(event);
            continue;
        };
        for _ in 0..steps {
            let Some(reply) = standing.iter().rposition(|event| event.what.is_reply()) else {
                break;
            };
            let after = standing.split_off(reply);
            standing.extend(after.into_iter().filter(|event| event.what.is_of_the_machine()));
        }
    }
    standing
}
