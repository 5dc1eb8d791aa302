//! The ways in which work may have gone: in which batch each cause was cured, if in any.

use std::ops::Range;

use super::work::{Batch, Outcome, Work};
use crate::rulebook::index::CauseAt;

/// The ways for sets of some causes, made ready once: there are very many sets, and most causes were not
/// touched, so that there is one way for them.
#[derive(Debug)]
pub(super) struct Ways {
    /// How many batches there were; a cause "cured in" that one was not cured.
    never: usize,
    /// In which batch a cause may have been cured, and the chance of that; all causes in one row.
    cures: Vec<(usize, f64)>,
    /// Where those of each cause stand.
    of_cause: Vec<Range<usize>>,
    /// The batches whose outcome tells something, with the chances of what was said.
    told: Vec<(usize, Said)>,
    /// Room to work in: for each cause of a set which of its batches it is, and that batch.
    turn: Vec<(usize, usize)>,
}

/// The chance that an outcome is reported, by how things are.
#[derive(Debug, Clone, Copy)]
struct Said {
    if_all: f64,
    if_some: f64,
    if_none: f64,
}

impl Ways {
    /// For sets of these causes.
    pub(super) fn of(work: &Work, causes: &[CauseAt]) -> Self {
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
            let said = batch.outcome.filter(|said| *said != Outcome::Worse)?;
            let if_so = |actual| {
                if said == actual { 1.0 - work.wrong } else { work.wrong / 2.0 }
            };
            Some((
                number,
                Said {
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
            turn: Vec::new(),
        }
    }

    /// Chance of the outcomes reported, split by which of the causes present remain: calls
    /// `each(bits of the remaining ones, chance)`, where the chance includes that of the outcomes. The set
    /// is given by the places of its causes among those this was made for.
    pub(super) fn split(&mut self, present: &[usize], mut each: impl FnMut(usize, f64)) {
        let of = |place: &usize| {
            let range = self.of_cause.get(*place).cloned();
            range.and_then(|range| self.cures.get(range)).unwrap_or(&[])
        };
        self.turn.clear();
        self.turn.resize(present.len(), (0, 0));
        loop {
            let mut weight = 1.0;
            let mut remaining = 0;
            for (i, ((at, cured_in), place)) in self.turn.iter_mut().zip(present).enumerate() {
                let (batch, chance) = of(place).get(*at).copied().unwrap_or((self.never, 0.0));
                *cured_in = batch;
                weight *= chance;
                if batch == self.never {
                    remaining |= 1 << i;
                }
            }
            if weight > 0.0 {
                for (batch, said) in &self.told {
                    let cured = self.turn.iter().filter(|(_, cured_in)| cured_in <= batch);
                    weight *= match cured.count() {
                        n if n == present.len() => said.if_all,
                        0 => said.if_none,
                        _ => said.if_some,
                    };
                }
                each(remaining, weight);
            }
            let mut turned = false;
            for ((at, _), place) in self.turn.iter_mut().zip(present) {
                *at += 1;
                if *at < of(place).len() {
                    turned = true;
                    break;
                }
                *at = 0;
            }
            if !turned {
                break;
            }
        }
    }

    /// Chance of the outcomes reported if these causes were present at the start.
    pub(super) fn chance(&mut self, present: &[usize]) -> f64 {
        let mut sum = 0.0;
        self.split(present, |_, weight| sum += weight);
        sum
    }
}
