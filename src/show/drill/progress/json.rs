//! Progress as one JSON document: every figure of it.

use serde_json::{Value, json};

use super::Progress;
use crate::drill::learners::{Attempt, Learner};
use crate::drill::progress::{Sums, weeks};
use crate::stream;

/// The format this program writes.
const FORMAT: u32 = 1;

/// The document, with a line end.
pub fn write(progress: &Progress<'_>) -> String {
    let learners: Vec<Value> =
        progress.learners.iter().map(|learner| of(learner, progress)).collect();
    stream::json(&json!({ "format": FORMAT, "learners": learners })).unwrap_or_default()
}

fn of(learner: &Learner, progress: &Progress<'_>) -> Value {
    let weeks = weeks(&learner.attempts, progress.zone);
    json!({
        "who": learner.name,
        "together": sums(&Sums::of(&learner.attempts)),
        "weeks": weeks.iter().map(|week| json!({
            "monday": week.monday.to_string(),
            "together": sums(&week.sums),
        })).collect::<Vec<_>>(),
        "runs": learner.attempts.iter().map(run).collect::<Vec<_>>(),
        "not_finished": learner.open.iter().map(|(run, _)| run).collect::<Vec<_>>(),
        "not_counted": learner.unknown,
        "courses": progress.courses.iter().map(|course| {
            let standing = course.standing(&learner.attempts);
            let steps = course.steps.iter().zip(&standing).map(|(step, stands)| json!({
                "drill": step.drill,
                "exam": step.exam,
                "tries": stands.tries,
                "reached_in": stands.reached,
            }));
            json!({
                "id": course.id,
                "reached": super::course::reached(&standing),
                "steps": steps.collect::<Vec<_>>(),
            })
        }).collect::<Vec<_>>(),
    })
}

fn sums(sums: &Sums) -> Value {
    json!({
        "runs": sums.runs,
        "solved": sums.solved,
        "minutes": sums.minutes,
        "expert_minutes": sums.expert_minutes,
        "safety_faults": sums.safety_faults,
        "safe_runs": sums.safe_runs,
        "hidden": sums.hidden,
        "found": sums.found,
        "statements": sums.statements,
        "brier": sums.brier,
        "advice": sums.advice,
        "repeats": sums.repeats,
    })
}

fn run(attempt: &Attempt) -> Value {
    let worth = &attempt.worth;
    json!({
        "run": attempt.run,
        "drill": attempt.drill,
        "begun": attempt.begun,
        "exam": attempt.exam,
        "earlier": attempt.earlier,
        "solved": worth.is_solved(),
        "runs_true": worth.runs_true,
        "all_cured": worth.all_cured,
        "minutes": worth.minutes,
        "expert_minutes": worth.expert_minutes,
        "best_minutes": worth.best_minutes,
        "safety_faults": worth.safety_faults,
        "hidden": worth.hidden,
        "found": worth.found,
        "wrongly_named": worth.wrongly_named,
        "statements": worth.stated.len(),
        "brier": worth.brier(),
        "advice": worth.advice,
    })
}
