//! Beliefs are those of plain enumeration, and chances are chances.

use fastrand::Rng;
use proptest::prelude::*;
use straybelt::reason::subsets::Subsets;
use straybelt::reason::{Belief, Engine, Evidence, Scenarios, Seen, Worth, left_out};
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};

use crate::support::draw::{Case, case, cases, limits, network};
use crate::support::enumerate::{Enumeration, chance, sets};
use crate::support::{close, close_all};

/// Open symptoms in no group with an answered member: those whose questions may be asked.
pub(super) fn askable(case: &Case) -> Vec<SymptomAt> {
    let evidence = &case.evidence;
    let open = |s: SymptomAt| evidence.symptoms[s] == Seen::Open;
    let told = |s: SymptomAt| {
        let group = evidence.groups.iter().find(|g| g.contains(&s));
        group.is_some_and(|g| {
            let answered = |s: &SymptomAt| matches!(evidence.symptoms[*s], Seen::Answered(_));
            g.iter().any(answered)
        })
    };
    let places = evidence.symptoms.places();
    places.filter(|&s| open(s) && !told(s)).collect()
}

/// Some of the causes, sorted.
fn some(rng: &mut Rng, causes: usize) -> Vec<CauseAt> {
    let all = (0..causes).filter(|_| rng.f64() < 0.6);
    all.map(CauseAt::at).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn beliefs_are_those_of_enumeration(case in cases(6, 6)) {
        let engine = Engine::new(&case.network, case.present);
        let truth = Enumeration::of(&case.network, case.present, &case.evidence);
        let belief = Belief::new(&engine, &case.evidence);
        prop_assert_eq!(belief.is_some(), truth.is_some());
        let (Some(belief), Some(truth)) = (belief, truth) else { return Ok(()) };
        close(belief.log_evidence(), truth.log_evidence, "log evidence");
        close_all(belief.marginals().as_slice(), &truth.marginals(), "marginals");
        for symptom in askable(&case) {
            let worth = Worth::new(&engine, &case.evidence, &belief, symptom);
            close_all(&worth.chances, &truth.predictive(symptom), &format!("{symptom:?}"));
            close(worth.bits, truth.bits(symptom), &format!("bits of {symptom:?}"));
            prop_assert!(worth.bits >= 0.0);
        }
    }

    /// Up to three at once the tables come from inclusion and exclusion, beyond that from the sets
    /// themselves. Both are what counting the sets gives, whatever part of the causes is looked at.
    #[test]
    fn intersections_are_counted_right(
        causes in 1..=8_usize, max in 0..=5_usize, min in 0..=1_usize, seed in any::<u64>()
    ) {
        let rng = &mut Rng::with_seed(seed);
        let mut case = case(rng, causes, 4);
        case.present = limits(min, max);
        let engine = Engine::new(&case.network, case.present);
        let truth = Enumeration::of(&case.network, case.present, &case.evidence);
        let belief = Belief::new(&engine, &case.evidence);
        prop_assert_eq!(belief.is_some(), truth.is_some());
        let (Some(belief), Some(truth)) = (belief, truth) else { return Ok(()) };
        prop_assert_eq!(belief.most(), max);
        let scope = some(rng, causes);
        let (inside, just) = (belief.intersections(&scope), belief.exactly(&scope));
        let layout = Subsets::new(scope.len(), max);
        prop_assert_eq!(inside.len(), layout.len());
        prop_assert_eq!(just.len(), layout.len());
        layout.for_each(|members, place| {
            let these: Vec<CauseAt> = members.iter().map(|&m| scope[m]).collect();
            let seen = |present: &[CauseAt]| -> Vec<CauseAt> {
                present.iter().copied().filter(|c| scope.contains(c)).collect()
            };
            close(inside[place], truth.chance(|s| seen(s) == these), &format!("of {these:?}"));
            close(just[place], truth.chance(|s| s == these), &format!("just {these:?}"));
        });
    }

    #[test]
    fn chances_are_chances(case in cases(7, 6)) {
        let engine = Engine::new(&case.network, case.present);
        let Some(belief) = Belief::new(&engine, &case.evidence) else { return Ok(()) };
        let marginals = belief.marginals();
        for (cause, chance) in marginals.iter() {
            prop_assert!((0.0..=1.0 + 1e-12).contains(chance), "{:?}: {}", cause, chance);
            prop_assert!(case.evidence.causes[cause] || *chance == 0.0);
        }
        // The chances of the causes add up to the number expected to be present, within its limits.
        let all: Vec<CauseAt> = case.network.priors.places().collect();
        let sets = belief.exactly(&all);
        let mut expected_number = 0.0;
        Subsets::new(all.len(), case.present.max).for_each(|members, place| {
            expected_number += sets[place] * members.len() as f64;
        });
        close(sets.iter().sum(), 1.0, "chances of the sets");
        close(marginals.values().sum(), expected_number, "sum of the marginals");
        let (least, most) = (case.present.min as f64, case.present.max as f64);
        prop_assert!((least - 1e-9..=most + 1e-9).contains(&expected_number));
        for symptom in askable(&case) {
            let worth = Worth::new(&engine, &case.evidence, &belief, symptom);
            close(worth.chances.iter().sum(), 1.0, "chances of the answers");
            prop_assert!(worth.chances.iter().all(|p| *p >= 0.0));
            let most = (worth.chances.len() as f64).log2();
            prop_assert!((0.0..=most + 1e-9).contains(&worth.bits));
        }
    }

    /// The outlooks after each answer are those that start from the belief with that answer; the bits are
    /// what the answers change them by, on average.
    #[test]
    fn outlooks_after_an_answer_are_the_outlooks_with_it(case in cases(5, 5)) {
        let engine = Engine::new(&case.network, case.present);
        let Some(belief) = Belief::new(&engine, &case.evidence) else { return Ok(()) };
        let scenarios = Scenarios::new(&engine, &belief, &case.evidence, 0.0);
        close(scenarios.list.iter().map(|s| s.chance).sum(), 1.0, "scenarios");
        for symptom in askable(&case) {
            let worth = Worth::new(&engine, &case.evidence, &belief, symptom);
            let mut gained = 0.0;
            let after_each = scenarios.after_each(&engine, &case.evidence, symptom);
            for (answer, (chance, after)) in after_each.iter().enumerate() {
                close(*chance, worth.chances[answer], "chance of the answer");
                let evidence = case.evidence.with(symptom, Seen::Answered(answer));
                let belief = Belief::new(&engine, &evidence).unwrap();
                let direct = Scenarios::new(&engine, &belief, &evidence, 0.0);
                for (now, then) in scenarios.list.iter().zip(&after.list) {
                    let same = direct.list.iter().find(|d| d.present == then.present);
                    close(then.chance, same.map_or(0.0, |d| d.chance), "chance after the answer");
                    if then.chance > 0.0 {
                        gained += chance * then.chance * (then.chance / now.chance).log2();
                    }
                }
            }
            close(worth.bits, gained, "bits");
        }
    }

    /// Whichever of two questions is answered first, the same is believed and the same was to be expected.
    #[test]
    fn the_order_of_answers_does_not_matter(case in cases(6, 6), a in 0..4_usize, b in 0..4_usize) {
        let engine = Engine::new(&case.network, case.present);
        let open = askable(&Case { evidence: Evidence { groups: Vec::new(), ..case.evidence.clone() }, ..case.clone() });
        let [first, second, ..] = open[..] else { return Ok(()) };
        let mut evidence = case.evidence.clone();
        evidence.groups.clear();
        let Some(start) = Belief::new(&engine, &evidence) else { return Ok(()) };
        let answers = |s: SymptomAt, a: usize| a % case.network.nodes[s].answers;
        let steps = [(first, answers(first, a)), (second, answers(second, b))];
        let walk = |steps: [(SymptomAt, usize); 2]| {
            let (mut evidence, mut belief, mut expected) = (evidence.clone(), start.clone(), 0.0);
            for (symptom, answer) in steps {
                expected += Worth::new(&engine, &evidence, &belief, symptom).chances[answer].ln();
                evidence = evidence.with(symptom, Seen::Answered(answer));
                belief = Belief::new(&engine, &evidence).unwrap();
            }
            close(belief.log_evidence(), start.log_evidence() + expected, "log evidence");
            (belief.marginals(), expected)
        };
        let (forth, back) = (walk(steps), walk([steps[1], steps[0]]));
        close_all(forth.0.as_slice(), back.0.as_slice(), "marginals");
        close(forth.1, back.1, "chance of both answers");
    }

    /// The same question asked three times over in one group counts as asked once.
    #[test]
    fn a_group_counts_once(causes in 1..=6_usize, symptoms in 1..=4_usize, seed in any::<u64>()) {
        let rng = &mut Rng::with_seed(seed);
        let mut network = network(rng, causes, symptoms);
        let parents: Vec<SymptomAt> = network.nodes.values().flat_map(Node::parents).collect();
        let plain = |s: &SymptomAt| network.nodes[*s].parents().is_empty() && !parents.contains(s);
        let Some(symptom) = network.nodes.places().find(plain) else { return Ok(()) };
        let node = network.nodes[symptom].clone();
        let answer = rng.usize(0..node.answers);
        let copies = [network.nodes.push(node.clone()), network.nodes.push(node)];
        let engine = Engine::new(&network, limits(1, 3));
        let mut evidence = Evidence::none(causes, network.nodes.len());
        evidence.symptoms[symptom] = Seen::Answered(answer);
        evidence.groups = vec![vec![symptom, copies[0], copies[1]]];
        let once = Belief::new(&engine, &evidence).unwrap();
        for copy in copies {
            evidence.symptoms[copy] = Seen::Answered(answer);
        }
        let thrice = Belief::new(&engine, &evidence).unwrap();
        close_all(once.marginals().as_slice(), thrice.marginals().as_slice(), "marginals");
        close(once.log_evidence(), thrice.log_evidence(), "log evidence");
        evidence.groups = vec![vec![copies[1], symptom, copies[0]]];
        let turned = Belief::new(&engine, &evidence).unwrap();
        close_all(once.marginals().as_slice(), turned.marginals().as_slice(), "marginals");
    }

    /// Without a limit, and with nothing present allowed, a cause that no answer speaks of keeps its prior
    /// and leaves everything else alone.
    #[test]
    fn a_cause_that_no_answer_touches_changes_nothing(case in cases(6, 6), prior in 0.001..0.9_f64) {
        let unlimited = limits(0, case.network.priors.len() + 1);
        let engine = Engine::new(&case.network, unlimited);
        let belief = Belief::new(&engine, &case.evidence).unwrap();
        let mut larger = case.network.clone();
        let added = larger.priors.push(prior);
        let mut evidence = case.evidence.clone();
        evidence.causes = larger.priors.places().map(|c| c == added || case.evidence.causes[c]).collect();
        let engine_larger = Engine::new(&larger, unlimited);
        let with = Belief::new(&engine_larger, &evidence).unwrap();
        close(with.marginals()[added], prior, "its own chance");
        close(with.log_evidence(), belief.log_evidence(), "log evidence");
        let old = case.network.priors.len();
        close_all(&with.marginals().as_slice()[..old], belief.marginals().as_slice(), "marginals");
        for symptom in askable(&case) {
            let a = Worth::new(&engine, &case.evidence, &belief, symptom);
            let b = Worth::new(&engine_larger, &evidence, &with, symptom);
            close_all(&a.chances, &b.chances, "chances");
            close(a.bits, b.bits, "bits");
        }
    }
}

