//! Symptoms that say nearly the same thing.

use super::{CauseAlone, Levels, decibans};
use crate::rulebook::index::{AnswerAt, CauseAt, Place, SymptomAt};
use crate::rulebook::model::{About, Book};

/// Two symptoms that say nearly the same thing and are in no group together: they may count one thing twice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alike {
    /// One answer.
    pub one: (SymptomAt, AnswerAt),
    /// The other.
    pub other: (SymptomAt, AnswerAt),
    /// Correlation of their weights over the causes, -1..1.
    pub correlation: f64,
    /// For how many causes both weigh more than a deciban away from their mean.
    pub causes: usize,
}

/// Fewer causes than this, moved by both, are no sign of double counting: two honest signs of one cause.
const LEAST_CAUSES: usize = 3;

/// All of them, closest first.
pub(super) fn all(alone: &CauseAlone, levels: &Levels) -> Vec<Alike> {
    let book = alone.book;
    let vectors: Vec<(SymptomAt, Vec<Vec<f64>>)> = alone
        .symptoms
        .iter()
        .map(|&symptom| {
            let answers = book.symptoms[symptom].answers.places();
            (symptom, answers.map(|answer| weights(alone, symptom, answer)).collect())
        })
        .collect();
    let mut found = Vec::new();
    for (position, (one, of_one)) in vectors.iter().enumerate() {
        for (other, of_other) in vectors.iter().skip(position + 1) {
            let group = book.symptoms[*one].group;
            if (group.is_some() && group == book.symptoms[*other].group)
                || related(book, *one, *other)
            {
                continue;
            }
            let mut best: Option<Alike> = None;
            for (x, a) in of_one.iter().enumerate() {
                for (y, b) in of_other.iter().enumerate() {
                    let moved =
                        a.iter().zip(b).filter(|(a, b)| a.abs() > 1.0 && b.abs() > 1.0).count();
                    let correlation = correlation(a, b);
                    if moved >= LEAST_CAUSES
                        && correlation >= levels.alike
                        && best.is_none_or(|best| best.correlation < correlation)
                    {
                        best = Some(Alike {
                            one: (*one, AnswerAt::at(x)),
                            other: (*other, AnswerAt::at(y)),
                            correlation,
                            causes: moved,
                        });
                    }
                }
            }
            found.extend(best);
        }
    }
    found.sort_by(|a, b| b.correlation.total_cmp(&a.correlation).then(a.one.cmp(&b.one)));
    found
}

/// A relative symptom and its parent, or two that open one another, are meant to go together.
fn related(book: &Book, one: SymptomAt, other: SymptomAt) -> bool {
    let leads = |from: SymptomAt, to: SymptomAt| {
        let waits = book.symptoms[to].only_if.iter();
        let mut waits = waits.filter_map(|condition| match &condition.about {
            About::Answer { symptom, .. } => Some(*symptom),
            About::Conveyor { .. } => None,
        });
        waits.any(|asked| asked == from) || book.network.nodes[to].parents().contains(&from)
    };
    leads(one, other) || leads(other, one)
}

/// The weight of an answer for each cause, less their mean, in decibans.
fn weights(alone: &CauseAlone, symptom: SymptomAt, answer: AnswerAt) -> Vec<f64> {
    let chance = |cause: &CauseAt| {
        alone.rows[symptom][*cause].get(answer.position()).copied().unwrap_or(0.0)
    };
    let weights: Vec<f64> = alone.causes.iter().map(|cause| decibans(chance(cause), 1.0)).collect();
    let mean = weights.iter().sum::<f64>() / weights.len().max(1) as f64;
    weights.into_iter().map(|weight| weight - mean).collect()
}

/// Correlation of two vectors whose means are 0.
fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let scale = (dot(a, a) * dot(b, b)).sqrt();
    if scale > 0.0 { dot(a, b) / scale } else { 0.0 }
}
