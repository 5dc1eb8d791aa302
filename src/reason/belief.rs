//! The belief in sets of causes, exact.
//!
//! Answers that are products over the causes (a sign's no, a grade's lowest level, what was found) are
//! folded into each cause's odds. Of the others only the causes they name are *tied*; for the rest, the
//! *free* causes, elementary symmetric polynomials of their odds stand for all their subsets at once. So
//! the work grows with the tied causes, not with the book.

use super::cluster::Cluster;
use super::engine::{Engine, positions, union};
use super::evidence::{Evidence, Seen};
use super::subsets::Subsets;
use crate::rulebook::index::{CauseAt, List, Place, SymptomAt};
use crate::rulebook::network::Kind;

/// Beyond so many tied causes the unlikeliest are set aside when outcomes of work tie everything.
const MOST_TIED_BY_OUTCOMES: usize = 120;

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
    free: Vec<CauseAt>,
    /// Elementary symmetric polynomials of the free odds, orders `0..=max`.
    symmetric: Vec<f64>,
    sums: Sums,
    log_evidence: f64,
}

/// Sums of weights over the subsets of each size that hold given members.
#[derive(Debug, Clone, Default)]
struct Sums {
    all: Vec<f64>,
    one: Vec<Vec<f64>>,
    /// Only for subsets of size 3, by the place of the pair less the start of the pairs.
    two: Vec<f64>,
}

/// One factor of the likelihood: a value for every subset of its scope.
struct Factor {
    scope: Vec<CauseAt>,
    values: Vec<f64>,
}

