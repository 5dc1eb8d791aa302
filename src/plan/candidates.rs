//! From the book and the belief to a planning problem, and back to a plan.

use super::choice::{self, Choice, LEAST_CURE, PlanInputs, beyond};
use super::planning_problem::{Found, PlanFix, PlanningProblem, Sequence};
use super::sets::Sets;
use super::there::PartLayout;
use super::{Plan, PlanBatch, PlanStep, exact, search};
use crate::reason::Scenarios;
use crate::rulebook::index::{CauseAt, FixAt, List, SymptomAt, sure, sure_mut};
use crate::rulebook::model::{Book, LooksAt, Shown, Verdict};
use crate::trade::MachineState;

/// Up to so many candidates the best plan is found exactly.
const MOST_EXACT: usize = 10;
/// Sets of causes less likely than this do not decide between exact plans.
const EXACT_FLOOR: f64 = 1e-7;

/// A planning problem with the way back to the book.
#[derive(Debug, Clone)]
pub struct Candidates {
    problem: PlanningProblem,
    fixes: Vec<FixAt>,
    /// Causes by their number in the problem.
    numbers: List<CauseAt, Option<usize>>,
    /// For each fix its checks that are still to be made: their places, and their numbers in the problem.
    checks: Vec<Vec<(usize, usize)>>,
}

impl Candidates {
    /// The fixes worth considering, and what they must follow.
    pub fn new(book: &Book, inputs: &PlanInputs<'_>) -> Self {
        Self::curing(LEAST_CURE, book, inputs)
    }

    /// All fixes that can be done, however little they cure; for checks.
    pub fn all(book: &Book, inputs: &PlanInputs<'_>) -> Self {
        Self::curing(0.0, book, inputs)
    }

    /// The fixes that may be planned, in book order.
    pub fn fixes(&self) -> &[FixAt] {
        &self.fixes
    }

    /// The fixes that cure at least so much of the belief.
    fn curing(least: f64, book: &Book, inputs: &PlanInputs<'_>) -> Self {
        let Choice { fixes, needs, after } = Choice::new(least, book, inputs);
        let mut numbers: List<CauseAt, Option<usize>> = List::filled(None, book.causes.len());
        let mut causes = 0;
        for &fix in &fixes {
            for &(cause, _) in &book.fixes[fix].cures {
                if numbers[cause].is_none() {
                    numbers[cause] = Some(causes);
                    causes += 1;
                }
            }
        }
        let numbers_of = |list: &[FixAt]| -> Vec<usize> {
            list.iter().filter_map(|fix| fixes.binary_search(fix).ok()).collect()
        };
        let mut kept = Checks::default();
        let open: Vec<OpenChecks> =
            fixes.iter().map(|&fix| OpenChecks::of(book, inputs, fix)).collect();
        let checks =
            fixes.iter().zip(&open).map(|(&fix, open)| kept.numbers(book, fix, &open.places));
        let checks: Vec<Vec<(usize, usize)>> = checks.collect();
        let plan_fix = |number: usize| {
            let at = *sure(&fixes, number);
            let (open, checks) = (sure(&open, number), sure(&checks, number));
            let fix = &book.fixes[at];
            let cure = |&(cause, chance): &(CauseAt, f64)| {
                let chance = beyond(chance, (inputs.cured_so_far)(cause));
                Some((numbers[cause]?, open.found.if_there * chance))
            };
            PlanFix {
                locked: fix.state() == MachineState::LockedOut,
                work_minutes: fix.work_minutes(),
                checks: checks.iter().map(|(_, number)| *number).collect(),
                found: open.found,
                cures: fix.cures.iter().filter_map(cure).collect(),
                after: numbers_of(sure(&after, number)),
                needs: numbers_of(sure(&needs, number)),
            }
        };
        let plan_fixes = (0..fixes.len()).map(plan_fix).collect();
        let problem = PlanningProblem {
            causes,
            remain: Vec::new(),
            besides: Vec::new(),
            fixes: plan_fixes,
            check_minutes: kept.minutes,
            lock_out: book.minutes.lock_out,
            restart_and_watch: book.minutes.restart_and_watch,
            give_up: book.minutes.give_up,
            locked_out_now: inputs.locked_out,
        };
        Self { problem, fixes, numbers, checks }
    }

