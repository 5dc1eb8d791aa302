//! The belief in sets of causes, exact.
//!
//! Answers that are products over the causes (a sign's no, a grade's lowest level, what was found) are
//! folded into each cause's odds. Of the others only the causes they name are *tied*; for the rest, the
//! *free* causes, elementary symmetric polynomials of their odds stand for all their subsets at once. So
//! the work grows with the tied causes, not with the book.

use std::sync::OnceLock;

use super::cure_splits::CureSplits;
use super::engine::Engine;
use super::evidence::Evidence;
use super::factors::FactoredLikelihood;
use super::sorted::{positions, union};
use super::subsets::Subsets;
use super::sums::MemberSums;
use super::symmetric::{symmetric, symmetric_without_each};
use crate::rulebook::index::{CauseAt, List, Place, sure, sure_mut};

/// Beyond so many tied causes the unlikeliest are set aside when outcomes of work tie everything.
const MOST_TIED_BY_OUTCOMES: usize = 120;
/// After so many factors the weights are brought back to where their digits are. A factor is a chance of
/// at least 0.001, so until then none of the weights that count can be lost.
const FACTORS_BETWEEN_RESCALING: usize = 16;

/// Posterior over the sets of causes present at the start.
#[derive(Debug, Clone)]
pub struct Belief {
    max: usize,
    min: usize,
    /// Odds after folding; 0 for a cause that does not apply.
    odds: List<CauseAt, f64>,
    tied: Vec<CauseAt>,
    subsets: Subsets,
    /// Weight of each tied subset, free causes not counted; scaled so that everything sums to 1.
    weights: Vec<f64>,
    /// Sum of the weights of each size.
    all: Vec<f64>,
    free: Vec<CauseAt>,
    /// Chance that it is none of the causes.
    none: f64,
    /// Elementary symmetric polynomials of the free odds, orders `0..=max`.
    symmetric: Vec<f64>,
    /// Worked out when first asked for: the chance of the evidence alone needs none of them.
    sums: OnceLock<MemberSums>,
    log_evidence: f64,
}

impl Belief {
    /// The belief after the evidence, or nothing when no set of causes can be present.
    pub fn new(engine: &Engine<'_>, evidence: &Evidence) -> Option<Self> {
        let present = engine.present();
        let prior = evidence.priors(engine.network()).map(|p| p / (1.0 - p));
        let prior_sum: f64 =
            symmetric(prior.values().copied(), present.max).iter().skip(present.min).sum();
        let FactoredLikelihood { mut odds, factors, mut log } =
            FactoredLikelihood::new(engine, evidence, prior);

        let applies = |c: &CauseAt| evidence.causes[*c];
        let scopes = factors.iter().map(|f| f.scope().iter().copied());
        let mut tied = union(scopes.map(|scope| scope.filter(applies)));
        // How the work went matters to all that is there.
        let outcomes = evidence.work.says_something() || !evidence.second.is_empty();
        if outcomes {
            tied = union([tied, seen_anew(engine, evidence)]);
            tied = tied_by_outcomes(&mut odds, &tied, &evidence.work.touched());
        }
        let mut is_tied = odds.map(|_| false);
        tied.iter().for_each(|&c| is_tied[c] = true);
        let free: Vec<CauseAt> =
            odds.iter().filter(|(c, odds)| **odds > 0.0 && !is_tied[*c]).map(|(c, _)| c).collect();

        let subsets = Subsets::new(tied.len(), present.max);
        let tied_odds: Vec<f64> = tied.iter().map(|&c| odds[c]).collect();
        let mut weights = subsets.unfold(1.0, |product, member| product * sure(&tied_odds, member));
        // Where at least one cause has to be there, the empty set stands for something else.
        let something_else = if present.min > 0 { evidence.something_else } else { 0.0 };
        if free.is_empty() && something_else <= 0.0 {
            // Nothing makes a set that is too small large enough, and it must not set the scale.
            let too_small = subsets.of_size(present.min).start;
            weights.iter_mut().take(too_small).for_each(|w| *w = 0.0);
        }
        for (number, factor) in factors.iter().enumerate() {
            let inner = Subsets::new(factor.scope().len(), present.max);
            let position = positions(&tied, factor.scope());
            subsets.multiply(&mut weights, &inner, &position, factor.values());
            if (number + 1) % FACTORS_BETWEEN_RESCALING == 0 {
                log += rescale(&mut weights);
            }
        }
        log += rescale(&mut weights);
        if outcomes {
            let mut splits = CureSplits::new(engine, evidence, &tied);
            log += splits.log();
            subsets.for_each(|members, at| {
                if let Some(weight) = weights.get_mut(at).filter(|weight| **weight > 0.0) {
                    *weight *= match members {
                        [] if something_else > 0.0 => splits.chance_of_none(),
                        _ => splits.chance(members),
                    };
                }
            });
        }
        if !evidence.second.is_empty() {
            log += rescale(&mut weights);
        }
        let odds_of_none = something_else / (1.0 - something_else) * prior_sum;
        let none = odds_of_none * weights.first().copied().unwrap_or(0.0);
        if free.is_empty() {
            let too_small = subsets.of_size(present.min).start;
            weights.iter_mut().take(too_small).for_each(|w| *w = 0.0);
        }
        let symmetric = symmetric(free.iter().map(|&c| odds[c]), present.max);
        let all = sums_by_size(&subsets, &weights, present.max);
        let belief = Self {
            max: present.max,
            min: present.min,
            odds,
            tied,
            subsets,
            weights,
            all,
            free,
            none: 0.0,
            symmetric,
            sums: OnceLock::new(),
            log_evidence: 0.0,
        };
        (prior_sum > 0.0).then(|| belief.scaled(none, log - prior_sum.ln())).flatten()
    }

