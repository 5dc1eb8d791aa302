//! Random problems for the tests of this room.

use fastrand::Rng;

use super::planning_problem::{Found, PlanFix, PlanningProblem};

/// A problem of so many fixes: sets of none to five causes, a share that nothing cures, both machine
/// states, both kinds of order, checks that are shared and none. What a fix needs or comes after has a smaller number.
pub(super) fn problem(rng: &mut Rng, fixes: usize) -> PlanningProblem {
    let causes = fixes.max(2);
    let mut remain = vec![(Vec::new(), 0.2 * rng.f64())];
    remain.extend((0..causes).map(|cause| (vec![cause], rng.f64())));
    for _ in 0..causes {
        let set = (0..causes).filter(|_| rng.f64() < 0.5).take(5);
        remain.push((set.collect(), 0.3 * rng.f64()));
    }
    let total: f64 = remain.iter().map(|(_, p)| p).sum::<f64>() * (1.0 + 0.1 * rng.f64());
    remain.iter_mut().for_each(|(_, p)| *p /= total);
    let mut besides: Vec<(Vec<usize>, f64)> = Vec::new();
    for cause in 0..causes {
        if rng.f64() < 0.3 {
            besides.push((vec![cause], 0.1 * rng.f64() / total));
        }
    }
    let share = 1.0 + besides.iter().map(|(_, p)| p).sum::<f64>();
    let scaled =
        |sets: Vec<(Vec<usize>, f64)>| sets.into_iter().map(|(set, p)| (set, p / share)).collect();
    let checks: Vec<f64> = (0..fixes.div_ceil(2)).map(|_| 30.0 * rng.f64()).collect();
    let fixes = (0..fixes).map(|number| fix(rng, number, causes, checks.len())).collect();
    PlanningProblem {
        causes,
        remain: scaled(remain),
        besides: scaled(besides),
        check_minutes: checks,
        fixes,
        lock_out: 15.0,
        restart_and_watch: 10.0,
        give_up: 100.0 + 1500.0 * rng.f64(),
        locked_out_now: rng.bool(),
    }
}

fn fix(rng: &mut Rng, number: usize, causes: usize, checks: usize) -> PlanFix {
    let cured = (0..causes).filter(|&c| c == number || rng.f64() < 0.15);
    let cured: Vec<usize> = cured.collect();
    // Every third begins with no check; some checks are shared.
    let checks: Vec<usize> =
        (0..checks).filter(|_| !number.is_multiple_of(3) && rng.f64() < 0.4).collect();
    PlanFix {
        locked: rng.f64() < 0.7,
        work_minutes: 5.0 + 100.0 * rng.f64() * rng.f64(),
        found: match checks.is_empty() {
            true => Found::ALWAYS,
            false => Found { if_there: 0.8 + 0.2 * rng.f64(), if_not: 0.2 * rng.f64() },
        },
        checks,
        cures: cured.into_iter().map(|c| (c, 0.2 + 0.79 * rng.f64())).collect(),
        after: (0..number).filter(|_| rng.f64() < 0.15).collect(),
        needs: (0..number).filter(|_| rng.f64() < 0.1).collect(),
    }
}

/// Everything that can be planned with these fixes, one sequence after the other.
pub(super) fn each_sequence(
    problem: &PlanningProblem,
    of: &[usize],
    each: &mut impl FnMut(&[Vec<usize>]),
) {
    fn go(
        problem: &PlanningProblem,
        of: &[usize],
        sequence: &mut Vec<Vec<usize>>,
        each: &mut impl FnMut(&[Vec<usize>]),
    ) {
        if !problem.allows(sequence) {
            return;
        }
        each(sequence);
        let planned: Vec<usize> = sequence.iter().flatten().copied().collect();
        for &fix in of.iter().filter(|f| !planned.contains(f)) {
            sequence.push(vec![fix]);
            go(problem, of, sequence, each);
            sequence.pop();
            if sequence.is_empty() {
                continue;
            }
            let last = sequence.len() - 1;
            sequence[last].push(fix);
            go(problem, of, sequence, each);
            sequence[last].pop();
        }
    }
    go(problem, of, &mut Vec::new(), each);
}

/// Fails unless two numbers agree to 1e-9 of themselves.
#[track_caller]
pub(super) fn close(got: f64, expected: f64, what: &str) {
    assert!(
        (got - expected).abs() <= 1e-9 * expected.abs().max(1.0),
        "{what}: got {got}, expected {expected}"
    );
}
