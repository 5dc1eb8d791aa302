//! What was answered and reported, as the engine takes it.

use super::work::{Batch, WorkDone};
use crate::rulebook::index::{CauseAt, List, SymptomAt};
use crate::rulebook::network::Network;

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
    /// How likely each cause is on this conveyor before any answer, 0..1; the network's own where nothing is said.
    pub priors: Option<List<CauseAt, f64>>,
    /// How likely it is none of the causes, before any answer, 0..1. Then nothing answers but leaks, backgrounds and
    /// bases, and no work changes anything.
    pub something_else: f64,
    /// What is known of each symptom.
    pub symptoms: List<SymptomAt, Seen>,
    /// Symptoms that count once, by the geometric mean of their likelihoods.
    pub groups: Vec<Vec<SymptomAt>>,
    /// What was found and done.
    pub work: WorkDone,
    /// What was seen anew after batches, in order. The last one is now: questions are asked of what is left
    /// then. Without any they are asked of the start.
    pub second: Vec<SecondLook>,
    /// Symptoms of the past: whenever it is told, an answer is of the start.
    pub history: List<SymptomAt, bool>,
    /// Chance that an answer only repeats the earlier one, while the causes it hangs on are the same.
    pub same_again: f64,
}

/// What was seen anew after a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondLook {
    /// After so many batches; at least 1.
    pub after: usize,
    /// Which symptoms apply by then.
    pub applies: List<SymptomAt, bool>,
    /// What was answered then.
    pub told: Vec<(SymptomAt, usize)>,
}

impl SecondLook {
    /// What was answered then to one symptom's question.
    pub fn answer(&self, symptom: SymptomAt) -> Option<usize> {
        self.told.iter().find(|(told, _)| *told == symptom).map(|(_, answer)| *answer)
    }
}

impl Evidence {
    /// Nothing answered yet; every cause and every symptom applies.
    pub fn none(causes: usize, symptoms: usize) -> Self {
        Self {
            causes: List::filled(true, causes),
            priors: None,
            something_else: 0.0,
            symptoms: List::filled(Seen::Open, symptoms),
            groups: Vec::new(),
            work: WorkDone::default(),
            second: Vec::new(),
            history: List::filled(false, symptoms),
            same_again: 0.0,
        }
    }

    /// How likely each cause is before any answer, 0 for one that does not apply.
    pub fn priors(&self, network: &Network) -> List<CauseAt, f64> {
        let priors = self.priors.as_ref().unwrap_or(&network.priors).iter();
        priors.map(|(cause, prior)| if self.causes[cause] { *prior } else { 0.0 }).collect()
    }

    /// The same answers without what was found, and without how the belt ran after a batch. What was done
    /// stays where answers speak of what it left.
    pub fn answers_alone(&self) -> Self {
        let mut work = WorkDone::default();
        if !self.second.is_empty() {
            let done = self.work.batches.iter();
            work.batches = done.map(|b| Batch { cures: b.cures.clone(), outcome: None }).collect();
        }
        Self { work, ..self.clone() }
    }

    /// After how many batches questions are asked now: 0 at the start.
    pub fn now(&self) -> usize {
        self.second.last().map_or(0, |look| look.after)
    }

    /// Of which time the answer to a symptom's question is that is asked now.
    pub fn asked_at(&self, symptom: SymptomAt) -> usize {
        if self.history[symptom] { 0 } else { self.now() }
    }

    /// What is known of a symptom after so many batches, by the latest answer until then.
    pub fn seen_at(&self, time: usize, symptom: SymptomAt) -> Seen {
        let looks = self.second.iter().rev().skip_while(|look| look.after > time);
        let Some(last) = looks.clone().next() else {
            return self.symptoms[symptom];
        };
        if !last.applies[symptom] {
            return Seen::Absent;
        }
        let told = looks.clone().find_map(|look| look.answer(symptom));
        match (told, self.symptoms[symptom]) {
            (Some(answer), _) => Seen::Answered(answer),
            (None, Seen::Answered(answer)) => Seen::Answered(answer),
            (None, Seen::Open | Seen::Absent) => Seen::Open,
        }
    }

    /// The latest answer to a symptom's question before that time: after how many batches, and which.
    pub fn before(&self, time: usize, symptom: SymptomAt) -> Option<(usize, usize)> {
        let mut looks = self.second.iter().rev().skip_while(|look| look.after >= time);
        let told = looks.find_map(|look| Some((look.after, look.answer(symptom)?)));
        told.or(match self.symptoms[symptom] {
            Seen::Answered(answer) if time > 0 => Some((0, answer)),
            _ => None,
        })
    }

    /// The same once a question asked now is answered.
    pub fn told(&self, symptom: SymptomAt, answer: usize) -> Self {
        let mut changed = self.clone();
        let history = self.history[symptom];
        match changed.second.last_mut().filter(|_| !history) {
            None => changed.symptoms[symptom] = Seen::Answered(answer),
            Some(look) => {
                look.told.retain(|(told, _)| *told != symptom);
                look.told.push((symptom, answer));
                look.told.sort_unstable();
            }
        }
        changed
    }

    /// The same without an answer that was given after so many batches.
    pub fn without(&self, time: usize, symptom: SymptomAt) -> Self {
        if time == 0 {
            return self.with(symptom, Seen::Open);
        }
        let mut changed = self.clone();
        for look in changed.second.iter_mut().filter(|look| look.after == time) {
            look.told.retain(|(told, _)| *told != symptom);
        }
        changed
    }

    /// The same with what is known of one symptom at the start changed.
    pub fn with(&self, symptom: SymptomAt, seen: Seen) -> Self {
        let mut changed = self.clone();
        changed.symptoms[symptom] = seen;
        changed
    }

    /// The answers given at the start, in book order, as they count: members of one group together.
    pub fn counted(&self) -> Vec<Vec<(SymptomAt, usize)>> {
        let answered = |(s, seen): (SymptomAt, &Seen)| match *seen {
            Seen::Answered(answer) => Some((s, answer)),
            Seen::Open | Seen::Absent => None,
        };
        self.by_group(self.symptoms.iter().filter_map(answered))
    }

    /// The same for answers in book order that were given at one time.
    pub fn by_group(
        &self,
        answers: impl Iterator<Item = (SymptomAt, usize)>,
    ) -> Vec<Vec<(SymptomAt, usize)>> {
        let mut counted: Vec<Vec<(SymptomAt, usize)>> = Vec::new();
        let mut group_at: Vec<Option<usize>> = vec![None; self.groups.len()];
        for (symptom, answer) in answers {
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
