//! Names, numbers and sides carry no weight: change them and the same is believed.

use fastrand::Rng;
use proptest::prelude::*;
use straybelt::reason::{Belief, Engine, Evidence, Seen, Worth};
use straybelt::rulebook::index::{CauseAt, List, Place, SymptomAt};
use straybelt::rulebook::network::{Kind, Network, Node, Says, Voice};

use crate::support::draw::{Case, cases, limits, row};
use crate::support::{close, close_all};

/// A new number for everything: causes, symptoms, and the answers of patterns.
struct Renaming {
    causes: Vec<usize>,
    symptoms: Vec<usize>,
    /// By old symptom.
    answers: Vec<Vec<usize>>,
}

impl Renaming {
    fn draw(rng: &mut Rng, network: &Network) -> Self {
        let mut shuffled = |n: usize| {
            let mut numbers: Vec<usize> = (0..n).collect();
            rng.shuffle(&mut numbers);
            numbers
        };
        let answers = network.nodes.values().map(|node| match node.kind {
            Kind::Pattern { .. } => shuffled(node.answers),
            _ => (0..node.answers).collect(),
        });
        let answers = answers.collect();
        Self {
            answers,
            causes: shuffled(network.priors.len()),
            symptoms: shuffled(network.nodes.len()),
        }
    }

    fn cause(&self, cause: CauseAt) -> CauseAt {
        CauseAt::at(self.causes[cause.position()])
    }

    fn symptom(&self, symptom: SymptomAt) -> SymptomAt {
        SymptomAt::at(self.symptoms[symptom.position()])
    }

    fn network(&self, network: &Network) -> Network {
        Network {
            priors: moved(network.priors.as_slice(), &self.causes).into_iter().collect(),
            nodes: moved(network.nodes.as_slice(), &self.symptoms)
                .into_iter()
                .zip(moved(&self.answers, &self.symptoms))
                .map(|(node, answers)| Node {
                    answers: node.answers,
                    kind: self.kind(&node.kind, &answers),
                })
                .collect(),
        }
    }

    fn kind(&self, kind: &Kind, answers: &[usize]) -> Kind {
        match kind {
            Kind::Sign { leak, links } => {
                Kind::Sign { leak: *leak, links: self.links(links, |link| *link) }
            }
            Kind::Grade { base, rows } => {
                Kind::Grade { base: base.clone(), rows: self.links(rows, Clone::clone) }
            }
            Kind::Marks { leaks, links } => {
                Kind::Marks { leaks: leaks.clone(), links: self.links(links, Clone::clone) }
            }
            Kind::Pattern { background, voices } => Kind::Pattern {
                background: moved(background, answers),
                voices: self.links(voices, |voice| Voice {
                    weight: voice.weight,
                    says: match &voice.says {
                        Says::Row(row) => Says::Row(moved(row, answers)),
                        Says::Relative { parent, rows } => {
                            let rows = moved(rows, &self.answers[parent.position()]).into_iter();
                            Says::Relative {
                                parent: self.symptom(*parent),
                                rows: rows.map(|r| r.map(|r| moved(&r, answers))).collect(),
                            }
                        }
                    },
                }),
            },
        }
    }

    fn links<T>(&self, links: &[(CauseAt, T)], each: impl Fn(&T) -> T) -> Vec<(CauseAt, T)> {
        let renamed = links.iter().map(|(c, says)| (self.cause(*c), each(says)));
        let mut renamed: Vec<(CauseAt, T)> = renamed.collect();
        renamed.sort_by_key(|(c, _)| *c);
        renamed
    }

    fn evidence(&self, evidence: &Evidence) -> Evidence {
        let seen: Vec<Seen> = evidence
            .symptoms
            .iter()
            .map(|(s, seen)| match *seen {
                Seen::Answered(a) => Seen::Answered(self.answers[s.position()][a]),
                other => other,
            })
            .collect();
        let groups = evidence.groups.iter().rev();
        Evidence {
            causes: moved(evidence.causes.as_slice(), &self.causes).into_iter().collect(),
            something_else: evidence.something_else,
            priors: (evidence.priors.as_ref())
                .map(|p| moved(p.as_slice(), &self.causes).into_iter().collect()),
            symptoms: moved(&seen, &self.symptoms).into_iter().collect(),
            groups: groups.map(|g| g.iter().map(|&s| self.symptom(s)).collect()).collect(),
            work: evidence.work.clone(),
            second: Vec::new(),
            history: evidence.history.clone(),
            same_again: evidence.same_again,
        }
    }
}

