//! How well somebody sees: what he cannot tell, and what he overlooks. Chance settled by a seed, so that a run made again
//! sees the same.

use super::noise;
use crate::rulebook::index::{AnswerAt, Place, SymptomAt};
use crate::rulebook::model::{Book, Symptom, ToldBy};
use crate::trade::MachineState;

/// How well somebody sees before any work; with the machine locked out and hands on it everything is told as it is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Eyes {
    /// How often things cannot be told, in the mean over all people, 0..1. Each person has a share of his own for each
    /// way of knowing.
    pub unsure: f64,
    /// How often a sign that is there is taken for not there, 0..1.
    pub miss: f64,
}

/// The eyes of one person.
#[derive(Debug, Clone, Copy)]
pub(super) struct Person {
    eyes: Eyes,
    seed: u64,
}

impl Person {
    /// The same seed gives the same person.
    pub(super) fn new(eyes: Eyes, seed: u64) -> Self {
        Self { eyes, seed }
    }

    /// How well this person sees.
    pub(super) fn eyes(&self) -> Eyes {
        self.eyes
    }

    /// What is told of a symptom that shows this, on this occasion.
    pub(super) fn tells(
        &self,
        book: &Book,
        symptom: SymptomAt,
        shows: Option<AnswerAt>,
        occasion: u32,
    ) -> Option<AnswerAt> {
        let entry = &book.symptoms[symptom];
        let by_hand = entry.state == MachineState::LockedOut;
        if by_hand || (self.eyes.unsure <= 0.0 && self.eyes.miss <= 0.0) {
            return shows;
        }
        let mut rng = noise::rng(self.seed, &format!("eyes {occasion} {}", entry.id));
        let (untold, missed) = (rng.f64(), rng.f64());
        if untold < self.share_untold(entry.told_by) {
            return None;
        }
        let no = AnswerAt::at(0);
        match shows {
            Some(answer) if is_sign(entry) && answer != no && missed < self.eyes.miss => Some(no),
            shows => shows,
        }
    }

    /// The share of what is known in this way that this person cannot tell: u to the power (1 - p) / p, u drawn evenly
    /// from 0 to 1, which is p in the mean.
    fn share_untold(&self, by: ToldBy) -> f64 {
        let p = self.eyes.unsure;
        if p <= 0.0 {
            return 0.0;
        }
        let u = noise::rng(self.seed, &format!("person {by:?}")).f64();
        u.powf((1.0 - p) / p)
    }
}

fn is_sign(symptom: &Symptom) -> bool {
    !symptom.tick.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::load;

    /// Integral of u^((1 - p) / p) over 0..1 is p: four standard errors of 4,000 people.
    #[test]
    fn people_are_unsure_as_often_as_asked_in_the_mean() {
        for p in [0.2, 0.6] {
            let eyes = Eyes { unsure: p, miss: 0.0 };
            let people = (0..4_000).map(|seed| Person::new(eyes, seed).share_untold(ToldBy::Seen));
            let shares: Vec<f64> = people.collect();
            let mean = shares.iter().sum::<f64>() / 4_000.0;
            let square = shares.iter().map(|share| (share - mean).powi(2)).sum::<f64>() / 4_000.0;
            assert!((mean - p).abs() < 4.0 * (square / 4_000.0).sqrt(), "{mean}");
        }
    }

    #[test]
    fn only_signs_that_are_there_are_overlooked_and_only_before_work() {
        let book = load::default_book().unwrap();
        let blind = Person::new(Eyes { unsure: 0.0, miss: 1.0 }, 1);
        for (symptom, entry) in book.symptoms.iter() {
            for answer in entry.answers.places() {
                let told = blind.tells(&book, symptom, Some(answer), 0);
                let overlooked = is_sign(entry) && entry.state != MachineState::LockedOut;
                let expected = if overlooked { AnswerAt::at(0) } else { answer };
                assert_eq!(told, Some(expected), "{}", entry.id);
            }
        }
        let lost = Person::new(Eyes { unsure: 1.0, miss: 0.0 }, 1);
        for (symptom, entry) in book.symptoms.iter() {
            let told = lost.tells(&book, symptom, Some(AnswerAt::at(0)), 0);
            assert_eq!(told.is_some(), entry.state == MachineState::LockedOut, "{}", entry.id);
        }
    }
}
