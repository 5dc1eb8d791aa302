//! What an order of fixes costs when it is cut into batches as well as can be.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use super::order::{Orders, bit, mask};
use super::problem::{Problem, Sequence};
use super::sets::Sets;

/// Works out costs of orders. What is left uncured depends on the set of fixes done and nothing else, and
/// orders that are much alike pass through the same sets, so it is kept for every set met.
pub(super) struct Costs<'p> {
    problem: &'p Problem,
    orders: &'p Orders,
    sets: &'p Sets,
    known: HashMap<u128, f64, BuildHasherDefault<Mixer>>,
    cured: Vec<f64>,
    /// Chance that something is left before each fix of the order, and at its end.
    left: Vec<f64>,
    /// Least cost to go from each fix of the order, and where the batch that begins there ends.
    best: Vec<(f64, usize)>,
}

impl<'p> Costs<'p> {
    pub(super) fn new(problem: &'p Problem, orders: &'p Orders, sets: &'p Sets) -> Self {
        Self {
            problem,
            orders,
            sets,
            known: HashMap::default(),
            cured: vec![0.0; problem.causes],
            left: Vec::new(),
            best: Vec::new(),
        }
    }

    /// The least cost of an order that keeps `after` and `needs`.
    pub(super) fn of(&mut self, order: &[usize]) -> f64 {
        let mut done = 0;
        self.left.clear();
        for &fix in order {
            let left = self.uncured(done);
            self.left.push(left);
            done |= bit(fix);
        }
        let end = self.uncured(done);
        self.least(order, end)
    }

    /// The same where it is less than `limit`. Mostly it is not, and what is left at the end and where it is
    /// known already tells enough: on the way as much is left, or more. The fixes `out` are those that an
    /// order costed before held besides, since as much is left without them, or more.
    pub(super) fn of_less(&mut self, order: &[usize], out: u128, limit: f64) -> Option<f64> {
        let end = self.uncured(mask(order));
        let mut done = 0;
        self.left.clear();
        for &fix in order {
            let known = [done, done | out].map(|done| self.known.get(&done).copied());
            let left = known.into_iter().flatten().fold(end, f64::max);
            self.left.push(left);
            done |= bit(fix);
        }
        if self.least(order, end) >= limit {
            return None;
        }
        Some(self.of(order)).filter(|cost| *cost < limit)
    }

    /// The least cost of an order when what is left before each fix is put down, and `end` is left after.
    fn least(&mut self, order: &[usize], end: f64) -> f64 {
        let n = order.len();
        self.best.clear();
        let give_up = self.problem.give_up;
        self.best.extend(
            self.left
                .iter()
                .enumerate()
                .map(|(i, left)| (left * give_up, i)),
        );
        self.best.push((end * give_up, n));
        for begin in (0..n).rev() {
            self.cut_from(begin, order);
        }
        self.best.first().map_or(0.0, |best| best.0)
    }

    /// The batches of an order that keeps `after` and `needs`, cut for the least cost, and that cost.
    pub(super) fn cut(&mut self, order: &[usize]) -> (f64, Sequence) {
        let cost = self.of(order);
        let mut sequence = Sequence::new();
        let mut at = 0;
        while let Some(&(_, end)) = self.best.get(at)
            && end > at
        {
            sequence.push(order.get(at..end).unwrap_or(&[]).to_vec());
            at = end;
        }
        (cost, sequence)
    }

    /// The best batch that begins here, when what follows is known.
    fn cut_from(&mut self, begin: usize, order: &[usize]) {
        let (here, after) = self.best.split_at_mut(begin + 1);
        let (Some(here), Some(&left)) = (here.last_mut(), self.left.get(begin)) else {
            return;
        };
        let fix = |number: usize| self.problem.fixes.get(number);
        let locked = order
            .get(begin)
            .and_then(|&f| fix(f))
            .is_some_and(|f| f.locked);
        let mut minutes = self.problem.set_up(locked, begin == 0) + self.problem.restart_and_watch;
        let mut batch = 0_u128;
        for ((end, &number), after) in order.iter().enumerate().skip(begin).zip(after) {
            let Some(fix) = fix(number) else { break };
            let needs = self.orders.needs.get(number).copied().unwrap_or(0);
            if fix.locked != locked || needs & batch != 0 {
                break;
            }
            minutes += fix.minutes;
            batch |= bit(number);
            let here_alone = left * minutes;
            if here_alone >= here.0 {
                break;
            }
            if here_alone + after.0 < here.0 {
                *here = (here_alone + after.0, end + 1);
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

    #[expect(
        clippy::cast_possible_truncation,
        reason = "both halves of the number are taken"
    )]
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

    /// Every beginning of the order, cut in every way.
    fn cheapest(problem: &Problem, order: &[usize]) -> f64 {
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
            let (orders, sets) = (Orders::of(&problem), Sets::of(&problem, 0.0));
            let mut costs = Costs::new(&problem, &orders, &sets);
            for _ in 0..3 {
                let mut order: Vec<usize> = (0..fixes).filter(|_| rng.f64() < 0.8).collect();
                rng.shuffle(&mut order);
                orders.settle(&mut order);
                let expected = cheapest(&problem, &order);
                close(costs.of(&order), expected, &format!("case {case}"));
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