    /// The plan, if things stand so.
    pub fn plan(
        &self,
        scenarios: &Scenarios,
        still_present: &List<CauseAt, f64>,
        book: &Book,
    ) -> Plan {
        let problem = self.facing(scenarios, self.problem.locked_out_now);
        let mut sequence = solve(&problem);
        likeliest_first(&problem, &mut sequence);
        self.told(&problem, &sequence, still_present, book)
    }

    /// The planning problem, if things stand so.
    pub fn facing(&self, scenarios: &Scenarios, locked_out: bool) -> PlanningProblem {
        let mut problem = self.problem.clone();
        problem.locked_out_now = locked_out;
        for scenario in &scenarios.list {
            let known = scenario.remaining.iter().filter_map(|&c| self.numbers[c]);
            let mut known: Vec<usize> = known.collect();
            known.sort_unstable();
            let cured = known.len() == scenario.remaining.len();
            if cured || !known.is_empty() {
                let sets = if cured { &mut problem.remain } else { &mut problem.besides };
                sets.push((known, scenario.chance));
            }
        }
        // Without work done every way leaves its own set.
        if scenarios.list.iter().any(|s| s.remaining != s.present) {
            put_together(&mut problem.remain);
        }
        put_together(&mut problem.besides);
        problem
    }

    fn told(
        &self,
        problem: &PlanningProblem,
        sequence: &Sequence,
        still_present: &List<CauseAt, f64>,
        book: &Book,
    ) -> Plan {
        let planned: Vec<usize> = sequence.iter().flatten().copied().collect();
        let mut done: Vec<usize> = Vec::new();
        let mut batches = Vec::new();
        for (number, batch) in sequence.iter().enumerate() {
            let locked = problem.is_locked(batch);
            let needed = 1.0 - problem.all_cured(done.iter().copied());
            let steps = batch
                .iter()
                .map(|&f| {
                    let fix = problem.fix(f);
                    let cured = problem.cured_by(done.iter().copied());
                    let before = problem.all_cured(done.iter().copied());
                    let after = problem.all_cured(done.iter().copied().chain([f]));
                    let earlier = done.clone();
                    done.push(f);
                    let at = *sure(&self.fixes, f);
                    let mut for_causes: Vec<CauseAt> = book.fixes[at]
                        .cures
                        .iter()
                        .map(|(c, _)| *c)
                        .filter(|c| still_present[*c] >= LEAST_CURE)
                        .collect();
                    for_causes.sort_by(|a, b| {
                        still_present[*b].total_cmp(&still_present[*a]).then(a.cmp(b))
                    });
                    let first = fix.after.iter().chain(&fix.needs);
                    let behind = first.filter(|g| batch.contains(g) || earlier.contains(g));
                    let mut behind: Vec<FixAt> = behind.map(|&g| *sure(&self.fixes, g)).collect();
                    behind.sort_unstable();
                    behind.dedup();
                    PlanStep {
                        fix: at,
                        for_causes,
                        behind,
                        gain: after - before,
                        there: problem.there(f, &cured),
                        found: fix.found,
                        checks: (sure(&self.checks, f).iter())
                            .map(|&(place, check)| (place, *sure(&problem.check_minutes, check)))
                            .collect(),
                        work_minutes: fix.work_minutes,
                    }
                })
                .collect();
            batches.push(PlanBatch {
                state: if locked { MachineState::LockedOut } else { MachineState::Running },
                set_up_minutes: problem.set_up(locked, number),
                round_minutes: problem.round_minutes(batch, number),
                needed,
                steps,
            });
        }
        Plan {
            expected_minutes: problem.cost(sequence),
            cured_by_plan: problem.all_cured(planned),
            batches,
        }
    }
}

/// The best plan that can be found: exact for few fixes, local search for many.
pub fn solve(problem: &PlanningProblem) -> Sequence {
    if problem.fixes.len() <= MOST_EXACT { solve_exactly(problem) } else { search::best(problem) }
}

