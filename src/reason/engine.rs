//! A book's numbers made ready, and what was worked out from them and may be needed again.

use std::sync::{Arc, OnceLock};

use super::cluster::Cluster;
use super::evidence::{Evidence, Seen};
use super::kept::{Key, Shelf};
use super::table::{Table, row};
use super::turned::Turned;
use crate::rulebook::index::{CauseAt, List, Place, SymptomAt};
use crate::rulebook::network::{Network, Node};

/// So many tables of relative symptoms are kept, for different answers of their parents.
const TABLES_KEPT: usize = 24;
/// So many parents' questions are kept, for different answers of their relative symptoms.
const TURNED_KEPT: usize = 200;
/// So many columns of answered relative symptoms that hang together are kept.
const JOINT_KEPT: usize = 50;

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
    tables: List<SymptomAt, OnceLock<Arc<Table>>>,
    parents: List<SymptomAt, Vec<SymptomAt>>,
    /// The symptoms that have parents, in book order.
    relatives: Vec<SymptomAt>,
    /// Whether a symptom is a parent.
    looked_at: List<SymptomAt, bool>,
    relative_tables: Shelf<Table>,
    turned: Shelf<Turned>,
    joint: Shelf<Vec<f64>>,
}

/// What the answers to one question tell, given the causes present.
pub(super) struct Question {
    /// The chances of the answers.
    pub(super) table: Arc<Table>,
    /// What answered relative symptoms add to that, when this is an open parent of theirs.
    pub(super) turned: Option<Arc<Turned>>,
}

impl<'n> Engine<'n> {
    /// Reasoning over `network` with between `present.min` and `present.max` causes present.
    pub fn new(network: &'n Network, present: Present) -> Self {
        let parents = network.nodes.map(Node::parents);
        let mut looked_at = List::filled(false, network.nodes.len());
        for &parent in parents.values().flatten() {
            looked_at[parent] = true;
        }
        let relatives = parents.iter().filter(|(_, parents)| !parents.is_empty());
        Self {
            network,
            present,
            tables: network.nodes.map(|_| OnceLock::new()),
            relatives: relatives.map(|(symptom, _)| symptom).collect(),
            parents,
            looked_at,
            relative_tables: Shelf::new(TABLES_KEPT),
            turned: Shelf::new(TURNED_KEPT),
            joint: Shelf::new(JOINT_KEPT),
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
        row(&self.network.nodes[symptom], present, parent_answer)
    }

    /// The symptoms whose answers pick rows of this one.
    pub(super) fn parents(&self, symptom: SymptomAt) -> &[SymptomAt] {
        &self.parents[symptom]
    }

    /// Whether a symptom looks at another or is looked at: its answer tells of more than its causes.
    pub(super) fn hangs_together(&self, symptom: SymptomAt) -> bool {
        self.looked_at[symptom] || !self.parents[symptom].is_empty()
    }

    /// The symptoms that have parents, in book order.
    pub(super) fn relatives(&self) -> &[SymptomAt] {
        &self.relatives
    }

    /// The table of a symptom without relative voices.
    pub(super) fn table(&self, symptom: SymptomAt) -> &Arc<Table> {
        self.tables[symptom].get_or_init(|| {
            let node = &self.network.nodes[symptom];
            Arc::new(Table::of(node, self.present.max, |_| None))
        })
    }

    /// What the answers to a question tell. Open relatives and parents are taken jointly with what was
    /// answered.
    pub(super) fn question(&self, evidence: &Evidence, symptom: SymptomAt) -> Question {
        if !self.parents(symptom).is_empty() {
            return Question { table: self.relative_table(evidence, symptom), turned: None };
        }
        let cluster =
            self.looked_at[symptom].then(|| Cluster::around(self, evidence, symptom)).flatten();
        Question {
            table: Arc::clone(self.table(symptom)),
            turned: cluster.map(|cluster| {
                let key = Key::of(Some(symptom), &cluster, evidence, self);
                self.turned.get(key, || Turned::of(self, &cluster, symptom))
            }),
        }
    }

    /// The table of a relative symptom, its open parents summed out.
    pub(super) fn relative_table(&self, evidence: &Evidence, symptom: SymptomAt) -> Arc<Table> {
        let Some(cluster) = Cluster::around(self, evidence, symptom) else {
            let key = Key::alone(symptom, evidence, self);
            return self.relative_tables.get(key, || {
                let node = &self.network.nodes[symptom];
                Table::of(node, self.present.max, |p| match evidence.symptoms[p] {
                    Seen::Answered(answer) => Some(answer),
                    _ => None,
                })
            });
        };
        let key = Key::of(Some(symptom), &cluster, evidence, self);
        self.relative_tables.get(key, || cluster.table(symptom, self.present.max))
    }

    /// The chance of the answers given in a cluster, for every set of its causes.
    pub(super) fn joint(&self, evidence: &Evidence, cluster: &Cluster<'_>) -> Arc<Vec<f64>> {
        let key = Key::of(None, cluster, evidence, self);
        self.joint.get(key, || cluster.values(self.present.max))
    }
}

/// For each thing of `outer`, its position in `inner`; both sorted.
pub(super) fn positions(outer: &[CauseAt], inner: &[CauseAt]) -> Vec<Option<usize>> {
    let mut rest = inner.iter().enumerate().peekable();
    outer
        .iter()
        .map(|cause| {
            while rest.next_if(|(_, other)| *other < cause).is_some() {}
            rest.next_if(|(_, other)| *other == cause).map(|(at, _)| at)
        })
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
