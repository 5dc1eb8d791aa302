//! The likelihood of the evidence: what can be folded into the causes' odds, and the factors that cannot.

use std::sync::Arc;

use super::cluster::Cluster;
use super::engine::Engine;
use super::evidence::{Evidence, Seen};
use super::over_time::Together;
use super::sorted::{positions, union};
use super::subsets::Subsets;
use super::table::{LikelihoodTable, ticked_marks};
use crate::rulebook::index::{CauseAt, List, SymptomAt, sure};
use crate::rulebook::network::{Kind, is_ticked};

/// The likelihood, taken apart.
pub(super) struct FactoredLikelihood {
    /// Odds of each cause with all that is a product over the causes; 0 for a cause that does not apply.
    pub(super) odds: List<CauseAt, f64>,
    /// What is not.
    pub(super) factors: Vec<Factor>,
    /// Logarithm of what depends on no cause.
    pub(super) log: f64,
}

/// One factor of the likelihood: a value for every subset of its scope.
pub(super) enum Factor {
    /// The chance of one answer in a table.
    Answer(Arc<LikelihoodTable>, usize),
    /// The chance of the answers to symptoms that hang together.
    Joint(Vec<CauseAt>, Arc<Vec<f64>>),
    /// The mean of a group.
    Group(Vec<CauseAt>, Vec<f64>),
    /// The marks that are ticked; those that are not are folded.
    Ticked(Vec<CauseAt>, Vec<f64>),
}

impl Factor {
    /// The causes that matter to it, sorted.
    pub(super) fn scope(&self) -> &[CauseAt] {
        match self {
            Self::Answer(table, _) => &table.scope,
            Self::Joint(scope, _) | Self::Group(scope, _) | Self::Ticked(scope, _) => scope,
        }
    }

    /// The values, in order of place.
    pub(super) fn values(&self) -> &[f64] {
        match self {
            Self::Answer(table, answer) => table.column(*answer),
            Self::Joint(_, values) => values,
            Self::Group(_, values) | Self::Ticked(_, values) => values,
        }
    }
}

impl FactoredLikelihood {
    /// Takes the evidence apart, what came of the work left out. `odds` are those before any evidence.
    pub(super) fn new(engine: &Engine<'_>, evidence: &Evidence, odds: List<CauseAt, f64>) -> Self {
        let mut likelihood = Self { odds, factors: Vec::new(), log: 0.0 };
        for found in &evidence.work.found {
            likelihood.odds[found.cause] *= found.if_present / found.if_absent;
            likelihood.log += found.if_absent.ln();
        }
        // What hangs together over time is not a matter of the start alone.
        let mut over_time = Vec::new();
        if !evidence.second.is_empty() {
            over_time = Together::all(engine.tables(), evidence);
            over_time.retain(|group| group.over_time(evidence));
        }
        let over_time = |s: SymptomAt| over_time.iter().any(|t| t.looks.contains(&(s, 0)));
        for cluster in Cluster::all(engine.tables(), evidence) {
            if cluster.children().any(over_time) {
                continue;
            }
            let factor = match cluster.only_child() {
                Some((child, answer)) => {
                    Factor::Answer(engine.relative_table(evidence, child), answer)
                }
                None => {
                    let values = engine.joint(evidence, &cluster);
                    Factor::Joint(cluster.scope, values)
                }
            };
            likelihood.factors.push(factor);
        }
        let in_cluster = |s: SymptomAt| {
            let mut parents = engine.tables().parents(s).iter();
            parents.any(|&p| evidence.symptoms[p] == Seen::Open)
        };
        for counted in evidence.counted() {
            match *counted.as_slice() {
                [(symptom, _)] if in_cluster(symptom) => {}
                [(symptom, answer)] => {
                    if !likelihood.fold(engine, symptom, answer) {
                        likelihood.factors.push(single(engine, evidence, symptom, answer));
                    }
                }
                ref group => likelihood.factors.push(geometric_mean(engine, evidence, group)),
            }
        }
        likelihood
    }

    /// Folds an answer that is a product over causes into the odds, of marks the part that is one; false when
    /// none of it is.
    fn fold(&mut self, engine: &Engine<'_>, symptom: SymptomAt, answer: usize) -> bool {
        match &engine.network().nodes[symptom].kind {
            Kind::Sign { leak, links } if answer == 0 => {
                self.log += (1.0 - leak).ln();
                for (cause, link) in links {
                    self.odds[*cause] *= 1.0 - link;
                }
                true
            }
            Kind::Grade { base, rows } if answer == 0 => {
                self.log += sure(base, 0).ln();
                for (cause, row) in rows {
                    self.odds[*cause] *= sure(row, 0);
                }
                true
            }
            Kind::Marks { leaks, links } => {
                for mark in (0..leaks.len()).filter(|mark| !is_ticked(answer, *mark)) {
                    self.log += (1.0 - sure(leaks, mark)).ln();
                    for (cause, link) in links {
                        self.odds[*cause] *= 1.0 - sure(link, mark);
                    }
                }
                let node = &engine.network().nodes[symptom];
                let ticked = ticked_marks(node, answer, engine.present().max);
                self.factors.extend(ticked.map(|(scope, values)| Factor::Ticked(scope, values)));
                true
            }
            _ => false,
        }
    }
}

fn single(engine: &Engine<'_>, evidence: &Evidence, symptom: SymptomAt, answer: usize) -> Factor {
    let table = if engine.tables().parents(symptom).is_empty() {
        Arc::clone(engine.tables().table(symptom))
    } else {
        engine.relative_table(evidence, symptom)
    };
    Factor::Answer(table, answer)
}

fn geometric_mean(
    engine: &Engine<'_>,
    evidence: &Evidence,
    group: &[(SymptomAt, usize)],
) -> Factor {
    let members = group.iter().map(|&(s, a)| single(engine, evidence, s, a));
    let members: Vec<Factor> = members.collect();
    let scope = union(members.iter().map(|f| f.scope().iter().copied()));
    let max = engine.present().max;
    let layout = Subsets::new(scope.len(), max);
    let mut values = vec![1.0; layout.len()];
    #[expect(clippy::cast_precision_loss, reason = "a group has a handful of members")]
    let share = 1.0 / group.len() as f64;
    for factor in members {
        let inner = Subsets::new(factor.scope().len(), max);
        let roots: Vec<f64> = factor.values().iter().map(|value| value.powf(share)).collect();
        let position = positions(&scope, factor.scope());
        layout.multiply(&mut values, &inner, &position, &roots);
    }
    Factor::Group(scope, values)
}
