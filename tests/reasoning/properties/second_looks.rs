//! What is seen anew after work, against walking through every way in which the work may have gone and every
//! answer that may be hidden.

use proptest::prelude::*;
use straybelt::reason::{Belief, Engine, Scenarios, Seen, Worth};
use straybelt::rulebook::index::{CauseAt, SymptomAt};

use crate::support::draw::{Case, looked_cases};
use crate::support::enumerate::Enumeration;
use crate::support::{close, close_all};

/// Questions that may be asked in the latest look: also those that were answered before, and in this one.
pub(super) fn askable(case: &Case) -> Vec<SymptomAt> {
    let Some(now) = case.evidence.second.last() else { return Vec::new() };
    let grouped = |s: SymptomAt| case.evidence.groups.iter().any(|group| group.contains(&s));
    let all = case.network.nodes.places();
    let may = |s: &SymptomAt| match case.evidence.history[*s] {
        true => case.evidence.symptoms[*s] == Seen::Open,
        false => now.applies[*s] && now.answer(*s).is_none(),
    };
    all.filter(|s| may(s) && !grouped(*s)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(if crate::support::long() { 5_000 } else { 400 }))]

    #[test]
    fn second_looks_are_taken_as_rules_json_says(case in looked_cases(5, 5)) {
        let Case { network, present, evidence } = &case;
        let engine = Engine::new(network, *present);
        let truth = Enumeration::of(network, *present, evidence);
        let belief = Belief::new(&engine, evidence);
        prop_assert_eq!(belief.is_some(), truth.is_some());
        let (Some(belief), Some(truth)) = (belief, truth) else { return Ok(()) };
        close(belief.log_evidence(), truth.log_evidence, "log evidence");
        close_all(belief.marginals().as_slice(), &truth.marginals(), "present at the start");
        let scenarios = Scenarios::new(&engine, &belief, evidence, 0.0);
        let still = scenarios.still_present(&belief, evidence);
        close_all(still.as_slice(), &truth.still_present(), "still present");
        for way in &truth.ways {
            let same = scenarios.list.iter().find(|s| *s.present == *way.present && *s.remaining == *way.remaining);
            close(same.map_or(0.0, |s| s.chance), way.chance, "one way");
        }
        let alone = evidence.answers_alone();
        let truth = Enumeration::of(network, *present, &alone).unwrap();
        let belief = Belief::new(&engine, &alone).unwrap();
        close(belief.log_evidence(), truth.log_evidence, "log evidence of the answers alone");
    }

    /// A question asked now is about what is left now, whether it was answered before or not, open parents
    /// and relatives being looked at together with what was answered.
    #[test]
    fn questions_asked_now_are_about_what_is_left(case in looked_cases(4, 5)) {
        let Case { network, present, evidence } = &case;
        let engine = Engine::new(network, *present);
        let Some(belief) = Belief::new(&engine, evidence) else { return Ok(()) };
        let truth = Enumeration::of(network, *present, evidence).unwrap();
        let scenarios = Scenarios::new(&engine, &belief, evidence, 0.0);
        for symptom in askable(&case) {
            let worth = Worth::new(&engine, evidence, &belief, symptom);
            close_all(&worth.chances, &truth.predictive(symptom), "chances of the answers");
            close(worth.bits, truth.bits(symptom).max(0.0), "bits");
            let after = scenarios.after_each(&engine, evidence, symptom);
            for (answer, (chance, then)) in after.iter().enumerate() {
                close(*chance, worth.chances[answer], "chance of the answer");
                for scenario in &then.list {
                    let these = truth.courses.iter().filter(|(course, _)| {
                        course[0] == *scenario.present && *course.last().unwrap() == *scenario.remaining
                    });
                    let sum: f64 = these.map(|(course, p)| p * truth.row(course, symptom)[answer]).sum();
                    close(scenario.chance, sum / chance, "one way after the answer");
                }
            }
        }
    }

    /// Where nothing was cured of what matters, an answer is what the belief after it says.
    #[test]
    fn chances_after_an_answer_are_the_belief_after_it(case in looked_cases(4, 4)) {
        let mut case = case;
        for batch in &mut case.evidence.work.batches {
            batch.cures.clear();
        }
        let engine = Engine::new(&case.network, case.present);
        let Some(belief) = Belief::new(&engine, &case.evidence) else { return Ok(()) };
        let scenarios = Scenarios::new(&engine, &belief, &case.evidence, 0.0);
        for symptom in askable(&case) {
            // The answers of one look at a relative symptom hang on what its parent was then: asked anew, that
            // is what it is now.
            let parents = |s: SymptomAt| case.network.nodes[s].parents();
            let told_before = case.evidence.before(case.evidence.now() + 1, symptom).is_some();
            if told_before && case.network.nodes.places().any(|s| parents(s).contains(&symptom)) {
                continue;
            }
            for (answer, (chance, then)) in scenarios.after_each(&engine, &case.evidence, symptom).iter().enumerate() {
                if *chance < 1e-9 {
                    continue;
                }
                let evidence = case.evidence.told(symptom, answer);
                let belief = Belief::new(&engine, &evidence).unwrap();
                for scenario in Scenarios::new(&engine, &belief, &evidence, 0.0).list {
                    let same = then.list.iter().find(|s| s.present == scenario.present);
                    close(same.map_or(0.0, |s| s.chance), scenario.chance, "one way");
                }
            }
        }
    }

    /// A look in which nothing was told is none.
    #[test]
    fn an_empty_look_changes_no_belief(case in looked_cases(5, 4)) {
        let engine = Engine::new(&case.network, case.present);
        let mut evidence = case.evidence;
        evidence.second.iter_mut().for_each(|look| look.told.clear());
        let with = Belief::new(&engine, &evidence);
        evidence.second.clear();
        let without = Belief::new(&engine, &evidence);
        prop_assert_eq!(with.is_some(), without.is_some());
        let (Some(with), Some(without)) = (with, without) else { return Ok(()) };
        close_all(with.marginals().as_slice(), without.marginals().as_slice(), "present at the start");
        close(with.log_evidence(), without.log_evidence(), "log evidence");
        let applying = case.network.priors.places().filter(|c| evidence.causes[*c]);
        prop_assert_eq!(without.possible(), applying.collect::<Vec<CauseAt>>());
    }
}
