//! Where a visit stands: its events, replayed against a book.

use std::collections::BTreeMap;

use super::event::{Ended, Event, How, Mark, Ran, Report, Stamped, standing};
use super::measured::Measured;
use super::{FoundReport, Observations, Reply};
use crate::conveyor::{Conveyor, facts};
use crate::gauge::Given;
use crate::reason::Facts;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, Place, SymptomAt};
use crate::rulebook::model::{Book, RoomMeans, Shown, Then};

/// What a visit knows of its conveyor. Absent is unknown.
#[derive(Debug, Clone, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct ConveyorFacts {
    /// What it is called.
    pub name: Option<String>,
    /// Facts by key, as in a conveyor file.
    pub facts: BTreeMap<String, String>,
    /// What its left side is called.
    pub left: Option<String>,
    /// What its right side is called.
    pub right: Option<String>,
    /// Its dimensions by path, SI with the unit.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub dimensions: BTreeMap<String, String>,
    /// The site's own limits, as written.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub limits: BTreeMap<String, String>,
    /// Which bearings the end pulleys run in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bearings: Option<String>,
    /// Whether the drive pulley is bare or lagged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lagging: Option<String>,
    /// Whether dust that burns lies on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dust_burns: Option<String>,
    /// In which units its people read and type.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub units: Option<String>,
}

impl ConveyorFacts {
    /// The value of a fact that only gauges ask for.
    pub fn for_gauges(&self, key: &str) -> Option<&str> {
        match key {
            "bearings" => self.bearings.as_deref(),
            "lagging" => self.lagging.as_deref(),
            "dust_burns" => self.dust_burns.as_deref(),
            _ => None,
        }
    }
}

impl Facts for ConveyorFacts {
    fn fact(&self, key: &str) -> Option<&str> {
        let said = |key: &str| self.facts.get(key).map(String::as_str);
        match said(key) {
            None if key == "troughed" => facts::troughed(said("class")?),
            value => value,
        }
    }
}

impl From<&Conveyor> for ConveyorFacts {
    fn from(conveyor: &Conveyor) -> Self {
        Self {
            name: conveyor.name().map(str::to_owned),
            facts: conveyor
                .known()
                .map(|(key, value)| (key.to_owned(), value.to_owned()))
                .collect(),
            left: conveyor.sides().left.clone(),
            right: conveyor.sides().right.clone(),
            dimensions: conveyor
                .dimensions()
                .known()
                .map(|(dimension, size)| {
                    (dimension.path.to_owned(), Given::Quantity(size).written())
                })
                .collect(),
            limits: conveyor
                .limits()
                .iter()
                .map(|limit| (limit.id.clone(), limit.size.clone()))
                .collect(),
            bearings: conveyor.bearings().map(str::to_owned),
            lagging: conveyor.lagging().map(str::to_owned),
            dust_burns: conveyor.dust_burns().map(str::to_owned),
            units: conveyor.units().map(|units| units.name().to_owned()),
        }
    }
}

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
    /// How the visit ended.
    pub ended: Option<Ended>,
    /// How it ended by an event of its own.
    over: Option<Ended>,
    /// The question whose answer stops it, while nobody has taken that back.
    stopping: Option<String>,
    /// Ids that this book does not have: a visit of another book.
    pub unknown: Vec<String>,
    /// How many replies stand.
    pub replies: usize,
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
}

impl OpenBatch {
    /// Whether any work of it was done, be it work that this book does not have.
    pub fn has_changed(&self) -> bool {
        self.worked.iter().any(|(_, how)| *how == How::Done)
            || self.gone.iter().any(|(_, done)| *done)
    }
}

/// A fix at work: its checks that no symptom covers, and how far its steps are done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FixAtWork {
    /// The fix.
    pub fix: FixAt,
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
    /// Whether it was put back; nothing while nobody was asked.
    pub put_back: Option<bool>,
}

