//! The sets of causes that may remain, laid out so that what is surely uncured is passed over: they are
//! looked at again and again, and mostly when little is cured yet.

/// Sets of causes with their chances. Those of up to three stand as a tree by their unlikeliest member, then
/// by the next: while one of these is not cured at all, nothing below it counts, and the unlikely ones are
/// cured last.
#[derive(Debug, Clone, Default)]
pub(super) struct Sets {
    /// Chance that nothing remains.
    none: f64,
    firsts: Vec<Branch>,
    seconds: Vec<Branch>,
    /// The likeliest members of sets of three, with the chance of the set.
    thirds: Vec<(u32, f64)>,
    /// Sets of more than three.
    more: Vec<(Vec<u32>, f64)>,
    /// Chance of all of them.
    all: f64,
    /// Chance that something remains which no plan cures.
    never: f64,
}

/// One cause in the tree.
#[derive(Debug, Clone)]
struct Branch {
    cause: u32,
    /// Chance of the set that ends here.
    chance: f64,
    /// What stands below it.
    from: usize,
    to: usize,
}

#[expect(
    clippy::indexing_slicing,
    reason = "members are numbers of the causes of the problem, and branches end within the lists"
)]
impl Sets {
    /// One more set of up to three. Sets must come in the order of the tree: each after what it shares its
    /// first members with, and shorter ones first.
    pub(super) fn put_in_small(&mut self, members: [Option<u32>; 3], chance: f64) {
        self.all += chance;
        let [Some(a), b, c] = members else {
            self.none += chance;
            return;
        };
        grow(&mut self.firsts, 0, a, self.seconds.len());
        let Some(b) = b else {
            end_here(&mut self.firsts, chance);
            return;
        };
        let begin = self.firsts.last().map_or(0, |first| first.from);
        grow(&mut self.seconds, begin, b, self.thirds.len());
        if let Some(first) = self.firsts.last_mut() {
            first.to = self.seconds.len();
        }
        let Some(c) = c else {
            end_here(&mut self.seconds, chance);
            return;
        };
        self.thirds.push((c, chance));
        if let Some(second) = self.seconds.last_mut() {
            second.to = self.thirds.len();
        }
    }

    /// One more set of more than three.
    pub(super) fn put_in_large(&mut self, members: &[u32], chance: f64) {
        self.all += chance;
        self.more.push((members.to_vec(), chance));
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
        let branches = self.firsts.iter_mut().chain(&mut self.seconds);
        branches.for_each(|branch| branch.chance *= share);
        self.thirds.iter_mut().for_each(|(_, p)| *p *= share);
        self.more.iter_mut().for_each(|(_, p)| *p *= share);
    }

    /// Chance that something is left, `cured` being the chance of each cause to be cured.
    pub(super) fn uncured(&self, cured: &[f64]) -> f64 {
        self.never + self.all - self.all_cured(cured)
    }

    /// Chance that everything is cured, `cured` being the chance of each cause to be.
    pub(super) fn all_cured(&self, cured: &[f64]) -> f64 {
        let mut all = self.none + self.more_cured(cured);
        for first in &self.firsts {
            let x = cured[first.cause as usize];
            if x == 0.0 {
                continue;
            }
            let mut here = first.chance;
            for second in &self.seconds[first.from..first.to] {
                let y = cured[second.cause as usize];
                if y == 0.0 {
                    continue;
                }
                let thirds = &self.thirds[second.from..second.to];
                let below: f64 = thirds.iter().map(|(c, p)| p * cured[*c as usize]).sum();
                here += y * (second.chance + below);
            }
            all += x * here;
        }
        all
    }

    /// Whether there are sets of more than three.
    pub(super) fn has_more(&self) -> bool {
        !self.more.is_empty()
    }

    /// Chance that one of the sets of more than three remains and all of it is cured.
    pub(super) fn more_cured(&self, cured: &[f64]) -> f64 {
        let more = self.more.iter();
        more.map(|(set, p)| set.iter().fold(*p, |p, &c| p * cured[c as usize])).sum()
    }

    /// Calls `each` with every set and its chance.
    pub(super) fn for_each(&self, mut each: impl FnMut(&[u32], f64)) {
        each(&[], self.none);
        self.for_each_small(&mut each);
        self.more.iter().for_each(|(set, p)| each(set, *p));
    }

    /// The same for the sets of one to three.
    pub(super) fn for_each_small(&self, mut each: impl FnMut(&[u32], f64)) {
        for first in &self.firsts {
            let a = first.cause;
            each(&[a], first.chance);
            for second in &self.seconds[first.from..first.to] {
                let b = second.cause;
                each(&[a, b], second.chance);
                for &(c, chance) in &self.thirds[second.from..second.to] {
                    each(&[a, b, c], chance);
                }
            }
        }
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

/// A branch for this cause, if the last of those from `begin` on is not it already.
fn grow(branches: &mut Vec<Branch>, begin: usize, cause: u32, below: usize) {
    let here = branches.get(begin..).and_then(<[Branch]>::last);
    if here.is_none_or(|branch| branch.cause != cause) {
        branches.push(Branch { cause, chance: 0.0, from: below, to: below });
    }
}

/// The set that ends with the last branch has this chance.
fn end_here(branches: &mut [Branch], chance: f64) {
    if let Some(branch) = branches.last_mut() {
        branch.chance = chance;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::planning_problem::PlanningProblem;
    use crate::plan::samples::{close, problem};

    /// The chance of each set is multiplied by the chances that its causes are cured.
    #[test]
    fn all_are_cured_as_the_definition_says() {
        let mut rng = fastrand::Rng::with_seed(5);
        for _ in 0..100 {
            let problem = problem(&mut rng, 7);
            let floor = 0.1 * rng.f64();
            let sets = Sets::from_problem(&problem, floor);
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

    fn by_hand(chances: &[f64]) -> PlanningProblem {
        PlanningProblem {
            causes: chances.len(),
            remain: (0..).map(|c| vec![c]).zip(chances.iter().copied()).collect(),
            ..PlanningProblem::default()
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
            (Sets::from_problem(&problem, 0.1), [0.5, 0.1, 0.3]),
            (Sets::from_problem(&problem, 0.11), two),
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
        let nothing = Sets::from_problem(&problem, 0.6);
        close(nothing.uncured(&[1.0; 3]), 1.0, "nothing can be cured");
    }
}
