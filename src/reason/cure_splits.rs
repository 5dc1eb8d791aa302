//! The ways in which work may have gone: in which batch each cause was cured, if in any.

use std::ops::Range;

use super::engine::Engine;
use super::evidence::Evidence;
use super::history::History;
use super::second_looks::SecondLooks;
use super::work::{Batch, Outcome, WorkDone};
use crate::rulebook::index::{CauseAt, sure};

/// The ways for sets of some causes, made ready once: there are very many sets, and most causes were not
/// touched, so that there is one way for them.
#[derive(Debug)]
pub(super) struct CureSplits<'e> {
    /// How many batches there were; a cause "cured in" that one was not cured.
    never: usize,
    /// In which batch a cause may have been cured, and the chance of that; all causes in one row.
    cures: Vec<(usize, f64)>,
    /// Where those of each cause stand.
    of_cause: Vec<Range<usize>>,
    /// The batches whose outcome tells something, with the chances of what was said.
    told: Vec<(usize, OutcomeChances)>,
    /// What was seen anew after batches.
    second: Option<SecondLooks<'e>>,
    /// Room to work in: for each cause of a set which of its batches it is, and that batch.
    turn: Vec<usize>,
    cured_in: Vec<usize>,
}

/// The chance that an outcome is reported, by how things are.
#[derive(Debug, Clone, Copy)]
struct OutcomeChances {
    if_all: f64,
    if_some: f64,
    if_none: f64,
}

impl<'e> CureSplits<'e> {
    /// For sets of these causes, with what was seen anew.
    pub(super) fn new(engine: &'e Engine<'_>, evidence: &Evidence, causes: &[CauseAt]) -> Self {
        let second = SecondLooks::new(engine, evidence, causes);
        Self { second, ..Self::of_work(&evidence.work, causes) }
    }

    /// For sets of these causes, by the outcomes alone.
    fn of_work(work: &WorkDone, causes: &[CauseAt]) -> Self {
        let never = work.batches.len();
        let mut cures = Vec::new();
        let of_cause = causes.iter().map(|&cause| {
            let begin = cures.len();
            let mut before = 0.0;
            for (batch, up_to) in work.chances(cause).chain([1.0]).enumerate() {
                if up_to > before {
                    cures.push((batch, up_to - before));
                }
                before = up_to;
            }
            begin..cures.len()
        });
        let of_cause = of_cause.collect();
        let said = |(number, batch): (usize, &Batch)| {
            let said = batch.outcome.filter(|said| said.tells())?;
            let if_so = |actual| {
                if said == actual { 1.0 - work.wrong } else { work.wrong / 2.0 }
            };
            Some((
                number,
                OutcomeChances {
                    if_all: if_so(Outcome::True),
                    if_some: if_so(Outcome::Better),
                    if_none: if_so(Outcome::NoChange),
                },
            ))
        };
        Self {
            never,
            told: work.batches.iter().enumerate().filter_map(said).collect(),
            cures,
            of_cause,
            second: None,
            turn: Vec::new(),
            cured_in: Vec::new(),
        }
    }

    /// How many batches there were.
    pub(super) fn batches(&self) -> usize {
        self.never
    }

    /// Logarithm of what all chances given here are to be multiplied by.
    pub(super) fn log(&self) -> f64 {
        self.second.as_ref().map_or(0.0, SecondLooks::log)
    }

    /// Chance of the outcomes reported and of what was seen anew, split by which of the causes present
    /// remain: calls `each(bits of the remaining ones, chance)`, where the chance includes that of the
    /// outcomes. The set is given by the places of its causes among those this was made for.
    pub(super) fn split(&mut self, present: &[usize], mut each: impl FnMut(usize, f64)) {
        let never = self.never;
        self.histories(present, |history, weight| {
            let cured_in = history.cured_in.iter().enumerate();
            let left = cured_in.filter(|(_, batch)| **batch == never);
            each(left.fold(0, |bits, (i, _)| bits | 1 << i), weight);
        });
    }