    /// With chances that sum to 1; nothing when no set of causes can be present. `none` is the weight of something else,
    /// `log` what was taken out of all weights.
    fn scaled(mut self, none: f64, log: f64) -> Option<Self> {
        let causes: f64 =
            (0..=self.max).map(|j| self.all(j) * self.free_orders(j, &self.symmetric)).sum();
        if !(causes > 0.0 && causes.is_finite()) {
            return None;
        }
        self.log_evidence = causes.ln() + log;
        let total = causes + none;
        self.none = none / total;
        self.weights.iter_mut().for_each(|w| *w /= total);
        self.all.iter_mut().for_each(|sum| *sum /= total);
        Some(self)
    }

    /// The same for chances of sets of these causes (sorted) that were worked out already, in the order of
    /// [`Subsets`]; no other of so many `causes` is there.
    pub(super) fn over(tied: Vec<CauseAt>, max: usize, weights: Vec<f64>, causes: usize) -> Self {
        let subsets = Subsets::new(tied.len(), max);
        Self {
            max,
            min: 0,
            odds: List::filled(0.0, causes),
            all: sums_by_size(&subsets, &weights, max),
            tied,
            subsets,
            weights,
            free: Vec::new(),
            none: 0.0,
            symmetric: symmetric(std::iter::empty(), max),
            sums: OnceLock::new(),
            log_evidence: 0.0,
        }
    }

    /// Chance that it is none of the causes.
    pub fn something_else(&self) -> f64 {
        self.none
    }

    /// Natural logarithm of the chance of the evidence, given that between the least and the most causes
    /// are present.
    pub fn log_evidence(&self) -> f64 {
        self.log_evidence
    }

    /// Chance of each cause to have been present at the start.
    pub fn marginals(&self) -> List<CauseAt, f64> {
        let mut marginals = List::filled(0.0, self.odds.len());
        for (m, &cause) in self.tied.iter().enumerate() {
            marginals[cause] = (1..=self.subsets.most())
                .map(|j| self.sums().one(j, m) * self.free_orders(j, &self.symmetric))
                .sum();
        }
        let odds: Vec<f64> = self.free.iter().map(|&c| self.odds[c]).collect();
        for (cause, others) in self.free.iter().zip(symmetric_without_each(&odds, self.max)) {
            let sum: f64 =
                (0..self.max).map(|j| self.all(j) * self.free_orders(j + 1, &others)).sum();
            marginals[*cause] = self.odds[*cause] * sum;
        }
        marginals
    }

    /// Chance that exactly these of `scope` are present, whatever else is, for every subset of the scope
    /// (sorted) in the order of [`Subsets`]. Where it is none of the causes, none of them is.
    pub fn intersections(&self, scope: &[CauseAt]) -> Vec<f64> {
        let mut chances = self.intersections_of_causes(scope);
        if let Some(none) = chances.first_mut() {
            *none += self.none;
        }
        chances
    }