/// Replays a visit. `begun_with` is what its conveyor file said, if there was one.
pub fn replay(book: &Book, begun_with: &ConveyorFacts, events: &[Stamped]) -> VisitState {
    let ids = Ids::of(book);
    let mut now = VisitState {
        conveyor: begun_with.clone(),
        conveyor_replies: Vec::new(),
        stop_now: Vec::new(),
        edge_room: None,
        went_on: false,
        runs_on: false,
        observed: Observations::none(book),
        order: Vec::new(),
        measuring: None,
        measured: Vec::new(),
        asked_on: false,
        enough: false,
        batch: None,
        moved: Vec::new(),
        ended: None,
        over: None,
        stopping: None,
        unknown: Vec::new(),
        replies: 0,
    };
    for event in standing(events) {
        now.replies += usize::from(event.what.is_reply());
        now.take(book, &ids, &event.what);
    }
    now
}

impl VisitState {
    /// Whether any work was done.
    pub fn work_begun(&self) -> bool {
        self.batch.is_some() || !self.observed.done.is_empty()
    }

    /// Things of the open batch that were moved and not put back, last first.
    pub fn to_put_back(&self) -> Vec<&Moved> {
        let from = self.batch.as_ref().map_or(0, |batch| batch.moved_before);
        self.moved.iter().skip(from).rev().filter(|moved| moved.put_back.is_none()).collect()
    }

    fn take(&mut self, book: &Book, ids: &Ids, event: &Event) {
        match event {
            Event::Named { name } => {
                self.conveyor_replies.push("name".to_owned());
                self.conveyor.name.clone_from(name);
            }
            Event::Fact { key, value } => {
                self.conveyor_replies.push(key.clone());
                match value {
                    Some(value) => self.conveyor.facts.insert(key.clone(), value.clone()),
                    None => self.conveyor.facts.remove(key),
                };
            }
            Event::SideNamed { side, name } => {
                self.conveyor_replies.push(side.clone());
                let slot =
                    if side == "left" { &mut self.conveyor.left } else { &mut self.conveyor.right };
                slot.clone_from(name);
            }
            Event::StopNow { question, yes } => {
                self.stop_now.retain(|(asked, _)| asked != question);
                self.stop_now.push((question.clone(), *yes));
            }
            Event::EdgeRoom { answer } => {
                let means = answer
                    .as_ref()
                    .and_then(|id| book.edge_room.answers.iter().find(|a| a.id == *id));
                self.edge_room = Some(means.map(|answer| answer.means));
            }
            Event::WentOn => self.went_on = true,
            Event::BatchDropped => self.batch = None,
            Event::Answered { symptom, answer } => {
                self.answered(book, ids, symptom, answer.as_deref());
            }
            Event::MeasuringBegun { gauge, way, units, symptom } => {
                self.measuring = Some(Measuring {
                    gauge: gauge.clone(),
                    way: way.clone(),
                    units: units.clone(),
                    symptom: symptom.clone(),
                    lines: Vec::new(),
                });
            }
            Event::ReadingTyped { line } => {
                self.measuring.iter_mut().for_each(|gauge| gauge.lines.push(line.clone()));
            }
            Event::ReadingTakenBack => {
                self.measuring.iter_mut().for_each(|gauge| {
                    gauge.lines.pop();
                });
            }
            Event::MeasuringLeft => self.measuring = None,
            Event::Measured(measured) => {
                self.measuring = None;
                for (symptom, answer) in &measured.answers {
                    self.answered(book, ids, symptom, answer.as_deref());
                }
                self.measured.retain(|before| before.gauge != measured.gauge);
                self.measured.push(measured.clone());
            }
            Event::AskedOn => (self.asked_on, self.enough) = (true, false),
            Event::Enough => self.enough = true,
            Event::BatchBegun { locked_out, fixes } => {
                let gone = fixes.iter().filter(|id| !ids.fixes.contains_key(id.as_str()));
                let gone = gone.map(|id| (id.clone(), false)).collect();
                let fixes = fixes
                    .iter()
                    .filter_map(|id| self.known(ids.fixes.get(id.as_str()), id))
                    .collect();
                self.batch = Some(OpenBatch {
                    locked_out: *locked_out,
                    fixes,
                    gone,
                    worked: Vec::new(),
                    in_hand: None,
                    ran: None,
                    moved_before: self.moved.len(),
                    at: None,
                    given_back: false,
                });
            }
            Event::Worked { fix, how, causes } => self.worked(ids, fix, *how, causes),
            Event::Noted { what, mark, place } => self.noted(what, *mark, place.as_ref()),
            Event::Found { cause, report } => self.found(ids, cause, *report),
            Event::Ran { outcome } => self.ran(*outcome),
            Event::PutBack { what, done } => {
                if let Some(moved) =
                    self.moved.iter_mut().rev().find(|m| m.what == *what && m.put_back.is_none())
                {
                    moved.put_back = Some(*done);
                }
                if self.to_put_back().is_empty() {
                    self.batch = None;
                }
            }
            Event::StopAnswered { question, stops, .. } => {
                self.stop_now.retain(|(asked, _)| asked != question);
                self.stop_now.push((question.clone(), *stops));
                // A yes stands until it is taken back, though the farewell never came.
                if *stops {
                    self.stopping = Some(question.clone());
                } else if self.stopping.as_ref() == Some(question) {
                    self.stopping = None;
                }
                self.ended = self.over.or(self.stopping.is_some().then_some(Ended::StoppedNow));
            }
            Event::Reopened => {
                (self.over, self.stopping, self.ended) = (None, None, None);
                if self.edge_room == Some(Some(RoomMeans::Urgent)) {
                    (self.edge_room, self.runs_on) = (None, false);
                }
            }
            Event::RunsOn => self.runs_on = true,
            Event::FixBegun { fix } => {
                let fix = self.known(ids.fixes.get(fix.as_str()), fix);
                if let (Some(batch), Some(fix)) = (&mut self.batch, fix) {
                    batch.at = Some(FixAtWork {
                        fix,
                        checked: Vec::new(),
                        stretches: 0,
                        hands_done: false,
                    });
                }
            }
            Event::Checked { check, shown, .. } => {
                if let Some(at) = self.at_work() {
                    at.checked.retain(|(place, _)| place != check);
                    at.checked.push((*check, (*shown).into()));
                }
            }
            Event::StretchDone { stretch, .. } => {
                if let Some(at) = self.at_work() {
                    let stretches = book.fixes[at.fix].stretches();
                    let moves = stretches
                        .get(*stretch)
                        .is_some_and(|done| matches!(done.then, Then::Jog(_) | Then::Restart(_)));
                    at.hands_done = moves;
                    at.stretches = if moves { *stretch } else { stretch + 1 };
                }
            }
            Event::BeltMoved { stretch, .. } => {
                if let Some(at) = self.at_work() {
                    (at.stretches, at.hands_done) = (stretch + 1, false);
                }
            }
            Event::LockOutBegun => self.batch.iter_mut().for_each(|batch| batch.given_back = false),
            Event::GivenBack => self.batch.iter_mut().for_each(|batch| batch.given_back = true),
            Event::Ended { how } => (self.over, self.ended) = (Some(*how), Some(*how)),
            Event::Back { .. } | Event::Believed { .. } | Event::Cured { .. } => {}
        }
    }