impl Belief {
    /// The belief after the evidence, or nothing when no set of causes can be present.
    pub fn of(engine: &Engine<'_>, evidence: &Evidence) -> Option<Self> {
        let network = engine.network();
        let present = engine.present();
        let prior = network.priors.iter().map(|(c, p)| {
            if evidence.causes[c] {
                p / (1.0 - p)
            } else {
                0.0
            }
        });
        let mut odds: List<CauseAt, f64> = prior.collect();
        let prior_sum: f64 = symmetric(odds.values().copied(), present.max)
            .iter()
            .skip(present.min)
            .sum();
        let mut log = 0.0;
        let factors = factors(engine, evidence, &mut odds, &mut log);

        let applies = |c: &CauseAt| evidence.causes[*c];
        let mut tied = union(
            factors
                .iter()
                .map(|f| f.scope.iter().copied().filter(applies)),
        );
        let outcomes = evidence.work.says_something();
        if outcomes {
            tied = tied_by_outcomes(&mut odds, &tied, &evidence.work.touched());
        }
        let free: Vec<CauseAt> = network
            .priors
            .places()
            .filter(|c| evidence.causes[*c] && odds[*c] > 0.0 && tied.binary_search(c).is_err())
            .collect();
        let subsets = Subsets::new(tied.len(), present.max);
        let mut weights = Vec::with_capacity(subsets.len());
        subsets.for_each(|members, _| {
            weights.push(
                members
                    .iter()
                    .filter_map(|&m| tied.get(m))
                    .map(|&c| odds[c])
                    .product(),
            );
        });
        for factor in &factors {
            let inner = Subsets::new(factor.scope.len(), present.max);
            let position = positions(&tied, &factor.scope);
            subsets.project(&inner, &position, |at, local| {
                if let (Some(weight), Some(value)) = (weights.get_mut(at), factor.values.get(local))
                {
                    *weight *= value;
                }
            });
            log += rescale(&mut weights);
        }
        if outcomes {
            let mut present_now = Vec::new();
            subsets.for_each(|members, at| {
                present_now.clear();
                present_now.extend(members.iter().filter_map(|&m| tied.get(m)).copied());
                if let Some(weight) = weights.get_mut(at) {
                    *weight *= evidence.work.chance(&present_now);
                }
            });
        }
        let symmetric = symmetric(free.iter().map(|&c| odds[c]), present.max);
        let mut belief = Self {
            max: present.max,
            min: present.min,
            odds,
            tied,
            subsets,
            weights,
            free,
            symmetric,
            sums: Sums::default(),
            log_evidence: 0.0,
        };
        belief.sums = Sums::of(&belief.subsets, &belief.weights);
        let total: f64 = (0..=belief.max)
            .map(|j| belief.all(j) * belief.free_orders(j, &belief.symmetric))
            .sum();
        if !(total > 0.0 && total.is_finite() && prior_sum > 0.0) {
            return None;
        }
        belief.log_evidence = total.ln() + log - prior_sum.ln();
        belief.weights.iter_mut().for_each(|w| *w /= total);
        belief.sums.scale(1.0 / total);
        Some(belief)
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
            marginals[cause] = (1..=self.max)
                .map(|j| self.one(j, m) * self.free_orders(j, &self.symmetric))
                .sum();
        }
        let odds: Vec<f64> = self.free.iter().map(|&c| self.odds[c]).collect();
        for (cause, others) in self
            .free
            .iter()
            .zip(symmetric_without_each(&odds, self.max))
        {
            let sum: f64 = (0..self.max)
                .map(|j| self.all(j) * self.free_orders(j + 1, &others))
                .sum();
            marginals[*cause] = self.odds[*cause] * sum;
        }
        marginals
    }

    /// Chance that exactly these of `scope` are present, whatever else is, for every subset of the scope
    /// (sorted) in the order of [`Subsets`].
    pub fn intersections(&self, scope: &[CauseAt]) -> Vec<f64> {
        let (inside, outside): (Vec<CauseAt>, Vec<CauseAt>) = self
            .free
            .iter()
            .copied()
            .partition(|c| scope.binary_search(c).is_ok());
        let others = symmetric(outside.iter().map(|&c| self.odds[c]), self.max);
        let seen: Vec<CauseAt> = scope
            .iter()
            .copied()
            .filter(|c| self.tied.binary_search(c).is_ok())
            .collect();
        let by_size = self.tied_intersections(&seen);
        let tied_subsets = Subsets::new(seen.len(), self.max);
        let layout = Subsets::new(scope.len(), self.max);
        let mut chances = Vec::with_capacity(layout.len());
        let seen_at = positions(scope, &seen);
        let free_at = positions(scope, &inside);
        let mut members_tied = Vec::with_capacity(self.max);
        layout.for_each(|members, _| {
            members_tied.clear();
            let (mut odds, mut extra) = (1.0, 0);
            for &m in members {
                if let Some(at) = seen_at.get(m).copied().flatten() {
                    members_tied.push(at);
                } else if free_at.get(m).copied().flatten().is_some() {
                    odds *= scope.get(m).map_or(0.0, |&c| self.odds[c]);
                    extra += 1;
                } else {
                    odds = 0.0;
                }
            }
            let place = tied_subsets.place(&members_tied);
            let chance: f64 = if odds > 0.0 {
                (0..=self.max - extra)
                    .map(|j| {
                        let weight = by_size
                            .get(j)
                            .and_then(|b| b.get(place))
                            .copied()
                            .unwrap_or(0.0);
                        weight * self.free_orders(j + extra, &others)
                    })
                    .sum()
            } else {
                0.0
            };
            chances.push((odds * chance).max(0.0));
        });
        chances
    }

    /// Chance that exactly these causes are present and no other, for every subset of `scope` (sorted).
    pub fn exactly(&self, scope: &[CauseAt]) -> Vec<f64> {
        let layout = Subsets::new(scope.len(), self.max);
        let mut chances = Vec::with_capacity(layout.len());
        let mut tied = Vec::with_capacity(self.max);
        layout.for_each(|members, _| {
            tied.clear();
            let mut odds = if members.len() < self.min { 0.0 } else { 1.0 };
            for &cause in members.iter().filter_map(|&m| scope.get(m)) {
                match self.tied.binary_search(&cause) {
                    Ok(at) => tied.push(at),
                    Err(_) => odds *= self.odds[cause],
                }
            }
            chances.push(
                odds * self
                    .weights
                    .get(self.subsets.place(&tied))
                    .copied()
                    .unwrap_or(0.0),
            );
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

    /// Calls `each` with every set of tied causes and the chance that just these of the tied are present.
    pub(super) fn for_each_tied(&self, mut each: impl FnMut(&[usize], f64)) {
        let orders: Vec<f64> = (0..=self.max)
            .map(|j| self.free_orders(j, &self.symmetric))
            .collect();
        self.subsets.for_each(|members, at| {
            let order = orders.get(members.len()).copied().unwrap_or(0.0);
            each(
                members,
                order * self.weights.get(at).copied().unwrap_or(0.0),
            );
        });
    }

    /// The tied causes, sorted.
    pub(super) fn tied(&self) -> &[CauseAt] {
        &self.tied
    }

    /// Sum of the orders of the free polynomial that go with `fixed` causes already present.
    fn free_orders(&self, fixed: usize, symmetric: &[f64]) -> f64 {
        let from = self.min.saturating_sub(fixed);
        let to = (self.max + 1).saturating_sub(fixed);
        symmetric.iter().take(to).skip(from).sum()
    }

    fn all(&self, size: usize) -> f64 {
        self.sums.all.get(size).copied().unwrap_or(0.0)
    }

    fn one(&self, size: usize, member: usize) -> f64 {
        self.sums
            .one
            .get(size)
            .and_then(|one| one.get(member))
            .copied()
            .unwrap_or(0.0)
    }

    /// For each size of the whole tied set: weight by its intersection with `seen` (sorted, all tied).
    fn tied_intersections(&self, seen: &[CauseAt]) -> Vec<Vec<f64>> {
        let inner = Subsets::new(seen.len(), self.max);
        if self.max <= 3 {
            return self.by_exclusion(seen, &inner);
        }
        let mut by_size = vec![vec![0.0; inner.len()]; self.max + 1];
        let position = positions(&self.tied, seen);
        let mut sizes = Vec::with_capacity(self.subsets.len());
        self.subsets
            .for_each(|members, _| sizes.push(members.len()));
        self.subsets.project(&inner, &position, |at, local| {
            let size = sizes.get(at).copied().unwrap_or(0);
            if let (Some(slot), Some(weight)) = (
                by_size.get_mut(size).and_then(|b| b.get_mut(local)),
                self.weights.get(at),
            ) {
                *slot += weight;
            }
        });
        by_size
    }

    /// Inclusion and exclusion over the members of `seen`, which is small beside the tied causes.
    #[expect(
        clippy::indexing_slicing,
        reason = "places come from the two layouts of these very lists"
    )]
    fn by_exclusion(&self, seen: &[CauseAt], inner: &Subsets) -> Vec<Vec<f64>> {
        let at: Vec<usize> = seen
            .iter()
            .filter_map(|c| self.tied.binary_search(c).ok())
            .collect();
        let mut by_size = vec![vec![0.0; inner.len()]; self.max + 1];
        for (size, slots) in by_size.iter_mut().enumerate() {
            slots[0] = self.all(size);
        }
        let pairs = self.subsets.place(&[]) + 1 + self.subsets.things();
        for (i, &a) in at.iter().enumerate() {
            let single = inner.place(&[i]);
            for (size, slots) in by_size.iter_mut().enumerate().skip(1) {
                let weight = self.one(size, a);
                slots[single] += weight;
                slots[0] -= weight;
            }
            if self.max < 2 {
                continue;
            }
            for (j, &b) in at.iter().enumerate().take(i) {
                let (pair, other) = (inner.place(&[j, i]), inner.place(&[j]));
                let tied_pair = self.subsets.place(&[b, a]);
                for (size, slots) in by_size.iter_mut().enumerate().skip(2) {
                    let weight = if size == 2 {
                        self.weights[tied_pair]
                    } else {
                        self.sums.two[tied_pair - pairs]
                    };
                    slots[pair] += weight;
                    slots[single] -= weight;
                    slots[other] -= weight;
                    slots[0] += weight;
                }
                if self.max < 3 {
                    continue;
                }
                let slots = &mut by_size[3];
                for (k, &c) in at.iter().enumerate().take(j) {
                    let weight = self.weights[self.subsets.place(&[c, b, a])];
                    slots[inner.place(&[k, j, i])] += weight;
                    slots[pair] -= weight;
                    slots[inner.place(&[k, i])] -= weight;
                    slots[inner.place(&[k, j])] -= weight;
                    slots[single] += weight;
                    slots[other] += weight;
                    slots[inner.place(&[k])] += weight;
                    slots[0] -= weight;
                }
            }
        }
        by_size
    }
}

