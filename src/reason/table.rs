//! The chance of every answer to one symptom's question, for every set of the causes that matter to it.

use std::sync::OnceLock;

use super::subsets::Subsets;
use crate::rulebook::index::{CauseAt, SymptomAt, sure, sure_mut};
use crate::rulebook::network::{Kind, Node, Says, is_ticked};

/// The chance of each answer, and its entropy, for every set of up to `max` of the linked causes.
#[derive(Debug)]
pub(super) struct LikelihoodTable {
    /// The causes that matter, in rising order.
    pub(super) scope: Vec<CauseAt>,
    pub(super) subsets: Subsets,
    /// One answer's chances after another's, since they are used answer by answer.
    columns: Vec<f64>,
    /// Worked out when first asked for: only questions not yet answered need them.
    entropies: OnceLock<Vec<f64>>,
}

impl LikelihoodTable {
    /// Works the table out. `parent_answer` says which answer of a parent picks the row of a relative
    /// voice; without one that voice is silent.
    pub(super) fn new(
        node: &Node,
        max: usize,
        parent_answer: impl Fn(SymptomAt) -> Option<usize>,
    ) -> Self {
        let speakers = Speakers::new(node, parent_answer);
        let scope = speakers.scope();
        let subsets = Subsets::new(scope.len(), max);
        let columns = speakers.columns(&subsets, node.answers);
        Self::from_columns(scope, subsets, columns)
    }

    /// A table whose columns are known already.
    pub(super) fn from_columns(scope: Vec<CauseAt>, subsets: Subsets, columns: Vec<f64>) -> Self {
        Self { scope, subsets, columns, entropies: OnceLock::new() }
    }

    /// How many answers there are.
    pub(super) fn answers(&self) -> usize {
        self.columns.len() / self.subsets.len().max(1)
    }

    /// The chance of one answer for every set, in order of place.
    pub(super) fn column(&self, answer: usize) -> &[f64] {
        let len = self.subsets.len();
        sure(&self.columns, answer * len..(answer + 1) * len)
    }

    /// All columns, in order of the answers.
    pub(super) fn columns(&self) -> std::slice::ChunksExact<'_, f64> {
        self.columns.chunks_exact(self.subsets.len().max(1))
    }

    /// The chance of one answer for the set of causes at `place`.
    #[inline]
    pub(super) fn chance(&self, place: usize, answer: usize) -> f64 {
        *sure(&self.columns, answer * self.subsets.len() + place)
    }

    /// The entropy of the answers in bits, in order of place.
    pub(super) fn entropies(&self) -> &[f64] {
        self.entropies.get_or_init(|| {
            let mut entropies = vec![0.0; self.subsets.len()];
            for column in self.columns() {
                for (entropy, &p) in entropies.iter_mut().zip(column) {
                    *entropy += surprise(p);
                }
            }
            entropies
        })
    }
}

/// The chances of the answers when just these causes are present.
pub(super) fn row(
    node: &Node,
    present: &[CauseAt],
    parent_answer: impl Fn(SymptomAt) -> Option<usize>,
) -> Vec<f64> {
    let speakers = Speakers::new(node, parent_answer);
    let scope = speakers.scope();
    // The layout of those present alone: the largest set of it is the one asked for.
    let members = present.iter().filter_map(|c| scope.binary_search(c).ok());
    let speakers = speakers.only(&members.collect::<Vec<usize>>());
    let subsets = Subsets::new(speakers.scope().len(), usize::MAX);
    let columns = speakers.columns(&subsets, node.answers);
    let ends = columns.chunks_exact(subsets.len());
    ends.filter_map(|column| column.last().copied()).collect()
}

/// A node's links with the rows of its relative voices already picked.
enum Speakers<'n> {
    Sign { leak: f64, links: Vec<(CauseAt, f64)> },
    Pattern { background: &'n [f64], voices: Vec<(CauseAt, f64, &'n [f64])> },
    Grade { base: &'n [f64], rows: Vec<(CauseAt, &'n [f64])> },
    Marks { leaks: &'n [f64], links: Vec<(CauseAt, &'n [f64])> },
}

