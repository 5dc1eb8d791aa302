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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::samples::{close, problem};

    /// The chance of each set is multiplied by the chances that its causes are cured.
    #[test]
    fn all_are_cured_as_the_definition_says() {
        let mut rng = fastrand::Rng::with_seed(5);
        for _ in 0..100 {
            let problem = problem(&mut rng, 7);
            let floor = 0.1 * rng.f64();
            let sets = Sets::of(&problem, floor);
            let cured: Vec<f64> = (0..problem.causes).map(|_| rng.f64()).collect();
            let sum = |floor: f64, cured: &[f64]| -> f64 {
                let kept = problem.remain.iter().filter(|(_, p)| *p >= floor);
                let one = kept.map(|(set, p)| set.iter().fold(*p, |p, &c| p * cured[c]));
                one.sum()
            };
            // Those that reach the floor stand for the others too.
            let whole = sum(0.0, &[1.0; 7]);
            let expected = sum(floor, &cured) * whole / sum(floor, &[1.0; 7]);
            close(sets.all_cured(&cured), expected, "cured");
            close(sets.uncured(&cured), 1.0 - expected, "left");
            let mut held = 0.0;
            sets.for_each(|set, chance| {
                held += chance * set.iter().map(|&c| cured[c as usize]).product::<f64>();
            });
            close(held, expected, "set by set");
            close(sets.chance_of_all(), whole, "all");
            close(sets.never_cured(), 1.0 - whole, "never");
        }
    }

    fn by_hand(chances: &[f64]) -> Problem {
        Problem {
            causes: chances.len(),
            remain: (0..)
                .map(|c| vec![c])
                .zip(chances.iter().copied())
                .collect(),
            ..Problem::default()
        }
    }

    /// The chance of each cause's own set.
    fn kept(sets: &Sets, causes: usize) -> Vec<f64> {
        let mut kept = vec![0.0; causes];
        sets.for_each(|set, chance| {
            if let [cause] = set {
                kept[*cause as usize] += chance;
            }
        });
        kept
    }

    /// By hand: 0.5, 0.3 and 0.1, a tenth never cured. What is left out is shared among the rest in
    /// proportion, so that they carry 0.9.
    #[test]
    fn the_likelier_sets_stand_for_the_others() {
        let problem = by_hand(&[0.5, 0.1, 0.3]);
        let two = [0.5 * 0.9 / 0.8, 0.0, 0.3 * 0.9 / 0.8];
        for (sets, expected) in [
            (Sets::of(&problem, 0.1), [0.5, 0.1, 0.3]),
            (Sets::of(&problem, 0.11), two),
            (Sets::likeliest(&problem, 0.88, 9), two), // 0.8 of 0.9 is more than that share
            (Sets::likeliest(&problem, 0.9, 9), [0.5, 0.1, 0.3]), // and less than that
            (Sets::likeliest(&problem, 1.0, 2), [0.5, 0.1, 0.3]),
            (Sets::likeliest(&problem, 1.0, 1), two),
            (Sets::likeliest(&problem, 0.5, 9), [0.9, 0.0, 0.0]),
        ] {
            for (got, expected) in kept(&sets, 3).into_iter().zip(expected) {
                close(got, expected, "chance of one set");
            }
            close(sets.never_cured(), 0.1, "never cured");
            close(sets.uncured(&[1.0; 3]), 0.1, "left when all is cured");
            close(sets.uncured(&[0.0; 3]), 1.0, "left when nothing is");
        }
        let nothing = Sets::of(&problem, 0.6);
        close(nothing.uncured(&[1.0; 3]), 1.0, "nothing can be cured");
    }
}
