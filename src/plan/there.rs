//! The chance that something of a fix is there, for any chances of cure. Of a set of causes only those count that the
//! fix cures, so the sets are put together by that part of them.

use std::collections::BTreeMap;

use super::planning_problem::{PlanFix, PlanningProblem};
use crate::rulebook::index::{sure, sure_mut};

/// Which parts of sets belong to which fix, without their chances.
#[derive(Debug, Clone, Default)]
pub(super) struct PartLayout {
    /// The causes of each part. Those of one fix stand together.
    parts: Vec<Vec<usize>>,
    /// Where those of each fix begin; one more entry for the end.
    begin: Vec<usize>,
    /// The parts of each set that was put in.
    of_set: Vec<Vec<usize>>,
}

/// The parts with their chances.
#[derive(Debug, Clone)]
pub(super) struct Parts<'l> {
    layout: &'l PartLayout,
    chances: Vec<f64>,
}

impl PartLayout {
    /// Of these sets, for these fixes.
    pub(super) fn new<'s>(fixes: &[PlanFix], sets: impl Iterator<Item = &'s [usize]>) -> Self {
        let sets: Vec<&[usize]> = sets.collect();
        let mut layout = Self { of_set: vec![Vec::new(); sets.len()], ..Self::default() };
        for fix in fixes {
            layout.begin.push(layout.parts.len());
            let mut known: BTreeMap<Vec<usize>, usize> = BTreeMap::new();
            for (set, of_set) in sets.iter().zip(&mut layout.of_set) {
                let of_it = |c: &&usize| fix.cures.iter().any(|(own, _)| own == *c);
                let part: Vec<usize> = set.iter().filter(of_it).copied().collect();
                if part.is_empty() {
                    continue;
                }
                let number = *known.entry(part).or_insert_with_key(|part| {
                    layout.parts.push(part.clone());
                    layout.parts.len() - 1
                });
                of_set.push(number);
            }
        }
        layout.begin.push(layout.parts.len());
        layout
    }

    /// Of all sets of a problem, those beside what no plan cures included.
    pub(super) fn of_problem(problem: &PlanningProblem) -> Self {
        let sets = problem.remain.iter().chain(&problem.besides);
        Self::new(&problem.fixes, sets.map(|(set, _)| set.as_slice()))
    }

    /// The chances of a problem's sets, as [`Self::of_problem`] takes them.
    pub(super) fn with_problem(&self, problem: &PlanningProblem) -> Parts<'_> {
        let sets = problem.remain.iter().chain(&problem.besides);
        let chances: Vec<f64> = sets.map(|(_, chance)| *chance).collect();
        self.with(&chances)
    }

    /// If the sets have these chances, as they were put in.
    pub(super) fn with(&self, chances: &[f64]) -> Parts<'_> {
        let mut of_parts = vec![0.0; self.parts.len()];
        for (parts, chance) in self.of_set.iter().zip(chances) {
            parts.iter().for_each(|&part| *sure_mut(&mut of_parts, part) += chance);
        }
        Parts { layout: self, chances: of_parts }
    }
}

impl Parts<'_> {
    /// Chance that something of a fix is there, `cured` being the chance of each cause to be cured by now.
    pub(super) fn there(&self, fix: usize, cured: &[f64]) -> f64 {
        let (from, to) = (*sure(&self.layout.begin, fix), *sure(&self.layout.begin, fix + 1));
        let parts = sure(&self.layout.parts, from..to).iter().zip(sure(&self.chances, from..to));
        parts
            .map(|(part, chance)| {
                let gone = part.iter().fold(1.0, |gone, &c| gone * sure(cured, c));
                chance * (1.0 - gone)
            })
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::samples::{close, problem};

    #[test]
    fn parts_say_what_the_sets_say() {
        let mut rng = fastrand::Rng::with_seed(12);
        for _ in 0..100 {
            let problem = problem(&mut rng, 7);
            let layout = PartLayout::of_problem(&problem);
            let parts = layout.with_problem(&problem);
            let cured: Vec<f64> = (0..problem.causes).map(|_| rng.f64()).collect();
            for fix in 0..problem.fixes.len() {
                close(
                    parts.there(fix, &cured),
                    problem.there(fix, &cured),
                    "chance of being there",
                );
            }
        }
    }
}
