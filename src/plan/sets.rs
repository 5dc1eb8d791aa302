//! The sets of causes that may remain, laid out flat: they are looked at again and again.

use super::problem::Problem;

/// Sets of causes with their chances, by size.
#[derive(Debug, Clone, Default)]
pub(super) struct Sets {
    /// Chance that nothing remains.
    none: f64,
    ones: Vec<([u32; 1], f64)>,
    twos: Vec<([u32; 2], f64)>,
    threes: Vec<([u32; 3], f64)>,
    more: Vec<(Vec<u32>, f64)>,
    /// Chance of all of them.
    all: f64,
    /// Chance that something remains which no plan cures.
    never: f64,
}

impl Sets {
    /// The sets of a problem with at least `floor` chance. They stand for the others too: were those left
    /// uncured, every question that thins them out would seem to save giving up.
    pub(super) fn of(problem: &Problem, floor: f64) -> Self {
        let numbers = |set: &[usize]| -> Vec<u32> {
            set.iter().filter_map(|&c| u32::try_from(c).ok()).collect()
        };
        let mut sets = Self::default();
        let mut whole = 0.0;
        for (set, chance) in &problem.remain {
            whole += chance;
            if *chance >= floor {
                sets.put_in(&numbers(set), *chance);
            }
        }
        sets.stand_for(whole);
        sets
    }

    /// The likeliest sets of a problem, up to this share of the chance of all and this many; they stand
    /// for the others too.
    pub(super) fn likeliest(problem: &Problem, share: f64, most: usize) -> Self {
        let mut chances: Vec<f64> = problem.remain.iter().map(|(_, p)| *p).collect();
        chances.sort_unstable_by(|a, b| b.total_cmp(a));
        let enough = share * chances.iter().sum::<f64>();
        let mut sum = 0.0;
        let within = |chance: &f64| {
            sum += chance;
            sum < enough
        };
        let kept = chances
            .iter()
            .copied()
            .take(most)
            .take_while(within)
            .count();
        Self::of(problem, chances.get(kept).copied().unwrap_or(0.0))
    }

    /// One more set.
    pub(super) fn put_in(&mut self, members: &[u32], chance: f64) {
        self.all += chance;
        match *members {
            [] => self.none += chance,
            [a] => self.ones.push(([a], chance)),
            [a, b] => self.twos.push(([a, b], chance)),
            [a, b, c] => self.threes.push(([a, b, c], chance)),
            _ => self.more.push((members.to_vec(), chance)),
        }
    }

    /// Scales the chances so that they sum to `whole`; what that is short of 1 is never cured.
    pub(super) fn stand_for(&mut self, whole: f64) {
        if self.all <= 0.0 {
            self.never = 1.0;
            return;
        }
        let share = whole / self.all;
        self.never = 1.0 - whole;
        self.all = whole;
        self.none *= share;
        self.ones.iter_mut().for_each(|(_, p)| *p *= share);
        self.twos.iter_mut().for_each(|(_, p)| *p *= share);
        self.threes.iter_mut().for_each(|(_, p)| *p *= share);
        self.more.iter_mut().for_each(|(_, p)| *p *= share);
    }

    /// Chance that something is left, `cured` being the chance of each cause to be cured.
    pub(super) fn uncured(&self, cured: &[f64]) -> f64 {
        self.never + self.all - self.all_cured(cured)
    }

    /// Chance that everything is cured, `cured` being the chance of each cause to be.
    #[inline]
    #[expect(
        clippy::indexing_slicing,
        reason = "the members are numbers of the causes of the problem"
    )]
    pub(super) fn all_cured(&self, cured: &[f64]) -> f64 {
        let of = |cause: u32| cured[cause as usize];
        let ones: f64 = self.ones.iter().map(|([a], p)| p * of(*a)).sum();
        let twos: f64 = self
            .twos
            .iter()
            .map(|([a, b], p)| p * of(*a) * of(*b))
            .sum();
        let threes = self
            .threes
            .iter()
            .map(|([a, b, c], p)| p * of(*a) * of(*b) * of(*c));
        let more = self
            .more
            .iter()
            .map(|(set, p)| set.iter().fold(*p, |p, &c| p * of(c)));
        self.none + ones + twos + threes.sum::<f64>() + more.sum::<f64>()
    }

    /// Calls `each` with every set and its chance.
    pub(super) fn for_each(&self, mut each: impl FnMut(&[u32], f64)) {
        each(&[], self.none);
        self.ones.iter().for_each(|(set, p)| each(set, *p));
        self.twos.iter().for_each(|(set, p)| each(set, *p));
        self.threes.iter().for_each(|(set, p)| each(set, *p));
        self.more.iter().for_each(|(set, p)| each(set, *p));
    }

    /// Chance that something is left, whatever is done.
    pub(super) fn never_cured(&self) -> f64 {
        self.never
    }

    /// Chance of all the sets.
    pub(super) fn chance_of_all(&self) -> f64 {
        self.all
    }
}
