//! What was found and done, against walking through every way the work may have gone.

use proptest::prelude::*;
use straybelt::reason::{
    Batch, Belief, Engine, Evidence, Found, Outcome, Present, Scenario, Scenarios, Seen, WorkDone,
};
use straybelt::rulebook::index::{CauseAt, List, Place};
use straybelt::rulebook::network::{Kind, Network, Node};

use crate::support::draw::{Case, worked_cases};
use crate::support::enumerate::{Enumeration, how_the_work_went};
use crate::support::{close, close_all};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn reports_are_taken_as_rules_json_says(case in worked_cases(5, 4)) {
        let Case { network, present, evidence } = &case;
        let engine = Engine::new(network, *present);
        let truth = Enumeration::of(network, *present, evidence);
        let belief = Belief::new(&engine, evidence);
        prop_assert_eq!(belief.is_some(), truth.is_some());
        let (Some(belief), Some(truth)) = (belief, truth) else { return Ok(()) };
        let applying = network.priors.places().filter(|c| evidence.causes[*c]);
        prop_assert_eq!(belief.possible(), applying.collect::<Vec<CauseAt>>());
        close(belief.log_evidence(), truth.log_evidence, "log evidence");
        close_all(belief.marginals().as_slice(), &truth.marginals(), "present at the start");
        let scenarios = Scenarios::new(&engine, &belief, evidence, 0.0);
        let still = scenarios.still_present(&belief, evidence);
        close_all(still.as_slice(), &truth.still_present(), "still present");
        close(scenarios.list.iter().map(|s| s.chance).sum(), 1.0, "scenarios");
        for way in &truth.ways {
            let same = scenarios.list.iter().find(|s| *s.present == *way.present && *s.remaining == *way.remaining);
            close(same.map_or(0.0, |s| s.chance), way.chance, "one way");
        }
        for scenario in &scenarios.list {
            prop_assert!(scenario.remaining.iter().all(|c| scenario.present.contains(c)));
        }
    }

    /// A floor keeps the sets that reach it, the one just on it included, with the chances they have. Where
    /// the likely ways are to stand for the others, they carry the chance of all, in proportion.
    #[test]
    fn a_floor_keeps_what_reaches_it(case in worked_cases(4, 4), number in any::<usize>()) {
        let engine = Engine::new(&case.network, case.present);
        let answers = case.evidence.answers_alone();
        let Some(belief) = Belief::new(&engine, &answers) else { return Ok(()) };
        let all = Scenarios::new(&engine, &belief, &answers, 0.0);
        let floor = all.list[number % all.list.len()].chance;
        let reach = all.list.iter().filter(|s| s.chance >= floor).cloned();
        prop_assert_eq!(Scenarios::new(&engine, &belief, &answers, floor).list, reach.collect::<Vec<_>>());
        for evidence in [&answers, &case.evidence] {
            let Some(belief) = Belief::new(&engine, evidence) else { continue };
            let all = Scenarios::new(&engine, &belief, evidence, 0.0).list;
            let likely = Scenarios::likely(&engine, &belief, evidence, floor).list;
            let reach: Vec<&Scenario> = all.iter().filter(|s| s.chance >= floor).collect();
            prop_assert_eq!(likely.len(), reach.len());
            let sum = |ways: &[&Scenario]| ways.iter().map(|s| s.chance).sum::<f64>();
            let share = sum(&all.iter().collect::<Vec<_>>()) / sum(&reach);
            for (likely, way) in likely.iter().zip(&reach) {
                prop_assert_eq!((&likely.present, &likely.remaining), (&way.present, &way.remaining));
                close(likely.chance, way.chance * share, "in proportion");
            }
        }
    }

    /// A question asked after work is about the causes present at the start all the same.
    #[test]
    fn questions_after_work_reweigh_the_outlook(case in worked_cases(4, 4)) {
        let engine = Engine::new(&case.network, case.present);
        let Some(belief) = Belief::new(&engine, &case.evidence) else { return Ok(()) };
        let scenarios = Scenarios::new(&engine, &belief, &case.evidence, 0.0);
        let grouped = |s| case.evidence.groups.iter().any(|g| g.contains(&s));
        let open = case.evidence.symptoms.iter().filter(|(s, seen)| **seen == Seen::Open && !grouped(*s));
        for (symptom, _) in open {
            for (answer, (_, after)) in scenarios.after_each(&engine, &case.evidence, symptom).iter().enumerate() {
                let evidence = case.evidence.with(symptom, Seen::Answered(answer));
                let belief = Belief::new(&engine, &evidence).unwrap();
                let direct = Scenarios::new(&engine, &belief, &evidence, 0.0);
                for then in &after.list {
                    let same = direct.list.iter().find(|d| d.present == then.present && d.remaining == then.remaining);
                    close(then.chance, same.map_or(0.0, |d| d.chance), "one way");
                }
            }
        }
    }

    #[test]
    fn work_alone_is_what_the_flags_say(case in worked_cases(4, 1)) {
        let work = &case.evidence.work;
        let causes: Vec<CauseAt> = case.network.priors.places().collect();
        let ways = how_the_work_went(work, &causes);
        close(work.chance(&causes), ways.iter().map(|(_, p)| p).sum(), "chance of the outcomes");
        let speaks = work.batches.iter().any(|b| matches!(b.outcome, Some(Outcome::True | Outcome::Better | Outcome::NoChange)));
        prop_assert_eq!(work.says_something(), speaks);
        prop_assert_eq!(work.is_empty(), work.found.is_empty() && work.batches.is_empty());
        for &cause in &causes {
            let cures = work.batches.iter().flat_map(|b| &b.cures).filter(|(c, _)| *c == cause);
            close(work.cured(cause), cures.clone().map(|(_, p)| *p).fold(0.0, f64::max), "best cure");
            prop_assert_eq!(work.touched().contains(&cause), cures.count() > 0);
        }
    }
}

