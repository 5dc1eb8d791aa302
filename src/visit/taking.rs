//! How a look is taken in: what is ticked in one list first, then one thing after another, and of these what an answer
//! has not made idle.

use std::collections::BTreeSet;

use super::finding::Finding;
use super::findings::Diagnosis;
use super::looks::LEAST_BITS;
use super::questions::{askable, asked_anew};
use crate::reason::{Belief, Looked, Worth};
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::{About, Book};

/// So many things stand in one tick list.
const MOST_TICKS: usize = 7;

/// What is told next of these, in one go: the tick list where two or more can be ticked, else the first of them.
pub fn told_in_one_go(book: &Book, open: &[SymptomAt]) -> Vec<SymptomAt> {
    let ticks = tick_list(book, open);
    match ticks.len() {
        0 => open.first().copied().into_iter().collect(),
        _ => ticks,
    }
}

/// What of these is ticked in one list: what is there or is not, without what waits for another of them, and one of each
/// group.
fn tick_list(book: &Book, open: &[SymptomAt]) -> Vec<SymptomAt> {
    let mut ticks: Vec<SymptomAt> = Vec::new();
    for &symptom in open {
        let entry = &book.symptoms[symptom];
        let waits = entry.only_if.iter().any(|condition| match &condition.about {
            About::Answer { symptom: other, .. } => open.contains(other),
            About::Conveyor { .. } => false,
        });
        let group = |other: &SymptomAt| book.symptoms[*other].group;
        let counted =
            entry.group.is_some() && ticks.iter().any(|other| group(other) == entry.group);
        if !entry.tick.is_empty() && !waits && !counted && ticks.len() < MOST_TICKS {
            ticks.push(symptom);
        }
    }
    ticks
}

impl Diagnosis<'_> {
    /// What is left to take in of a look in hand: the items that may still be put, and that still tell something after
    /// what was told there. What is asked anew after work always is.
    pub fn left_to_take_in(&self, open: &Finding, items: &[SymptomAt]) -> Vec<SymptomAt> {
        let book = self.book();
        let anew: BTreeSet<SymptomAt> = asked_anew(book, open).collect();
        let may_be_put: BTreeSet<SymptomAt> = askable(book, open).collect();
        let belief = Belief::new(self.engine(), &open.evidence);
        let mut looked = belief.as_ref().map(Looked::at);
        let mut tells = |symptom: SymptomAt| match &mut looked {
            Some(looked) => {
                let worth = Worth::looked_at(self.engine(), &open.evidence, looked, symptom);
                worth.bits >= LEAST_BITS
            }
            None => true,
        };
        let left = items.iter().copied();
        left.filter(|symptom| {
            anew.contains(symptom) || (may_be_put.contains(symptom) && tells(*symptom))
        })
        .collect()
    }
}
