//! The sets of causes that may remain, sorted once for many beliefs in them.
//!
//! A question is valued with a plan for each answer. From one answer to the next only the chances of the
//! sets differ, so everything about the sets themselves is worked out once.

use super::planning_problem::PlanningProblem;
use super::sets::Sets;
use crate::rulebook::index::{sure, sure_mut};

/// So many members of a set are told apart by its key; there are very many such sets.
const FEW: usize = 3;

/// Sets of causes, by their numbers in the problem, without their chances.
#[derive(Debug, Clone, Default)]
pub(super) struct SetLayout {
    /// The causes, the likeliest first.
    causes: Vec<u32>,
    /// Sets of up to three, sorted by key, each with its number among all that were put in.
    small: Vec<(SetKey, usize)>,
    /// Larger ones, sorted.
    large: Vec<(Vec<u32>, usize)>,
}

/// For each member of a set its place among the causes, counted from 1, the unlikeliest first; then zeros.
/// So a set stands just before the sets that hold it and likelier causes.
type SetKey = [u32; FEW];

impl SetLayout {
    /// Of these sets of so many causes; what is nothing is a set that no plan cures. Their chances only say
    /// which causes are likely.
    pub(super) fn new<'s>(
        causes: usize,
        sets: impl Iterator<Item = (Option<&'s [u32]>, f64)> + Clone,
    ) -> Self {
        let mut held: Vec<(f64, u32)> = (0..).map(|c| (0.0, c)).take(causes).collect();
        for (set, chance) in sets.clone() {
            for &cause in set.unwrap_or_default() {
                sure_mut(&mut held, cause as usize).0 += chance;
            }
        }
        held.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut places = vec![0; causes];
        for (&(_, cause), place) in held.iter().zip(1..) {
            *sure_mut(&mut places, cause as usize) = place;
        }
        let mut layout =
            Self { causes: held.iter().map(|(_, cause)| *cause).collect(), ..Self::default() };
        let mut members = Vec::new();
        for (number, (set, _)) in sets.enumerate() {
            let Some(set) = set else { continue };
            if set.len() > FEW {
                members = set.to_vec();
                members.sort_unstable();
                layout.large.push((std::mem::take(&mut members), number));
                continue;
            }
            members.clear();
            members.extend(set.iter().map(|&c| *sure(&places, c as usize)));
            members.sort_unstable_by(|a, b| b.cmp(a));
            let mut key = [0; FEW];
            key.iter_mut().zip(&members).for_each(|(k, m)| *k = *m);
            layout.small.push((key, number));
        }
        layout.small.sort_unstable();
        layout.large.sort_unstable();
        layout
    }

    /// The sets that have at least `floor` chance, `chances` being those of the sets as they were put in.
    /// They stand for the others too: were those left uncured, every question that thins them out would
    /// seem to save giving up.
    pub(super) fn with(&self, chances: &[f64], floor: f64) -> Sets {
        let chance = |number: &usize| *sure(chances, *number);
        let mut sets = Sets::default();
        let mut whole = 0.0;
        // Different ways may leave the same set.
        for same in self.small.chunk_by(|a, b| a.0 == b.0) {
            let sum: f64 = same.iter().map(|(_, number)| chance(number)).sum();
            whole += sum;
            if let Some((key, _)) = same.first().filter(|_| sum >= floor) {
                let cause = |place: u32| Some(*sure(&self.causes, place.checked_sub(1)? as usize));
                sets.put_in_small(key.map(cause), sum);
            }
        }
        for same in self.large.chunk_by(|a, b| a.0 == b.0) {
            let sum: f64 = same.iter().map(|(_, number)| chance(number)).sum();
            whole += sum;
            if let Some((members, _)) = same.first().filter(|_| sum >= floor) {
                sets.put_in_large(members, sum);
            }
        }
        sets.stand_for(whole);
        sets
    }
}

impl Sets {
    /// The sets of a problem with at least `floor` chance; they stand for the others too.
    pub(super) fn from_problem(problem: &PlanningProblem, floor: f64) -> Self {
        let numbers = |set: &[usize]| -> Vec<u32> {
            set.iter().filter_map(|&c| u32::try_from(c).ok()).collect()
        };
        let kept = problem.remain.iter().filter(|(_, chance)| *chance >= floor);
        let (members, chances): (Vec<Vec<u32>>, Vec<f64>) =
            kept.map(|(set, chance)| (numbers(set), *chance)).unzip();
        let among = members.iter().map(|set| Some(set.as_slice()));
        let layout = SetLayout::new(problem.causes, among.zip(chances.iter().copied()));
        let mut sets = layout.with(&chances, 0.0);
        sets.stand_for(problem.remain.iter().map(|(_, chance)| chance).sum());
        sets
    }

    /// The likeliest sets of a problem, up to this share of the chance of all and this many; they stand
    /// for the others too.
    pub(super) fn likeliest(problem: &PlanningProblem, share: f64, most: usize) -> Self {
        let mut chances: Vec<f64> = problem.remain.iter().map(|(_, p)| *p).collect();
        chances.sort_unstable_by(|a, b| b.total_cmp(a));
        let enough = share * chances.iter().sum::<f64>();
        let mut sum = 0.0;
        let within = |chance: &f64| {
            sum += chance;
            sum < enough
        };
        let kept = chances.iter().copied().take(most).take_while(within).count();
        // Where all are kept there is no floor.
        Self::from_problem(problem, chances.get(kept).copied().unwrap_or(0.0))
    }
}
