//! What more cures would gain on top of what is cured, without adding up all sets again.
//!
//! The chance that everything is cured is a sum of products of the causes' chances of cure, each cause once
//! in a product. So what a change of some of them gains follows from its slopes: for each cause, for each
//! pair, and for each three, where it is the chance of the set itself.

use super::planning_problem::PlanningProblem;
use super::sets::Sets;

/// What changes more causes than this gains what the sets say, added up anew: the slopes of so many would
/// be more work.
const MOST_CHANGES: usize = 4;

/// What is cured so far, and the slopes there.
pub(super) struct Gains<'p> {
    problem: &'p PlanningProblem,
    sets: &'p Sets,
    /// Chance of each cause to be cured by what is done.
    cured: Vec<f64>,
    /// What the chance that all is cured gains with each cause's chance.
    slopes: Vec<f64>,
    /// What these gain with another cause's chance, by [`pair`].
    pairs: Vec<f64>,
    /// The sets of three, once for each member: the others, the larger first, and the chance.
    threes: Vec<(u32, u32, f64)>,
    /// Where those of each cause begin; one more entry for the end.
    begin: Vec<usize>,
    /// Chance that a set of more than three is left and cured.
    more: f64,
    /// Room to work in: what a piece changes, and all chances of cure with it.
    changes: Vec<(usize, f64)>,
    trial: Vec<f64>,
}

#[expect(
    clippy::indexing_slicing,
    reason = "all places are numbers of the causes of the problem, or pairs of them"
)]
impl<'p> Gains<'p> {
    /// Nothing cured yet.
    pub(super) fn new(problem: &'p PlanningProblem, sets: &'p Sets) -> Self {
        let n = problem.causes;
        let cured = vec![0.0; n];
        let mut slopes = vec![0.0; n];
        let mut pairs = vec![0.0; n * n.saturating_sub(1) / 2];
        let mut begin = vec![0; n + 1];
        sets.for_each_small(|set, chance| match *set {
            [a] => slopes[a as usize] = chance,
            [a, b] => pairs[pair(a as usize, b as usize)] = chance,
            _ => set.iter().for_each(|&c| begin[c as usize + 1] += 1),
        });
        for cause in 0..n {
            begin[cause + 1] += begin[cause];
        }
        let mut threes = vec![(0, 0, 0.0); begin[n]];
        let mut next = begin.clone();
        sets.for_each_small(|set, chance| {
            if let [a, b, c] = *set {
                for (own, others) in [(a, (b, c)), (b, (a, c)), (c, (a, b))] {
                    let at = &mut next[own as usize];
                    threes[*at] = (others.0.max(others.1), others.0.min(others.1), chance);
                    *at += 1;
                }
            }
        });
        Self {
            problem,
            sets,
            more: sets.more_cured(&cured),
            trial: cured.clone(),
            cured,
            slopes,
            pairs,
            threes,
            begin,
            changes: Vec::new(),
        }
    }

    /// What these fixes would gain together.
    pub(super) fn together(&mut self, piece: &[usize]) -> f64 {
        self.change_by(piece);
        if self.changes.len() > MOST_CHANGES {
            self.put_changes_on_trial();
            return self.sets.all_cured(&self.trial) - self.sets.all_cured(&self.cured);
        }
        let mut gain = 0.0;
        for (number, &(a, x)) in self.changes.iter().enumerate() {
            let mut slope = self.slopes[a];
            for (earlier, &(b, y)) in self.changes[..number].iter().enumerate() {
                slope += y * self.pairs[pair(a, b)];
                for &(c, z) in &self.changes[..earlier] {
                    slope += y * z * self.three(a, b, c);
                }
            }
            gain += x * slope;
        }
        gain + self.more_with_changes() - self.more
    }