impl Sums {
    fn of(subsets: &Subsets, weights: &[f64]) -> Self {
        let (n, most) = (subsets.things(), subsets.most());
        let mut all = vec![0.0; most + 1];
        let mut one = vec![vec![0.0; n]; most + 1];
        // Asked for even when there are too few things for a subset of size 3.
        let mut two = vec![0.0; n * n.saturating_sub(1) / 2];
        let pairs = 1 + n;
        subsets.for_each(|members, at| {
            let weight = weights.get(at).copied().unwrap_or(0.0);
            let size = members.len();
            if let Some(slot) = all.get_mut(size) {
                *slot += weight;
            }
            if let Some(one) = one.get_mut(size) {
                for slot in members.iter().filter_map(|&m| Some(m).filter(|m| *m < n)) {
                    if let Some(slot) = one.get_mut(slot) {
                        *slot += weight;
                    }
                }
            }
            if most == 3
                && let [a, b, c] = *members
            {
                for pair in [[a, b], [a, c], [b, c]] {
                    if let Some(slot) = two.get_mut(subsets.place(&pair) - pairs) {
                        *slot += weight;
                    }
                }
            }
        });
        Self { all, one, two }
    }

    fn scale(&mut self, by: f64) {
        self.all
            .iter_mut()
            .chain(self.one.iter_mut().flatten())
            .chain(&mut self.two)
            .for_each(|x| *x *= by);
    }
}