/// The rows of all kinds are what their definitions (rules/JSON.md) say, with and without an answer to each parent.
#[test]
fn rows_are_what_the_kinds_say() {
    for seed in 0..100 {
        let rng = &mut Rng::with_seed(seed);
        let network = network(rng, 4, 5);
        let engine = Engine::new(&network, limits(0, 4));
        let parents: Vec<Option<usize>> = network
            .nodes
            .values()
            .map(|node| rng.bool().then(|| rng.usize(0..node.answers)))
            .collect();
        let parent = |s: SymptomAt| parents[s.position()];
        for present in sets(4) {
            for (symptom, node) in network.nodes.iter() {
                let row = engine.row(symptom, &present, parent);
                let expected: Vec<f64> = (0..node.answers)
                    .map(|answer| chance(&network, symptom, answer, &present, parent))
                    .collect();
                close_all(&row, &expected, &format!("seed {seed} {symptom:?} {present:?}"));
            }
        }
    }
}

/// Before any answer: the chance that more are present than reckoned with, given one at least.
#[test]
fn the_mass_left_out_is_counted_right() {
    for seed in 0..30 {
        let rng = &mut Rng::with_seed(seed);
        let network = network(rng, 6, 0);
        let applies: List<CauseAt, bool> = (0..6).map(|_| rng.f64() < 0.8).collect();
        let (mut one_at_least, mut more) = (0.0, 0.0);
        for present in sets(6).filter(|s| s.iter().all(|&c| applies[c])) {
            let each = network.priors.iter().filter(|(c, _)| applies[*c]);
            let prior: f64 =
                each.map(|(c, p)| if present.contains(&c) { *p } else { 1.0 - p }).product();
            one_at_least += if present.is_empty() { 0.0 } else { prior };
            more += if present.len() > 2 { prior } else { 0.0 };
        }
        let expected = if one_at_least > 0.0 { more / one_at_least } else { 0.0 };
        close(left_out(&network.priors, &applies, 2), expected, &format!("seed {seed}"));
    }
}

