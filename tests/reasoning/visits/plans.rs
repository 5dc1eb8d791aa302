//! From a book and a belief to a plan: what is considered, what comes first, and what is told of it.

use straybelt::plan::{Found, PlanFix, PlanningProblem};
use straybelt::reason::Outcome;
use straybelt::rulebook::index::{CauseAt, FixAt, Place};
use straybelt::rulebook::model::{Book, FixCheck, LooksAt, MachineState, Shown, Takes, Work};
use straybelt::visit::{Finding, FoundReport, Machine, Observations};

use super::{finding, signs};
use crate::support::books::{self, conveyor_is, fix, fixes};
use crate::support::close;

/// One cause present, with these chances; a fix of 20 minutes for each, sure but for a thousandth.
fn book(chances: &[f64]) -> Book {
    // With one cause present at most, chances are in proportion to the odds.
    let priors: Vec<f64> = chances.iter().map(|p| p / (1.0 + p)).collect();
    let mut book = books::book(signs(&priors, &[]), 1);
    for cause in 0..chances.len() {
        book.fixes.push(fix(20.0, &[(cause, 0.999)]));
    }
    book
}

fn planned(finding: &Finding) -> Vec<Vec<usize>> {
    let steps = |b: &straybelt::plan::PlanBatch| b.steps.iter().map(|s| s.fix.position()).collect();
    finding.plan.batches.iter().map(steps).collect()
}

fn at_once(book: &Book) -> Vec<Vec<usize>> {
    planned(&finding(book, &Observations::none(book)))
}

fn flat(plan: &[Vec<usize>]) -> Vec<usize> {
    plan.iter().flatten().copied().collect()
}

/// By hand: 0.6 and 0.4, 20 minutes each, sure but for a thousandth, 12 to isolate, 8 to restart.
#[test]
fn what_is_told_of_a_plan() {
    let mut book = book(&[0.6, 0.4]);
    book.minutes.lock_out = 12.0;
    book.minutes.restart_and_watch = 8.0;
    let found = finding(&book, &Observations::none(&book));
    assert_eq!(planned(&found), [[0], [1]]);
    let [first, second] = &found.plan.batches[..] else { panic!("two batches") };
    let left = 1.0 - 0.6 * 0.999;
    assert_eq!((first.state, first.set_up_minutes), (MachineState::LockedOut, 12.0));
    assert_eq!((second.state, second.set_up_minutes), (MachineState::LockedOut, 12.0));
    close(first.needed, 1.0, "the first batch is needed");
    close(second.needed, left, "the second is needed if the first was not enough");
    close(first.steps[0].gain, 0.5994, "gain of the first");
    close(second.steps[0].gain, 0.3996, "gain of the second");
    assert_eq!(first.steps[0].for_causes, [CauseAt::at(0)]);
    assert!(first.steps[0].behind.is_empty());
    close(found.plan.cured_by_plan, 0.999, "cured");
    close(found.plan.expected_minutes, 40.0 + left * 40.0 + 0.001 * 4800.0, "minutes");

    let locked = Observations { machine: Machine::LockedOut, ..Observations::none(&book) };
    let found = finding(&book, &locked);
    assert_eq!(found.plan.batches[0].set_up_minutes, 0.0, "locked out already");
    assert_eq!(found.plan.batches[1].set_up_minutes, 12.0, "but not after the restart");
    close(found.plan.expected_minutes, 28.0 + left * 40.0 + 0.001 * 4800.0, "minutes");
}

/// Work that only waits or observes needs no isolation, and no batch mixes the two.
#[test]
fn running_batches_need_no_isolation() {
    let mut book = book(&[0.5, 0.3, 0.2]);
    book.minutes.lock_out = 60.0;
    book.minutes.restart_and_watch = 5.0;
    book.fixes[FixAt::at(2)].work = Work::Running(Vec::new());
    let found = finding(&book, &Observations::none(&book));
    for batch in &found.plan.batches {
        for step in &batch.steps {
            assert_eq!(book.fixes[step.fix].state(), batch.state);
        }
        let set_up = if batch.state == MachineState::LockedOut { 60.0 } else { 0.0 };
        assert_eq!(batch.set_up_minutes, set_up);
    }
    assert_eq!(planned(&found), [vec![2], vec![0, 1]], "the free look first, then one lock-out");
}

