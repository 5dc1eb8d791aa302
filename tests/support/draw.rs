//! Random networks with random evidence, for the laws that hold for all of them.

use fastrand::Rng;
use proptest::prelude::*;
use straybelt::reason::{Batch, Evidence, Found, Outcome, Present, SecondLook, Seen, WorkDone};
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice, sets_of_marks};

/// A network, how many causes may be present, and what was answered.
#[derive(Debug, Clone)]
pub struct Case {
    pub network: Network,
    pub present: Present,
    pub evidence: Evidence,
}

/// Any network of up to so many causes and symptoms: all kinds, relative voices, groups, things that do
/// not apply, every limit on the number present.
pub fn cases(causes: usize, symptoms: usize) -> impl Strategy<Value = Case> {
    (1..=causes, 1..=symptoms, any::<u64>())
        .prop_map(|(causes, symptoms, seed)| case(&mut Rng::with_seed(seed), causes, symptoms))
}

/// The same with work found and done.
pub fn worked_cases(causes: usize, symptoms: usize) -> impl Strategy<Value = Case> {
    (1..=causes, 1..=symptoms, any::<u64>()).prop_map(|(causes, symptoms, seed)| {
        let rng = &mut Rng::with_seed(seed);
        let mut case = case(rng, causes, symptoms);
        case.evidence.work = work(rng, causes);
        case
    })
}

/// The same with second looks after batches: up to three batches, one at least.
pub fn looked_cases(causes: usize, symptoms: usize) -> impl Strategy<Value = Case> {
    (1..=causes, 1..=symptoms, any::<u64>()).prop_map(|(causes, symptoms, seed)| {
        let rng = &mut Rng::with_seed(seed);
        let mut case = case(rng, causes, symptoms);
        case.evidence.work = work(rng, causes);
        if case.evidence.work.batches.is_empty() {
            let cures = linked(rng, causes, |rng| 0.001 + 0.998 * rng.f64());
            case.evidence.work.batches.push(Batch { cures, outcome: None });
        }
        look_again(rng, &mut case);
        case
    })
}

/// Puts second looks into a case, at the start repeated in part; the last after all batches.
fn look_again(rng: &mut Rng, case: &mut Case) {
    let network = &case.network;
    let batches = case.evidence.work.batches.len();
    for symptom in network.nodes.places() {
        case.evidence.history[symptom] = rng.f64() < 0.2;
    }
    case.evidence.same_again = [0.0, 0.5, 0.9, 0.999][rng.usize(0..4)];
    for after in 1..=batches {
        if after < batches && rng.f64() < 0.3 {
            continue;
        }
        let mut look =
            SecondLook { after, applies: network.nodes.map(|_| rng.f64() < 0.9), told: Vec::new() };
        for (symptom, node) in network.nodes.iter() {
            let may = look.applies[symptom] && !case.evidence.history[symptom];
            if may && rng.f64() < 0.4 {
                let again = case.evidence.before(after, symptom).filter(|_| rng.bool());
                let answer = again.map_or_else(|| rng.usize(0..node.answers), |(_, said)| said);
                look.told.push((symptom, answer));
            }
        }
        case.evidence.second.push(look);
    }
    // A batch that is still in hand.
    if case.evidence.second.len() > 1 && rng.f64() < 0.2 {
        case.evidence.second.pop();
    }
}

/// One such case.
pub fn case(rng: &mut Rng, causes: usize, symptoms: usize) -> Case {
    let network = network(rng, causes, symptoms);
    let present = match rng.u32(0..4) {
        0 => limits(0, causes),
        1 => limits(0, rng.usize(1..=4)),
        2 => limits(1, causes.max(1)),
        _ => limits(1, rng.usize(1..=4)),
    };
    let mut evidence = Evidence::none(causes, symptoms);
    for cause in network.priors.places() {
        evidence.causes[cause] = rng.f64() < 0.9;
    }
    for (symptom, node) in network.nodes.iter() {
        evidence.symptoms[symptom] = match rng.u32(0..10) {
            0..4 => Seen::Open,
            4..9 => Seen::Answered(rng.usize(0..node.answers)),
            _ => Seen::Absent,
        };
    }
    let parents: Vec<SymptomAt> = network.nodes.values().flat_map(Node::parents).collect();
    let plain = |s: &SymptomAt| {
        network.nodes[*s].parents().is_empty() && !parents.contains(s) && !is_marks(&network, *s)
    };
    let mut loose: Vec<SymptomAt> = network.nodes.places().filter(plain).collect();
    while loose.len() > 1 && rng.f64() < 0.4 {
        let size = rng.usize(2..=loose.len().min(3));
        let group = (0..size).map(|_| loose.swap_remove(rng.usize(0..loose.len())));
        evidence.groups.push(group.collect());
    }
    Case { network, present, evidence }
}

/// Between so many causes present.
pub fn limits(min: usize, max: usize) -> Present {
    Present { min, max }
}

