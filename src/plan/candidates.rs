//! From the book and the belief to a planning problem, and back to a plan.

use std::ops::Range;

use super::order::Orders;
use super::planning_problem::{PlanFix, PlanningProblem, Sequence};
use super::set_layout::SetLayout;
use super::sets::Sets;
use super::{Plan, PlanBatch, PlanStep, exact, quick, search};
use crate::reason::{Scenario, Scenarios};
use crate::rulebook::index::{CauseAt, FixAt, List, Place, sure};
use crate::rulebook::model::Book;
use crate::trade::MachineState;

/// Fixes that cure less of the belief than this are not considered.
const LEAST_CURE: f64 = 0.005;
/// A fix all of whose causes are less likely than this need not be done for another's sake.
const UNLIKELY: f64 = 0.03;
/// Up to so many candidates the best plan is found exactly.
const MOST_EXACT: usize = 16;
/// So many candidates are considered at most, those that cure most.
const MOST_CANDIDATES: usize = 48;
/// Sets of causes less likely than this do not decide between exact plans.
const EXACT_FLOOR: f64 = 1e-7;

/// What a plan depends on besides the book and the belief.
#[derive(Clone)]
#[expect(missing_debug_implementations, reason = "it borrows a function")]
pub struct PlanInputs<'s> {
    /// Which fixes apply.
    pub applies: &'s List<FixAt, bool>,
    /// Fixes done already.
    pub done: &'s [FixAt],
    /// Fixes that could not be done.
    pub could_not: &'s [FixAt],
    /// Fixes that were put off for now.
    pub put_off: &'s [FixAt],
    /// Work done locked out takes at most so many minutes; nothing: however long.
    pub longest: Option<f64>,
    /// Causes that were found to be fine.
    pub found_fine: &'s [CauseAt],
    /// Chance of each cause to be still present.
    pub still_present: &'s List<CauseAt, f64>,
    /// Best chance so far that each cause was cured by what was done.
    pub cured_so_far: &'s dyn Fn(CauseAt) -> f64,
    /// Whether the machine is locked out now.
    pub locked_out: bool,
}

/// A planning problem with the way back to the book.
#[derive(Debug, Clone)]
pub struct Candidates {
    problem: PlanningProblem,
    fixes: Vec<FixAt>,
    /// Causes by their number in the problem.
    numbers: List<CauseAt, Option<usize>>,
}

/// [`Candidates`] made ready to be planned with again and again, while only the chances of the scenarios
/// change.
#[derive(Debug)]
pub struct QuickPlanner {
    problem: PlanningProblem,
    fixes: Vec<FixAt>,
    orders: Orders,
    layout: SetLayout,
}

