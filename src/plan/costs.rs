//! What an order of fixes costs when it is cut into batches as well as can be.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::order::{Orders, bit};
use super::planning_problem::{PlanningProblem, Sequence};
use super::prices::{Price, Prices};
use super::sets::Sets;
use super::there::Parts;
use crate::rulebook::index::sure;

/// As much may be lost in the digits of what is left uncured, and more.
const LOST: f64 = 1e-10;

/// Works out costs of orders. What is left uncured depends on the set of fixes done and nothing else, and
/// orders that are much alike pass through the same sets, so it is kept for every set met.
pub(super) struct Costs<'p> {
    problem: &'p PlanningProblem,
    sets: &'p Sets,
    parts: &'p Parts<'p>,
    prices: Prices,
    /// What counts of each fix.
    fixes: Vec<OrderedFix>,
    known: HashMap<u128, f64, BuildHasherDefault<Mixer>>,
    cured: Vec<f64>,
    /// The order looked at.
    row: Vec<OrderedFix>,
    /// What is left before each fix of the order.
    left: Vec<Uncured>,
    /// Least cost to go from each fix of the order, and where the batch that begins there ends.
    best: Vec<(f64, usize)>,
}

/// A fix where it stands in an order.
#[derive(Clone, Copy)]
struct OrderedFix {
    number: usize,
    price: Price,
    /// Minutes that it costs for what is there when its turn comes, wherever its batch begins.
    there_minutes: f64,
    locked: bool,
    bit: u128,
    needs: u128,
    not_behind: u128,
}

/// Chance that something is left before a fix of an order.
#[derive(Clone, Copy)]
struct Uncured {
    chance: f64,
    /// Whether that is known; otherwise it is so much or more.
    known: bool,
}

impl<'p> Costs<'p> {
    pub(super) fn new(
        problem: &'p PlanningProblem,
        orders: &Orders,
        sets: &'p Sets,
        parts: &'p Parts<'p>,
    ) -> Self {
        let prices = Prices::new(problem);
        let fixes = problem.fixes.iter().enumerate();
        let fixes = fixes.zip(orders.needs.iter().zip(&orders.not_behind));
        let fixes = fixes.map(|((number, fix), (&needs, &not_behind))| OrderedFix {
            number,
            price: prices.of(number),
            there_minutes: 0.0,
            locked: fix.locked,
            bit: bit(number),
            needs,
            not_behind,
        });
        Self {
            problem,
            sets,
            parts,
            fixes: fixes.collect(),
            prices,
            known: HashMap::default(),
            cured: vec![0.0; problem.causes],
            row: Vec::new(),
            left: Vec::new(),
            best: Vec::new(),
        }
    }

    /// The least cost of an order that keeps `needs`.
    pub(super) fn least_of(&mut self, order: &[usize]) -> f64 {
        let cost = self.less_than(order, 0, f64::INFINITY);
        cost.unwrap_or(f64::INFINITY)
    }

    /// The same where it is less than `limit`. Mostly it is not, and what is left at the end and where it is
    /// known already tells enough: on the way as much is left, or more. Where that does not tell, it is
    /// worked out for the batches that would be best, until they are the best of what is sure. The fixes
    /// `out` are those that an order costed before held besides, since as much is left without them, or
    /// more.
    pub(super) fn less_than(&mut self, order: &[usize], out: u128, limit: f64) -> Option<f64> {
        self.row.clear();
        self.row.extend(order.iter().map(|&number| *sure(&self.fixes, number)));
        self.cured.fill(0.0);
        for fix in &mut self.row {
            if fix.price.there > 0.0 {
                fix.there_minutes = fix.price.there * self.parts.there(fix.number, &self.cured);
            }
            self.problem.cure(&mut self.cured, fix.number);
        }
        let mut done = 0;
        self.left.clear();
        for fix in &self.row {
            let known = self.known.get(&done).copied();
            // Where nothing is known yet, at least nothing is left.
            let bound = || self.known.get(&(done | out)).map_or(0.0, |left| left - LOST);
            self.left.push(Uncured { chance: known.unwrap_or_else(bound), known: known.is_some() });
            done |= fix.bit;
        }
        let end = self.uncured(done);
        self.raise_before(order.len(), end);
        loop {
            let cost = self.least(end);
            if cost >= limit {
                return None;
            }
            if self.sure_of_best() {
                return Some(cost);
            }
        }
    }

    /// Before the fixes up to this place at least as much is left as there.
    fn raise_before(&mut self, place: usize, left: f64) {
        let mut least = left;
        for left in self.left.iter_mut().take(place).rev() {
            if !left.known {
                left.chance = left.chance.max(least - LOST);
            }
            least = least.max(left.chance);
        }
    }

    /// Whether all that the cost of the best batches hangs on is known. What was not is worked out.
    fn sure_of_best(&mut self) -> bool {
        let mut sure = true;
        let mut at = 0;
        while let Some(&Uncured { known, .. }) = self.left.get(at) {
            if !known {
                let before = self.row.iter().take(at);
                let chance = self.uncured(before.fold(0, |done, fix| done | fix.bit));
                if let Some(left) = self.left.get_mut(at) {
                    (left.chance, left.known) = (chance, true);
                }
                self.raise_before(at, chance);
                sure = false;
            }
            match self.best.get(at) {
                Some(&(_, end)) if end > at => at = end,
                _ => break,
            }
        }
        sure
    }

