//! The planner that questions are valued with, against the one whose plan is printed, on the shipped book.
//!
//! Whether a question pays is a difference of two plans' minutes. Were these plans poor, asking would stop
//! too early or too late, and what a question "should spare" would be a fable.

use fastrand::Rng;
use straybelt::plan::{PlanningProblem, solve, solve_quickly};
use straybelt::rulebook::index::{AnswerAt, Place};
use straybelt::rulebook::load;
use straybelt::rulebook::model::MachineState;
use straybelt::visit::{
    ConveyorFacts, Depth, Diagnosis, Finding, NextQuestion, Observations, Reply,
};

/// The planning problems met in visits where the program's own questions are answered by chance, as likely
/// as the book holds each answer: after 6, 10 and 14 answers.
fn problems(visits: usize) -> Vec<PlanningProblem> {
    let book = load::default_book().unwrap();
    let diagnosis = Diagnosis::new(&book);
    let mut rng = Rng::with_seed(2031);
    let mut problems = Vec::new();
    for _ in 0..visits {
        let mut told = Observations::none(&book);
        for answers in 1..=14 {
            let finding = diagnosis.finding(&ConveyorFacts::default(), &told);
            let Some(next) = finding.next.first() else {
                break;
            };
            told.replies[next.symptom] = drawn(next, &mut rng);
            if [6, 10, 14].contains(&answers) {
                let finding = diagnosis.finding(&ConveyorFacts::default(), &told);
                problems.extend(diagnosis.planning(&finding));
            }
        }
    }
    problems
}

/// An answer, as likely as the book holds each.
fn drawn(question: &NextQuestion, rng: &mut Rng) -> Reply {
    let mut left = rng.f64();
    let chosen = question.chances.iter().position(|p| {
        left -= p;
        left < 0.0
    });
    Reply::Answer(AnswerAt::at(chosen.unwrap_or(0)))
}

#[test]
fn the_quick_planner_stays_close_to_the_best_plan_on_the_shipped_book() {
    let mut excess = Vec::new();
    for (case, problem) in problems(10).iter().enumerate() {
        let (quick, best) = (solve_quickly(problem), solve(problem));
        assert!(problem.allows(&quick), "case {case}: {quick:?}");
        let (quick, best) = (problem.cost(&quick), problem.cost(&best));
        println!(
            "case {case}: {} fixes, {} sets, {quick:.1} against {best:.1}",
            problem.fixes.len(),
            problem.remain.len()
        );
        excess.push(quick / best - 1.0);
    }
    let mean = excess.iter().sum::<f64>() / excess.len() as f64;
    let worst = excess.iter().copied().fold(0.0, f64::max);
    println!("mean {mean:.4}, worst {worst:.4} over {} cases", excess.len());
    assert!(excess.len() >= 30);
    assert!(mean <= 0.03, "mean {mean}");
    assert!(worst <= 0.08, "worst {worst}");
}

/// Whatever the answer, today's plan may be followed all the same. So no question can cost work: what is
/// below nothing comes from the unlikely sets that each valuing leaves to the likelier ones.
#[test]
fn an_answer_costs_no_work() {
    let book = load::default_book().unwrap();
    let diagnosis = Diagnosis::new(&book);
    let mut rng = Rng::with_seed(77);
    let (mut valued, mut least) = (0, 0.0_f64);
    for _ in 0..12 {
        let mut told = Observations::none(&book);
        for _ in 0..12 {
            let finding = diagnosis.finding_to(&ConveyorFacts::default(), &told, Depth::Questions);
            for question in &finding.next {
                let stays = book.symptoms[question.symptom].state != MachineState::LockedOut;
                if let Some(saves) = question.saves_minutes.filter(|_| stays) {
                    valued += 1;
                    least = least.min(saves / finding_minutes(&diagnosis, &finding));
                }
            }
            let Some(next) = finding.next.first() else {
                break;
            };
            told.replies[next.symptom] = drawn(next, &mut rng);
        }
    }
    println!("{valued} valued, least share saved {least:.5}");
    assert!(valued > 60);
    assert!(least > -0.01, "{least}");
}

fn finding_minutes(diagnosis: &Diagnosis<'_>, finding: &Finding) -> f64 {
    diagnosis.plan(finding).expected_minutes
}
