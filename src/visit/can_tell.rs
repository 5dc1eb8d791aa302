//! Whether somebody can tell a thing: by what he has at hand, and by what he could tell so far.

use super::finding::{Observations, Reply};
use super::means::Means;
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::{Book, ToldBy};

/// Chances to be told, by how things are told.
pub(super) struct CanTell {
    history: f64,
    seen: f64,
    felt: f64,
    measured: f64,
    means: Means,
}

impl CanTell {
    /// (a + told) / (a + b + told + untold) for each way of telling: a and b from the book, the rest from this visit.
    pub(super) fn learnt(book: &Book, observed: &Observations) -> Self {
        let start = observed.replies.iter().map(|(symptom, reply)| (symptom, *reply));
        let later = observed.second.iter().flat_map(|look| look.replies.iter().copied());
        let replies: Vec<(SymptomAt, Reply)> = start.chain(later).collect();
        let chance = |by: ToldBy| {
            let mine =
                || replies.iter().filter(|(symptom, _)| book.symptoms[*symptom].told_by == by);
            let told = mine().filter(|(_, reply)| matches!(reply, Reply::Answer(_))).count();
            let untold = mine().filter(|(_, reply)| *reply == Reply::CantTell).count();
            let weight = book.told.weight_answers;
            (book.told.chance(by) * weight + told as f64) / (weight + (told + untold) as f64)
        };
        Self {
            history: chance(ToldBy::History),
            seen: chance(ToldBy::Seen),
            felt: chance(ToldBy::Felt),
            measured: chance(ToldBy::Measured),
            means: observed.means.clone(),
        }
    }

    /// The chance that a symptom's question is answered, 0..1; 0 for what needs means that are not at hand.
    pub(super) fn chance(&self, book: &Book, symptom: SymptomAt) -> f64 {
        let entry = &book.symptoms[symptom];
        if !self.means.suffice(book, symptom) {
            return 0.0;
        }
        match entry.told_by {
            ToldBy::History => self.history,
            ToldBy::Seen => self.seen,
            ToldBy::Felt => self.felt,
            ToldBy::Measured => self.measured,
        }
    }
}