    fn answered(&mut self, book: &Book, ids: &Ids, symptom: &str, answer: Option<&str>) {
        let Some(at) = self.known(ids.symptoms.get(symptom), symptom) else {
            return;
        };
        let reply = match answer {
            None => Some(Reply::CantTell),
            Some(id) => {
                let place = book.symptoms[at]
                    .answers
                    .iter()
                    .find(|(_, a)| a.id == id)
                    .map(|(place, _)| place);
                self.known(place.as_ref(), id).map(Reply::Answer)
            }
        };
        if let Some(reply) = reply {
            self.observed.replies[at] = reply;
            self.order.retain(|s| *s != at);
            self.order.push(at);
        }
    }

    fn worked(&mut self, ids: &Ids, fix: &str, how: How, causes: &[String]) {
        let Some(fix) = self.known(ids.fixes.get(fix), fix) else {
            self.worked_gone(fix, how);
            return;
        };
        let causes: Vec<CauseAt> =
            causes.iter().filter_map(|id| self.known(ids.causes.get(id.as_str()), id)).collect();
        let Some(batch) = &mut self.batch else { return };
        batch.at = None;
        let first = !batch.has_changed();
        batch.worked.push((fix, how));
        let mut reported = Vec::new();
        match how {
            How::Done if first => self.observed.done.push(vec![fix]),
            How::Done => self.observed.done.last_mut().into_iter().for_each(|done| done.push(fix)),
            How::NotNeeded => {
                self.observed.could_not.push(fix);
                reported.clone_from(&causes);
                for cause in &causes {
                    self.observed.found.retain(|(c, _)| c != cause);
                    self.observed.found.push((*cause, FoundReport::WasFine));
                }
            }
            How::CouldNot => {
                self.observed.could_not.push(fix);
                reported.clone_from(&causes);
            }
        }
        batch.in_hand = Some(InHand { fix, how, causes, reported, noted: Vec::new() });
    }

