//! What a person decides otherwise than the plan, replayed: jobs picked and put off, something else that was found, and
//! what they say cured it.

use super::event::CuredBy;
use super::something_else::{ElseHow, SaidCured, SomethingElse};
use super::state::{OpenBatch, VisitState};
use crate::rulebook::ids::Ids;

impl VisitState {
    /// The something else of which it was nobody has said yet what was done.
    pub fn else_open(&self) -> Option<&SomethingElse> {
        self.observed.something_else.iter().rev().find(|told| told.became.is_none())
    }

    pub(super) fn put_off(&mut self, ids: &Ids<'_>, fix: &str) {
        let Some(fix) = self.known(ids.fixes.get(fix), fix) else { return };
        self.picked = self.picked.filter(|picked| *picked != fix);
        self.observed.put_off.retain(|off| *off != fix);
        self.observed.put_off.push(fix);
    }

    pub(super) fn picked(&mut self, ids: &Ids<'_>, fix: &str) {
        let Some(fix) = self.known(ids.fixes.get(fix), fix) else { return };
        self.observed.put_off.retain(|off| *off != fix);
        self.picked = Some(fix);
    }

    pub(super) fn something_else(&mut self, said: [&Option<String>; 3]) {
        let [what, place, part] = said.map(Clone::clone);
        let told = SomethingElse { what, place, part, became: None, batch: None };
        self.observed.something_else.push(told);
    }

    /// Something else that was put right is a change like any work: the belt is run and watched after it, with or
    /// without a job of the book in the same batch.
    pub(super) fn else_dealt_with(&mut self, how: ElseHow, locked_out: bool) {
        let moved_before = self.moved.len();
        let mut told = self.observed.something_else.iter_mut().rev();
        let Some(told) = told.find(|told| told.became.is_none()) else { return };
        told.became = Some(how);
        if how == ElseHow::Noted {
            return;
        }
        let batch = self.batch.get_or_insert_with(|| OpenBatch::begun(locked_out, moved_before));
        if !batch.has_changed() {
            self.observed.done.push(Vec::new());
            if how == ElseHow::Watch {
                batch.locked_out = locked_out;
            }
        }
        told.batch = self.observed.done.len().checked_sub(1);
        batch.besides.push(told.words());
        if how == ElseHow::Watch {
            batch.at = None;
            let worked = &batch.worked;
            batch.fixes.retain(|fix| worked.iter().any(|(done, _)| done == fix));
        }
    }

    /// Something else that was put back as it was is put right no longer.
    pub(super) fn else_put_back(&mut self, what: &str, done: bool) {
        let latest = self.observed.done.len().checked_sub(1);
        let told = self.observed.something_else.iter_mut();
        for told in told.filter(|told| done && told.batch.is_some() && told.batch == latest) {
            if what.contains(&told.words()) {
                told.became = Some(ElseHow::Noted);
            }
        }
    }

    pub(super) fn said_cured(&mut self, ids: &Ids<'_>, by: &CuredBy) {
        self.observed.said_cured = Some(match by {
            CuredBy::SomethingElse(place) => SaidCured::SomethingElse(*place),
            CuredBy::NotClear => SaidCured::NotClear,
            CuredBy::Cause(cause) => match self.known(ids.causes.get(cause.as_str()), cause) {
                Some(cause) => SaidCured::Cause(cause),
                None => SaidCured::NotClear,
            },
        });
    }
}
