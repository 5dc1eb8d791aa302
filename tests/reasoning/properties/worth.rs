//! The bound on what a question can tell: questions that cannot be the best are not worked out.

use proptest::prelude::*;
use straybelt::reason::{Belief, Engine, Worth};
use straybelt::rulebook::index::{CauseAt, List, Place};
use straybelt::rulebook::network::{Kind, Network, Node};

use super::beliefs::askable;
use crate::support::draw::{cases, limits};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// A symptom that looks at another, or is looked at, has no bound: its answer tells of more than its
    /// causes.
    #[test]
    fn no_question_tells_more_than_its_bound(case in cases(6, 6)) {
        let engine = Engine::new(&case.network, case.present);
        let Some(belief) = Belief::new(&engine, &case.evidence) else { return Ok(()) };
        let marginals = belief.marginals();
        for symptom in askable(&case) {
            let bits = Worth::new(&engine, &case.evidence, &belief, symptom).bits;
            let bound = Worth::at_most(&engine, &marginals, symptom);
            prop_assert!(bits <= bound, "{:?}: {} bits, at most {}", symptom, bits, bound);
            let nodes = &case.network.nodes;
            let looked_at = nodes.values().any(|node| node.parents().contains(&symptom));
            let looks = !nodes[symptom].parents().is_empty();
            prop_assert_eq!(bound.is_infinite(), looks || looked_at);
        }
    }
}

/// By hand: of causes with chances of 1/2 and 1/10 there is 1 bit and 0.4690 bits to be known; the cause
/// that the question does not hang on counts for nothing.
#[test]
fn the_bound_is_what_there_is_to_be_known() {
    let sign = Node {
        answers: 2,
        kind: Kind::Sign { leak: 0.1, links: vec![(CauseAt::at(0), 0.9), (CauseAt::at(2), 0.9)] },
    };
    let network =
        Network { priors: [0.1; 3].into_iter().collect(), nodes: [sign].into_iter().collect() };
    let engine = Engine::new(&network, limits(1, 3));
    let marginals: List<CauseAt, f64> = [0.5, 0.3, 0.1].into_iter().collect();
    let symptom = network.nodes.places().next().unwrap();
    let bound = Worth::at_most(&engine, &marginals, symptom);
    let known = 1.468_995_593_589_281;
    assert!(
        (known..known + 1e-6).contains(&bound),
        "{bound}, not {known} and a little more for lost digits"
    );
}