/// Fixes that cure less than 0.5 % of the belief are not considered.
#[test]
fn what_hardly_helps_is_not_planned() {
    assert_eq!(flat(&at_once(&book(&[0.9, 0.0951, 0.0049]))), [0, 1]);
    assert_eq!(flat(&at_once(&book(&[0.9, 0.0939, 0.0061]))), [0, 1, 2]);
    // What counts is what the fix cures, not how likely its cause is.
    for (chance, plan) in [(0.1, &[0][..]), (0.2, &[0, 1])] {
        let mut book = book(&[0.96, 0.04]);
        book.fixes[FixAt::at(1)] = fix(1.0, &[(1, chance)]);
        assert_eq!(flat(&at_once(&book)), plan, "{chance} of 0.04");
    }
}

/// A fix is done for the causes it cures that are likely enough, likeliest first.
#[test]
fn a_step_says_for_which_causes_it_is_done() {
    let mut book = book(&[0.2, 0.7, 0.0975, 0.0025]);
    book.fixes.push(fix(1.0, &[(0, 0.99), (1, 0.99), (3, 0.99)]));
    let found = finding(&book, &Observations::none(&book));
    let first = &found.plan.batches[0].steps[0];
    assert_eq!(first.fix, FixAt::at(4));
    assert_eq!(first.for_causes, [CauseAt::at(1), CauseAt::at(0)]);
}

#[test]
fn only_fixes_that_apply_are_planned() {
    let mut book = book(&[0.6, 0.4]);
    book.fixes[FixAt::at(0)].only_if = vec![conveyor_is("class", &["package"])];
    assert_eq!(flat(&at_once(&book)), [1], "of an unknown conveyor nothing is presumed");
}

/// `after` orders two fixes of one batch, by way of others too, and asks for nothing else: what stands alone in its
/// batch waits for nobody.
#[test]
fn after_orders_what_stands_in_one_batch() {
    let mut book = book(&[0.6, 0.3, 0.1]);
    assert_eq!(at_once(&book), [[0], [1], [2]]);
    book.fixes[FixAt::at(0)].after = fixes(&[2]);
    assert_eq!(at_once(&book), [[0], [1], [2]], "each in a batch of its own");
    // A restart costs more than the work: all in one batch.
    book.minutes.restart_and_watch = 200.0;
    assert_eq!(at_once(&book), [[2, 0, 1]]);
    // What stands between the two is not planned: the order holds all the same.
    let mut book = self::book(&[0.6, 0.3, 0.08, 0.02]);
    book.minutes.restart_and_watch = 200.0;
    book.fixes[FixAt::at(3)].cures = vec![(CauseAt::at(3), 0.1)];
    book.fixes[FixAt::at(0)].after = fixes(&[3]);
    book.fixes[FixAt::at(3)].after = fixes(&[2]);
    let found = finding(&book, &Observations::none(&book));
    assert_eq!(planned(&found), [[2, 0, 1]]);
    let steps = &found.plan.batches[0].steps;
    assert_eq!(steps[1].behind, fixes(&[2]));
    assert!(steps[0].behind.is_empty());
    // Once what comes first was found fine, or is unlikely, nothing is bound to it.
    let fine = Observations {
        found: vec![(CauseAt::at(2), FoundReport::WasFine)],
        ..Observations::none(&book)
    };
    assert!(finding(&book, &fine).plan.batches[0].steps[0].behind.is_empty());
    let mut unlikely = self::book(&[0.691, 0.3, 0.009]);
    unlikely.minutes.restart_and_watch = 200.0;
    unlikely.fixes[FixAt::at(0)].after = fixes(&[2]);
    assert_eq!(at_once(&unlikely)[0][0], 0);
}

