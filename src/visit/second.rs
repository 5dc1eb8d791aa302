//! What was seen anew after batches: what applied then, what counts, and what is so now.

use super::finding::{Observations, SeenAnew};
use crate::conveyor::facts::Facts;
use crate::reason::{Applicability, SecondLook};
use crate::rulebook::index::{AnswerAt, List, Place, SymptomAt};
use crate::rulebook::model::Book;

/// What applies at the start and by now, and what was seen in between.
pub(super) struct OverTime {
    /// At the start: which causes apply is a matter of this.
    pub(super) start: Applicability,
    pub(super) looks: Vec<SeenAnew>,
    /// Now, by the latest answers; nothing while nothing was seen anew.
    pub(super) now: Option<Applicability>,
}

impl OverTime {
    /// Goes through the looks in order. Conditions are judged by the latest answers of each time.
    pub(super) fn new(book: &Book, facts: &Facts, observed: &Observations) -> Self {
        let start = Applicability::new(book, facts, &observed.answers());
        let mut latest = start.counted.clone();
        let (mut looks, mut now) = (Vec::new(), None);
        for (after_batch, told) in told(observed) {
            let mut given = latest.clone();
            told.iter().for_each(|(symptom, answer)| given[*symptom] = Some(*answer));
            let applies = Applicability::new(book, facts, &given);
            let (answers, idle): (Vec<_>, Vec<_>) =
                told.into_iter().partition(|(symptom, _)| applies.symptoms[*symptom]);
            answers.iter().for_each(|(symptom, answer)| latest[*symptom] = Some(*answer));
            let is_idle = |symptom| idle.iter().any(|(idle, _)| *idle == symptom);
            let ignored = applies.ignored.iter().filter(|(symptom, _)| is_idle(*symptom));
            looks.push(SeenAnew {
                after_batch,
                answers,
                ignored: ignored.cloned().collect(),
                applies: applies.symptoms.clone(),
            });
            now = Some(applies);
        }
        Self { start, looks, now }
    }

    /// The looks as the engine takes them.
    pub(super) fn evidence(&self) -> Vec<SecondLook> {
        let looks = self.looks.iter().map(|look| SecondLook {
            after: look.after_batch,
            applies: look.applies.clone(),
            told: look.answers.iter().map(|(s, a)| (*s, a.position())).collect(),
        });
        looks.collect()
    }

    /// The latest answers that count and apply by now, and what follows from them.
    pub(super) fn latest(&self) -> List<SymptomAt, Option<AnswerAt>> {
        self.now.as_ref().unwrap_or(&self.start).told.clone()
    }
}

/// The answers of each look in order, the last one being now: something may have been done since.
fn told(observed: &Observations) -> Vec<(usize, Vec<(SymptomAt, AnswerAt)>)> {
    let looks = observed.second.iter();
    let mut told: Vec<_> = looks.map(|look| (look.after_batch, look.answers().collect())).collect();
    let now = observed.now();
    if told.last().is_some_and(|(after, _)| *after < now) {
        told.push((now, Vec::new()));
    }
    told
}
