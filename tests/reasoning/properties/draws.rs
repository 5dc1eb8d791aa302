//! What is drawn comes as often as the network says. The seeds are fixed: these tests cannot fail by chance.

use fastrand::Rng;
use straybelt::reason::{Engine, draw};
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network};

use crate::support::draw::{limits, network};
use crate::support::enumerate::{chance, sets};

const DRAWS: u32 = 20_000;

/// Fails when so many of all draws are further from what is expected than five times their spread.
#[track_caller]
fn as_often(count: u32, chance: f64, what: &str) {
    let (count, draws) = (f64::from(count), f64::from(DRAWS));
    let spread = (draws * chance * (1.0 - chance)).sqrt();
    assert!(
        (count - draws * chance).abs() <= 5.0 * spread + 1e-9,
        "{what}: {count} of {draws}, with a chance of {chance}"
    );
}

/// Only causes that apply, never fewer or more than the limits, each set by its prior among those.
#[test]
fn sets_of_causes_come_as_often_as_their_priors_say() {
    let rng = &mut Rng::with_seed(11);
    let network = network(rng, 5, 0);
    let engine = Engine::new(&network, limits(1, 2));
    let out = CauseAt::at(2);
    let priors: List<CauseAt, f64> =
        network.priors.iter().map(|(c, p)| if c == out { 0.0 } else { *p }).collect();
    let mut counted: Vec<(Vec<CauseAt>, f64, u32)> = sets(5)
        .filter(|set| (1..=2).contains(&set.len()) && !set.contains(&out))
        .map(|set| {
            let each = network.priors.iter().filter(|(c, _)| *c != out);
            let prior = each.map(|(c, p)| if set.contains(&c) { *p } else { 1.0 - p });
            let prior = prior.product();
            (set, prior, 0)
        })
        .collect();
    for _ in 0..DRAWS {
        let drawn = draw::causes(&engine, &priors, rng);
        let known = counted.iter_mut().find(|(set, _, _)| *set == drawn);
        known.unwrap_or_else(|| panic!("{drawn:?} may not be")).2 += 1;
    }
    let all: f64 = counted.iter().map(|(_, prior, _)| prior).sum();
    for (set, prior, count) in &counted {
        as_often(*count, prior / all, &format!("{set:?}"));
    }
}

/// Every answer by its chance, given the causes present and the parents' answers.
#[test]
fn answers_come_as_often_as_the_causes_present_say() {
    let rng = &mut Rng::with_seed(12);
    let related = |network: &Network| network.nodes.values().any(|node| !node.parents().is_empty());
    let marked = |network: &Network| {
        network.nodes.values().any(|node| matches!(node.kind, Kind::Marks { .. }))
    };
    let drawn = std::iter::repeat_with(|| network(rng, 4, 12)).take(50);
    let network = drawn.into_iter().find(|network| related(network) && marked(network));
    let network = network.expect("a network of all kinds");
    let engine = Engine::new(&network, limits(0, 4));
    let present = [CauseAt::at(0), CauseAt::at(3)];
    let hidden: List<SymptomAt, Option<usize>> =
        network.nodes.map(|node| rng.bool().then(|| rng.usize(0..node.answers)));
    for (symptom, node) in network.nodes.iter() {
        let mut counts = vec![0; node.answers];
        for _ in 0..DRAWS {
            counts[draw::answer(&engine, symptom, &present, &hidden, rng)] += 1;
        }
        for (answer, &count) in counts.iter().enumerate() {
            let chance = chance(&network, symptom, answer, &present, |p| hidden[p]);
            as_often(count, chance, &format!("{symptom:?}, answer {answer}"));
        }
    }
}
