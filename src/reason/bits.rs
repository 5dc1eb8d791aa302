//! What a question could tell: chances of its answers, and bits about the set of causes present.

use super::asked_now::{LeftNow, table_now};
use super::belief::Belief;
use super::engine::Engine;
use super::evidence::Evidence;
use super::table::entropy;
use crate::rulebook::index::{CauseAt, List, SymptomAt, sure};

/// What asking a symptom's question is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Worth {
    /// Chance of each answer.
    pub chances: Vec<f64>,
    /// I(S; answer | evidence), in bits.
    pub bits: f64,
}

impl Worth {
    /// The bits of a question are at most so many: an answer tells no more of the causes than there is to be
    /// known of those it hangs on. `marginals` are their chances to be there by then. No bound (infinite) where a question
    /// hangs together with others.
    pub fn at_most(engine: &Engine<'_>, marginals: &List<CauseAt, f64>, symptom: SymptomAt) -> f64 {
        if engine.hangs_together(symptom) {
            return f64::INFINITY;
        }
        let linked = engine.network().nodes[symptom].linked();
        let unknown = linked.into_iter().map(|cause| {
            let chance = marginals[cause].clamp(0.0, 1.0);
            entropy(&[chance, 1.0 - chance])
        });
        // A little more, for the digits that are lost.
        unknown.sum::<f64>() + 1e-9
    }

    /// The worth of a question that was not answered. Open relatives and parents are taken jointly with
    /// what was answered.
    pub fn new(
        engine: &Engine<'_>,
        evidence: &Evidence,
        belief: &Belief,
        symptom: SymptomAt,
    ) -> Self {
        Self::looked_at(engine, evidence, &mut Looked::at(belief), symptom)
    }

    /// The same where several questions are looked at after the same evidence.
    pub fn looked_at(
        engine: &Engine<'_>,
        evidence: &Evidence,
        belief: &mut Looked<'_>,
        symptom: SymptomAt,
    ) -> Self {
        if evidence.now() > 0 {
            return Self::asked_now(engine, evidence, belief, symptom);
        }
        let question = engine.question(evidence, symptom);
        let table = &question.table;
        let chances = belief.intersections(&table.scope);
        let columns = table.columns();
        let mut row: Vec<f64> = columns.map(|column| dot(chances, column)).collect();
        let mut mean_entropy = dot(chances, table.entropies());
        if let Some(parent) = &question.parent {
            let chances = belief.intersections(&parent.scope);
            parent.add(chances, &mut row, &mut mean_entropy);
        }
        Self::from_row(row, mean_entropy)
    }

    /// The same after work: the answer speaks of what is left, or of the past.
    fn asked_now(
        engine: &Engine<'_>,
        evidence: &Evidence,
        belief: &mut Looked<'_>,
        symptom: SymptomAt,
    ) -> Self {
        let Some(table) = table_now(engine, evidence, symptom) else {
            let (left, _) = belief.left_now(engine, evidence);
            let (row, mean_entropy) = left.answers(engine, evidence, symptom);
            return Self::from_row(row, mean_entropy);
        };
        let chances = if evidence.asked_at(symptom) == 0 {
            belief.intersections(&table.scope)
        } else {
            let (left, known) = belief.left_now(engine, evidence);
            intersections(&left.belief, known, &table.scope)
        };
        let row = table.columns().map(|column| dot(chances, column)).collect();
        Self::from_row(row, dot(chances, table.entropies()))
    }

    fn from_row(mut row: Vec<f64>, mean_entropy: f64) -> Self {
        row.iter_mut().for_each(|p| *p = p.max(0.0));
        Self { bits: (entropy(&row) - mean_entropy).max(0.0), chances: row }
    }
}

/// A belief looked at for one question after the other. Questions that nearly all causes speak in hang on
/// the same causes, and what the belief says of those is worked out once.
#[derive(Debug)]
pub struct Looked<'b> {
    belief: &'b Belief,
    known: Known,
    /// The same of what is left now, after work.
    left: Option<Box<(LeftNow, Known)>>,
}

/// Chances of the sets within a scope, by scope.
type Known = Vec<(Vec<CauseAt>, Vec<f64>)>;

impl<'b> Looked<'b> {
    /// Nothing of it looked at yet.
    pub fn at(belief: &'b Belief) -> Self {
        Self { belief, known: Vec::new(), left: None }
    }

    fn intersections(&mut self, scope: &[CauseAt]) -> &[f64] {
        intersections(self.belief, &mut self.known, scope)
    }

    /// The chance of each cause to be there now, as far as questions asked now are concerned.
    pub fn marginals_now(
        &mut self,
        engine: &Engine<'_>,
        evidence: &Evidence,
    ) -> List<CauseAt, f64> {
        if evidence.now() == 0 {
            return self.belief.marginals();
        }
        self.left_now(engine, evidence).0.belief.marginals()
    }

    fn left_now(&mut self, engine: &Engine<'_>, evidence: &Evidence) -> &mut (LeftNow, Known) {
        let belief = self.belief;
        self.left
            .get_or_insert_with(|| Box::new((LeftNow::new(engine, evidence, belief), Known::new())))
    }
}

fn intersections<'k>(belief: &Belief, known: &'k mut Known, scope: &[CauseAt]) -> &'k [f64] {
    let at = match known.iter().position(|(known, _)| *known == *scope) {
        Some(at) => at,
        None => {
            known.push((scope.to_vec(), belief.intersections(scope)));
            known.len() - 1
        }
    };
    let (_, chances) = sure(known, at);
    chances
}

/// Sum of products, in four strands that the processor can run side by side.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a, a_rest) = a.as_chunks::<4>();
    let (b, b_rest) = b.as_chunks::<4>();
    let mut strands = [0.0; 4];
    for (a, b) in a.iter().zip(b) {
        for ((strand, a), b) in strands.iter_mut().zip(a).zip(b) {
            *strand += a * b;
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    strands.iter().sum::<f64>() + rest
}
