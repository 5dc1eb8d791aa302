//! Relative symptoms and their parents that were not answered.
//!
//! A voice may depend on another symptom's answer, an ordinary edge of the network. While that parent is
//! open it is summed out with its own chances given the causes; so relative symptoms that share open
//! parents hang together, and the answer to a parent's question depends on theirs.

use super::evidence::{Evidence, Seen};
use super::sorted::{positions, union};
use super::subsets::Subsets;
use super::table::{LikelihoodTable, normalise};
use super::tables::NetworkTables;
use crate::rulebook::index::{CauseAt, SymptomAt, sure};
use crate::rulebook::network::{Kind, Node, Says};

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
    table: &'e LikelihoodTable,
    /// Position in the table's scope of each position in the cluster's.
    position: Vec<Option<usize>>,
}

/// What the causes of a scope say of a relative symptom.
#[derive(Debug)]
pub(super) struct Child<'e> {
    pub(super) symptom: SymptomAt,
    answers: usize,
    /// The answer, unless this is the symptom asked about.
    answer: Option<usize>,
    background: &'e [f64],
    /// What the cause at each position of the scope says.
    says: Vec<Speech<'e>>,
}

/// What one cause says: nothing, a row with its weight, or a row by the answer of the parent with this number.
#[derive(Debug, Clone, Copy)]
enum Speech<'e> {
    Silent,
    Row(f64, &'e [f64]),
    By(f64, usize, &'e [Option<Vec<f64>>]),
}

/// What a cluster is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum AskedAbout {
    /// The chance of the answers given.
    Likelihood,
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
    /// The clusters of answered relative symptoms that have open parents.
    pub(super) fn all(tables: &'e NetworkTables<'_>, evidence: &Evidence) -> Vec<Self> {
        grouped(tables, evidence, None)
            .iter()
            .map(|group| Self::new(tables, evidence, None, group))
            .collect()
    }

    /// The cluster of a symptom that is asked about: a relative one with open parents, answered or not, or
    /// an open parent of an answered one.
    pub(super) fn around(
        tables: &'e NetworkTables<'_>,
        evidence: &Evidence,
        asked: SymptomAt,
    ) -> Option<Self> {
        grouped(tables, evidence, Some(asked))
            .iter()
            .find(|group| group.children.contains(&asked) || group.parents.contains(&asked))
            .map(|group| Self::new(tables, evidence, Some(asked), group))
    }

    fn new(
        tables: &'e NetworkTables<'_>,
        evidence: &Evidence,
        asked: Option<SymptomAt>,
        group: &Group,
    ) -> Self {
        let Group { children, parents } = group;
        let nodes = &tables.network.nodes;
        let scope = union(
            parents
                .iter()
                .map(|&p| tables.table(p).scope.clone())
                .chain(children.iter().map(|&c| nodes[c].linked())),
        );
        let children = children.iter().map(|&symptom| {
            let answer = match evidence.symptoms[symptom] {
                Seen::Answered(answer) if asked != Some(symptom) => Some(answer),
                _ => None,
            };
            Child::new((symptom, &nodes[symptom]), answer, (&scope, parents), |parent| {
                evidence.symptoms[parent]
            })
        });
        let children = children.collect();
        let parents = parents
            .iter()
            .map(|&symptom| {
                let table = tables.table(symptom);
                Parent { symptom, table, position: positions(&scope, &table.scope) }
            })
            .collect();
        Self { scope, parents, children }
    }

    /// The relative symptoms in it, in book order.
    pub(super) fn children(&self) -> impl Iterator<Item = SymptomAt> {
        self.children.iter().map(|child| child.symptom)
    }

    /// The relative symptom in it, and its answer, when there is one only.
    pub(super) fn only_child(&self) -> Option<(SymptomAt, usize)> {
        match *self.children.as_slice() {
            [Child { symptom, answer, .. }] => Some((symptom, answer?)),
            _ => None,
        }
    }

    /// How to ask this cluster about a symptom in it.
    pub(super) fn asking(&self, symptom: SymptomAt) -> AskedAbout {
        if let Some(at) = self.parents.iter().position(|p| p.symptom == symptom) {
            return AskedAbout::Parent(at);
        }
        self.children
            .iter()
            .position(|c| c.symptom == symptom)
            .map_or(AskedAbout::Likelihood, AskedAbout::Child)
    }

    /// How many numbers [`Self::evaluate`] gives.
    pub(super) fn width(&self, asked: AskedAbout) -> usize {
        match asked {
            AskedAbout::Likelihood => 1,
            AskedAbout::Parent(at) => sure(&self.parents, at).table.answers(),
            AskedAbout::Child(at) => sure(&self.children, at).answers,
        }
    }

    /// Whether the cause at this position of the scope makes the answered relative symptoms depend on
    /// what is asked.
    pub(super) fn hangs_on(&self, asked: AskedAbout, position: usize) -> bool {
        let AskedAbout::Parent(at) = asked else {
            return true;
        };
        self.children.iter().any(|child| child.hangs_on(position) == Some(at))
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
        asked: AskedAbout,
        scratch: &mut Scratch,
        out: &mut [f64],
    ) {
        let Scratch { relevant, states, places, inner } = scratch;
        relevant.clear();
        if let AskedAbout::Parent(at) = asked {
            relevant.push(at);
        }
        for child in &self.children {
            for &m in members {
                if let Some(at) = child.hangs_on(m)
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
                weight *= self.parents[at].table.chance(place, states[at]);
            }
            for child in &self.children {
                if let Some(answer) = child.answer {
                    weight *= child.chance(members, states, answer);
                }
            }
            match asked {
                AskedAbout::Likelihood => out[0] += weight,
                AskedAbout::Parent(at) => out[states[at]] += weight,
                AskedAbout::Child(at) => self.children[at].add_row(members, states, weight, out),
            }
            let mut more = false;
            for &at in relevant.iter() {
                states[at] += 1;
                if states[at] < self.parents[at].table.answers() {
                    more = true;
                    break;
                }
                states[at] = 0;
            }
            if !more {
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
            self.evaluate(members, AskedAbout::Likelihood, &mut scratch, &mut out);
            values.extend(out);
        });
        values
    }

    /// The chances of the answers to a relative symptom in it, given the answers to the others, for every
    /// subset of the scope.
    pub(super) fn table(&self, child: SymptomAt, max: usize) -> LikelihoodTable {
        let asked = self.asking(child);
        let subsets = Subsets::new(self.scope.len(), max);
        let mut row = vec![0.0; self.width(asked)];
        let mut columns = vec![0.0; row.len() * subsets.len()];
        let mut scratch = Scratch::default();
        subsets.for_each(|members, place| {
            self.evaluate(members, asked, &mut scratch, &mut row);
            normalise(&mut row);
            let slots = columns.iter_mut().skip(place).step_by(subsets.len());
            for (slot, p) in slots.zip(&row) {
                *slot = *p;
            }
        });
        LikelihoodTable::from_columns(self.scope.clone(), subsets, columns)
    }
}

