//! Several answers at once: each set of marks is an answer, and each mark is a sign of its own, given the causes.

use fastrand::Rng;
use proptest::prelude::*;
use straybelt::reason::{Belief, Engine, Evidence, Seen, Worth};
use straybelt::rulebook::index::{CauseAt, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, is_ticked};

use crate::support::draw::{case, limits, marks};
use crate::support::enumerate::sets;
use crate::support::{close, close_all};

/// A network with nothing but marks.
fn of_marks(node: Node, rng: &mut Rng, causes: usize) -> Network {
    let priors = (0..causes).map(|_| 0.01 + 0.4 * rng.f64()).collect();
    Network { priors, nodes: [node].into_iter().collect() }
}

/// The same marks as signs, one for each.
fn as_signs(node: &Node) -> Vec<Node> {
    let Kind::Marks { leaks, links } = &node.kind else { panic!("{node:?}") };
    let sign = |(mark, leak): (usize, &f64)| Node {
        answers: 2,
        kind: Kind::Sign {
            leak: *leak,
            links: links.iter().map(|(c, link)| (*c, link[mark])).collect(),
        },
    };
    leaks.iter().enumerate().map(sign).collect()
}

proptest! {
    /// P(ticked T | S) sums to 1 over the sets T, for every set of causes.
    #[test]
    fn the_sets_of_marks_are_all_there_is(seed in any::<u64>(), causes in 1..=5_usize) {
        let rng = &mut Rng::with_seed(seed);
        let network = of_marks(marks(rng, causes), rng, causes);
        let engine = Engine::new(&network, limits(0, causes));
        for set in sets(causes) {
            let row = engine.row(SymptomAt::at(0), &set, |_| None);
            prop_assert!(row.iter().all(|p| (0.0..=1.0).contains(p)), "{row:?}");
            prop_assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-12, "{row:?}");
        }
    }

    /// What is believed after marks is what is believed after as many signs. The numbers of signs are held against
    /// two general libraries (tests/oracle).
    #[test]
    fn marks_say_what_as_many_signs_say(seed in any::<u64>(), causes in 1..=6_usize, more in 0..=4_usize) {
        let rng = &mut Rng::with_seed(seed);
        let mut with_marks = case(rng, causes, more + 1);
        let node = marks(rng, causes);
        let answer = rng.usize(0..node.answers);
        let at = with_marks.network.nodes.push(node.clone());
        let mut seen: Vec<Seen> = with_marks.evidence.symptoms.values().copied().collect();
        with_marks.evidence.history.push(false);
        with_marks.evidence.symptoms.push(Seen::Answered(answer));
        let mut with_signs = case(&mut Rng::with_seed(seed), causes, more + 1);
        for (mark, sign) in as_signs(&node).into_iter().enumerate() {
            with_signs.network.nodes.push(sign);
            with_signs.evidence.history.push(false);
            seen.push(Seen::Answered(usize::from(is_ticked(answer, mark))));
        }
        with_signs.evidence.symptoms = seen.into_iter().collect();
        let marks = Engine::new(&with_marks.network, with_marks.present);
        let signs = Engine::new(&with_signs.network, with_signs.present);
        let one = Belief::new(&marks, &with_marks.evidence);
        let other = Belief::new(&signs, &with_signs.evidence);
        prop_assert_eq!(one.is_some(), other.is_some());
        let (Some(one), Some(other)) = (one, other) else { return Ok(()) };
        close(one.log_evidence(), other.log_evidence(), "log evidence");
        close_all(one.marginals().as_slice(), other.marginals().as_slice(), "marginals");
        prop_assert!(at.position() > 0);
    }
}

/// By hand: leaks 0.1 and 0.2; one cause, prior 0.5, that brings the first mark with 0.5 and the second never.
/// With it the first mark is ticked with 1 - 0.9 * 0.5 = 0.55, the second with 0.2; without it with 0.1 and 0.2.
#[test]
fn two_marks_and_one_cause_by_hand() {
    let links = vec![(CauseAt::at(0), vec![0.5, 0.0])];
    let node = Node { answers: 4, kind: Kind::Marks { leaks: vec![0.1, 0.2], links } };
    let network =
        Network { priors: [0.5].into_iter().collect(), nodes: [node].into_iter().collect() };
    let engine = Engine::new(&network, limits(0, 1));
    let symptom = SymptomAt::at(0);
    let with = engine.row(symptom, &[CauseAt::at(0)], |_| None);
    close_all(&with, &[0.45 * 0.8, 0.55 * 0.8, 0.45 * 0.2, 0.55 * 0.2], "with it");
    let none = Evidence::none(1, 1);
    let before = Belief::new(&engine, &none).unwrap();
    let worth = Worth::new(&engine, &none, &before, symptom);
    close_all(&worth.chances, &[0.54, 0.26, 0.135, 0.065], "before");
    // Both ticked: 0.11 against 0.02; none: 0.36 against 0.72.
    for (answer, chance) in [(3, 0.11 / 0.13), (0, 0.36 / 1.08)] {
        let told = none.with(symptom, Seen::Answered(answer));
        let belief = Belief::new(&engine, &told).unwrap();
        close(belief.marginals()[CauseAt::at(0)], chance, "after");
    }
}