    /// The least cost of the order in hand when what is left before each fix is put down, and `end` is left
    /// after.
    fn least(&mut self, end: f64) -> f64 {
        let n = self.row.len();
        self.best.clear();
        let give_up = self.problem.give_up;
        let left = self.left.iter().enumerate();
        self.best.extend(left.map(|(i, left)| (left.chance * give_up, i)));
        self.best.push((end * give_up, n));
        for begin in (0..n).rev() {
            self.cut_from(begin);
        }
        sure(&self.best, 0).0
    }

    /// The batches of an order that keeps `needs`, cut for the least cost, and that cost.
    pub(super) fn cut(&mut self, order: &[usize]) -> (f64, Sequence) {
        let cost = self.least_of(order);
        let mut sequence = Sequence::new();
        let mut at = 0;
        while let Some(&(_, end)) = self.best.get(at)
            && end > at
        {
            sequence.push(sure(order, at..end).to_vec());
            at = end;
        }
        (cost, sequence)
    }

    /// The best batch that begins here, when what follows is known.
    fn cut_from(&mut self, begin: usize) {
        let (here, after) = self.best.split_at_mut(begin + 1);
        let fixes = sure(&self.row, begin..);
        let (Some(here), Some(left), Some(first)) =
            (here.last_mut(), self.left.get(begin), fixes.first())
        else {
            return;
        };
        let locked = first.locked;
        let mut minutes = self.problem.set_up(locked, begin) + self.problem.restart_and_watch;
        let mut there_minutes = 0.0;
        let (mut batch, mut checks) = (0_u128, 0_u128);
        for ((fix, after), end) in fixes.iter().zip(after).zip(begin + 1..) {
            if fix.locked != locked || (fix.needs | fix.not_behind) & batch != 0 {
                break;
            }
            minutes += fix.price.reached + self.prices.shared_minutes(fix.price.shared & !checks);
            there_minutes += fix.there_minutes;
            checks |= fix.price.shared;
            batch |= fix.bit;
            let here_alone = left.chance * minutes + there_minutes;
            if here_alone >= here.0 {
                break;
            }
            if here_alone + after.0 < here.0 {
                *here = (here_alone + after.0, end);
            }
        }
    }

    /// Chance that something is left once these fixes are done.
    fn uncured(&mut self, done: u128) -> f64 {
        if let Some(&known) = self.known.get(&done) {
            return known;
        }
        self.cured.fill(0.0);
        for fix in super::order::members(done) {
            self.problem.cure(&mut self.cured, fix);
        }
        let uncured = self.sets.uncured(&self.cured);
        self.known.insert(done, uncured);
        uncured
    }
}

/// Mixes the bits of one set; nobody chooses the keys, so nothing better is needed.
#[derive(Default)]
struct Mixer(u64);

impl Hasher for Mixer {
    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.write_u128(u128::from(byte));
        }
    }

    #[expect(clippy::cast_possible_truncation, reason = "both halves of the number are taken")]
    fn write_u128(&mut self, number: u128) {
        let (low, high) = (number as u64, (number >> 64) as u64);
        let mixed = (self.0 ^ low ^ high.rotate_left(32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        self.0 = mixed ^ (mixed >> 29);
    }

    fn finish(&self) -> u64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::samples::{close, problem};
    use crate::plan::there::PartLayout;

    /// Every beginning of the order, cut in every way.
    fn cheapest(problem: &PlanningProblem, order: &[usize]) -> f64 {
        let mut best = problem.cost(&[]);
        for end in 1..=order.len() {
            for cuts in 0..1_usize << (end - 1) {
                let mut sequence: Vec<Vec<usize>> = Vec::new();
                for (at, &fix) in order.iter().enumerate().take(end) {
                    match sequence.last_mut() {
                        Some(batch) if cuts & (1 << (at - 1)) == 0 => batch.push(fix),
                        _ => sequence.push(vec![fix]),
                    }
                }
                if problem.allows(&sequence) {
                    best = best.min(problem.cost(&sequence));
                }
            }
        }
        best
    }

    #[test]
    fn an_order_is_cut_as_well_as_can_be() {
        let mut rng = fastrand::Rng::with_seed(3);
        let mut given_up = 0;
        for case in 0..150 {
            let fixes = rng.usize(1..=7);
            let problem = problem(&mut rng, fixes);
            let (orders, sets) = (Orders::new(&problem), Sets::from_problem(&problem, 0.0));
            let layout = PartLayout::of_problem(&problem);
            let parts = layout.with_problem(&problem);
            let mut costs = Costs::new(&problem, &orders, &sets, &parts);
            for _ in 0..3 {
                let mut order: Vec<usize> = (0..fixes).filter(|_| rng.f64() < 0.8).collect();
                rng.shuffle(&mut order);
                orders.settle(&mut order);
                let expected = cheapest(&problem, &order);
                close(costs.least_of(&order), expected, &format!("case {case}"));
                // Whether much is known already or nothing.
                let mut fresh = Costs::new(&problem, &orders, &sets, &parts);
                for costs in [&mut fresh, &mut costs] {
                    let dearer = costs.less_than(&order, 0, expected - 1e-6);
                    assert_eq!(dearer, None, "case {case}: not less than that");
                    let cost = costs.less_than(&order, 0, expected + 1e-6);
                    close(cost.unwrap_or(f64::NAN), expected, "less than that");
                }
                let (cost, sequence) = costs.cut(&order);
                close(cost, expected, "the same");
                assert!(problem.allows(&sequence), "case {case}: {sequence:?}");
                close(problem.cost(&sequence), expected, "what the batches cost");
                let planned: Vec<usize> = sequence.into_iter().flatten().collect();
                assert!(order.starts_with(&planned), "{order:?}: {planned:?}");
                given_up += usize::from(planned.len() < order.len());
            }
        }
        assert!(given_up > 20, "giving up on the way is tried: {given_up}");
    }
}
