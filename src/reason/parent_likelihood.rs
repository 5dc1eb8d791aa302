//! What answered relative symptoms tell about the question of an open parent of theirs.

use super::cluster::{Cluster, Scratch};
use super::sorted::positions;
use super::subsets::Subsets;
use super::table::{entropy, normalise};
use super::tables::NetworkTables;
use crate::rulebook::index::{CauseAt, SymptomAt, sure};

/// How the chances of a parent's answers differ from those in its own table. Only sets with a cause whose
/// voice hangs on this parent differ.
#[derive(Debug)]
pub(super) struct ParentLikelihood {
    /// The causes that matter to the cluster.
    pub(super) scope: Vec<CauseAt>,
    pub(super) subsets: Subsets,
    answers: usize,
    /// The sets that differ, in order of place in the layout of the scope.
    places: Vec<usize>,
    /// What to add to the chances, one set's answers after another's.
    changes: Vec<f64>,
    /// What to add to the entropy in bits.
    entropies: Vec<f64>,
}

impl ParentLikelihood {
    /// Works it out for an open parent in a cluster.
    pub(super) fn new(
        tables: &NetworkTables<'_>,
        cluster: &Cluster<'_>,
        parent: SymptomAt,
    ) -> Self {
        let table = tables.table(parent);
        let asked = cluster.asking(parent);
        let in_table = positions(&cluster.scope, &table.scope);
        let hangs: Vec<bool> =
            (0..cluster.scope.len()).map(|position| cluster.hangs_on(asked, position)).collect();
        let mut changed = Self {
            scope: cluster.scope.clone(),
            subsets: Subsets::new(cluster.scope.len(), tables.present.max),
            answers: table.answers(),
            places: Vec::new(),
            changes: Vec::new(),
            entropies: Vec::new(),
        };
        let (mut scratch, mut local) = (Scratch::default(), Vec::new());
        let mut row = vec![0.0; changed.answers];
        let subsets = changed.subsets.clone();
        subsets.for_each(|members, place| {
            if !members.iter().any(|&m| *sure(&hangs, m)) {
                return;
            }
            cluster.evaluate(members, asked, &mut scratch, &mut row);
            normalise(&mut row);
            local.clear();
            local.extend(members.iter().filter_map(|&m| *sure(&in_table, m)));
            let own = table.subsets.place(&local);
            changed.places.push(place);
            let change = |(answer, p): (usize, &f64)| p - table.chance(own, answer);
            changed.changes.extend(row.iter().enumerate().map(change));
            changed.entropies.push(entropy(&row) - sure(table.entropies(), own));
        });
        changed
    }

    /// Adds the changes to the mean chances of the answers and the mean entropy, for these chances of the
    /// sets of the scope.
    pub(super) fn add(&self, chances: &[f64], row: &mut [f64], mean_entropy: &mut f64) {
        let changes = self.changes.chunks_exact(self.answers.max(1));
        for ((&place, change), entropy) in self.places.iter().zip(changes).zip(&self.entropies) {
            let chance = sure(chances, place);
            for (slot, change) in row.iter_mut().zip(change) {
                *slot += chance * change;
            }
            *mean_entropy += chance * entropy;
        }
    }

    /// Adds the changes to the chances of the answers for the set at `place`.
    pub(super) fn add_at(&self, place: usize, row: &mut [f64]) {
        if let Ok(at) = self.places.binary_search(&place) {
            let changes = self.changes.iter().skip(at * self.answers);
            for (slot, change) in row.iter_mut().zip(changes) {
                *slot += change;
            }
        }
    }
}