    /// The same by the whole way in which the work may have gone.
    pub(super) fn histories(&mut self, present: &[usize], mut each: impl FnMut(&History<'_>, f64)) {
        let of = |place: &usize| sure(&self.cures, sure(&self.of_cause, *place).clone());
        self.turn.clear();
        self.turn.resize(present.len(), 0);
        loop {
            let mut weight = 1.0;
            self.cured_in.clear();
            for (at, place) in self.turn.iter().zip(present) {
                let (batch, chance) = *sure(of(place), *at);
                self.cured_in.push(batch);
                weight *= chance;
            }
            if weight > 0.0 {
                for (batch, said) in &self.told {
                    let cured = self.cured_in.iter().filter(|cured_in| *cured_in <= batch);
                    weight *= match cured.count() {
                        n if n == present.len() => said.if_all,
                        0 => said.if_none,
                        _ => said.if_some,
                    };
                }
                let history = History { members: present, cured_in: &self.cured_in };
                if let Some(second) = &mut self.second {
                    weight *= second.chance(&history);
                }
                each(&history, weight);
            }
            let mut more = false;
            for (at, place) in self.turn.iter_mut().zip(present) {
                *at += 1;
                if *at < of(place).len() {
                    more = true;
                    break;
                }
                *at = 0;
            }
            if !more {
                break;
            }
        }
    }

    /// The same if it was none of the causes: then no batch has cured anything, and what is seen anew is as it was.
    pub(super) fn chance_of_none(&mut self) -> f64 {
        let outcomes: f64 = self.told.iter().map(|(_, said)| said.if_none).product();
        let history = History { members: &[], cured_in: &[] };
        outcomes * self.second.as_mut().map_or(1.0, |second| second.chance(&history))
    }

    /// Chance of the outcomes reported and of what was seen anew if these causes were present at the start.
    pub(super) fn chance(&mut self, present: &[usize]) -> f64 {
        let mut sum = 0.0;
        self.split(present, |_, weight| sum += weight);
        sum
    }
}

impl WorkDone {
    /// Chance of the outcomes reported, split by which of the causes present remain: calls
    /// `each(bits of the remaining members, chance)`, where the chance includes that of the outcomes.
    pub fn split(&self, present: &[CauseAt], each: impl FnMut(usize, f64)) {
        let places: Vec<usize> = (0..present.len()).collect();
        CureSplits::of_work(self, present).split(&places, each);
    }

    /// Chance of the outcomes reported if these causes were present at the start.
    pub fn chance(&self, present: &[CauseAt]) -> f64 {
        let mut sum = 0.0;
        self.split(present, |_, weight| sum += weight);
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rulebook::index::Place;

    fn work(outcomes: &[Option<Outcome>]) -> WorkDone {
        let cures =
            [vec![(CauseAt::at(0), 0.8)], vec![(CauseAt::at(0), 0.5), (CauseAt::at(1), 0.9)]];
        let batches =
            cures.into_iter().zip(outcomes).map(|(cures, &outcome)| Batch { cures, outcome });
        WorkDone { found: Vec::new(), batches: batches.collect(), wrong: 0.05 }
    }

    #[test]
    fn chances_of_outcomes_by_hand() {
        let (a, b) = (CauseAt::at(0), CauseAt::at(1));
        let one = work(&[Some(Outcome::True), None]);
        assert!((one.chance(&[a]) - (0.8 * 0.95 + 0.2 * 0.025)).abs() < 1e-12);
        let none = work(&[Some(Outcome::NoChange), None]);
        assert!((none.chance(&[b]) - 0.95).abs() < 1e-12);
        let both = work(&[Some(Outcome::Better), Some(Outcome::True)]);
        // a cured first (0.8) and b second (0.9); else wrong reports.
        let expected = 0.8 * 0.95 * (0.9 * 0.95 + 0.1 * 0.025) + 0.2 * 0.025 * 0.025;
        assert!((both.chance(&[a, b]) - expected).abs() < 1e-12);
    }

    #[test]
    fn worse_says_nothing_and_the_best_single_chance_counts() {
        let (a, b) = (CauseAt::at(0), CauseAt::at(1));
        let worse = work(&[Some(Outcome::Worse), Some(Outcome::Worse)]);
        assert!((worse.chance(&[a, b]) - 1.0).abs() < 1e-12);
        assert!(!worse.says_something());
        assert_eq!(worse.cured(a), 0.8);
        let mut gone = 0.0;
        worse.split(&[a], |left, weight| gone += if left == 0 { weight } else { 0.0 });
        assert!((gone - 0.8).abs() < 1e-12);
    }
}