impl QuickPlanner {
    /// Expected minutes of a plan by the quick planner, and its order, if the scenarios have these
    /// chances. An order that is known from elsewhere is tried too.
    pub fn plan(
        &mut self,
        chances: &[f64],
        locked_out: bool,
        known: &[FixAt],
    ) -> (f64, Vec<FixAt>) {
        self.problem.locked_out_now = locked_out;
        let number = |fix: &FixAt| self.fixes.iter().position(|f| f == fix);
        let known: Vec<usize> = known.iter().filter_map(number).collect();
        let sets = self.layout.with(chances, quick::FLOOR);
        let (minutes, sequence) = quick::best(&self.problem, &self.orders, &sets, &known);
        let order = sequence.iter().flatten();
        (minutes, order.map(|&f| *sure(&self.fixes, f)).collect())
    }
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
        let fixes = choose(least, book, inputs);
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
        let mut number_of: List<FixAt, Option<usize>> = List::filled(None, book.fixes.len());
        for (number, &fix) in fixes.iter().enumerate() {
            number_of[fix] = Some(number);
        }
        let number = |fix: &FixAt| number_of[*fix];
        let problem = PlanningProblem {
            causes,
            remain: Vec::new(),
            fixes: fixes
                .iter()
                .map(|&at| {
                    let fix = &book.fixes[at];
                    PlanFix {
                        locked: fix.state() == MachineState::LockedOut,
                        minutes: fix.minutes,
                        cures: fix
                            .cures
                            .iter()
                            .filter_map(|&(cause, chance)| {
                                Some((
                                    numbers[cause]?,
                                    beyond(chance, (inputs.cured_so_far)(cause)),
                                ))
                            })
                            .collect(),
                        after: all_before(book, at).iter().filter_map(number).collect(),
                        needs: fix
                            .needs
                            .iter()
                            .filter(|&&n| must_be_done(book, inputs, n))
                            .filter_map(number)
                            .collect(),
                    }
                })
                .collect(),
            lock_out: book.minutes.lock_out,
            restart_and_watch: book.minutes.restart_and_watch,
            give_up: book.minutes.give_up,
            locked_out_now: inputs.locked_out,
        };
        Self { problem, fixes, numbers }
    }

    /// What questions are valued with: the scenarios, made ready for any chances of
    /// them.
    pub fn quick_planner(self, scenarios: &[Scenario]) -> QuickPlanner {
        let mut members = Vec::new();
        let sets: Vec<Option<Range<usize>>> = scenarios
            .iter()
            .map(|scenario| {
                let begin = members.len();
                for cause in scenario.remaining.iter() {
                    members.push(u32::try_from(self.numbers[*cause]?).ok()?);
                }
                Some(begin..members.len())
            })
            .collect();
        let sets = sets.iter().map(|set| Some(sure(&members, set.clone()?)));
        let sets = sets.zip(scenarios.iter().map(|scenario| scenario.chance));
        QuickPlanner {
            orders: Orders::new(&self.problem),
            layout: SetLayout::new(self.problem.causes, sets),
            problem: self.problem,
            fixes: self.fixes,
        }
    }

    /// The plan, if things stand so.
    pub fn plan(
        &self,
        scenarios: &Scenarios,
        still_present: &List<CauseAt, f64>,
        book: &Book,
    ) -> Plan {
        let problem = self.facing(scenarios, self.problem.locked_out_now);
        let sequence = solve(&problem);
        self.told(&problem, &sequence, still_present, book)
    }

    /// The planning problem, if things stand so.
    pub fn facing(&self, scenarios: &Scenarios, locked_out: bool) -> PlanningProblem {
        let mut problem = self.problem.clone();
        problem.locked_out_now = locked_out;
        let numbers = |remaining: &[CauseAt]| -> Option<Vec<usize>> {
            let numbers = remaining.iter().map(|&c| self.numbers[c]);
            let mut numbers: Vec<usize> = numbers.collect::<Option<_>>()?;
            numbers.sort_unstable();
            Some(numbers)
        };
        problem.remain = scenarios
            .list
            .iter()
            .filter_map(|s| Some((numbers(&s.remaining)?, s.chance)))
            .collect();
        // Without work done every way leaves its own set.
        if scenarios.list.iter().any(|s| s.remaining != s.present) {
            problem.remain.sort_by(|a, b| a.0.cmp(&b.0));
            problem.remain.dedup_by(|next, kept| {
                let same = next.0 == kept.0;
                kept.1 += if same { next.1 } else { 0.0 };
                same
            });
        }
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
                    let before = problem.all_cured(done.iter().copied());
                    let after = problem.all_cured(done.iter().copied().chain([f]));
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
                    let first = |g: &&usize| planned.contains(g);
                    let behind = fix.after.iter().chain(&fix.needs).filter(first);
                    let mut behind: Vec<FixAt> = behind.map(|&g| *sure(&self.fixes, g)).collect();
                    behind.sort_unstable();
                    behind.dedup();
                    PlanStep { fix: at, for_causes, behind, gain: after - before }
                })
                .collect();
            batches.push(PlanBatch {
                state: if locked { MachineState::LockedOut } else { MachineState::Running },
                set_up_minutes: problem.set_up(locked, number),
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
    if problem.fixes.len() <= MOST_EXACT {
        exact::best(problem, &Sets::from_problem(problem, EXACT_FLOOR))
    } else {
        search::best(problem)
    }
}

/// The best plan by the exact way, whatever it costs; for checks, up to 24 fixes.
pub fn solve_exactly(problem: &PlanningProblem) -> Sequence {
    exact::best(problem, &Sets::from_problem(problem, EXACT_FLOOR))
}

/// The plan by ratio order and local search, however few fixes there are; for checks.
pub fn solve_by_search(problem: &PlanningProblem) -> Sequence {
    search::best(problem)
}

/// The plan that questions are valued with, however few fixes there are; for checks.
pub fn solve_quickly(problem: &PlanningProblem) -> Sequence {
    let sets = Sets::from_problem(problem, quick::FLOOR);
    quick::best(problem, &Orders::new(problem), &sets, &[]).1
}

/// The chance of a cure for what an earlier try with chance `so_far` left uncured.
fn beyond(chance: f64, so_far: f64) -> f64 {
    if chance <= so_far { 0.0 } else { (chance - so_far) / (1.0 - so_far) }
}

/// Fixes that cure enough of the belief, and what they need done first, in book order.
fn choose(least: f64, book: &Book, inputs: &PlanInputs<'_>) -> Vec<FixAt> {
    let too_long = |fix: FixAt| {
        let entry = &book.fixes[fix];
        entry.state() == MachineState::LockedOut
            && inputs.longest.is_some_and(|longest| entry.work_minutes() > longest)
    };
    let left_out = |fix: &FixAt| {
        [inputs.done, inputs.could_not, inputs.put_off].iter().any(|list| list.contains(fix))
    };
    let open = |fix: FixAt| inputs.applies[fix] && !left_out(&fix) && !too_long(fix);
    let cured = |fix: FixAt| -> f64 {
        let cures = book.fixes[fix].cures.iter();
        cures.map(|&(c, p)| inputs.still_present[c] * beyond(p, (inputs.cured_so_far)(c))).sum()
    };
    let mut chosen: Vec<FixAt> =
        book.fixes.places().filter(|&f| open(f) && cured(f) >= least).collect();
    chosen.sort_by(|a, b| cured(*b).total_cmp(&cured(*a)).then(a.cmp(b)));
    chosen.truncate(MOST_CANDIDATES);
    let mut at = 0;
    while let Some(&fix) = chosen.get(at) {
        for &needed in &book.fixes[fix].needs {
            if must_be_done(book, inputs, needed) && open(needed) && !chosen.contains(&needed) {
                chosen.push(needed);
            }
        }
        at += 1;
    }
    // A need that cannot be met (it could not be done) shuts its fix out.
    loop {
        let before = chosen.len();
        let kept = chosen.clone();
        chosen.retain(|&fix| {
            book.fixes[fix]
                .needs
                .iter()
                .all(|&n| !must_be_done(book, inputs, n) || kept.contains(&n))
        });
        if chosen.len() == before {
            break;
        }
    }
    chosen.truncate(120);
    chosen.sort_unstable();
    chosen
}

/// Whether a fix that another needs is still wanting: it applies, was not done, none of its causes was
/// found fine for good, and some cause of it is not unlikely.
fn must_be_done(book: &Book, inputs: &PlanInputs<'_>, fix: FixAt) -> bool {
    let matters =
        |c: &CauseAt| !inputs.found_fine.contains(c) && inputs.still_present[*c] >= UNLIKELY;
    inputs.applies[fix]
        && !inputs.done.contains(&fix)
        && book.fixes[fix].cures.iter().any(|(c, _)| matters(c))
}

/// Everything that comes before a fix, by way of others too: the order holds even when what stands
/// between is not planned.
fn all_before(book: &Book, fix: FixAt) -> Vec<FixAt> {
    let mut before: Vec<FixAt> = Vec::new();
    let mut seen: List<FixAt, bool> = List::filled(false, book.fixes.len());
    let mut open = vec![fix];
    while let Some(at) = open.pop() {
        let entry = &book.fixes[at];
        for &earlier in entry.after.iter().chain(&entry.needs) {
            if !seen[earlier] {
                seen[earlier] = true;
                before.push(earlier);
                open.push(earlier);
            }
        }
    }
    before.sort_by_key(|f| f.position());
    before
}