    fn intersections_of_causes(&self, scope: &[CauseAt]) -> Vec<f64> {
        if *scope == *self.tied {
            return self.weighted(&self.orders(0, &self.symmetric));
        }
        let inside: Vec<CauseAt> =
            scope.iter().copied().filter(|c| self.free.binary_search(c).is_ok()).collect();
        let seen: Vec<usize> =
            scope.iter().filter_map(|c| self.tied.binary_search(c).ok()).collect();
        let others = self.symmetric_outside(&inside);
        let layout = Subsets::new(scope.len(), self.max);
        if seen.len() == scope.len() {
            return self.tied_intersections(&seen, &layout, &self.orders(0, &others));
        }
        let tied_layout = Subsets::new(seen.len(), self.max);
        // By the number of free causes in the subset.
        let by_free: Vec<Vec<f64>> = (0..=self.max.min(inside.len()))
            .map(|free| self.tied_intersections(&seen, &tied_layout, &self.orders(free, &others)))
            .collect();
        // Each thing of the scope: its number among the tied ones, or its odds.
        let mut number = 0;
        let mut odds = vec![1.0; scope.len()];
        let mut position = vec![None; scope.len()];
        for ((cause, odds), position) in scope.iter().zip(&mut odds).zip(&mut position) {
            if self.tied.binary_search(cause).is_ok() {
                *position = Some(number);
                number += 1;
            } else {
                *odds = self.odds[*cause];
            }
        }
        let mut chances = layout.unfold(1.0, |product, member| product * sure(&odds, member));
        let sizes = |subsets: &Subsets| -> Vec<usize> {
            let places = |size| std::iter::repeat_n(size, subsets.of_size(size).len());
            (0..=subsets.most()).flat_map(places).collect()
        };
        let (sizes, tied_sizes) = (sizes(&layout), sizes(&tied_layout));
        layout.project(&tied_layout, &position, |place, at| {
            let free = sure(&sizes, place) - sure(&tied_sizes, at);
            let slot = sure_mut(&mut chances, place);
            // Where there are more than are free, one of them does not apply.
            let chance = by_free.get(free).map_or(0.0, |chances| *sure(chances, at));
            *slot = (*slot * chance).max(0.0);
        });
        chances
    }

    /// Chance that exactly these causes are present and no other, something else left out, for every subset of `scope` (sorted).
    pub fn exactly(&self, scope: &[CauseAt]) -> Vec<f64> {
        if *scope == *self.tied {
            let none: Vec<f64> =
                (0..=self.max).map(|size| if size < self.min { 0.0 } else { 1.0 }).collect();
            return self.weighted(&none);
        }
        let layout = Subsets::new(scope.len(), self.max);
        let in_tied = positions(scope, &self.tied);
        let mut chances = Vec::with_capacity(layout.len());
        let mut tied = Vec::with_capacity(self.max);
        layout.for_each(|members, _| {
            tied.clear();
            let mut odds = if members.len() < self.min { 0.0 } else { 1.0 };
            for &member in members {
                match *sure(&in_tied, member) {
                    Some(at) => tied.push(at),
                    None => odds *= self.odds[*sure(scope, member)],
                }
            }
            chances.push(odds * sure(&self.weights, self.subsets.place(&tied)));
        });
        chances
    }

    /// At most so many causes are present.
    pub fn most(&self) -> usize {
        self.max
    }

    /// The causes that may be present at all, in book order.
    pub fn possible(&self) -> Vec<CauseAt> {
        union([self.tied.clone(), self.free.clone()])
    }

    /// Sum of the orders of the free polynomial that go with `fixed` causes already present.
    fn free_orders(&self, fixed: usize, symmetric: &[f64]) -> f64 {
        let from = self.min.saturating_sub(fixed);
        let to = (self.max + 1).saturating_sub(fixed);
        symmetric.iter().take(to).skip(from).sum()
    }

    /// The same by the number of tied causes present, `free` causes being present as well.
    fn orders(&self, free: usize, symmetric: &[f64]) -> Vec<f64> {
        (0..=self.max).map(|tied| self.free_orders(tied + free, symmetric)).collect()
    }

    /// Symmetric polynomials of the free causes that are not in `inside` (sorted, all free).
    fn symmetric_outside(&self, inside: &[CauseAt]) -> Vec<f64> {
        if inside.is_empty() {
            return self.symmetric.clone();
        }
        let mut inside = inside.iter().peekable();
        let outside = self.free.iter().filter(|c| inside.next_if_eq(c).is_none());
        symmetric(outside.map(|&c| self.odds[c]), self.max)
    }

    fn all(&self, size: usize) -> f64 {
        *sure(&self.all, size)
    }

    fn sums(&self) -> &MemberSums {
        self.sums.get_or_init(|| MemberSums::new(&self.subsets, &self.weights))
    }

