//! Questions that are never worth their minutes.

use super::Levels;
use crate::reason::{Belief, Facts, Worth};
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::model::{About, Book};
use crate::trade::MachineState;
use crate::visit::{Depth, Diagnosis, Observations, Reply};

/// A question that is worth little for its minutes with nothing answered, and after every single answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slow {
    /// The question.
    pub symptom: SymptomAt,
    /// The most bits per minute it reached.
    pub rate: f64,
    /// The minutes it was reckoned with, lock-out included where it needs one.
    pub minutes: f64,
    /// The answer after which it reached that; nothing: before any answer.
    pub after: Option<(SymptomAt, AnswerAt)>,
}

/// Questions that are worth up to so many times the level are told too, so that one sees how near they are.
const NEAR: f64 = 5.0;

/// Questions that stay below the level in every state or near it, the slowest first. A question that waits for answers is looked at after
/// those, too.
pub(super) fn slow(book: &Book, facts: &dyn Facts, levels: &Levels) -> Vec<Slow> {
    let diagnosis = Diagnosis::new(book);
    let mut best: Vec<Slow> = book
        .symptoms
        .iter()
        .map(|(symptom, entry)| Slow {
            symptom,
            rate: f64::NEG_INFINITY,
            minutes: match entry.state {
                MachineState::LockedOut => entry.minutes + book.minutes.lock_out,
                MachineState::Anywhere | MachineState::Running => entry.minutes,
            },
            after: None,
        })
        .collect();
    let mut look = |after: Option<(SymptomAt, AnswerAt)>, only: Option<SymptomAt>| {
        let mut observed = Observations::none(book);
        if let Some(only) = only {
            open(book, only, &mut observed);
        }
        if let Some((symptom, answer)) = after {
            open(book, symptom, &mut observed);
            observed.replies[symptom] = Reply::Answer(answer);
        }
        let finding = diagnosis.finding_to(facts, &observed, Depth::Ranking);
        let Some(belief) = Belief::new(diagnosis.engine(), &finding.evidence) else {
            return;
        };
        let open = best.iter_mut().filter(|slow| {
            finding.symptoms_apply[slow.symptom]
                && observed.replies[slow.symptom] == Reply::Unanswered
                && slow.rate < NEAR * levels.worth
                && only.is_none_or(|only| only == slow.symptom)
        });
        for slow in open {
            let worth = Worth::new(diagnosis.engine(), &finding.evidence, &belief, slow.symptom);
            let rate = worth.bits / slow.minutes.max(0.1);
            if rate > slow.rate {
                (slow.rate, slow.after) = (rate, after);
            }
        }
    };
    look(None, None);
    for (symptom, entry) in book.symptoms.iter() {
        if waits(book, symptom) {
            look(None, Some(symptom));
        }
        for answer in entry.answers.places() {
            look(Some((symptom, answer)), None);
        }
    }
    best.retain(|slow| slow.rate < NEAR * levels.worth && slow.rate > f64::NEG_INFINITY);
    best.sort_by(|a, b| a.rate.total_cmp(&b.rate).then(a.symptom.cmp(&b.symptom)));
    best
}

fn waits(book: &Book, symptom: SymptomAt) -> bool {
    let conditions = book.symptoms[symptom].only_if.iter();
    conditions.map(|condition| &condition.about).any(|about| matches!(about, About::Answer { .. }))
}

/// Gives the answers that a question waits for, and those that they wait for. Conditions are free of circles.
fn open(book: &Book, symptom: SymptomAt, observed: &mut Observations) {
    for condition in &book.symptoms[symptom].only_if {
        if let About::Answer { symptom: earlier, is } = &condition.about {
            let mut answers = book.symptoms[*earlier].answers.places();
            if let Some(answer) = answers.find(|answer| is.contains(answer) != condition.not) {
                open(book, *earlier, observed);
                observed.replies[*earlier] = Reply::Answer(answer);
            }
        }
    }
}