/// A fix waits for what it needs, in an earlier batch: until that was done, was found fine, does not
/// apply, or is below the threshold to matter.
#[test]
fn a_need_is_met_or_falls_away() {
    let mut book = book(&[0.9, 0.1]);
    book.minutes.give_up = 400.0;
    book.fixes[FixAt::at(0)].needs = fixes(&[1]);
    let found = finding(&book, &Observations::none(&book));
    assert_eq!(planned(&found), [[1], [0]], "the unlikely one first");
    assert_eq!(found.plan.batches[1].steps[0].behind, fixes(&[1]));

    let done = Observations { done: vec![fixes(&[1])], ..Observations::none(&book) };
    assert_eq!(planned(&finding(&book, &done)), [[0]]);
    let fine = Observations {
        found: vec![(CauseAt::at(1), FoundReport::WasFine)],
        ..Observations::none(&book)
    };
    assert_eq!(planned(&finding(&book, &fine))[0], [0], "it waits for nothing");
    let mut elsewhere = book.clone();
    elsewhere.fixes[FixAt::at(1)].only_if = vec![conveyor_is("class", &["package"])];
    assert_eq!(at_once(&elsewhere), [[0]]);
    let could_not = Observations { could_not: fixes(&[1]), ..Observations::none(&book) };
    assert!(planned(&finding(&book, &could_not)).is_empty(), "what it needs cannot be done");

    for (unlikely, plan) in [(0.011, vec![1, 0]), (0.009, vec![0])] {
        let mut book = self::book(&[1.0 - unlikely, unlikely]);
        book.minutes.give_up = 400.0;
        book.fixes[FixAt::at(0)].needs = fixes(&[1]);
        assert!(flat(&at_once(&book)).starts_with(&plan), "{unlikely}");
    }
}

/// What is needed is planned with what it needs in turn, even where it hardly helps itself.
#[test]
fn needs_of_needs_are_planned() {
    let mut book = book(&[0.86, 0.1, 0.04]);
    // The third cures little of its cause, too little to be considered for its own sake.
    book.fixes[FixAt::at(2)].cures = vec![(CauseAt::at(2), 0.1)];
    book.fixes[FixAt::at(0)].needs = fixes(&[1]);
    book.fixes[FixAt::at(1)].needs = fixes(&[2]);
    assert_eq!(at_once(&book), [[2], [1], [0]]);
    let told = Observations { could_not: fixes(&[2]), ..Observations::none(&book) };
    assert!(planned(&finding(&book, &told)).is_empty(), "the chain is broken");
}

/// Giving up is a choice like any other: work that costs more than it saves is left.
#[test]
fn work_dearer_than_giving_up_is_left() {
    let mut book = book(&[0.98, 0.02]);
    book.fixes[FixAt::at(1)].minutes = 1000.0;
    assert_eq!(at_once(&book), [vec![0], vec![1]]);
    book.minutes.give_up = 900.0;
    assert_eq!(at_once(&book), [[0]]);
    let found = finding(&book, &Observations::none(&book));
    let left = 1.0 - 0.98 * 0.999;
    close(found.plan.expected_minutes, 20.0 + left * 900.0, "minutes");
}

/// More fixes than can be planned exactly: the order is still by chance per minute, and every need is kept.
#[test]
fn many_fixes_are_planned_by_search() {
    let chances: Vec<f64> = (4..=27).map(|n| f64::from(n) / 372.0).collect();
    let mut book = book(&chances);
    assert_eq!(flat(&at_once(&book)), (0..24).rev().collect::<Vec<_>>());
    book.fixes[FixAt::at(23)].needs = fixes(&[10]);
    let plan = at_once(&book);
    let batch = |fix: usize| plan.iter().position(|b| b.contains(&fix)).unwrap();
    assert!(batch(10) < batch(23));
    assert_eq!(flat(&plan).len(), 24);
}

fn problem() -> PlanningProblem {
    let fix = |locked, after: &[usize], needs: &[usize]| PlanFix {
        locked,
        work_minutes: 10.0,
        checks: Vec::new(),
        found: Found::ALWAYS,
        cures: vec![(0, 0.5)],
        after: after.to_vec(),
        needs: needs.to_vec(),
    };
    PlanningProblem {
        causes: 1,
        remain: vec![(vec![0], 0.9)],
        besides: Vec::new(),
        check_minutes: Vec::new(),
        fixes: vec![
            fix(true, &[], &[]),
            fix(true, &[0], &[]),
            fix(false, &[], &[]),
            fix(true, &[], &[0]),
        ],
        lock_out: 7.0,
        restart_and_watch: 5.0,
        give_up: 1000.0,
        locked_out_now: false,
    }
}

