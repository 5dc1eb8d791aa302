//! The chance that something of a fix is there, for any chances of cure. Of a set of causes only those count that the
//! fix cures, so the sets are put together by that part of them.

use std::collections::BTreeMap;

use super::planning_problem::{PlanFix, PlanningProblem};
use crate::rulebook::index::{sure, sure_mut};

/// Which parts of sets belong to which fix, without their chances.
#[derive(Debug, Clone, Default)]
pub(super) struct PartLayout {
    /// The causes of all parts in one row. Those of one fix stand together.
    causes: Vec<usize>,
    /// Where those of each part begin; one more entry for the end.
    part_begin: Vec<usize>,
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
        let mut layout =
            Self { of_set: vec![Vec::new(); sets.len()], part_begin: vec![0], ..Self::default() };
        for fix in fixes {
            layout.begin.push(layout.part_begin.len() - 1);
            let mut known: BTreeMap<Vec<usize>, usize> = BTreeMap::new();
            for (set, of_set) in sets.iter().zip(&mut layout.of_set) {
                let of_it = |c: &&usize| fix.cures.iter().any(|(own, _)| own == *c);
                let part: Vec<usize> = set.iter().filter(of_it).copied().collect();
                if part.is_empty() {
                    continue;
                }
                let number = *known.entry(part).or_insert_with_key(|part| {
                    layout.causes.extend_from_slice(part);
                    layout.part_begin.push(layout.causes.len());
                    layout.part_begin.len() - 2
                });
                of_set.push(number);
            }
        }
        layout.begin.push(layout.part_begin.len() - 1);
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
        let mut of_parts = vec![0.0; self.part_begin.len() - 1];
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
        let begin = sure(&self.layout.part_begin, from..=to);
        let mut there = 0.0;
        for (bounds, chance) in begin.windows(2).zip(sure(&self.chances, from..to)) {
            let [from, to] = *bounds else { continue };
            let part = sure(&self.layout.causes, from..to);
            there += chance * (1.0 - part.iter().fold(1.0, |gone, &c| gone * sure(cured, c)));
        }
        there
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
