//! A book's numbers made ready, and what was worked out from them and may be needed again.

use std::sync::Arc;

use super::cache::{Cache, Key, UncuredKey};
use super::cluster::Cluster;
use super::evidence::{Evidence, Seen};
use super::parent_likelihood::ParentLikelihood;
use super::table::{LikelihoodTable, row};
use super::tables::{NetworkTables, Present};
use crate::rulebook::index::{CauseAt, SymptomAt};
use crate::rulebook::network::Network;

/// So many tables of relative symptoms are kept, for different answers of their parents.
const TABLES_KEPT: usize = 24;
/// So many parents' questions are kept, for different answers of their relative symptoms.
const PARENTS_KEPT: usize = 200;
/// So many columns of answered relative symptoms that hang together are kept.
const JOINT_KEPT: usize = 50;
/// So many columns of looks that hang together over time are kept.
const UNCURED_KEPT: usize = 100;

/// The reasoning over one network. Holds tables that are worked out when first needed.
#[derive(Debug)]
pub struct Engine<'n> {
    tables: NetworkTables<'n>,
    relative_tables: Cache<LikelihoodTable>,
    parent_likelihoods: Cache<ParentLikelihood>,
    joint: Cache<Vec<f64>>,
    uncured: Cache<Vec<f64>, UncuredKey>,
}

/// What the answers to one question tell, given the causes present.
pub(super) struct Question {
    /// The chances of the answers.
    pub(super) table: Arc<LikelihoodTable>,
    /// What answered relative symptoms add to that, when this is an open parent of theirs.
    pub(super) parent: Option<Arc<ParentLikelihood>>,
}

impl<'n> Engine<'n> {
    /// Reasoning over `network` with between `present.min` and `present.max` causes present.
    pub fn new(network: &'n Network, present: Present) -> Self {
        Self {
            tables: NetworkTables::new(network, present),
            relative_tables: Cache::new(TABLES_KEPT),
            parent_likelihoods: Cache::new(PARENTS_KEPT),
            joint: Cache::new(JOINT_KEPT),
            uncured: Cache::new(UNCURED_KEPT),
        }
    }

    /// The numbers it works on.
    pub fn network(&self) -> &'n Network {
        self.tables.network
    }

    /// How many causes may be present at once.
    pub fn present(&self) -> Present {
        self.tables.present
    }

    /// The chance of each answer when just these causes are present. `parent_answer` says which answer
    /// of a parent picks the row of a relative voice; without one that voice is silent.
    pub fn row(
        &self,
        symptom: SymptomAt,
        present: &[CauseAt],
        parent_answer: impl Fn(SymptomAt) -> Option<usize>,
    ) -> Vec<f64> {
        row(&self.tables.network.nodes[symptom], present, parent_answer)
    }

    /// The network with its tables.
    pub(super) fn tables(&self) -> &NetworkTables<'n> {
        &self.tables
    }

    /// Whether a symptom looks at another or is looked at: its answer tells of more than its causes.
    pub(super) fn hangs_together(&self, symptom: SymptomAt) -> bool {
        self.tables.is_parent(symptom) || !self.tables.parents(symptom).is_empty()
    }

    /// What the answers to a question tell. Open relatives and parents are taken jointly with what was
    /// answered.
    pub(super) fn question(&self, evidence: &Evidence, symptom: SymptomAt) -> Question {
        if !self.tables.parents(symptom).is_empty() {
            return Question { table: self.relative_table(evidence, symptom), parent: None };
        }
        let cluster = self.tables.is_parent(symptom).then(|| self.cluster(evidence, symptom));
        Question {
            table: Arc::clone(self.tables.table(symptom)),
            parent: cluster.flatten().map(|cluster| {
                let key = Key::new(Some(symptom), &cluster, evidence, &self.tables);
                let make = || ParentLikelihood::new(&self.tables, &cluster, symptom);
                self.parent_likelihoods.get(key, make)
            }),
        }
    }

    /// The table of a relative symptom, its open parents summed out.
    pub(super) fn relative_table(
        &self,
        evidence: &Evidence,
        symptom: SymptomAt,
    ) -> Arc<LikelihoodTable> {
        let Some(cluster) = self.cluster(evidence, symptom) else {
            let key = Key::alone(symptom, evidence, &self.tables);
            return self.relative_tables.get(key, || {
                let node = &self.tables.network.nodes[symptom];
                LikelihoodTable::new(node, self.tables.present.max, |p| {
                    match evidence.symptoms[p] {
                        Seen::Answered(answer) => Some(answer),
                        _ => None,
                    }
                })
            });
        };
        let key = Key::new(Some(symptom), &cluster, evidence, &self.tables);
        self.relative_tables.get(key, || cluster.table(symptom, self.tables.present.max))
    }

    /// The table of a symptom as things were known after so many batches: its parents' answers are those
    /// until then, open ones are summed out, and what else was answered does not count.
    pub(super) fn table_at(
        &self,
        evidence: &Evidence,
        time: usize,
        symptom: SymptomAt,
    ) -> Arc<LikelihoodTable> {
        if self.tables.parents(symptom).is_empty() {
            return Arc::clone(self.tables.table(symptom));
        }
        let mut alone = Evidence::none(0, evidence.symptoms.len());
        for &parent in self.tables.parents(symptom) {
            alone.symptoms[parent] = evidence.seen_at(time, parent);
        }
        self.relative_table(&alone, symptom)
    }

    fn cluster(&self, evidence: &Evidence, asked: SymptomAt) -> Option<Cluster<'_>> {
        Cluster::around(&self.tables, evidence, asked)
    }

    /// The chances of looks that hang together over time, while nothing is cured.
    pub(super) fn uncured(
        &self,
        key: UncuredKey,
        make: impl FnOnce() -> Vec<f64>,
    ) -> Arc<Vec<f64>> {
        self.uncured.get(key, make)
    }

    /// The chance of the answers given in a cluster, for every set of its causes.
    pub(super) fn joint(&self, evidence: &Evidence, cluster: &Cluster<'_>) -> Arc<Vec<f64>> {
        let key = Key::new(None, cluster, evidence, &self.tables);
        self.joint.get(key, || cluster.values(self.tables.present.max))
    }
}
