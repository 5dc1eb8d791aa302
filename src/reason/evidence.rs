//! What was answered and reported, as the engine takes it.

use super::work::Work;
use crate::rulebook::index::{CauseAt, List, SymptomAt};

/// What is known of one symptom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
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
    pub work: Work,
}

impl Evidence {
    /// Nothing answered yet; every cause and every symptom applies.
    pub fn none(causes: usize, symptoms: usize) -> Self {
        Self {
            causes: List::filled(true, causes),
            symptoms: List::filled(Seen::Open, symptoms),
            groups: Vec::new(),
            work: Work::default(),
        }
    }

    /// The same answers without anything found or done.
    pub fn answers_alone(&self) -> Self {
        Self {
            work: Work::default(),
            ..self.clone()
        }
    }

    /// The same with one symptom's state changed.
    pub fn with(&self, symptom: SymptomAt, seen: Seen) -> Self {
        let mut changed = self.clone();
        changed.symptoms[symptom] = seen;
        changed
    }

    /// The answers given, in book order, as they count: members of one group together.
    pub fn counted(&self) -> Vec<Vec<(SymptomAt, usize)>> {
        let answered = |&s: &SymptomAt| match self.symptoms[s] {
            Seen::Answered(a) => Some((s, a)),
            _ => None,
        };
        let mut counted: Vec<Vec<_>> = self
            .groups
            .iter()
            .map(|group| group.iter().filter_map(answered).collect())
            .collect();
        counted.retain(|group: &Vec<_>| !group.is_empty());
        let grouped = |s: &SymptomAt| self.groups.iter().any(|group| group.contains(s));
        counted.extend(
            self.symptoms
                .places()
                .filter(|s| !grouped(s))
                .filter_map(|s| answered(&s))
                .map(|pair| vec![pair]),
        );
        counted.sort_unstable();
        counted
    }
}