    /// Work that this book does not have is no evidence, but it was done: the machine is given back and watched.
    fn worked_gone(&mut self, fix: &str, how: How) {
        let Some(batch) = &mut self.batch else { return };
        (batch.at, batch.in_hand) = (None, None);
        if how == How::Done && !batch.has_changed() {
            self.observed.done.push(Vec::new());
        }
        batch.gone.retain(|(gone, _)| gone != fix);
        batch.gone.push((fix.to_owned(), how == How::Done));
    }

    fn noted(&mut self, what: &str, mark: Mark, place: Option<&String>) {
        match mark {
            Mark::From if place.is_some() => self.moved.push(Moved {
                what: what.to_owned(),
                from: place.cloned(),
                to: None,
                put_back: None,
            }),
            Mark::From => {}
            Mark::To => {
                if let Some(moved) = self.moved.iter_mut().rev().find(|moved| moved.what == what) {
                    moved.to = place.cloned();
                }
            }
        }
        if let Some(hand) = self.batch.as_mut().and_then(|batch| batch.in_hand.as_mut()) {
            hand.noted.retain(|(noted, _)| noted != what);
            hand.noted.push((what.to_owned(), mark == Mark::From && place.is_some()));
        }
    }

    fn found(&mut self, ids: &Ids, cause: &str, report: Option<Report>) {
        let Some(cause) = self.known(ids.causes.get(cause), cause) else {
            return;
        };
        if let Some(report) = report {
            // A later look at the same cause stands in the place of the earlier one.
            self.observed.found.retain(|(c, _)| *c != cause);
            self.observed.found.push((cause, report.into()));
        }
        if let Some(hand) = self.batch.as_mut().and_then(|batch| batch.in_hand.as_mut()) {
            hand.reported.push(cause);
        }
    }

    fn ran(&mut self, outcome: Ran) {
        self.observed.outcomes.push(outcome.into());
        // After "worse" whatever was changed is put back first, noted or not; watching changes nothing.
        self.batch = (self.batch.take())
            .filter(|batch| outcome == Ran::Worse && batch.locked_out)
            .map(|batch| OpenBatch { ran: Some(outcome), ..batch });
    }

    fn at_work(&mut self) -> Option<&mut FixAtWork> {
        self.batch.as_mut()?.at.as_mut()
    }

    fn known<P: Copy>(&mut self, place: Option<&P>, id: &str) -> Option<P> {
        if place.is_none() && !self.unknown.iter().any(|unknown| unknown == id) {
            self.unknown.push(id.to_owned());
        }
        place.copied()
    }
}

struct Ids<'b> {
    symptoms: BTreeMap<&'b str, SymptomAt>,
    causes: BTreeMap<&'b str, CauseAt>,
    fixes: BTreeMap<&'b str, FixAt>,
}

impl<'b> Ids<'b> {
    fn of(book: &'b Book) -> Self {
        fn by_id<P: Place, T>(list: &List<P, T>, id: impl Fn(&T) -> &str) -> BTreeMap<&str, P> {
            list.iter().map(|(place, item)| (id(item), place)).collect()
        }
        Self {
            symptoms: by_id(&book.symptoms, |s| &s.id),
            causes: by_id(&book.causes, |c| &c.id),
            fixes: by_id(&book.fixes, |f| &f.id),
        }
    }
}

/// The answer's id for a place, for the file.
pub fn answer_id(book: &Book, symptom: SymptomAt, answer: AnswerAt) -> String {
    book.symptoms[symptom].answers[answer].id.clone()
}
