//! What was worked out about relative symptoms, kept while the same is known of all that it depends on.
//!
//! None of it depends on the belief, so from one answer of a visit to the next nearly all of it stays.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Arc, Mutex, PoisonError};

use super::cluster::Cluster;
use super::evidence::{Evidence, Seen};
use super::tables::NetworkTables;
use crate::rulebook::index::{CauseAt, SymptomAt};

/// What a thing that is kept depends on: what is asked, and what is known of the relative symptoms that
/// take part and of their parents.
#[derive(Debug, PartialEq, Eq, Hash)]
pub(super) struct Key {
    asked: Option<SymptomAt>,
    known: Vec<(SymptomAt, Seen)>,
}

impl Key {
    /// For what is worked out from a cluster.
    pub(super) fn new(
        asked: Option<SymptomAt>,
        cluster: &Cluster<'_>,
        evidence: &Evidence,
        tables: &NetworkTables<'_>,
    ) -> Self {
        let mut known = Vec::new();
        for child in cluster.children() {
            // Its own answer does not matter to the one that is asked.
            let seen = evidence.symptoms[child];
            known.push((child, if asked == Some(child) { Seen::Open } else { seen }));
            let parents = tables.parents(child).iter();
            known.extend(parents.map(|&parent| (parent, evidence.symptoms[parent])));
        }
        Self { asked, known }
    }

    /// For a relative symptom without open parents.
    pub(super) fn alone(
        symptom: SymptomAt,
        evidence: &Evidence,
        tables: &NetworkTables<'_>,
    ) -> Self {
        let parents = tables.parents(symptom).iter();
        Self {
            asked: Some(symptom),
            known: parents.map(|&parent| (parent, evidence.symptoms[parent])).collect(),
        }
    }
}

/// When something was told, and what.
type Told = (usize, usize);

/// What the chances of looks that hang together over time depend on while nothing is cured.
#[derive(Debug, PartialEq, Eq, Hash)]
pub(super) struct UncuredKey {
    pub(super) scope: Vec<CauseAt>,
    pub(super) same_again: u64,
    pub(super) looks: Vec<(SymptomAt, usize, Option<Told>)>,
    /// What is known of their parents at each look, and what was told of them later.
    pub(super) parents: Vec<Seen>,
    pub(super) told: Vec<Option<Told>>,
}

/// Things of one kind, at most so many of them.
#[derive(Debug)]
pub(super) struct Cache<T, K = Key> {
    most: usize,
    things: Mutex<HashMap<K, Arc<T>>>,
}

impl<T, K: Eq + Hash> Cache<T, K> {
    pub(super) fn new(most: usize) -> Self {
        Self { most, things: Mutex::default() }
    }

    /// The thing for this key, made if it is not there.
    pub(super) fn get(&self, key: K, make: impl FnOnce() -> T) -> Arc<T> {
        let lock = || self.things.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(thing) = lock().get(&key) {
            return Arc::clone(thing);
        }
        let thing = Arc::new(make());
        let mut things = lock();
        if things.len() >= self.most {
            things.clear();
        }
        things.insert(key, Arc::clone(&thing));
        thing
    }
}