/// A random network; later patterns may look at earlier plain symptoms.
pub fn network(rng: &mut Rng, causes: usize, symptoms: usize) -> Network {
    let mut network = Network {
        priors: (0..causes).map(|_| 0.01 + 0.6 * rng.f64()).collect(),
        nodes: List::default(),
    };
    for _ in 0..symptoms {
        let plain =
            |s: &SymptomAt| network.nodes[*s].parents().is_empty() && !is_marks(&network, *s);
        let parents: Vec<SymptomAt> = network.nodes.places().filter(plain).collect();
        let node = match rng.u32(0..5) {
            0 => sign(rng, causes),
            1 => grade(rng, causes),
            4 => marks(rng, causes),
            2 => pattern(rng, causes, &network.nodes, &[]),
            _ => pattern(rng, causes, &network.nodes, &parents),
        };
        network.nodes.push(node);
    }
    network
}

/// Neither in a group nor a parent may they be.
fn is_marks(network: &Network, symptom: SymptomAt) -> bool {
    matches!(network.nodes[symptom].kind, Kind::Marks { .. })
}

/// Two to four marks; a linked cause may leave some of them out.
pub fn marks(rng: &mut Rng, causes: usize) -> Node {
    let number = rng.usize(2..=4);
    let leaks = (0..number).map(|_| 0.001 + 0.3 * rng.f64()).collect();
    let link = |rng: &mut Rng| if rng.f64() < 0.4 { 0.0 } else { 0.001 + 0.998 * rng.f64() };
    let links = linked(rng, causes, |rng| (0..number).map(|_| link(rng)).collect());
    Node { answers: sets_of_marks(number), kind: Kind::Marks { leaks, links } }
}

fn sign(rng: &mut Rng, causes: usize) -> Node {
    Node {
        answers: 2,
        kind: Kind::Sign {
            leak: 0.001 + 0.3 * rng.f64(),
            links: linked(rng, causes, |rng| 0.001 + 0.998 * rng.f64()),
        },
    }
}

fn grade(rng: &mut Rng, causes: usize) -> Node {
    let answers = rng.usize(2..=4);
    let cumulative = move |rng: &mut Rng| {
        let mut sum = 0.0;
        let mut row: Vec<f64> = row(rng, answers)
            .into_iter()
            .map(|p| {
                sum += p;
                sum
            })
            .collect();
        row[answers - 1] = 1.0;
        row
    };
    Node {
        answers,
        kind: Kind::Grade { base: cumulative(rng), rows: linked(rng, causes, cumulative) },
    }
}

fn pattern(
    rng: &mut Rng,
    causes: usize,
    nodes: &List<SymptomAt, Node>,
    parents: &[SymptomAt],
) -> Node {
    let answers = rng.usize(2..=4);
    let voice = |rng: &mut Rng| Voice {
        weight: 0.2 + rng.f64(),
        says: if parents.is_empty() || rng.f64() < 0.3 {
            Says::Row(row(rng, answers))
        } else {
            let parent = parents[rng.usize(0..parents.len())];
            let rows = 0..nodes[parent].answers;
            Says::Relative {
                parent,
                rows: rows.map(|_| (rng.f64() < 0.7).then(|| row(rng, answers))).collect(),
            }
        },
    };
    Node {
        answers,
        kind: Kind::Pattern { background: row(rng, answers), voices: linked(rng, causes, voice) },
    }
}

fn linked<T>(
    rng: &mut Rng,
    causes: usize,
    mut each: impl FnMut(&mut Rng) -> T,
) -> Vec<(CauseAt, T)> {
    let mut links = Vec::new();
    for cause in (0..causes).map(CauseAt::at) {
        if rng.f64() < 0.6 {
            links.push((cause, each(rng)));
        }
    }
    links
}

/// A row of chances, none below 0.001 or so.
pub fn row(rng: &mut Rng, answers: usize) -> Vec<f64> {
    let shares: Vec<f64> = (0..answers).map(|_| 0.01 + rng.f64().powi(2)).collect();
    let sum: f64 = shares.iter().sum();
    shares.into_iter().map(|s| s / sum).collect()
}

/// Some causes reported on, up to three batches done, most of them with an outcome.
pub fn work(rng: &mut Rng, causes: usize) -> WorkDone {
    let any_cause = |rng: &mut Rng| CauseAt::at(rng.usize(0..causes));
    let found = (0..rng.usize(0..=2)).map(|_| {
        let (if_present, if_absent) = if rng.bool() { (0.95, 0.03) } else { (0.05, 0.97) };
        Found { cause: any_cause(rng), if_present, if_absent }
    });
    let found = found.collect();
    let batches = (0..rng.usize(0..=3)).map(|_| Batch {
        cures: linked(rng, causes, |rng| 0.001 + 0.998 * rng.f64()),
        outcome: [
            None,
            Some(Outcome::True),
            Some(Outcome::Better),
            Some(Outcome::NoChange),
            Some(Outcome::Worse),
            Some(Outcome::OtherSide),
            Some(Outcome::Elsewhere),
            Some(Outcome::Different),
        ][rng.usize(0..8)],
    });
    WorkDone { batches: batches.collect(), found, wrong: 0.05 }
}