/// In a very large book the unlikeliest causes are given up once an outcome is reported, and only the
/// likeliest are planned for; those that some work touched stay in both.
#[test]
fn a_very_large_book_keeps_what_the_work_touched() {
    let rare = 140;
    let mut priors = vec![0.01; rare];
    priors[100] = 0.001;
    let network = Network { priors: priors.into_iter().collect(), nodes: List::default() };
    let engine = Engine::new(&network, Present { min: 1, max: 2 });
    let mut evidence = Evidence::none(rare, 0);
    let touched = CauseAt::at(100);
    evidence.work = WorkDone {
        batches: vec![Batch { cures: vec![(touched, 0.5)], outcome: Some(Outcome::Better) }],
        wrong: 0.05,
        ..WorkDone::default()
    };
    let belief = Belief::new(&engine, &evidence).unwrap();
    let marginals = belief.marginals();
    assert_eq!(belief.possible().len(), 120);
    assert!(belief.possible().contains(&touched));
    assert!(marginals[touched] > 0.001, "better speaks for it");
    assert_eq!(marginals.values().filter(|p| **p > 0.0).count(), 120);
    let scenarios = Scenarios::new(&engine, &belief, &evidence, 0.0);
    let mut planned: Vec<CauseAt> =
        scenarios.list.iter().flat_map(|s| s.present.to_vec()).collect();
    planned.sort_unstable();
    planned.dedup();
    assert_eq!(planned.len(), 64);
    assert!(planned.contains(&touched));
    let mass: f64 = scenarios.list.iter().map(|s| s.chance).sum();
    assert!(mass > 0.3 && mass < 0.9, "the rest is missing: {mass}");
    // An answer tells nothing about what is missing.
    let mut network = network;
    let sign = network
        .nodes
        .push(Node { answers: 2, kind: Kind::Sign { leak: 0.1, links: vec![(touched, 0.9)] } });
    let engine = Engine::new(&network, Present { min: 1, max: 2 });
    evidence.symptoms.push(Seen::Open);
    let after = scenarios.after_each(&engine, &evidence, sign);
    close(after.iter().map(|(chance, _)| chance).sum(), 1.0, "chances of the answers");
    for (_, after) in &after {
        close(after.list.iter().map(|s| s.chance).sum(), mass, "as much is missing");
    }
}

/// The likeliest ways stand for the others too.
#[test]
fn the_likeliest_ways_carry_all_the_chance() {
    let way = |present: &[usize], chance| Scenario {
        present: present.iter().map(|&c| CauseAt::at(c)).collect(),
        remaining: [].into_iter().collect(),
        chance,
    };
    let scenarios = Scenarios { list: vec![way(&[0], 0.6), way(&[1], 0.2), way(&[0, 1], 0.1)] };
    let likely = scenarios.likeliest(0.2);
    let chances: Vec<f64> = likely.list.iter().map(|s| s.chance).collect();
    close_all(&chances, &[0.675, 0.225], "0.6 and 0.2 of 0.9");
    assert_eq!(scenarios.likeliest(0.0), scenarios);
}

/// By hand: chances 0.5 and 0.5 of two causes of which one is present. "As suspected" of the first:
/// 0.95 / (0.95 + 0.03). Derived from the shares alone.
#[test]
fn found_as_suspected_by_hand() {
    let network = Network { priors: [0.2, 0.2].into_iter().collect(), nodes: List::default() };
    let engine = Engine::new(&network, Present { min: 1, max: 1 });
    let mut evidence = Evidence::none(2, 0);
    evidence.work = WorkDone {
        found: vec![Found { cause: CauseAt::at(0), if_present: 0.95, if_absent: 0.03 }],
        ..WorkDone::default()
    };
    let belief = Belief::new(&engine, &evidence).unwrap();
    close(belief.marginals()[CauseAt::at(0)], 0.95 / 0.98, "as suspected");
    close(belief.log_evidence(), (0.5 * 0.98_f64).ln(), "log evidence");
}

/// "It runs true now" after work that cures nothing: if no report is ever wrong, nothing can be the case.
#[test]
fn what_cannot_be_is_not_believed() {
    let network = Network { priors: [0.2, 0.2].into_iter().collect(), nodes: List::default() };
    let engine = Engine::new(&network, Present { min: 1, max: 2 });
    let mut evidence = Evidence::none(2, 0);
    evidence.work.batches = vec![Batch { cures: Vec::new(), outcome: Some(Outcome::True) }];
    evidence.work.wrong = 0.0;
    assert!(Belief::new(&engine, &evidence).is_none());
    evidence.work.wrong = 0.05;
    assert!(Belief::new(&engine, &evidence).is_some());
}
