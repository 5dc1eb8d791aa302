//! A visit's events, replayed against a book.

use super::conveyor_facts::ConveyorFacts;
use super::event::{Ended, Event, PARTS, Stamped, standing};
use super::finding::Reply;
use super::measured::Measured;
use super::state::{BroughtOnTold, LookInHand, Measuring, VisitState};
use crate::conveyor::facts::FactKey;
use crate::rulebook::ids::Ids;
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::model::{Book, RoomMeans};

/// Replays a visit. `begun_with` is what its conveyor file said, if there was one.
pub fn replay(book: &Book, begun_with: &ConveyorFacts, events: &[Stamped]) -> VisitState {
    let ids = Ids::new(book);
    let mut now = VisitState::new(book, begun_with);
    for event in standing(events) {
        now.replies += usize::from(event.what.is_reply());
        now.take(book, &ids, &event.what);
    }
    now
}

impl VisitState {
    fn take(&mut self, book: &Book, ids: &Ids<'_>, event: &Event) {
        match event {
            Event::Named { name } => {
                self.conveyor_replies.push("name".to_owned());
                self.conveyor.name.clone_from(name);
            }
            Event::Fact { key, value } => self.fact(key, value.as_ref()),
            Event::Parts { parts } => {
                parts.iter().for_each(|(key, value)| self.fact(key, Some(value)));
                self.conveyor_replies.push(PARTS.to_owned());
            }
            Event::SideNamed { side, name } => self.side_named(side, name.as_ref()),
            Event::StopNow { question, yes } => self.stop_now(question, *yes),
            Event::StopAnswered { question, stops, .. } => self.stop_answered(question, *stops),
            Event::Reopened => self.reopened(),
            Event::RunsOn => self.runs_on = true,
            Event::EdgeRoom { answer } => self.edge_room(book, answer.as_deref()),
            Event::MeansTold { tools, history } => self.means(tools.as_ref(), *history),
            Event::MayLockOut { may } => self.may_lock_out(*may),
            Event::Remarked { text } => self.observed.notes.push(text.clone()),
            Event::WentOn => self.went_on = true,
            Event::Answered { symptom, answer } => {
                self.answered(book, ids, symptom, answer.as_deref());
            }
            Event::LookBegun { look, symptoms } => self.look_begun(ids, look, symptoms),
            Event::Ticked { there, not_there, cant_tell } => {
                let says = [(there, Some("yes")), (not_there, Some("no")), (cant_tell, None)];
                self.ticked(book, ids, says);
            }
            Event::MeasuringBegun { gauge, way, units, symptom } => {
                let (gauge, way) = (gauge.clone(), way.clone());
                let (units, symptom) = (units.clone(), symptom.clone());
                self.measuring = Some(Measuring { gauge, way, units, symptom, lines: Vec::new() });
            }
            Event::ReadingTyped { line } => {
                self.measuring.iter_mut().for_each(|gauge| gauge.lines.push(line.clone()));
            }
            Event::ReadingTakenBack => {
                self.measuring.iter_mut().for_each(|gauge| _ = gauge.lines.pop());
            }
            Event::MeasuringLeft => self.measuring = None,
            Event::Measured(measured) => self.measured(book, ids, measured),
            Event::BroughtOn { cause, look_for, job, there } => {
                let (cause, look_for, job) = (cause.clone(), look_for.clone(), job.clone());
                self.brought_on.push(BroughtOnTold { cause, look_for, job, there: *there });
            }
            Event::NotLookedFor => self.not_looked_for = true,
            Event::AskedOn => (self.asked_on, self.enough) = (true, false),
            Event::Enough => (self.enough, self.look) = (true, None),
            Event::BatchBegun { locked_out, fixes } => {
                self.observed.standing = self.observed.standing.taken_anew();
                self.look = None;
                self.batch_begun(ids, *locked_out, fixes);
            }
            Event::BatchDropped => self.batch = None,
            Event::LookedAnew => {
                self.observed.look_again();
                (self.enough, self.look) = (false, None);
            }
            Event::FixBegun { fix } => self.fix_begun(book, ids, fix),
            Event::Checked { check, shown, .. } => self.checked(*check, (*shown).into()),
            Event::StretchDone { stretch, .. } => self.stretch_done(book, *stretch),
            Event::BeltMoved { stretch, .. } => self.belt_moved(*stretch),
            Event::LockOutBegun => self.given_back(false),
            Event::GivenBack => self.given_back(true),
            Event::Worked { fix, how, causes } => self.worked(ids, fix, *how, causes),
            Event::Noted { what, mark, place } => self.noted(book, what, *mark, place.as_ref()),
            Event::Found { cause, report } => self.found(ids, cause, *report),
            Event::Ran { outcome } => self.ran(book, *outcome),
            Event::PutBack { what, done } => self.put_back(what, *done),
            Event::PutOff { fix } => self.put_off(ids, fix),
            Event::Picked { fix } => self.picked(ids, fix),
            Event::SomethingElse { what, place, part } => self.something_else([what, place, part]),
            Event::ElseDealtWith { how, locked_out } => self.else_dealt_with(*how, *locked_out),
            Event::SaidCured { by } => self.said_cured(ids, by),
            Event::Ended { how } => (self.over, self.ended) = (Some(*how), Some(*how)),
            Event::By { .. } | Event::Photographed { .. } | Event::Back { .. } => {}
            Event::Believed { .. } | Event::Cured { .. } => {}
        }
    }

