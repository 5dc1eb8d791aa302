//! The belief as the planner sees it: sets of causes with what of them still remains.

use super::asked_now::AskedNow;
use super::belief::Belief;
use super::cure_splits::CureSplits;
use super::engine::{Engine, Question};
use super::evidence::Evidence;
use super::members::Members;
use super::sorted::union;
use super::subsets::Subsets;
use crate::rulebook::index::{CauseAt, List, SymptomAt, sure};

/// Of a very large book only so many causes are planned for; the rest counts as not cured.
const MOST_PLANNED: usize = 64;

/// One way in which things may stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// Causes present at the start, in book order.
    pub present: Members,
    /// Those of them that are still present.
    pub remaining: Members,
    /// Its chance.
    pub chance: f64,
}

/// How things may stand now. What is missing to 1 counts as "something outside the plan remains".
#[derive(Debug, Clone, PartialEq)]
pub struct Scenarios {
    /// In book order of the causes present.
    pub list: Vec<Scenario>,
}

impl Scenarios {
    /// All whose chance is at least `floor`, from the belief and the work done.
    pub fn new(engine: &Engine<'_>, belief: &Belief, evidence: &Evidence, floor: f64) -> Self {
        let scope = planned_for(belief, evidence);
        let mut splits = CureSplits::new(engine, evidence, &scope);
        Self::among((&scope, &belief.exactly(&scope)), belief, &mut splits, floor)
    }

    /// Those in which just these causes of a scope were present, given the chance of each set of them.
    fn among(
        (scope, chances): (&[CauseAt], &[f64]),
        belief: &Belief,
        splits: &mut CureSplits<'_>,
        floor: f64,
    ) -> Self {
        let mut list = Vec::new();
        Subsets::new(scope.len(), belief.most()).for_each(|members, at| {
            let chance = *sure(chances, at);
            if chance < floor || chance <= 0.0 {
                return;
            }
            let present: Members = members.iter().map(|&m| *sure(scope, m)).collect();
            if splits.batches() == 0 {
                list.push(Scenario { remaining: present.clone(), present, chance });
                return;
            }
            let mut split: Vec<(usize, f64)> = Vec::new();
            splits.split(members, |bits, weight| {
                match split.iter_mut().find(|(known, _)| *known == bits) {
                    Some((_, sum)) => *sum += weight,
                    None => split.push((bits, weight)),
                }
            });
            let total: f64 = split.iter().map(|(_, w)| w).sum();
            split.sort_unstable_by_key(|(bits, _)| *bits);
            for (bits, weight) in split {
                let left = |i: &usize| bits & (1 << i) != 0;
                let remaining = (0..present.len())
                    .filter(left)
                    .filter_map(|i| present.get(i))
                    .copied()
                    .collect();
                list.push(Scenario {
                    present: present.clone(),
                    remaining,
                    chance: chance * weight / total,
                });
            }
        });
        Self { list }
    }

    /// Those with at least `floor` chance, standing for the others too: what [`Self::likeliest`] makes
    /// of all of them, without putting down those that it leaves out.
    pub fn likely(engine: &Engine<'_>, belief: &Belief, evidence: &Evidence, floor: f64) -> Self {
        if !evidence.work.batches.is_empty() {
            return Self::new(engine, belief, evidence, 0.0).likeliest(floor);
        }
        let scope = planned_for(belief, evidence);
        let chances = belief.exactly(&scope);
        let all: f64 = chances.iter().filter(|chance| **chance > 0.0).sum();
        let mut splits = CureSplits::new(engine, evidence, &scope);
        let mut likely = Self::among((&scope, &chances), belief, &mut splits, floor);
        let share = all / likely.list.iter().map(|s| s.chance).sum::<f64>();
        likely.list.iter_mut().for_each(|s| s.chance *= share);
        likely
    }

    /// Those with at least `floor` chance, standing for the others too.
    pub fn likeliest(&self, floor: f64) -> Self {
        let sum = |list: &[Scenario]| list.iter().map(|s| s.chance).sum::<f64>();
        let mut list = self.list.clone();
        list.retain(|s| s.chance >= floor);
        let share = sum(&self.list) / sum(&list);
        list.iter_mut().for_each(|s| s.chance *= share);
        Self { list }
    }

    /// Chance of each cause to be still present. Causes that no work touched and that are too unlikely to
    /// stand among the scenarios keep the chance they had.
    pub fn still_present(&self, belief: &Belief, evidence: &Evidence) -> List<CauseAt, f64> {
        let mut still = belief.marginals();
        if evidence.work.batches.is_empty() {
            return still;
        }
        for cause in evidence.work.touched() {
            still[cause] =
                self.list.iter().filter(|s| s.remaining.contains(&cause)).map(|s| s.chance).sum();
        }
        still
    }