#[test]
fn what_a_sequence_may_be() {
    let problem = problem();
    let allows = |sequence: &[&[usize]]| {
        let sequence: Vec<Vec<usize>> = sequence.iter().map(|b| b.to_vec()).collect();
        problem.allows(&sequence)
    };
    assert!(allows(&[]));
    assert!(allows(&[&[0, 1], &[2], &[3]]));
    assert!(allows(&[&[1]]), "`after` asks for nothing that is not planned");
    assert!(!allows(&[&[1, 0]]), "too early in the batch");
    assert!(allows(&[&[1], &[0]]), "`after` binds within a batch alone");
    assert!(!allows(&[&[0, 2]]), "two machine states");
    assert!(!allows(&[&[2, 0]]), "two machine states");
    assert!(!allows(&[&[3]]), "a need not met");
    assert!(!allows(&[&[0, 3]]), "a need met in the same batch only");
    assert!(allows(&[&[0], &[3]]));
    assert!(!allows(&[&[0], &[0]]), "twice");
    assert!(!allows(&[&[0, 0]]), "twice");
    assert!(!allows(&[&[0], &[]]), "an empty batch");
    assert!(!allows(&[&[9]]), "no such fix");
}

/// By hand: a tenth can never be cured; 0.5 and 0.5 for one cause are 0.5, not 0.75.
#[test]
fn what_a_sequence_costs() {
    let mut problem = problem();
    close(problem.cost(&[]), 1000.0, "giving up at once");
    close(problem.all_cured([0, 1]), 0.45, "the best single chance");
    close(problem.cost(&[vec![0]]), 22.0 + 0.55 * 1000.0, "one");
    close(problem.cost(&[vec![0, 1]]), 32.0 + 0.55 * 1000.0, "two at once");
    close(problem.cost(&[vec![2]]), 15.0 + 0.55 * 1000.0, "running");
    let two = 15.0 + 0.55 * 22.0 + 0.55 * 1000.0;
    close(problem.cost(&[vec![2], vec![0]]), two, "running, then locked out");
    problem.locked_out_now = true;
    close(problem.cost(&[vec![0]]), 15.0 + 0.55 * 1000.0, "locked out already");
    close(problem.cost(&[vec![2], vec![0]]), two, "running unlocks it");
    close(problem.round_minutes(&[0, 1], 0), 5.0, "first");
    close(problem.round_minutes(&[0, 1], 1), 12.0, "later");
    assert_eq!(problem.cured_by([0]), [0.5]);
}

/// By hand: one cause with 0.6, beside another that nothing cures with 0.1; work of 40 minutes behind checks of 8 and
/// of 2, that of 2 shared with another fix. Found with 0.9 if it is there, with 0.1 if not.
#[test]
fn what_checks_cost_and_spare() {
    let fix = |checks: &[usize], cause: usize| PlanFix {
        locked: true,
        work_minutes: 40.0,
        checks: checks.to_vec(),
        found: Found { if_there: 0.9, if_not: 0.1 },
        cures: vec![(cause, 0.5)],
        after: Vec::new(),
        needs: Vec::new(),
    };
    let problem = PlanningProblem {
        causes: 2,
        remain: vec![(vec![0], 0.6), (vec![1], 0.2)],
        besides: vec![(vec![0], 0.1)],
        fixes: vec![fix(&[0, 1], 0), fix(&[1], 1)],
        check_minutes: vec![8.0, 2.0],
        lock_out: 7.0,
        restart_and_watch: 5.0,
        give_up: 1000.0,
        locked_out_now: false,
    };
    // 0.7 that it is there: 40 x (0.9 x 0.7 + 0.1 x 0.3) = 26.4.
    let one = 22.0 + 26.4 + 0.7 * 1000.0;
    close(problem.cost(&[vec![0]]), one, "one");
    // The other is there with 0.2: 40 x (0.9 x 0.2 + 0.1 x 0.8) = 10.4; the shared check is paid once.
    close(problem.cost(&[vec![0, 1]]), 22.0 + 26.4 + 10.4 + 0.6 * 1000.0, "both");
    // In a batch of its own it is needed with 0.7: 40 x (0.9 x 0.2 + 0.1 x 0.5) = 9.2.
    let later = 0.7 * 14.0 + 9.2 + 0.6 * 1000.0;
    close(problem.cost(&[vec![0], vec![1]]), 22.0 + 26.4 + later, "one after the other");
    // Once more for the same cause: of 0.7 half is cured, but not what stands beside what nothing cures.
    close(problem.there(0, &[0.5, 0.0]), 0.3 + 0.05, "there after the first");
}