/// The factors of the likelihood that are not products over causes; those that are go into `odds`.
fn factors(
    engine: &Engine<'_>,
    evidence: &Evidence,
    odds: &mut List<CauseAt, f64>,
    log: &mut f64,
) -> Vec<Factor> {
    let max = engine.present().max;
    for found in &evidence.work.found {
        odds[found.cause] *= found.if_present / found.if_absent;
        *log += found.if_absent.ln();
    }
    let clusters = Cluster::all(engine, evidence, None);
    let mut factors: Vec<Factor> = clusters
        .into_iter()
        .map(|cluster| Factor {
            values: cluster.values(max),
            scope: cluster.scope,
        })
        .collect();
    let has_open_parent = |s: SymptomAt| {
        engine
            .parents(s)
            .iter()
            .any(|&p| evidence.symptoms[p] == Seen::Open)
    };
    for counted in evidence.counted() {
        match *counted.as_slice() {
            [(symptom, _)] if has_open_parent(symptom) => {}
            [(symptom, answer)] => {
                if !fold(engine, symptom, answer, odds, log) {
                    factors.push(single(engine, evidence, symptom, answer));
                }
            }
            ref group => factors.push(geometric_mean(engine, evidence, group)),
        }
    }
    factors
}

/// Folds an answer that is a product over causes into the odds; false when it is not one.
fn fold(
    engine: &Engine<'_>,
    symptom: SymptomAt,
    answer: usize,
    odds: &mut List<CauseAt, f64>,
    log: &mut f64,
) -> bool {
    match &engine.network().nodes[symptom].kind {
        Kind::Sign { leak, links } if answer == 0 => {
            *log += (1.0 - leak).ln();
            for (cause, link) in links {
                odds[*cause] *= 1.0 - link;
            }
            true
        }
        Kind::Grade { base, rows } if answer == 0 => {
            *log += base.first().copied().unwrap_or(1.0).ln();
            for (cause, row) in rows {
                odds[*cause] *= row.first().copied().unwrap_or(1.0);
            }
            true
        }
        _ => false,
    }
}

fn single(engine: &Engine<'_>, evidence: &Evidence, symptom: SymptomAt, answer: usize) -> Factor {
    if engine.parents(symptom).is_empty() {
        let table = engine.table(symptom);
        return Factor {
            scope: table.scope.clone(),
            values: table.column(answer),
        };
    }
    let table = super::engine::Table::of(
        &engine.network().nodes[symptom],
        engine.present().max,
        |parent| match evidence.symptoms[parent] {
            Seen::Answered(a) => Some(a),
            _ => None,
        },
    );
    Factor {
        values: table.column(answer),
        scope: table.scope,
    }
}