/// Relative symptoms and the open parents through which they hang together.
struct Group {
    children: Vec<SymptomAt>,
    parents: Vec<SymptomAt>,
}

/// The groups of answered relative symptoms, and of the one that is asked about.
fn grouped(
    tables: &NetworkTables<'_>,
    evidence: &Evidence,
    asked: Option<SymptomAt>,
) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for &child in tables.relatives() {
        let takes_part =
            matches!(evidence.symptoms[child], Seen::Answered(_)) || Some(child) == asked;
        let parents = tables.parents(child).iter().copied();
        let parents: Vec<SymptomAt> =
            parents.filter(|&p| takes_part && evidence.symptoms[p] == Seen::Open).collect();
        if parents.is_empty() {
            continue;
        }
        let (touched, apart): (Vec<Group>, Vec<Group>) =
            groups.into_iter().partition(|group| group.parents.iter().any(|p| parents.contains(p)));
        groups = apart;
        groups.push(Group {
            children: union(touched.iter().map(|g| g.children.clone()).chain([vec![child]])),
            parents: union(touched.into_iter().map(|g| g.parents).chain([parents])),
        });
    }
    groups
}

#[expect(clippy::indexing_slicing, reason = "members and states are positions of the same cluster")]
impl<'e> Child<'e> {
    /// For the causes of a scope and its open parents (both sorted); `seen` says what is known of its parents.
    pub(super) fn new(
        (symptom, node): (SymptomAt, &'e Node),
        answer: Option<usize>,
        (scope, parents): (&[CauseAt], &[SymptomAt]),
        seen: impl Fn(SymptomAt) -> Seen,
    ) -> Self {
        let mut says = vec![Speech::Silent; scope.len()];
        let mut background: &[f64] = &[];
        if let Kind::Pattern { background: row, voices } = &node.kind {
            background = row;
            for (cause, voice) in voices {
                let speech = match &voice.says {
                    Says::Row(row) => Speech::Row(voice.weight, row),
                    Says::Relative { parent, rows } => match seen(*parent) {
                        Seen::Absent => Speech::Silent,
                        Seen::Answered(a) => match sure(rows, a) {
                            Some(row) => Speech::Row(voice.weight, row),
                            None => Speech::Silent,
                        },
                        Seen::Open => match parents.binary_search(parent) {
                            Ok(at) => Speech::By(voice.weight, at, rows),
                            Err(_) => Speech::Silent,
                        },
                    },
                };
                if let Some(slot) = scope.binary_search(cause).ok().and_then(|at| says.get_mut(at))
                {
                    *slot = speech;
                }
            }
        }
        Self { symptom, answers: node.answers, answer, background, says }
    }

    /// The open parent on whose answer it hangs what the cause at this position says.
    #[inline]
    pub(super) fn hangs_on(&self, member: usize) -> Option<usize> {
        match self.says[member] {
            Speech::By(_, parent, _) => Some(parent),
            Speech::Row(..) | Speech::Silent => None,
        }
    }

    /// What the cause at this position says when the parents' answers are these: its weight and row.
    #[inline]
    fn says(&self, member: usize, states: &[usize]) -> Option<(f64, &'e [f64])> {
        match self.says[member] {
            Speech::Silent => None,
            Speech::Row(weight, row) => Some((weight, row)),
            Speech::By(weight, parent, rows) => {
                let row = rows[states[parent]].as_deref()?;
                Some((weight, row))
            }
        }
    }

    /// The chance of one answer.
    #[inline]
    pub(super) fn chance(&self, members: &[usize], states: &[usize], answer: usize) -> f64 {
        let (mut sum, mut total) = (0.0, 0.0);
        for (weight, row) in members.iter().filter_map(|&m| self.says(m, states)) {
            sum += weight * row[answer];
            total += weight;
        }
        if total > 0.0 { sum / total } else { self.background[answer] }
    }

    /// Adds the chances of all answers, times `factor`.
    #[inline]
    fn add_row(&self, members: &[usize], states: &[usize], factor: f64, out: &mut [f64]) {
        let speakers = || members.iter().filter_map(|&m| self.says(m, states));
        let total: f64 = speakers().map(|(weight, _)| weight).sum();
        let mut add = |factor: f64, row: &[f64]| {
            for (slot, p) in out.iter_mut().zip(row) {
                *slot += factor * p;
            }
        };
        if total > 0.0 {
            for (weight, row) in speakers() {
                add(factor * weight / total, row);
            }
        } else {
            add(factor, self.background);
        }
    }
}