/// A cause that does not apply is as good as not in the book.
#[test]
fn causes_that_do_not_apply_are_out() {
    let rng = &mut Rng::with_seed(5);
    let network = network(rng, 5, 5);
    let mut evidence = Evidence::none(5, 5);
    for symptom in network.nodes.places() {
        evidence.symptoms[symptom] = Seen::Answered(0);
    }
    evidence.causes = List::filled(false, 5);
    let engine = Engine::new(&network, limits(1, 3));
    assert!(Belief::new(&engine, &evidence).is_none(), "no cause applies");
    evidence.causes[CauseAt::at(3)] = true;
    let belief = Belief::new(&engine, &evidence).unwrap();
    close_all(belief.marginals().as_slice(), &[0.0, 0.0, 0.0, 1.0, 0.0], "marginals");
    assert_eq!(belief.possible(), [CauseAt::at(3)]);
}

/// Two hundred answers, each of a chance of one or two thousandths: all of them together are less likely
/// than any number that the machine can hold, and nothing is lost. By hand: of two causes one is present,
/// and each is the likelier one in every second answer, so that their priors' odds, 1/4 and 1/9, decide.
#[test]
fn many_unlikely_answers_keep_their_digits() {
    let says = |chance: f64| Voice { weight: 1.0, says: Says::Row(vec![chance, 1.0 - chance]) };
    let node = |number: usize| {
        let turned = number % 2;
        let voices =
            vec![(CauseAt::at(turned), says(0.001)), (CauseAt::at(1 - turned), says(0.002))];
        Node {
            answers: 2,
            kind: Kind::Pattern { background: vec![0.5, 0.5], voices: by_cause(voices) },
        }
    };
    let network =
        Network { priors: [0.2, 0.1].into_iter().collect(), nodes: (0..200).map(node).collect() };
    let mut evidence = Evidence::none(2, 200);
    evidence.symptoms = List::filled(Seen::Answered(0), 200);
    let engine = Engine::new(&network, limits(1, 1));
    let belief = Belief::new(&engine, &evidence).unwrap();
    let expected = 100.0 * (0.001_f64.ln() + 0.002_f64.ln());
    close(belief.log_evidence(), expected, "log evidence");
    let marginals = belief.marginals();
    close_all(marginals.as_slice(), &[9.0 / 13.0, 4.0 / 13.0], "chances");
}

fn by_cause<T>(mut links: Vec<(CauseAt, T)>) -> Vec<(CauseAt, T)> {
    links.sort_by_key(|(cause, _)| *cause);
    links
}