/// The list with every item at its new number.
fn moved<T: Clone>(list: &[T], to: &[usize]) -> Vec<T> {
    let mut out = list.to_vec();
    for (item, &at) in list.iter().zip(to) {
        out[at] = item.clone();
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn renaming_changes_nothing(case in cases(6, 6), seed in any::<u64>()) {
        let names = Renaming::draw(&mut Rng::with_seed(seed), &case.network);
        let renamed = Case {
            network: names.network(&case.network),
            evidence: names.evidence(&case.evidence),
            ..case.clone()
        };
        let engines = (Engine::new(&case.network, case.present), Engine::new(&renamed.network, case.present));
        let before = Belief::new(&engines.0, &case.evidence);
        let after = Belief::new(&engines.1, &renamed.evidence);
        prop_assert_eq!(before.is_some(), after.is_some());
        let (Some(before), Some(after)) = (before, after) else { return Ok(()) };
        close(before.log_evidence(), after.log_evidence(), "log evidence");
        close_all(&moved(before.marginals().as_slice(), &names.causes), after.marginals().as_slice(), "marginals");
        for (symptom, seen) in case.evidence.symptoms.iter() {
            let grouped = case.evidence.groups.iter().any(|g| g.contains(&symptom));
            if *seen != Seen::Open || grouped {
                continue;
            }
            let a = Worth::new(&engines.0, &case.evidence, &before, symptom);
            let b = Worth::new(&engines.1, &renamed.evidence, &after, names.symptom(symptom));
            close_all(&moved(&a.chances, &names.answers[symptom.position()]), &b.chances, "chances");
            close(a.bits, b.bits, "bits");
        }
    }

    /// Only the proportions of the voices' weights matter.
    #[test]
    fn voices_are_weighed_against_each_other(case in cases(5, 5), by in 0.1..10.0_f64) {
        let mut louder = case.network.clone();
        for symptom in case.network.nodes.places() {
            if let Kind::Pattern { voices, .. } = &mut louder.nodes[symptom].kind {
                voices.iter_mut().for_each(|(_, voice)| voice.weight *= by);
            }
        }
        let marginals = |network: &Network| {
            let engine = Engine::new(network, case.present);
            Belief::new(&engine, &case.evidence).map(|b| b.marginals())
        };
        if let (Some(a), Some(b)) = (marginals(&case.network), marginals(&louder)) {
            close_all(a.as_slice(), b.as_slice(), "marginals");
        }
    }

    /// A book that treats both sides alike: with every side in the answers swapped, every cause is as
    /// likely as before, and every question tells as much, its sides swapped.
    #[test]
    fn the_mirrored_conveyor_is_believed_the_same(seed in any::<u64>(), causes in 1..=5_usize) {
        let rng = &mut Rng::with_seed(seed);
        let network = even_handed(rng, causes);
        let engine = Engine::new(&network, limits(1, 3));
        let mut evidence = Evidence::none(causes, network.nodes.len());
        for symptom in network.nodes.places() {
            evidence.symptoms[symptom] = match rng.u32(0..4) {
                0 => Seen::Open,
                1..4 => Seen::Answered(rng.usize(0..3)),
                _ => unreachable!(),
            };
        }
        let mut mirrored = evidence.clone();
        for symptom in network.nodes.places() {
            if let Seen::Answered(answer) = evidence.symptoms[symptom] {
                mirrored.symptoms[symptom] = Seen::Answered(SWAPPED[answer]);
            }
        }
        let (here, there) = (Belief::new(&engine, &evidence).unwrap(), Belief::new(&engine, &mirrored).unwrap());
        close_all(here.marginals().as_slice(), there.marginals().as_slice(), "marginals");
        for symptom in network.nodes.places().filter(|s| evidence.symptoms[*s] == Seen::Open) {
            let a = Worth::new(&engine, &evidence, &here, symptom);
            let b = Worth::new(&engine, &mirrored, &there, symptom);
            close_all(&moved(&a.chances, &SWAPPED), &b.chances, "chances");
            close(a.bits, b.bits, "bits");
        }
    }
}

/// Left, right, neither: what becomes of each in the mirror.
const SWAPPED: [usize; 3] = [1, 0, 2];

/// A row that says the same of both sides.
fn even(rng: &mut Rng) -> Vec<f64> {
    let row = row(rng, 2);
    vec![row[0] / 2.0, row[0] / 2.0, row[1]]
}

/// Two sides of things asked directly (which end is low, where the load lies), and two symptoms (where
/// the belt runs, which edge is worn) whose voices are relative to them: toward a side as it is toward the
/// other in the mirror, and silent or even-handed at neither.
fn even_handed(rng: &mut Rng, causes: usize) -> Network {
    let causes = (0..causes).map(CauseAt::at);
    let mut nodes: List<SymptomAt, Node> = List::default();
    for number in 0..4 {
        let voices = causes.clone().filter_map(|cause| {
            let says = if number < 2 {
                Says::Row(even(rng))
            } else {
                let left = row(rng, 3);
                let level = rng.bool().then(|| even(rng));
                Says::Relative {
                    parent: SymptomAt::at(rng.usize(0..2)),
                    rows: vec![Some(left.clone()), Some(moved(&left, &SWAPPED)), level],
                }
            };
            let weight = 0.2 + rng.f64();
            (rng.f64() < 0.7).then_some((cause, Voice { weight, says }))
        });
        let voices = voices.collect();
        nodes.push(Node { answers: 3, kind: Kind::Pattern { background: even(rng), voices } });
    }
    Network { priors: causes.map(|_| 0.05 + 0.4 * rng.f64()).collect(), nodes }
}