    /// The weights, those of each size counted so many times.
    fn weighted(&self, times: &[f64]) -> Vec<f64> {
        let mut weights = self.weights.clone();
        for (size, times) in times.iter().enumerate() {
            let of_size = sure_mut(&mut weights, self.subsets.of_size(size));
            of_size.iter_mut().for_each(|w| *w *= times);
        }
        weights
    }

    /// For every subset of `inner`, which stands for the tied causes with the numbers `seen`: the weight
    /// of all tied sets that it is the intersection of, those of each size counted so many `times`.
    fn tied_intersections(&self, seen: &[usize], inner: &Subsets, times: &[f64]) -> Vec<f64> {
        // Inclusion and exclusion costs as much as `inner` is large, and somewhat more for each.
        if self.max <= 3 && 2 * inner.len() <= self.subsets.len() {
            let (sums, subsets) = (self.sums(), &self.subsets);
            return sums.intersections((&self.all, &self.weights), subsets, (inner, seen), times);
        }
        let mut position = vec![None; self.tied.len()];
        for (number, &at) in seen.iter().enumerate() {
            *sure_mut(&mut position, at) = Some(number);
        }
        let weights = self.weighted(times);
        let mut sums = vec![0.0; inner.len()];
        self.subsets.project(inner, &position, |at, local| {
            *sure_mut(&mut sums, local) += sure(&weights, at);
        });
        sums
    }
}

/// Sum of the weights of each size.
fn sums_by_size(subsets: &Subsets, weights: &[f64], max: usize) -> Vec<f64> {
    (0..=max).map(|size| sure(weights, subsets.of_size(size)).iter().sum()).collect()
}

/// The causes of what was seen anew that apply, sorted.
fn seen_anew(engine: &Engine<'_>, evidence: &Evidence) -> Vec<CauseAt> {
    let told = evidence.second.iter().flat_map(|look| &look.told);
    let linked = told.map(|(symptom, _)| engine.network().nodes[*symptom].linked());
    union(linked.map(|linked| linked.into_iter().filter(|c| evidence.causes[*c])))
}

/// An outcome ties every cause, since "all cured" speaks of all of them. In a very large book the
/// unlikeliest are given up, so that a visit stays a matter of moments.
fn tied_by_outcomes(
    odds: &mut List<CauseAt, f64>,
    tied: &[CauseAt],
    touched: &[CauseAt],
) -> Vec<CauseAt> {
    let mut all: Vec<CauseAt> = odds.iter().filter(|(_, o)| **o > 0.0).map(|(c, _)| c).collect();
    if all.len() > MOST_TIED_BY_OUTCOMES {
        let keep = |c: &CauseAt| touched.binary_search(c).is_ok() || tied.binary_search(c).is_ok();
        all.sort_by(|a, b| {
            keep(b)
                .cmp(&keep(a))
                .then(odds[*b].total_cmp(&odds[*a]))
                .then(a.position().cmp(&b.position()))
        });
        for cause in all.split_off(MOST_TIED_BY_OUTCOMES) {
            odds[cause] = 0.0;
        }
        all.sort_unstable();
    }
    union([all, tied.to_vec()])
}

/// Chance that more than `most` causes are present, given that one is at least, before any answer.
pub fn left_out(priors: &List<CauseAt, f64>, applies: &List<CauseAt, bool>, most: usize) -> f64 {
    // Chances of 0, 1, .. `most` causes, and of none.
    let mut by_number = vec![0.0; most + 1];
    *sure_mut(&mut by_number, 0) = 1.0;
    for (_, &prior) in priors.iter().filter(|(c, _)| applies[*c]) {
        for m in (0..=most).rev() {
            let below = if m > 0 { *sure(&by_number, m - 1) } else { 0.0 };
            let slot = sure_mut(&mut by_number, m);
            *slot = *slot * (1.0 - prior) + below * prior;
        }
    }
    let none = *sure(&by_number, 0);
    let within: f64 = by_number.iter().skip(1).sum();
    if none < 1.0 { ((1.0 - none - within) / (1.0 - none)).max(0.0) } else { 0.0 }
}

/// Divides by the largest weight, so that many small factors cannot run out of digits; returns its
/// logarithm.
fn rescale(weights: &mut [f64]) -> f64 {
    let largest = weights.iter().copied().fold(0.0, f64::max);
    if largest <= 0.0 {
        return 0.0;
    }
    weights.iter_mut().for_each(|w| *w /= largest);
    largest.ln()
}