    /// What follows from each answer to a question: its chance, and the scenarios with their new chances. An
    /// answer tells nothing about what is missing to 1, so as much is missing after it.
    pub fn after_each(
        &self,
        engine: &Engine<'_>,
        evidence: &Evidence,
        symptom: SymptomAt,
    ) -> Vec<(f64, Scenarios)> {
        self.chances_after_each(engine, evidence, symptom)
            .into_iter()
            .map(|(chance, chances)| (chance, self.with(chances)))
            .collect()
    }

    /// The same as the new chances alone, in their order.
    pub fn chances_after_each(
        &self,
        engine: &Engine<'_>,
        evidence: &Evidence,
        symptom: SymptomAt,
    ) -> Vec<(f64, Vec<f64>)> {
        let mut rows = AnswerRows::new(engine, evidence, symptom, &self.list);
        let answers = rows.answers();
        let mut out = vec![(0.0, Vec::with_capacity(self.list.len())); answers];
        let mut row = vec![0.0; answers];
        for scenario in &self.list {
            rows.row(scenario, &mut row);
            for ((total, chances), p) in out.iter_mut().zip(&row) {
                let chance = scenario.chance * p;
                *total += chance;
                chances.push(chance);
            }
        }
        let mass: f64 = self.list.iter().map(|s| s.chance).sum();
        for (total, chances) in &mut out {
            let scale = if *total > 0.0 { mass / *total } else { 0.0 };
            chances.iter_mut().for_each(|chance| *chance *= scale);
            *total = if mass > 0.0 { *total / mass } else { 0.0 };
        }
        out
    }

    /// The same with other chances, in their order.
    fn with(&self, chances: Vec<f64>) -> Self {
        let mut other = self.clone();
        for (scenario, chance) in other.list.iter_mut().zip(chances) {
            scenario.chance = chance;
        }
        other
    }
}

/// The causes that a plan speaks of: those that some work touched, and the likeliest others.
fn planned_for(belief: &Belief, evidence: &Evidence) -> Vec<CauseAt> {
    let mut scope = belief.possible();
    if scope.len() > MOST_PLANNED {
        let marginals = belief.marginals();
        let touched = evidence.work.touched();
        scope.sort_by(|a, b| {
            let keep = |c: &CauseAt| touched.binary_search(c).is_ok();
            keep(b).cmp(&keep(a)).then(marginals[*b].total_cmp(&marginals[*a])).then(a.cmp(b))
        });
        scope.truncate(MOST_PLANNED);
        scope.sort_unstable();
    }
    scope
}

/// The chance of each answer to one question, given how things may stand and all evidence.
enum AnswerRows<'e> {
    /// Asked of the start.
    OfStart { question: Question, members: Vec<usize> },
    /// Asked of what is left now.
    OfLeft(Box<AskedNow<'e>>),
}

impl<'e> AnswerRows<'e> {
    fn new(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        symptom: SymptomAt,
        scenarios: &[Scenario],
    ) -> Self {
        if evidence.now() == 0 {
            let question = engine.question(evidence, symptom);
            return Self::OfStart { question, members: Vec::new() };
        }
        let scope = union(scenarios.iter().map(|s| s.present.iter().copied()));
        Self::OfLeft(Box::new(AskedNow::new(engine, evidence, symptom, scope)))
    }

    fn answers(&self) -> usize {
        match self {
            Self::OfStart { question, .. } => question.table.answers(),
            Self::OfLeft(asked) => asked.answers(),
        }
    }

    fn row(&mut self, scenario: &Scenario, out: &mut [f64]) {
        let (question, members) = match self {
            Self::OfStart { question, members } => (question, members),
            Self::OfLeft(asked) => {
                asked.row_of(&scenario.present, &scenario.remaining, out);
                return;
            }
        };
        let place = |scope: &[CauseAt], subsets: &Subsets, members: &mut Vec<usize>| {
            members.clear();
            let present = scenario.present.iter();
            members.extend(present.filter_map(|c| scope.binary_search(c).ok()));
            subsets.place(members)
        };
        let table = &question.table;
        let at = place(&table.scope, &table.subsets, members);
        for (answer, slot) in out.iter_mut().enumerate() {
            *slot = table.chance(at, answer);
        }
        if let Some(parent) = &question.parent {
            parent.add_at(place(&parent.scope, &parent.subsets, members), out);
        }
    }
}
