//! A book's numbers made ready: the chance of every answer for every set of linked causes.

use std::sync::OnceLock;

use super::subsets::Subsets;
use crate::rulebook::index::{CauseAt, List, Place, SymptomAt};
use crate::rulebook::network::{Kind, Network, Node, Says};

/// How many causes are thought to be present at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Present {
    /// At least so many; 1 when somebody was called to a wandering belt.
    pub min: usize,
    /// At most so many.
    pub max: usize,
}

/// The reasoning over one network. Holds tables that are worked out when first needed.
#[derive(Debug)]
pub struct Engine<'n> {
    network: &'n Network,
    present: Present,
    tables: List<SymptomAt, OnceLock<Table>>,
    parents: List<SymptomAt, Vec<SymptomAt>>,
}

impl<'n> Engine<'n> {
    /// Reasoning over `network` with between `present.min` and `present.max` causes present.
    pub fn new(network: &'n Network, present: Present) -> Self {
        Self {
            network,
            present,
            tables: network.nodes.map(|_| OnceLock::new()),
            parents: network.nodes.map(Node::parents),
        }
    }

    /// The numbers it works on.
    pub fn network(&self) -> &'n Network {
        self.network
    }

    /// How many causes may be present at once.
    pub fn present(&self) -> Present {
        self.present
    }

    /// The chance of each answer when just these causes are present. `parent_answer` says which answer
    /// of a parent picks the row of a relative voice; without one that voice is silent.
    pub fn row(
        &self,
        symptom: SymptomAt,
        present: &[CauseAt],
        parent_answer: impl Fn(SymptomAt) -> Option<usize>,
    ) -> Vec<f64> {
        let node = &self.network.nodes[symptom];
        let speakers = Speakers::of(node, parent_answer);
        let scope = speakers.scope();
        let members: Vec<usize> = present
            .iter()
            .filter_map(|c| scope.binary_search(c).ok())
            .collect();
        let mut row = vec![0.0; node.answers];
        speakers.row(&members, &mut row);
        row
    }

    /// The symptoms whose answers pick rows of this one.
    pub(super) fn parents(&self, symptom: SymptomAt) -> &[SymptomAt] {
        &self.parents[symptom]
    }

    /// The table of a symptom without relative voices.
    pub(super) fn table(&self, symptom: SymptomAt) -> &Table {
        self.tables[symptom]
            .get_or_init(|| Table::of(&self.network.nodes[symptom], self.present.max, |_| None))
    }
}

/// The chance of each answer, and its entropy, for every set of up to `max` of the linked causes.
#[derive(Debug, Clone)]
pub(super) struct Table {
    /// The causes that matter, in rising order.
    pub(super) scope: Vec<CauseAt>,
    pub(super) subsets: Subsets,
    answers: usize,
    rows: Vec<f64>,
    entropies: Vec<f64>,
}

impl Table {
    /// Works the table out. `parent_answer` says which answer of a parent picks the row of a relative
    /// voice; without one that voice is silent.
    pub(super) fn of(
        node: &Node,
        max: usize,
        parent_answer: impl Fn(SymptomAt) -> Option<usize>,
    ) -> Self {
        let speakers = Speakers::of(node, parent_answer);
        let scope = speakers.scope();
        let subsets = Subsets::new(scope.len(), max);
        let mut rows = vec![0.0; subsets.len() * node.answers];
        let mut entropies = Vec::with_capacity(subsets.len());
        let mut row = vec![0.0; node.answers];
        subsets.for_each(|members, place| {
            speakers.row(members, &mut row);
            entropies.push(entropy(&row));
            if let Some(target) = rows.get_mut(place * node.answers..(place + 1) * node.answers) {
                target.copy_from_slice(&row);
            }
        });
        Self {
            scope,
            subsets,
            answers: node.answers,
            rows,
            entropies,
        }
    }

    /// How many answers a row has.
    pub(super) fn answers(&self) -> usize {
        self.answers
    }

    /// The chances of the answers for the set of causes at `place`.
    #[inline]
    pub(super) fn row(&self, place: usize) -> &[f64] {
        self.rows
            .get(place * self.answers..(place + 1) * self.answers)
            .unwrap_or(&[])
    }

    /// The chance of one answer for every set, in order of place.
    pub(super) fn column(&self, answer: usize) -> Vec<f64> {
        self.rows
            .iter()
            .skip(answer)
            .step_by(self.answers.max(1))
            .copied()
            .collect()
    }

