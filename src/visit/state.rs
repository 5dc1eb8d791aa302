//! Where a visit stands.

use super::conveyor_facts::ConveyorFacts;
use super::event::{Ended, How, Ran};
use super::finding::Observations;
use super::measured::Measured;
use crate::conveyor::ConveyorSize;
use crate::rulebook::index::{CauseAt, FixAt, LookAt, SymptomAt};
use crate::rulebook::model::{Book, RoomMeans, Shown};

/// Where a visit stands.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitState {
    /// The conveyor.
    pub conveyor: ConveyorFacts,
    /// Questions about the conveyor that had a reply, skipped ones included.
    pub conveyor_replies: Vec<String>,
    /// Replies to the questions that may stop everything, by their ids; yes stops.
    pub stop_now: Vec<(String, bool)>,
    /// Reply about the edge room: what it means, nothing when it cannot be told.
    pub edge_room: Option<Option<RoomMeans>>,
    /// Whether the person goes on although the belt is best left alone.
    pub went_on: bool,
    /// Whether whoever decides has said that a belt in danger runs on.
    pub runs_on: bool,
    /// What was told.
    pub observed: Observations,
    /// Symptoms in the order in which they had a reply.
    pub order: Vec<SymptomAt>,
    /// The gauge in hand, whose readings are not complete yet.
    pub measuring: Option<Measuring>,
    /// What was measured, the latest of each gauge.
    pub measured: Vec<Measured>,
    /// Whether questions go on though none pays.
    pub asked_on: bool,
    /// Whether enough was asked.
    pub enough: bool,
    /// The batch that was begun and whose outcome is not told yet.
    pub batch: Option<OpenBatch>,
    /// What was moved, in order.
    pub moved: Vec<Moved>,
    /// The job that the person wants done before the others.
    pub picked: Option<FixAt>,
    /// Every job that had a reply, and how it went, in order.
    pub jobs: Vec<(FixAt, How)>,
    /// What may have brought on what was cured, as far as it was looked for.
    pub brought_on: Vec<BroughtOnTold>,
    /// Whether the rest of that is not looked for.
    pub not_looked_for: bool,
    /// How the visit ended.
    pub ended: Option<Ended>,
    /// How it ended by an event of its own.
    pub(super) over: Option<Ended>,
    /// Whether it was told what is at hand.
    pub means_told: bool,
    /// Whether it was told who may lock out.
    pub lock_out_told: bool,
    /// The look that was begun last, and what is to be taken in there.
    pub look: Option<LookInHand>,
    /// How many looks were begun, one that nothing was told of not counted.
    pub looks: usize,
    /// How many replies stood when the last one was begun.
    pub(super) look_begun_at: Option<usize>,
    /// The question whose answer stops it, while nobody has taken that back.
    pub(super) stopping: Option<String>,
    /// Ids that this book does not have: a visit of another book.
    pub unknown: Vec<String>,
    /// How many replies stand.
    pub replies: usize,
}

/// What was told of something that commonly brings a cause on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtOnTold {
    /// The cause, by its id.
    pub cause: String,
    /// What was looked for.
    pub look_for: String,
    /// The one job.
    pub job: String,
    /// Whether it is there; nothing when it cannot be told.
    pub there: Option<bool>,
}

/// A look that was begun.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LookInHand {
    /// The look.
    pub look: LookAt,
    /// What is to be taken in there, in the order of the look.
    pub items: Vec<SymptomAt>,
}

impl VisitState {
    /// Before anything happened. `begun_with` is what the conveyor file said, if there was one.
    pub(super) fn new(book: &Book, begun_with: &ConveyorFacts) -> Self {
        Self {
            conveyor: begun_with.clone(),
            conveyor_replies: Vec::new(),
            stop_now: Vec::new(),
            edge_room: None,
            went_on: false,
            runs_on: false,
            observed: Observations {
                size: ConveyorSize::written(&begun_with.dimensions),
                ..Observations::none(book)
            },
            means_told: false,
            lock_out_told: false,
            look: None,
            looks: 0,
            look_begun_at: None,
            order: Vec::new(),
            measuring: None,
            measured: Vec::new(),
            asked_on: false,
            enough: false,
            batch: None,
            moved: Vec::new(),
            picked: None,
            jobs: Vec::new(),
            brought_on: Vec::new(),
            not_looked_for: false,
            ended: None,
            over: None,
            stopping: None,
            unknown: Vec::new(),
            replies: 0,
        }
    }

    /// The jobs that are left open, so that it stays true.
    pub fn open_jobs(&self) -> impl Iterator<Item = &str> {
        let there = self.brought_on.iter().filter(|told| told.there == Some(true));
        there.map(|told| told.job.as_str())
    }

    /// Whether any work was done.
    pub fn work_begun(&self) -> bool {
        self.batch.is_some() || !self.observed.done.is_empty()
    }