/// Once nothing else is left, what was done is looked at again, if it begins with a look; twice done is enough.
#[test]
fn what_was_done_is_looked_at_again_once_nothing_else_is_left() {
    let mut book = book(&[0.9, 0.1]);
    let look = FixCheck {
        looks_at: LooksAt::Words { words: "Look at it".to_owned(), state: MachineState::LockedOut },
        needs: "It is not as it should be".to_owned(),
        stop_if: String::new(),
        minutes: 5.0,
        takes: Takes::fixed(5.0),
    };
    book.fixes[FixAt::at(0)].begins_with = vec![look];
    let after = |done: &[&[usize]]| {
        let done: Vec<Vec<FixAt>> = done.iter().map(|batch| fixes(batch)).collect();
        let outcomes = vec![Outcome::NoChange; done.len()];
        planned(&finding(&book, &Observations { done, outcomes, ..Observations::none(&book) }))
    };
    assert_eq!(after(&[&[0]]), [[1]], "what is left comes first");
    assert_eq!(after(&[&[0], &[1]]), [[0]], "the other begins with no look");
    assert_eq!(after(&[&[0], &[1], &[0]]), Vec::<Vec<usize>>::new());
}

/// The checks still to be made: what may end the job first, the others in their order, none once it is decided.
#[test]
fn open_checks() {
    use Shown::{Calls, Ends, NotYet, Sound};
    let check = |may_end: bool| FixCheck {
        looks_at: LooksAt::Words { words: "Look".to_owned(), state: MachineState::Running },
        needs: "Worn".to_owned(),
        stop_if: if may_end { "No travel left".to_owned() } else { String::new() },
        minutes: 5.0,
        takes: Takes::fixed(5.0),
    };
    let mut fix = fix(20.0, &[(0, 0.9)]);
    fix.begins_with = vec![check(false), check(true), check(false)];
    let open = |shown: [Shown; 3]| fix.open_checks(|place, _| shown[place]);
    assert_eq!(open([NotYet, NotYet, NotYet]), [1, 0, 2]);
    assert_eq!(open([Sound, Sound, NotYet]), [2]);
    assert_eq!(open([NotYet, Sound, NotYet]), [0, 2]);
    assert_eq!(open([Calls, NotYet, NotYet]), [1, 2], "what may end it is looked at all the same");
    assert!(open([NotYet, Ends, NotYet]).is_empty());
    assert!(open([Calls, Sound, NotYet]).is_empty());
    assert!(open([Sound, Sound, Sound]).is_empty());
}

/// What the cheap one needs may itself need the dear one: then the cheap one cannot stand before it. The planner once
/// followed the circle without end.
#[test]
fn a_cheap_fix_behind_the_dear_one_does_not_come_before_it() {
    let mut book = books::book(signs(&[0.3, 0.3], &[]), 1);
    book.fixes.push(fix(200.0, &[(0, 0.9)]));
    book.fixes.push(fix(50.0, &[(0, 0.5)]));
    book.fixes.push(fix(20.0, &[(1, 0.9)]));
    book.fixes[FixAt::at(1)].needs = vec![FixAt::at(2)];
    book.fixes[FixAt::at(2)].needs = vec![FixAt::at(0)];
    let order = flat(&at_once(&book));
    let place = |fix: usize| order.iter().position(|&at| at == fix);
    assert!(place(0) < place(2), "{order:?}");
    assert!(place(1).is_none_or(|cheap| Some(cheap) > place(2)), "{order:?}");
}