fn geometric_mean(
    engine: &Engine<'_>,
    evidence: &Evidence,
    group: &[(SymptomAt, usize)],
) -> Factor {
    let members: Vec<Factor> = group
        .iter()
        .map(|&(s, a)| single(engine, evidence, s, a))
        .collect();
    let scope = union(members.iter().map(|f| f.scope.iter().copied()));
    let max = engine.present().max;
    let layout = Subsets::new(scope.len(), max);
    let mut values = vec![1.0; layout.len()];
    #[expect(
        clippy::cast_precision_loss,
        reason = "a group has a handful of members"
    )]
    let share = 1.0 / group.len() as f64;
    for factor in members {
        let inner = Subsets::new(factor.scope.len(), max);
        layout.project(&inner, &positions(&scope, &factor.scope), |at, local| {
            if let (Some(slot), Some(value)) = (values.get_mut(at), factor.values.get(local)) {
                *slot *= value.powf(share);
            }
        });
    }
    Factor { scope, values }
}

/// An outcome ties every cause, since "all cured" speaks of all of them. In a very large book the
/// unlikeliest are given up, so that a visit stays a matter of moments.
fn tied_by_outcomes(
    odds: &mut List<CauseAt, f64>,
    tied: &[CauseAt],
    touched: &[CauseAt],
) -> Vec<CauseAt> {
    let mut all: Vec<CauseAt> = odds
        .iter()
        .filter(|(_, o)| **o > 0.0)
        .map(|(c, _)| c)
        .collect();
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
    if let Some(none) = by_number.first_mut() {
        *none = 1.0;
    }
    for (_, &prior) in priors.iter().filter(|(c, _)| applies[*c]) {
        for m in (0..=most).rev() {
            let below = if m > 0 {
                by_number.get(m - 1).copied().unwrap_or(0.0)
            } else {
                0.0
            };
            if let Some(slot) = by_number.get_mut(m) {
                *slot = *slot * (1.0 - prior) + below * prior;
            }
        }
    }
    let none = by_number.first().copied().unwrap_or(1.0);
    let within: f64 = by_number.iter().skip(1).sum();
    if none < 1.0 {
        ((1.0 - none - within) / (1.0 - none)).max(0.0)
    } else {
        0.0
    }
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

/// Elementary symmetric polynomials of orders `0..=max`.
fn symmetric(odds: impl Iterator<Item = f64>, max: usize) -> Vec<f64> {
    let mut orders = vec![0.0; max + 1];
    if let Some(first) = orders.first_mut() {
        *first = 1.0;
    }
    for o in odds {
        times(&mut orders, o);
    }
    orders
}

/// Multiplies a polynomial by `1 + o x`, cut at its length.
fn times(orders: &mut [f64], o: f64) {
    for m in (1..orders.len()).rev() {
        let below = orders.get(m - 1).copied().unwrap_or(0.0);
        if let Some(slot) = orders.get_mut(m) {
            *slot += o * below;
        }
    }
}

/// The same without each one in turn. From both ends, since dividing would lose digits.
fn symmetric_without_each(odds: &[f64], max: usize) -> Vec<Vec<f64>> {
    let mut after = vec![symmetric(std::iter::empty(), max)];
    for &o in odds.iter().rev() {
        let mut next = after.last().cloned().unwrap_or_default();
        times(&mut next, o);
        after.push(next);
    }
    after.pop();
    let mut before = symmetric(std::iter::empty(), max);
    let mut without = Vec::with_capacity(odds.len());
    for (&o, after) in odds.iter().zip(after.iter().rev()) {
        without.push(
            (0..=max)
                .map(|m| {
                    before
                        .iter()
                        .take(m + 1)
                        .zip(after.iter().take(m + 1).rev())
                        .map(|(a, b)| a * b)
                        .sum()
                })
                .collect(),
        );
        times(&mut before, o);
    }
    without
}