    /// Things of the open batch that were moved, go back, and were not put back, last first.
    pub fn to_put_back(&self) -> Vec<&Moved> {
        let from = self.batch.as_ref().map_or(0, |batch| batch.moved_before);
        let goes_back = |moved: &&Moved| !moved.stays && moved.put_back.is_none();
        self.moved.iter().skip(from).rev().filter(goes_back).collect()
    }

    /// The fix that was taken in hand and has no reply yet.
    pub(super) fn at_work(&mut self) -> Option<&mut FixAtWork> {
        self.batch.as_mut()?.at.as_mut()
    }

    /// The fix whose further questions are not all answered.
    pub(super) fn in_hand(&mut self) -> Option<&mut InHand> {
        self.batch.as_mut()?.in_hand.as_mut()
    }

    /// The place of an id; what this book does not have is put down.
    pub(super) fn known<P: Copy>(&mut self, place: Option<&P>, id: &str) -> Option<P> {
        if place.is_none() && !self.unknown.iter().any(|unknown| unknown == id) {
            self.unknown.push(id.to_owned());
        }
        place.copied()
    }
}

/// A gauge in hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measuring {
    /// The gauge's id.
    pub gauge: String,
    /// How it is measured.
    pub way: String,
    /// In which units bare numbers are read.
    pub units: String,
    /// The symptom that it is to answer, by its id.
    pub symptom: Option<String>,
    /// The lines typed so far.
    pub lines: Vec<String>,
}

/// A batch at work.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenBatch {
    /// Whether it is done locked out.
    pub locked_out: bool,
    /// The fixes planned in it.
    pub fixes: Vec<FixAt>,
    /// Fixes of it that this book does not have, by their ids: whether each was done.
    pub gone: Vec<(String, bool)>,
    /// Those that had a reply.
    pub worked: Vec<(FixAt, How)>,
    /// The fix whose further questions are not all answered, with what was answered.
    pub in_hand: Option<InHand>,
    /// The outcome, once told as worse and things are being put back.
    pub ran: Option<Ran>,
    /// How many moved things there were when it began.
    pub moved_before: usize,
    /// The fix that was taken in hand and has no reply yet.
    pub at: Option<FixAtWork>,
    /// Whether the machine was given back after the work, and runs.
    pub given_back: bool,
    /// Something else that was put right in it, in the person's own words.
    pub besides: Vec<String>,
    /// What was looked at since it began.
    pub answered: Vec<SymptomAt>,
}

impl OpenBatch {
    /// One with nothing planned in it.
    pub(super) fn begun(locked_out: bool, moved_before: usize) -> Self {
        Self {
            locked_out,
            fixes: Vec::new(),
            gone: Vec::new(),
            worked: Vec::new(),
            in_hand: None,
            ran: None,
            moved_before,
            at: None,
            given_back: false,
            besides: Vec::new(),
            answered: Vec::new(),
        }
    }

    /// Whether any work of it was done, be it work that this book does not have.
    pub fn has_changed(&self) -> bool {
        self.worked.iter().any(|(_, how)| *how == How::Done)
            || self.gone.iter().any(|(_, done)| *done)
            || !self.besides.is_empty()
    }

    /// Whether work of it was done that is undone when the belt then runs worse.
    pub fn goes_back(&self, book: &Book) -> bool {
        !self.besides.is_empty()
            || self.done().any(|fix| book.fixes[fix].can_be_undone())
            || self.gone.iter().any(|(_, done)| *done)
    }

    /// The fixes of it that were done, the last one first.
    pub fn done(&self) -> impl Iterator<Item = FixAt> {
        self.worked.iter().rev().filter(|(_, how)| *how == How::Done).map(|(fix, _)| *fix)
    }
}

/// A fix at work: its checks that no symptom covers, and how far its steps are done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FixAtWork {
    /// The fix.
    pub fix: FixAt,
    /// Whether what was seen before the batch began does not count for it.
    pub again: bool,
    /// What such checks have shown, by their place.
    pub checked: Vec<(usize, Shown)>,
    /// How many stretches are done, the move of the belt after each included.
    pub stretches: usize,
    /// Whether the hands of the next stretch are through, and only the belt is still to be moved.
    pub hands_done: bool,
}

/// A fix with questions left.
#[derive(Debug, Clone, PartialEq)]
pub struct InHand {
    /// The fix.
    pub fix: FixAt,
    /// How it went.
    pub how: How,
    /// The causes it was done for.
    pub causes: Vec<CauseAt>,
    /// Causes that had a report, "could not see" included.
    pub reported: Vec<CauseAt>,
    /// Moved things that were noted or skipped: what, and whether its new place is still to come.
    pub noted: Vec<(String, bool)>,
}

/// Something that was moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// What.
    pub what: String,
    /// Where it stood.
    pub from: Option<String>,
    /// Where it stands now.
    pub to: Option<String>,
    /// Whether it stays even if the belt then runs worse: a new part, or one that is sound now.
    pub stays: bool,
    /// Whether it was put back; nothing while nobody was asked.
    pub put_back: Option<bool>,
}
