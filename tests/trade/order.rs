//! What must come before what, in every plan, whatever was answered. Sources: cleaning and rolls first
//! (distributor's troubleshooting table; belt tracking guide, 7 rules), structure before pulleys and idlers
//! (bulk handbook, training and survey pages), squaring before trimming (US Army TM 5-3895-374-24-2,
//! pp. 620-621); the rest derived.

use proptest::prelude::*;
use straybelt::rulebook::index::{AnswerAt, FixAt, Place};
use straybelt::rulebook::model::{MachineState, Stage, Verdict};
use straybelt::visit::{Machine, Observations, Reply};

use crate::visit::{book, diagnosis, troughed};

/// Pairs of stages: the first comes before the second when both are planned.
const BEFORE: &[(Stage, Stage)] = &[
    (Stage::Clean, Stage::Rolls),
    (Stage::Clean, Stage::Idlers),
    (Stage::Rolls, Stage::Idlers),
    (Stage::Supports, Stage::Idlers),
    (Stage::Supports, Stage::Pulleys),
    (Stage::Pulleys, Stage::Idlers),
    (Stage::TakeUp, Stage::Idlers),
    (Stage::Tension, Stage::Surface),
    (Stage::Supports, Stage::Frame),
    (Stage::Frame, Stage::Idlers),
    (Stage::Frame, Stage::Pulleys),
    (Stage::Frame, Stage::TakeUp),
    (Stage::TakeUp, Stage::Tension),
    (Stage::TakeUp, Stage::Surface),
    (Stage::Pulleys, Stage::Load),
    (Stage::TakeUp, Stage::Load),
    (Stage::Idlers, Stage::Train),
    (Stage::Clean, Stage::Train),
    (Stage::Frame, Stage::Train),
    (Stage::Pulleys, Stage::Train),
    (Stage::TakeUp, Stage::Train),
    (Stage::Tension, Stage::Train),
    (Stage::Load, Stage::Train),
    (Stage::Weather, Stage::Train),
    (Stage::Train, Stage::Trainers),
];

fn some_answers() -> impl Strategy<Value = Vec<Option<usize>>> {
    let symptoms = book().symptoms.len();
    proptest::collection::vec(proptest::option::weighted(0.12, 0_usize..6), symptoms)
}

fn some_conveyor() -> impl Strategy<Value = crate::visit::Conveyor> {
    let pick = |values: &'static [&'static str]| proptest::sample::select(values);
    (pick(&["screw", "gravity", "carriage"]), pick(&["yes", "no"]), pick(&["indoors", "outdoors"]))
        .prop_map(|(take_up, reversing, place)| {
            troughed().with("take_up", take_up).with("reversing", reversing).with("place", place)
        })
}

fn told(answers: &[Option<usize>], machine: bool) -> Observations {
    let mut told = Observations::none(book());
    for ((at, symptom), answer) in book().symptoms.iter().zip(answers) {
        if let Some(answer) = answer {
            told.replies[at] = Reply::Answer(AnswerAt::at(answer % symptom.answers.len()));
        }
    }
    told.machine = if machine { Machine::LockedOut } else { Machine::Running };
    told
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn every_plan_keeps_the_order_of_work(answers in some_answers(), conveyor in some_conveyor(), machine: bool) {
        let finding = diagnosis().finding(&conveyor.0, &told(&answers, machine));
        let order: Vec<(usize, FixAt)> = finding
            .plan
            .batches
            .iter()
            .enumerate()
            .flat_map(|(number, batch)| batch.steps.iter().map(move |step| (number, step.fix)))
            .collect();
        let chance = |fix: FixAt| -> f64 {
            let still = |c| finding.ranked.iter().find(|r| r.cause == c).map_or(0.0, |r| r.probability);
            book().fixes[fix].cures.iter().map(|(c, _)| still(*c)).fold(0.0, f64::max)
        };
        // What is unlikely need not come before anything.
        let sound = |fix: FixAt| {
            !book().fixes[fix].begins_with.is_empty()
                && finding.observed.verdict(book(), fix) == Verdict::Sound
        };
        let wanting = |fix: FixAt| chance(fix) >= 0.01 && !sound(fix);
        for (i, (batch, fix)) in order.iter().enumerate() {
            let entry = &book().fixes[*fix];
            prop_assert!(finding.fixes_apply[*fix]);
            prop_assert_eq!(finding.plan.batches[*batch].state == MachineState::LockedOut, entry.state() == MachineState::LockedOut);
            // Within one isolation; a batch of its own waits for nobody.
            for (_, later) in order[i + 1..].iter().filter(|(other, _)| other == batch) {
                if !wanting(*later) {
                    continue;
                }
                let later = &book().fixes[*later];
                prop_assert!(!BEFORE.contains(&(later.stage, entry.stage)), "{} before {}", entry.id, later.id);
                prop_assert!(!entry.after.iter().any(|a| book().fixes[*a].id == later.id), "{} is after {}", entry.id, later.id);
            }
            // A need is done in an earlier batch, does not apply, or all its causes are unlikely.
            for need in &entry.needs {
                let done = order.iter().any(|(b, f)| f == need && b < batch);
                prop_assert!(done || !finding.fixes_apply[*need] || !wanting(*need), "{} lacks {}", entry.id, book().fixes[*need].id);
            }
        }
    }
}
