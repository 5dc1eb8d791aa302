//! What was answered and reported, as the engine takes it.

use super::work::WorkDone;
use crate::rulebook::index::{CauseAt, List, SymptomAt};

/// What is known of one symptom.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Seen {
    /// It does not apply: no evidence, and as a parent no voice.
    Absent,
    /// It applies and was not answered, or answered "can't tell".
    Open,
    /// It was answered with this answer, from 0 in the order of the book.
    Answered(usize),
}

/// Everything that beliefs depend on.
#[derive(Debug, Clone)]
pub struct Evidence {
    /// Which causes apply.
    pub causes: List<CauseAt, bool>,
    /// What is known of each symptom.
    pub symptoms: List<SymptomAt, Seen>,
    /// Symptoms that count once, by the geometric mean of their likelihoods.
    pub groups: Vec<Vec<SymptomAt>>,
    /// What was found and done.
    pub work: WorkDone,
}

impl Evidence {
    /// Nothing answered yet; every cause and every symptom applies.
    pub fn none(causes: usize, symptoms: usize) -> Self {
        Self {
            causes: List::filled(true, causes),
            symptoms: List::filled(Seen::Open, symptoms),
            groups: Vec::new(),
            work: WorkDone::default(),
        }
    }

    /// The same answers without anything found or done.
    pub fn answers_alone(&self) -> Self {
        Self { work: WorkDone::default(), ..self.clone() }
    }

    /// The same with one symptom's state changed.
    pub fn with(&self, symptom: SymptomAt, seen: Seen) -> Self {
        let mut changed = self.clone();
        changed.symptoms[symptom] = seen;
        changed
    }

    /// The answers given, in book order, as they count: members of one group together.
    pub fn counted(&self) -> Vec<Vec<(SymptomAt, usize)>> {
        let answered = |(s, seen): (SymptomAt, &Seen)| match *seen {
            Seen::Answered(answer) => Some((s, answer)),
            Seen::Open | Seen::Absent => None,
        };
        let mut counted: Vec<Vec<(SymptomAt, usize)>> = Vec::new();
        let mut group_at: Vec<Option<usize>> = vec![None; self.groups.len()];
        for (symptom, answer) in self.symptoms.iter().filter_map(answered) {
            let group = self.groups.iter().position(|group| group.contains(&symptom));
            let known = group.and_then(|group| group_at.get_mut(group));
            match known {
                Some(Some(at)) => {
                    if let Some(members) = counted.get_mut(*at) {
                        members.push((symptom, answer));
                    }
                    continue;
                }
                Some(first) => *first = Some(counted.len()),
                None => {}
            }
            counted.push(vec![(symptom, answer)]);
        }
        counted
    }
}
