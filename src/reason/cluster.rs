//! Relative symptoms and their parents that were not answered.
//!
//! A voice may depend on another symptom's answer, an ordinary edge of the network. While that parent is
//! open it is summed out with its own chances given the causes; so relative symptoms that share open
//! parents hang together, and the answer to a parent's question depends on theirs.

use super::engine::{Engine, Table, positions, union};
use super::evidence::{Evidence, Seen};
use super::subsets::Subsets;
use crate::rulebook::index::{CauseAt, SymptomAt};
use crate::rulebook::network::{Kind, Says};

/// Relative symptoms that hang together through open parents.
#[derive(Debug)]
pub(super) struct Cluster<'e> {
    /// All causes that matter to any of them, sorted.
    pub(super) scope: Vec<CauseAt>,
    parents: Vec<Parent<'e>>,
    children: Vec<Child<'e>>,
}

#[derive(Debug)]
struct Parent<'e> {
    symptom: SymptomAt,
    table: &'e Table,
    /// Position in the table's scope of each position in the cluster's.
    position: Vec<Option<usize>>,
}

#[derive(Debug)]
struct Child<'e> {
    symptom: SymptomAt,
    answers: usize,
    /// The answer, unless this is the symptom asked about.
    answer: Option<usize>,
    background: &'e [f64],
    /// What the cause at each position of the scope says.
    says: Vec<Speech<'e>>,
}

#[derive(Debug, Clone, Copy)]
enum Speech<'e> {
    Silent,
    Row(f64, &'e [f64]),
    By(f64, usize, &'e [Option<Vec<f64>>]),
}

/// What a cluster is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asked {
    /// The chance of the answers given.
    Nothing,
    /// The same, split by the answer of the open parent with this number.
    Parent(usize),
    /// The same, split by the answer of the unanswered relative symptom with this number.
    Child(usize),
}

/// Room to work in, kept between evaluations.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    relevant: Vec<usize>,
    states: Vec<usize>,
    places: Vec<usize>,
    inner: Vec<usize>,
}

impl<'e> Cluster<'e> {
    /// The clusters of answered relative symptoms that have open parents. With `asked`, that symptom (a
    /// relative one, or an open parent) is taken in too, and only its own cluster is returned.
    pub(super) fn all(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        asked: Option<SymptomAt>,
    ) -> Vec<Self> {
        let open = |symptom: SymptomAt| -> Vec<SymptomAt> {
            engine
                .parents(symptom)
                .iter()
                .copied()
                .filter(|&p| evidence.symptoms[p] == Seen::Open)
                .collect()
        };
        let mut groups: Vec<(Vec<SymptomAt>, Vec<SymptomAt>)> = Vec::new();
        let relatives = evidence.symptoms.iter().filter_map(|(symptom, seen)| {
            let takes_part = matches!(seen, Seen::Answered(_)) || Some(symptom) == asked;
            let parents = if takes_part {
                open(symptom)
            } else {
                Vec::new()
            };
            (!parents.is_empty()).then_some((symptom, parents))
        });
        for (child, parents) in relatives {
            let (touched, apart): (Vec<_>, Vec<_>) = groups
                .into_iter()
                .partition(|(_, theirs)| theirs.iter().any(|p| parents.contains(p)));
            let mut children = vec![child];
            children.extend(touched.iter().flat_map(|(c, _)| c.iter().copied()));
            children.sort_unstable();
            let parents = union(touched.into_iter().map(|(_, p)| p).chain([parents]));
            groups = apart;
            groups.push((children, parents));
        }
        groups
            .into_iter()
            .filter(|(children, parents)| {
                asked.is_none_or(|asked| children.contains(&asked) || parents.contains(&asked))
            })
            .map(|(children, parents)| Self::new(engine, evidence, &children, &parents))
            .collect()
    }

    fn new(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        children: &[SymptomAt],
        parents: &[SymptomAt],
    ) -> Self {
        let nodes = &engine.network().nodes;
        let scope = union(
            parents
                .iter()
                .map(|&p| engine.table(p).scope.clone())
                .chain(children.iter().map(|&c| nodes[c].linked())),
        );
        let children = children.iter().map(|&symptom| {
            let mut says = vec![Speech::Silent; scope.len()];
            let mut background: &[f64] = &[];
            if let Kind::Pattern {
                background: row,
                voices,
            } = &nodes[symptom].kind
            {
                background = row;
                for (cause, voice) in voices {
                    let speech = match &voice.says {
                        Says::Row(row) => Speech::Row(voice.weight, row),
                        Says::Relative { parent, rows } => match evidence.symptoms[*parent] {
                            Seen::Absent => Speech::Silent,
                            Seen::Answered(a) => match rows.get(a) {
                                Some(Some(row)) => Speech::Row(voice.weight, row),
                                _ => Speech::Silent,
                            },
                            Seen::Open => match parents.binary_search(parent) {
                                Ok(at) => Speech::By(voice.weight, at, rows),
                                Err(_) => Speech::Silent,
                            },
                        },
                    };
                    if let Some(slot) = scope
                        .binary_search(cause)
                        .ok()
                        .and_then(|at| says.get_mut(at))
                    {
                        *slot = speech;
                    }
                }
            }
            let answer = match evidence.symptoms[symptom] {
                Seen::Answered(a) => Some(a),
                _ => None,
            };
            Child {
                symptom,
                answers: nodes[symptom].answers,
                answer,
                background,
                says,
            }
        });
        let children = children.collect();
        let parents = parents
            .iter()
            .map(|&symptom| {
                let table = engine.table(symptom);
                Parent {
                    symptom,
                    table,
                    position: positions(&scope, &table.scope),
                }
            })
            .collect();
        Self {
            scope,
            parents,
            children,
        }
    }

