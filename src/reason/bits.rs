//! What a question could tell: chances of its answers, and bits about the set of causes present.

use super::belief::Belief;
use super::cluster::{Asked, Cluster, Scratch};
use super::engine::{Engine, Table, entropy, positions};
use super::evidence::{Evidence, Seen};
use super::subsets::Subsets;
use crate::rulebook::index::SymptomAt;

/// What asking a symptom's question is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Chance of each answer.
    pub chances: Vec<f64>,
    /// I(S; answer | evidence), in bits.
    pub bits: f64,
}

impl Worth {
    /// The worth of a question that was not answered. Open relatives and parents are taken jointly with
    /// what was answered.
    pub fn of(
        engine: &Engine<'_>,
        evidence: &Evidence,
        belief: &Belief,
        symptom: SymptomAt,
    ) -> Self {
        let cluster = Cluster::all(engine, evidence, Some(symptom))
            .into_iter()
            .next();
        match cluster {
            None if engine.parents(symptom).is_empty() => {
                Self::plain(belief, engine.table(symptom))
            }
            None => {
                let node = &engine.network().nodes[symptom];
                let table = Table::of(node, engine.present().max, |p| match evidence.symptoms[p] {
                    Seen::Answered(a) => Some(a),
                    _ => None,
                });
                Self::plain(belief, &table)
            }
            Some(cluster) => match cluster.asking(symptom) {
                Asked::Parent(at) => {
                    Self::parent(engine, belief, symptom, &cluster, Asked::Parent(at))
                }
                asked => Self::relative(engine, belief, &cluster, asked),
            },
        }
    }

    fn plain(belief: &Belief, table: &Table) -> Self {
        let chances = belief.intersections(&table.scope);
        let mut sum = Sum::new(table.answers());
        for ((chance, row), entropy) in chances.iter().zip(table.rows()).zip(table.entropies()) {
            sum.add(*chance, row, *entropy);
        }
        sum.worth()
    }

    /// An open parent of an answered relative symptom: only sets with a cause whose voice hangs on this
    /// parent differ from the plain question.
    fn parent(
        engine: &Engine<'_>,
        belief: &Belief,
        symptom: SymptomAt,
        cluster: &Cluster<'_>,
        asked: Asked,
    ) -> Self {
        let table = engine.table(symptom);
        let mut sum = Sum::new(table.answers());
        let plain = belief.intersections(&table.scope);
        for ((chance, row), entropy) in plain.iter().zip(table.rows()).zip(table.entropies()) {
            sum.add(*chance, row, *entropy);
        }
        let tied = belief.tied();
        let in_cluster = positions(tied, &cluster.scope);
        let in_table = positions(tied, &table.scope);
        let hangs: Vec<bool> = in_cluster
            .iter()
            .map(|at| at.is_some_and(|position| cluster.hangs_on(asked, position)))
            .collect();
        let mut scratch = Scratch::default();
        let (mut members, mut local) = (Vec::new(), Vec::new());
        let mut row = vec![0.0; cluster.width(asked)];
        belief.for_each_tied(|set, chance| {
            if chance <= 0.0 || !set.iter().any(|&m| hangs.get(m).copied().unwrap_or(false)) {
                return;
            }
            let here = |position: &[Option<usize>], out: &mut Vec<usize>| {
                out.clear();
                out.extend(
                    set.iter()
                        .filter_map(|&m| position.get(m).copied().flatten()),
                );
            };
            here(&in_cluster, &mut members);
            cluster.evaluate(&members, asked, &mut scratch, &mut row);
            normalise(&mut row);
            here(&in_table, &mut local);
            let place = table.subsets.place(&local);
            sum.add(
                -chance,
                table.row(place),
                table.entropies().get(place).copied().unwrap_or(0.0),
            );
            sum.add(chance, &row, entropy(&row));
        });
        sum.worth()
    }

    /// A relative symptom with open parents.
    fn relative(engine: &Engine<'_>, belief: &Belief, cluster: &Cluster<'_>, asked: Asked) -> Self {
        let chances = belief.intersections(&cluster.scope);
        let layout = Subsets::new(cluster.scope.len(), engine.present().max);
        let mut row = vec![0.0; cluster.width(asked)];
        let mut sum = Sum::new(row.len());
        let mut scratch = Scratch::default();
        layout.for_each(|members, place| {
            let chance = chances.get(place).copied().unwrap_or(0.0);
            if chance > 0.0 {
                cluster.evaluate(members, asked, &mut scratch, &mut row);
                normalise(&mut row);
                sum.add(chance, &row, entropy(&row));
            }
        });
        sum.worth()
    }
}

/// Gathers the mean row and the mean entropy.
struct Sum {
    row: Vec<f64>,
    entropy: f64,
}

impl Sum {
    fn new(answers: usize) -> Self {
        Self {
            row: vec![0.0; answers],
            entropy: 0.0,
        }
    }

    #[inline]
    fn add(&mut self, chance: f64, row: &[f64], entropy: f64) {
        for (slot, p) in self.row.iter_mut().zip(row) {
            *slot += chance * p;
        }
        self.entropy += chance * entropy;
    }

    fn worth(mut self) -> Worth {
        self.row.iter_mut().for_each(|p| *p = p.max(0.0));
        let bits = (entropy(&self.row) - self.entropy).max(0.0);
        Worth {
            chances: self.row,
            bits,
        }
    }
}

fn normalise(row: &mut [f64]) {
    let total: f64 = row.iter().sum();
    if total > 0.0 {
        row.iter_mut().for_each(|p| *p /= total);
    }
}