impl<'n> Speakers<'n> {
    fn new(node: &'n Node, parent_answer: impl Fn(SymptomAt) -> Option<usize>) -> Self {
        match &node.kind {
            Kind::Sign { leak, links } => Self::Sign { leak: *leak, links: links.clone() },
            Kind::Grade { base, rows } => Self::Grade {
                base,
                rows: rows.iter().map(|(cause, row)| (*cause, row.as_slice())).collect(),
            },
            Kind::Marks { leaks, links } => Self::Marks {
                leaks,
                links: links.iter().map(|(cause, link)| (*cause, link.as_slice())).collect(),
            },
            Kind::Pattern { background, voices } => Self::Pattern {
                background,
                voices: voices
                    .iter()
                    .filter_map(|(cause, voice)| {
                        let row = match &voice.says {
                            Says::Row(row) => row,
                            Says::Relative { parent, rows } => {
                                sure(rows, parent_answer(*parent)?).as_ref()?
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
            Self::Grade { rows: linked, .. } | Self::Marks { links: linked, .. } => {
                linked.iter().map(|(c, _)| *c).collect()
            }
        }
    }

    /// Those at these positions of the scope.
    fn only(&self, members: &[usize]) -> Self {
        fn pick<T: Copy>(all: &[T], members: &[usize]) -> Vec<T> {
            members.iter().map(|&m| *sure(all, m)).collect()
        }
        match self {
            Self::Sign { leak, links } => Self::Sign { leak: *leak, links: pick(links, members) },
            Self::Pattern { background, voices } => {
                Self::Pattern { background, voices: pick(voices, members) }
            }
            Self::Grade { base, rows } => Self::Grade { base, rows: pick(rows, members) },
            Self::Marks { leaks, links } => Self::Marks { leaks, links: pick(links, members) },
        }
    }

    /// The chance of each answer for every set of the scope, one answer's chances after another's.
    fn columns(&self, subsets: &Subsets, answers: usize) -> Vec<f64> {
        let mut columns = Vec::with_capacity(subsets.len() * answers);
        match self {
            Self::Sign { leak, links } => {
                let miss = |m: usize| 1.0 - sure(links, m).1;
                columns = subsets.unfold(1.0 - leak, |no, m| no * miss(m));
                columns.extend_from_within(..);
                columns.iter_mut().skip(subsets.len()).for_each(|p| *p = 1.0 - *p);
            }
            Self::Pattern { background, voices } => {
                let weight = |m: usize| sure(voices, m).1;
                let total = subsets.unfold(0.0, |total, m| total + weight(m));
                for answer in 0..answers {
                    let says = |m: usize| weight(m) * sure(sure(voices, m).2, answer);
                    let mut column = subsets.unfold(0.0, |sum, m| sum + says(m));
                    for (sum, total) in column.iter_mut().zip(&total).skip(1) {
                        *sum /= total;
                    }
                    *sure_mut(&mut column, 0) = *sure(background, answer);
                    columns.append(&mut column);
                }
            }
            Self::Grade { base, rows } => {
                let mut below = vec![0.0; subsets.len()];
                for level in 0..answers {
                    let up_to = |m: usize| sure(sure(rows, m).1, level);
                    let up_to = subsets.unfold(*sure(base, level), |p, m| p * up_to(m));
                    let steps =
                        up_to.iter().zip(&below).map(|(up_to, below)| (up_to - below).max(0.0));
                    columns.extend(steps);
                    below = up_to;
                }
            }
            Self::Marks { leaks, links } => {
                let not: Vec<Vec<f64>> = leaks
                    .iter()
                    .enumerate()
                    .map(|(mark, leak)| {
                        let miss = |m: usize| 1.0 - sure(sure(links, m).1, mark);
                        subsets.unfold(1.0 - leak, |no, m| no * miss(m))
                    })
                    .collect();
                for answer in 0..answers {
                    let mut column = vec![1.0; subsets.len()];
                    for (mark, not) in not.iter().enumerate() {
                        multiply(&mut column, not, is_ticked(answer, mark));
                    }
                    columns.append(&mut column);
                }
            }
        }
        columns
    }
}

/// Multiplies by the chances that a mark is ticked, or that it is not; `not` holds the latter.
fn multiply(column: &mut [f64], not: &[f64], ticked: bool) {
    for (p, not) in column.iter_mut().zip(not) {
        *p *= if ticked { 1.0 - not } else { *not };
    }
}

/// The part of an answer to marks that is no product over the causes: the chance that all its marks are ticked,
/// whatever else is, for every set of the causes linked to them. Nothing where none is ticked, or of other kinds.
pub(super) fn ticked_marks(
    node: &Node,
    answer: usize,
    max: usize,
) -> Option<(Vec<CauseAt>, Vec<f64>)> {
    let Kind::Marks { leaks, links } = &node.kind else { return None };
    let ticked: Vec<usize> = (0..leaks.len()).filter(|mark| is_ticked(answer, *mark)).collect();
    if ticked.is_empty() {
        return None;
    }
    let linked = |link: &&(CauseAt, Vec<f64>)| ticked.iter().any(|m| *sure(&link.1, *m) > 0.0);
    let links: Vec<&(CauseAt, Vec<f64>)> = links.iter().filter(linked).collect();
    let scope: Vec<CauseAt> = links.iter().map(|(cause, _)| *cause).collect();
    let subsets = Subsets::new(scope.len(), max);
    let mut values = vec![1.0; subsets.len()];
    for mark in ticked {
        let miss = |m: usize| 1.0 - sure(&sure(&links, m).1, mark);
        let not = subsets.unfold(1.0 - sure(leaks, mark), |no, m| no * miss(m));
        multiply(&mut values, &not, true);
    }
    Some((scope, values))
}

/// Makes a row sum to 1.
pub(super) fn normalise(row: &mut [f64]) {
    let total: f64 = row.iter().sum();
    if total > 0.0 {
        row.iter_mut().for_each(|p| *p /= total);
    }
}

/// Entropy of a row of chances, in bits.
pub(super) fn entropy(row: &[f64]) -> f64 {
    row.iter().copied().map(surprise).sum()
}

/// What one answer adds to the entropy.
#[inline]
fn surprise(p: f64) -> f64 {
    if p > 0.0 { -p * p.log2() } else { 0.0 }
}
