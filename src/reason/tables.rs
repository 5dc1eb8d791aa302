//! The network with a table for every symptom, and which symptoms look at which.

use std::sync::{Arc, OnceLock};

use super::table::LikelihoodTable;
use crate::rulebook::index::{List, SymptomAt};
use crate::rulebook::network::{Network, Node};

/// How many causes are thought to be present at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Present {
    /// At least so many; 1 when somebody was called to a wandering belt.
    pub min: usize,
    /// At most so many.
    pub max: usize,
}

/// What the network says whatever was answered; tables are worked out when first needed.
#[derive(Debug)]
pub(super) struct NetworkTables<'n> {
    pub(super) network: &'n Network,
    pub(super) present: Present,
    tables: List<SymptomAt, OnceLock<Arc<LikelihoodTable>>>,
    parents: List<SymptomAt, Vec<SymptomAt>>,
    /// The symptoms that have parents, in book order.
    relatives: Vec<SymptomAt>,
    is_parent: List<SymptomAt, bool>,
}

impl<'n> NetworkTables<'n> {
    pub(super) fn new(network: &'n Network, present: Present) -> Self {
        let parents = network.nodes.map(Node::parents);
        let mut is_parent = List::filled(false, network.nodes.len());
        for &parent in parents.values().flatten() {
            is_parent[parent] = true;
        }
        let relatives = parents.iter().filter(|(_, parents)| !parents.is_empty());
        Self {
            network,
            present,
            tables: network.nodes.map(|_| OnceLock::new()),
            relatives: relatives.map(|(symptom, _)| symptom).collect(),
            parents,
            is_parent,
        }
    }

    /// The symptoms whose answers pick rows of this one.
    pub(super) fn parents(&self, symptom: SymptomAt) -> &[SymptomAt] {
        &self.parents[symptom]
    }

    /// Whether the answer to a symptom picks rows of another.
    pub(super) fn is_parent(&self, symptom: SymptomAt) -> bool {
        self.is_parent[symptom]
    }

    /// The symptoms that have parents, in book order.
    pub(super) fn relatives(&self) -> &[SymptomAt] {
        &self.relatives
    }

    /// The table of a symptom, its relative voices silent.
    pub(super) fn table(&self, symptom: SymptomAt) -> &Arc<LikelihoodTable> {
        self.tables[symptom].get_or_init(|| {
            let node = &self.network.nodes[symptom];
            Arc::new(LikelihoodTable::new(node, self.present.max, |_| None))
        })
    }
}