    /// The entropy of each row in bits, in order of place.
    pub(super) fn entropies(&self) -> &[f64] {
        &self.entropies
    }

    /// All rows, in order of place.
    pub(super) fn rows(&self) -> std::slice::ChunksExact<'_, f64> {
        self.rows.chunks_exact(self.answers.max(1))
    }
}

/// A node's links with the rows of its relative voices already picked.
enum Speakers<'n> {
    Sign {
        leak: f64,
        links: &'n [(CauseAt, f64)],
    },
    Pattern {
        background: &'n [f64],
        voices: Vec<(CauseAt, f64, &'n [f64])>,
    },
    Grade {
        base: &'n [f64],
        rows: &'n [(CauseAt, Vec<f64>)],
    },
}

impl<'n> Speakers<'n> {
    fn of(node: &'n Node, parent_answer: impl Fn(SymptomAt) -> Option<usize>) -> Self {
        match &node.kind {
            Kind::Sign { leak, links } => Self::Sign { leak: *leak, links },
            Kind::Grade { base, rows } => Self::Grade { base, rows },
            Kind::Pattern { background, voices } => Self::Pattern {
                background,
                voices: voices
                    .iter()
                    .filter_map(|(cause, voice)| {
                        let row = match &voice.says {
                            Says::Row(row) => row,
                            Says::Relative { parent, rows } => {
                                rows.get(parent_answer(*parent)?).and_then(Option::as_ref)?
                            }
                        };
                        Some((*cause, voice.weight, row.as_slice()))
                    })
                    .collect(),
            },
        }
    }

    fn scope(&self) -> Vec<CauseAt> {
        match self {
            Self::Sign { links, .. } => links.iter().map(|(c, _)| *c).collect(),
            Self::Pattern { voices, .. } => voices.iter().map(|(c, _, _)| *c).collect(),
            Self::Grade { rows, .. } => rows.iter().map(|(c, _)| *c).collect(),
        }
    }

    /// The chances of the answers when the causes at these positions of the scope are present.
    fn row(&self, members: &[usize], out: &mut [f64]) {
        match self {
            Self::Sign { leak, links } => {
                let no = members
                    .iter()
                    .filter_map(|&m| links.get(m))
                    .fold(1.0 - leak, |no, (_, link)| no * (1.0 - link));
                for (slot, chance) in out.iter_mut().zip([no, 1.0 - no]) {
                    *slot = chance;
                }
            }
            Self::Pattern { background, voices } => {
                if members.is_empty() {
                    out.copy_from_slice(background);
                    return;
                }
                out.fill(0.0);
                let mut total = 0.0;
                for (_, weight, row) in members.iter().filter_map(|&m| voices.get(m)) {
                    total += weight;
                    for (slot, chance) in out.iter_mut().zip(*row) {
                        *slot += weight * chance;
                    }
                }
                for slot in out.iter_mut() {
                    *slot /= total;
                }
            }
            Self::Grade { base, rows } => {
                let mut below = 0.0;
                for (level, slot) in out.iter_mut().enumerate() {
                    let up_to = members
                        .iter()
                        .filter_map(|&m| rows.get(m)?.1.get(level))
                        .fold(base.get(level).copied().unwrap_or(1.0), |product, f| {
                            product * f
                        });
                    *slot = (up_to - below).max(0.0);
                    below = up_to;
                }
            }
        }
    }
}

/// Entropy of a row of chances, in bits.
pub(super) fn entropy(row: &[f64]) -> f64 {
    row.iter()
        .filter(|&&p| p > 0.0)
        .map(|p| -p * p.log2())
        .sum()
}

/// For each thing of `outer`, its position in `inner`; both sorted.
pub(super) fn positions(outer: &[CauseAt], inner: &[CauseAt]) -> Vec<Option<usize>> {
    outer
        .iter()
        .map(|cause| inner.binary_search(cause).ok())
        .collect()
}

/// The union of sorted lists of places, sorted.
pub(super) fn union<P: Place>(
    lists: impl IntoIterator<Item = impl IntoIterator<Item = P>>,
) -> Vec<P> {
    let mut all: Vec<P> = lists.into_iter().flatten().collect();
    all.sort_unstable();
    all.dedup();
    all
}