    /// How to ask this cluster about a symptom in it.
    pub(super) fn asking(&self, symptom: SymptomAt) -> Asked {
        if let Some(at) = self.parents.iter().position(|p| p.symptom == symptom) {
            return Asked::Parent(at);
        }
        self.children
            .iter()
            .position(|c| c.symptom == symptom)
            .map_or(Asked::Nothing, Asked::Child)
    }

    /// How many numbers [`Self::evaluate`] gives.
    pub(super) fn width(&self, asked: Asked) -> usize {
        match asked {
            Asked::Nothing => 1,
            Asked::Parent(at) => self.parents.get(at).map_or(1, |p| p.table.answers()),
            Asked::Child(at) => self.children.get(at).map_or(1, |c| c.answers),
        }
    }

    /// Whether the cause at this position of the scope makes the answered relative symptoms depend on
    /// what is asked.
    pub(super) fn hangs_on(&self, asked: Asked, position: usize) -> bool {
        let Asked::Parent(at) = asked else {
            return true;
        };
        self.children
            .iter()
            .any(|child| matches!(child.says.get(position), Some(Speech::By(_, parent, _)) if *parent == at))
    }

    /// The chance of the answers given the causes at `members` of the scope, split by the answer asked
    /// about: written to `out`, which has [`Self::width`] numbers.
    #[expect(
        clippy::indexing_slicing,
        reason = "numbers of parents come from this cluster's own list"
    )]
    pub(super) fn evaluate(
        &self,
        members: &[usize],
        asked: Asked,
        scratch: &mut Scratch,
        out: &mut [f64],
    ) {
        let Scratch {
            relevant,
            states,
            places,
            inner,
        } = scratch;
        relevant.clear();
        if let Asked::Parent(at) = asked {
            relevant.push(at);
        }
        for child in &self.children {
            for &m in members {
                if let Speech::By(_, at, _) = child.says[m]
                    && !relevant.contains(&at)
                {
                    relevant.push(at);
                }
            }
        }
        places.clear();
        for &at in relevant.iter() {
            let parent = &self.parents[at];
            inner.clear();
            inner.extend(members.iter().filter_map(|&m| parent.position[m]));
            places.push(parent.table.subsets.place(inner));
        }
        states.clear();
        states.resize(self.parents.len(), 0);
        out.fill(0.0);
        loop {
            let mut weight = 1.0;
            for (&at, &place) in relevant.iter().zip(places.iter()) {
                weight *= self.parents[at].table.row(place)[states[at]];
            }
            for child in &self.children {
                if let Some(answer) = child.answer {
                    weight *= child.chance(members, states, answer);
                }
            }
            match asked {
                Asked::Nothing => out[0] += weight,
                Asked::Parent(at) => out[states[at]] += weight,
                Asked::Child(at) => {
                    let child = &self.children[at];
                    for (answer, slot) in out.iter_mut().enumerate() {
                        *slot += weight * child.chance(members, states, answer);
                    }
                }
            }
            let mut turned = false;
            for &at in relevant.iter() {
                states[at] += 1;
                if states[at] < self.parents[at].table.answers() {
                    turned = true;
                    break;
                }
                states[at] = 0;
            }
            if !turned {
                break;
            }
        }
    }

    /// The chance of the answers given for every subset of the scope.
    pub(super) fn values(&self, max: usize) -> Vec<f64> {
        let subsets = Subsets::new(self.scope.len(), max);
        let mut values = Vec::with_capacity(subsets.len());
        let (mut scratch, mut out) = (Scratch::default(), [0.0]);
        subsets.for_each(|members, _| {
            self.evaluate(members, Asked::Nothing, &mut scratch, &mut out);
            values.extend(out);
        });
        values
    }
}

impl Child<'_> {
    #[inline]
    #[expect(
        clippy::indexing_slicing,
        reason = "members and states are positions of the same cluster"
    )]
    fn chance(&self, members: &[usize], states: &[usize], answer: usize) -> f64 {
        let (mut sum, mut total) = (0.0, 0.0);
        for &m in members {
            match self.says[m] {
                Speech::Silent => {}
                Speech::Row(weight, row) => {
                    sum += weight * row[answer];
                    total += weight;
                }
                Speech::By(weight, parent, rows) => {
                    if let Some(Some(row)) = rows.get(states[parent]) {
                        sum += weight * row[answer];
                        total += weight;
                    }
                }
            }
        }
        if total > 0.0 {
            sum / total
        } else {
            self.background[answer]
        }
    }
}