    /// Does these fixes.
    pub(super) fn take(&mut self, piece: &[usize]) {
        self.change_by(piece);
        self.more = self.more_with_changes();
        for &(changed, by) in &self.changes {
            self.cured[changed] += by;
            for other in (0..self.cured.len()).filter(|&other| other != changed) {
                self.slopes[other] += by * self.pairs[pair(changed, other)];
            }
            for &(a, b, chance) in &self.threes[self.begin[changed]..self.begin[changed + 1]] {
                self.pairs[pair(a as usize, b as usize)] += by * chance;
            }
        }
    }

    /// Puts down what a piece changes.
    fn change_by(&mut self, piece: &[usize]) {
        self.changes.clear();
        for &fix in piece {
            for &(cause, chance) in &self.problem.fix(fix).cures {
                let by = chance - self.cured[cause];
                if by <= 0.0 {
                    continue;
                }
                match self.changes.iter_mut().find(|(known, _)| *known == cause) {
                    Some((_, known)) => *known = known.max(by),
                    None => self.changes.push((cause, by)),
                }
            }
        }
    }

    /// Chance that a set of more than three is left and cured, with what was put down.
    fn more_with_changes(&mut self) -> f64 {
        if !self.sets.has_more() {
            return 0.0;
        }
        self.put_changes_on_trial();
        self.sets.more_cured(&self.trial)
    }

    /// Takes what was put down into the chances of cure on trial.
    fn put_changes_on_trial(&mut self) {
        self.trial.copy_from_slice(&self.cured);
        for &(cause, by) in &self.changes {
            self.trial[cause] += by;
        }
    }

    /// Chance of the set of these three.
    fn three(&self, a: usize, b: usize, c: usize) -> f64 {
        let others = (b.max(c), b.min(c));
        let of_a = self.threes[self.begin[a]..self.begin[a + 1]].iter();
        of_a.filter(|(d, e, _)| (*d as usize, *e as usize) == others)
            .map(|(.., chance)| chance)
            .sum()
    }
}

/// The place of a pair of different causes.
fn pair(a: usize, b: usize) -> usize {
    let (large, small) = (a.max(b), a.min(b));
    large * large.saturating_sub(1) / 2 + small
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::PlanFix;

    /// Sets of one to four of six causes, and fixes of one to three of them.
    fn problem() -> PlanningProblem {
        let mut remain = Vec::new();
        for bits in 1_u32..64 {
            let set: Vec<usize> = (0..6).filter(|c| bits & (1 << c) != 0).collect();
            if set.len() <= 4 {
                remain.push((set, f64::from(bits % 7 + 1) / 400.0));
            }
        }
        let cures = [
            vec![(0, 0.5)],
            vec![(0, 0.9), (3, 0.4)],
            vec![(1, 0.8), (2, 0.7), (3, 0.6)],
            vec![(4, 0.6), (5, 0.3)],
            vec![(5, 0.9)],
        ];
        let fix = |cures: Vec<(usize, f64)>| PlanFix {
            locked: true,
            work_minutes: 1.0,
            checks: Vec::new(),
            found: crate::plan::Found::ALWAYS,
            cures,
            after: Vec::new(),
            needs: Vec::new(),
        };
        PlanningProblem {
            causes: 6,
            remain,
            fixes: cures.into_iter().map(fix).collect(),
            ..PlanningProblem::default()
        }
    }

    #[test]
    fn gains_are_differences_of_the_chance_that_all_is_cured() {
        let problem = problem();
        let sets = Sets::from_problem(&problem, 0.0);
        let mut gains = Gains::new(&problem, &sets);
        let mut done: Vec<usize> = Vec::new();
        for taken in [vec![0], vec![2, 1], vec![3], vec![4]] {
            let before = problem.all_cured(done.iter().copied());
            for piece in [vec![0], vec![1], vec![2], vec![1, 2], vec![4, 2], vec![4, 3, 2, 1]] {
                let with = done.iter().chain(&piece).copied();
                let expected = problem.all_cured(with) - before;
                assert!((gains.together(&piece) - expected).abs() < 1e-12);
            }
            gains.take(&taken);
            done.extend(taken);
        }
    }
}
