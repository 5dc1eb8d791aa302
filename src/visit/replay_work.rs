//! The events of a batch of work, replayed: what was done, found, moved and put back.

use super::event::{CauseFound, How, NotedPlace, Ran};
use super::finding::{FoundReport, Machine};
use super::state::{FixAtWork, InHand, Moved, OpenBatch, VisitState};
use crate::rulebook::ids::Ids;
use crate::rulebook::index::CauseAt;
use crate::rulebook::model::{Book, Shown, Then, Verdict};

impl VisitState {
    pub(super) fn batch_begun(&mut self, ids: &Ids<'_>, locked_out: bool, fixes: &[String]) {
        let gone = fixes.iter().filter(|id| !ids.fixes.contains_key(id.as_str()));
        let gone = gone.map(|id| (id.clone(), false)).collect();
        let fixes =
            fixes.iter().filter_map(|id| self.known(ids.fixes.get(id.as_str()), id)).collect();
        self.batch =
            Some(OpenBatch { fixes, gone, ..OpenBatch::begun(locked_out, self.moved.len()) });
    }

    pub(super) fn given_back(&mut self, given_back: bool) {
        self.batch.iter_mut().for_each(|batch| batch.given_back = given_back);
        // From here on what is looked at is of the time after the work.
        if given_back {
            self.observed.machine = Machine::Running;
        }
    }

    pub(super) fn fix_begun(&mut self, book: &Book, ids: &Ids<'_>, fix: &str) {
        let fix = self.known(ids.fixes.get(fix), fix);
        if let (Some(batch), Some(fix)) = (&mut self.batch, fix) {
            // What was seen before this batch calls for nothing: before the work is left it is looked at anew.
            let again = self.observed.verdict(book, fix) == Verdict::Sound
                && !batch.answered.iter().any(|symptom| {
                    let mut checks = book.fixes[fix].begins_with.iter();
                    checks.any(|check| check.symptom() == Some(*symptom))
                });
            batch.at = Some(FixAtWork {
                fix,
                again,
                checked: Vec::new(),
                stretches: 0,
                hands_done: false,
            });
        }
    }

    pub(super) fn checked(&mut self, check: usize, shown: Shown) {
        if let Some(at) = self.at_work() {
            at.checked.retain(|(place, _)| *place != check);
            at.checked.push((check, shown));
            let fix = at.fix;
            self.observed.checked.retain(|(of, place, _)| (*of, *place) != (fix, check));
            self.observed.checked.push((fix, check, shown));
        }
    }

    pub(super) fn stretch_done(&mut self, book: &Book, stretch: usize) {
        if let Some(at) = self.at_work() {
            let stretches = book.fixes[at.fix].stretches();
            let moves = stretches
                .get(stretch)
                .is_some_and(|done| matches!(done.then, Then::Jog(_) | Then::Restart(_)));
            at.hands_done = moves;
            at.stretches = if moves { stretch } else { stretch + 1 };
        }
    }

    pub(super) fn belt_moved(&mut self, stretch: usize) {
        if let Some(at) = self.at_work() {
            (at.stretches, at.hands_done) = (stretch + 1, false);
        }
    }

    pub(super) fn worked(&mut self, ids: &Ids<'_>, fix: &str, how: How, causes: &[String]) {
        let Some(fix) = self.known(ids.fixes.get(fix), fix) else {
            self.worked_gone(fix, how);
            return;
        };
        let causes: Vec<CauseAt> =
            causes.iter().filter_map(|id| self.known(ids.causes.get(id.as_str()), id)).collect();
        let Some(batch) = &mut self.batch else { return };
        batch.at = None;
        self.picked = self.picked.filter(|picked| *picked != fix);
        self.jobs.push((fix, how));
        let first = !batch.has_changed();
        if how == How::Done && batch.locked_out {
            self.observed.machine = Machine::LockedOut;
        }
        batch.worked.push((fix, how));
        let mut reported = Vec::new();
        match how {
            How::Done if first => self.observed.done.push(vec![fix]),
            How::Done => self.observed.done.last_mut().into_iter().for_each(|done| done.push(fix)),
            // It may come again once the belt has run.
            How::NotNeeded => {
                self.observed.found_sound.push(fix);
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

    pub(super) fn noted(
        &mut self,
        book: &Book,
        what: &str,
        mark: NotedPlace,
        place: Option<&String>,
    ) {
        let stays = self.in_hand().is_some_and(|hand| !book.fixes[hand.fix].can_be_undone());
        match mark {
            NotedPlace::From if place.is_some() => self.moved.push(Moved {
                what: what.to_owned(),
                from: place.cloned(),
                to: None,
                stays,
                put_back: None,
            }),
            NotedPlace::From => {}
            NotedPlace::To => {
                if let Some(moved) = self.moved.iter_mut().rev().find(|moved| moved.what == what) {
                    moved.to = place.cloned();
                }
            }
        }
        if let Some(hand) = self.in_hand() {
            hand.noted.retain(|(noted, _)| noted != what);
            hand.noted.push((what.to_owned(), mark == NotedPlace::From && place.is_some()));
        }
    }

    pub(super) fn found(&mut self, ids: &Ids<'_>, cause: &str, report: Option<CauseFound>) {
        let Some(cause) = self.known(ids.causes.get(cause), cause) else {
            return;
        };
        if let Some(report) = report {
            // A later look at the same cause stands in the place of the earlier one.
            self.observed.found.retain(|(c, _)| *c != cause);
            self.observed.found.push((cause, report.into()));
        }
        if let Some(hand) = self.in_hand() {
            hand.reported.push(cause);
        }
    }

    pub(super) fn ran(&mut self, book: &Book, outcome: Ran) {
        self.observed.outcomes.push(outcome.into());
        self.observed.started();
        self.observed.machine = Machine::Running;
        // After "worse" whatever can have done it is put back first, noted or not. Watching changes nothing, and what
        // is new, clean or sound stays.
        self.batch = (self.batch.take())
            .filter(|batch| outcome.is_undone() && batch.goes_back(book))
            .map(|batch| OpenBatch { ran: Some(outcome), ..batch });
    }

    pub(super) fn put_back(&mut self, what: &str, done: bool) {
        self.else_put_back(what, done);
        let mut moved = self.moved.iter_mut().rev();
        if let Some(moved) = moved.find(|m| m.what == what && m.put_back.is_none()) {
            moved.put_back = Some(done);
        }
        if self.to_put_back().is_empty() {
            self.batch = None;
        }
    }
}