    /// What was ticked, not ticked and can't be told in a list.
    fn ticked(&mut self, book: &Book, ids: &Ids<'_>, says: [(&Vec<String>, Option<&str>); 3]) {
        for (symptoms, answer) in says {
            symptoms.iter().for_each(|symptom| self.answered(book, ids, symptom, answer));
        }
    }

    fn fact(&mut self, key: &str, value: Option<&String>) {
        self.conveyor_replies.push(key.to_owned());
        // A fact or value of another version is passed over: it counts as not known.
        if let Some(key) = FactKey::named(key) {
            self.conveyor.facts.clear(key);
            if let Some(fact) = value.and_then(|value| key.with(value)) {
                self.conveyor.facts.set(fact);
            }
        }
    }

    fn side_named(&mut self, side: &str, name: Option<&String>) {
        self.conveyor_replies.push(side.to_owned());
        let conveyor = &mut self.conveyor;
        let slot = if side == "left" { &mut conveyor.left } else { &mut conveyor.right };
        *slot = name.cloned();
    }

    fn stop_now(&mut self, question: &str, yes: bool) {
        self.stop_now.retain(|(asked, _)| asked != question);
        self.stop_now.push((question.to_owned(), yes));
    }

    /// A yes stands until it is taken back, though the farewell never came.
    fn stop_answered(&mut self, question: &str, stops: bool) {
        self.stop_now(question, stops);
        if stops {
            self.stopping = Some(question.to_owned());
        } else if self.stopping.as_deref() == Some(question) {
            self.stopping = None;
        }
        self.ended = self.over.or(self.stopping.is_some().then_some(Ended::StoppedNow));
    }

    fn reopened(&mut self) {
        (self.over, self.stopping, self.ended) = (None, None, None);
        if self.edge_room == Some(Some(RoomMeans::Urgent)) {
            (self.edge_room, self.runs_on) = (None, false);
        }
    }

    fn edge_room(&mut self, book: &Book, answer: Option<&str>) {
        let known = answer.and_then(|id| book.edge_room.answers.iter().find(|a| a.id == id));
        self.edge_room = Some(known.map(|answer| answer.means));
    }

    fn means(&mut self, tools: Option<&Vec<String>>, history: Option<bool>) {
        let means = &mut self.observed.means;
        (means.tools, means.history) = (tools.cloned(), history);
        self.means_told = true;
    }

    fn may_lock_out(&mut self, may: bool) {
        self.observed.means.lock_out = Some(may);
        self.lock_out_told = true;
    }

    fn look_begun(&mut self, ids: &Ids<'_>, look: &str, symptoms: &[String]) {
        let at = self.known(ids.looks.get(look), look);
        let items = symptoms.iter().filter_map(|id| self.known(ids.symptoms.get(id.as_str()), id));
        let items = items.collect();
        self.look = at.map(|look| LookInHand { look, items });
        self.looks += usize::from(self.look_begun_at != Some(self.replies));
        self.look_begun_at = Some(self.replies);
    }

    fn measured(&mut self, book: &Book, ids: &Ids<'_>, measured: &Measured) {
        self.measuring = None;
        for (symptom, answer) in &measured.answers {
            self.answered(book, ids, symptom, answer.as_deref());
        }
        self.measured.retain(|before| before.gauge != measured.gauge);
        self.measured.push(measured.clone());
    }

    fn answered(&mut self, book: &Book, ids: &Ids<'_>, symptom: &str, answer: Option<&str>) {
        let Some(at) = self.known(ids.symptoms.get(symptom), symptom) else {
            return;
        };
        let reply = match answer {
            None => Some(Reply::CantTell),
            Some(id) => {
                let place = book.symptoms[at].kept(id);
                self.known(place.as_ref(), id).map(Reply::Answer)
            }
        };
        if let Some(reply) = reply {
            // A visit of an older program looked at the start all along.
            match self.observed.second.is_empty() {
                true => self.observed.replies[at] = reply,
                false => self.observed.reply_now(book, at, reply),
            }
            let standing = self.observed.standing;
            self.observed.standing = standing.moved_to(book, book.symptoms[at].look);
            self.batch.iter_mut().for_each(|batch| batch.answered.push(at));
            self.order.retain(|s| *s != at);
            self.order.push(at);
        }
    }
}

/// The answer's id for a place, for the file.
pub fn answer_id(book: &Book, symptom: SymptomAt, answer: AnswerAt) -> String {
    book.symptoms[symptom].answers[answer].id.clone()
}
