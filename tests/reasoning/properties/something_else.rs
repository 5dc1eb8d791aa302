//! That it is none of the causes, beside the sets of causes: as plain enumeration has it.

use proptest::prelude::*;
use straybelt::reason::{Belief, Engine, Scenarios, Worth};
use straybelt::rulebook::index::{CauseAt, SymptomAt};

use super::{beliefs, second_looks};
use crate::support::draw::{Case, cases, looked_cases, worked_cases};
use crate::support::enumerate::Enumeration;
use crate::support::{close, close_all};

/// The same case where it may be none of the causes.
fn with(mut case: Case, share: f64) -> Case {
    case.present.min = 1;
    case.present.max = case.present.max.max(1);
    case.evidence.something_else = share;
    case
}

/// Everything that is said of a case is what enumeration says.
fn as_enumerated(case: &Case, askable: &[SymptomAt]) {
    let Case { network, present, evidence } = case;
    let engine = Engine::new(network, *present);
    let truth = Enumeration::of(network, *present, evidence);
    let belief = Belief::new(&engine, evidence);
    assert_eq!(belief.is_some(), truth.is_some());
    let (Some(belief), Some(truth)) = (belief, truth) else { return };
    let none = truth.chance(<[CauseAt]>::is_empty);
    close(belief.something_else(), none, "something else");
    close(belief.log_evidence(), truth.log_evidence, "log evidence");
    close_all(belief.marginals().as_slice(), &truth.marginals(), "marginals");
    let scenarios = Scenarios::new(&engine, &belief, evidence, 0.0);
    let still = scenarios.still_present(&belief, evidence);
    close_all(still.as_slice(), &truth.still_present(), "still present");
    // What is missing to 1 is what no plan cures.
    close(scenarios.list.iter().map(|s| s.chance).sum::<f64>() + none, 1.0, "scenarios");
    assert!(scenarios.list.iter().all(|scenario| !scenario.present.is_empty()));
    for &symptom in askable {
        let worth = Worth::new(&engine, evidence, &belief, symptom);
        close_all(&worth.chances, &truth.predictive(symptom), &format!("{symptom:?}"));
        close(worth.bits, truth.bits(symptom), &format!("bits of {symptom:?}"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn it_stands_beside_the_causes(case in cases(5, 5), share in 0.001..0.5_f64) {
        let askable = beliefs::askable(&case);
        as_enumerated(&with(case, share), &askable);
    }

    #[test]
    fn work_does_not_cure_it(case in worked_cases(4, 4), share in 0.001..0.5_f64) {
        let askable = beliefs::askable(&case);
        as_enumerated(&with(case, share), &askable);
    }

    #[test]
    fn second_looks_tell_of_it_too(case in looked_cases(4, 3), share in 0.001..0.5_f64) {
        let askable = second_looks::askable(&case);
        as_enumerated(&with(case, share), &askable);
    }

    /// Without a share nothing is as if there were no such thing, and the chance of the answers is of the causes alone.
    #[test]
    fn a_share_moves_no_cause_against_another(case in looked_cases(4, 4), share in 0.001..0.5_f64) {
        let (without, with) = (with(case.clone(), 0.0), with(case, share));
        let engine = Engine::new(&without.network, without.present);
        let beliefs = [&without, &with].map(|case| Belief::new(&engine, &case.evidence));
        let [Some(without), Some(with)] = beliefs else { return Ok(()) };
        close(without.something_else(), 0.0, "no share");
        close(with.log_evidence(), without.log_evidence(), "log evidence");
        let rest = 1.0 - with.something_else();
        for (before, after) in without.marginals().values().zip(with.marginals().values()) {
            close(before * rest, *after, "in proportion");
        }
    }
}