/// The best plan by the exact way, whatever it costs; for checks, up to 24 fixes.
pub fn solve_exactly(problem: &PlanningProblem) -> Sequence {
    let layout = PartLayout::of_problem(problem);
    let sets = Sets::from_problem(problem, EXACT_FLOOR);
    exact::best(problem, &sets, &layout.with_problem(problem))
}

/// The plan by ratio order and local search, however few fixes there are; for checks.
pub fn solve_by_search(problem: &PlanningProblem) -> Sequence {
    search::best(problem)
}

/// Orders each batch as it is worked through: again and again the fix that is likeliest to find something, behind what
/// must stand before it.
fn likeliest_first(problem: &PlanningProblem, sequence: &mut Sequence) {
    let mut cured = vec![0.0; problem.causes];
    for batch in sequence {
        let there = |&fix: &usize| (problem.there(fix, &cured), fix);
        let mut by_chance: Vec<(f64, usize)> = batch.iter().map(there).collect();
        by_chance.sort_by(|a, b| b.0.total_cmp(&a.0));
        batch.clear();
        while let Some(&(_, likeliest)) = by_chance.first() {
            let mut next = likeliest;
            while let Some(&(_, first)) =
                by_chance.iter().find(|(_, f)| *f != next && problem.fix(next).after.contains(f))
            {
                next = first;
            }
            by_chance.retain(|(_, f)| *f != next);
            batch.push(next);
        }
        batch.iter().for_each(|&fix| problem.cure(&mut cured, fix));
    }
}

/// Adds up the chances of the same sets.
fn put_together(sets: &mut Vec<(Vec<usize>, f64)>) {
    sets.sort_by(|a, b| a.0.cmp(&b.0));
    sets.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        kept.1 += if same { next.1 } else { 0.0 };
        same
    });
}

/// What is still to be looked at before a fix.
struct OpenChecks {
    /// The places of its checks.
    places: Vec<usize>,
    /// How sure they are.
    found: Found,
}

impl OpenChecks {
    fn of(book: &Book, inputs: &PlanInputs<'_>, fix: FixAt) -> Self {
        let checks = book.fixes[fix].begins_with.iter().enumerate();
        let places: Vec<usize> = match choice::verdict(book, inputs, fix) {
            Verdict::NeedsWork | Verdict::Unclear => Vec::new(),
            Verdict::Open(_) => checks
                .filter(|&(place, _)| (inputs.shown)(fix, place) == Shown::NotYet)
                .map(|(place, _)| place)
                .collect(),
            // What was found sound is looked at once more before anybody works on it.
            Verdict::Sound => checks.map(|(place, _)| place).collect(),
        };
        let (if_there, if_not) = book.reports.as_suspected;
        let found = if places.is_empty() { Found::ALWAYS } else { Found { if_there, if_not } };
        Self { places, found }
    }
}

/// Checks by their numbers in a problem. A symptom is looked at once for all fixes that begin with it, as long as the
/// longest of them takes.
#[derive(Default)]
struct Checks {
    symptoms: Vec<(SymptomAt, usize)>,
    minutes: Vec<f64>,
}

impl Checks {
    /// The numbers of these checks, each with its place. Two that look at the same are one.
    fn numbers(&mut self, book: &Book, fix: FixAt, places: &[usize]) -> Vec<(usize, usize)> {
        let mut numbers: Vec<(usize, usize)> = Vec::new();
        for &place in places {
            let check = sure(&book.fixes[fix].begins_with, place);
            let known = match check.looks_at {
                LooksAt::Symptom { at, .. } => self.symptoms.iter().find(|(known, _)| *known == at),
                LooksAt::Words { .. } => None,
            };
            let number = known.map_or(self.minutes.len(), |(_, number)| *number);
            if number == self.minutes.len() {
                self.minutes.push(check.minutes);
                if let LooksAt::Symptom { at, .. } = check.looks_at {
                    self.symptoms.push((at, number));
                }
            }
            let minutes = sure_mut(&mut self.minutes, number);
            *minutes = minutes.max(check.minutes);
            if numbers.iter().all(|(_, known)| *known != number) {
                numbers.push((place, number));
            }
        }
        numbers
    }
}
