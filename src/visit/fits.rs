//! Whether the answers fit together: how likely they are beside visits drawn from the book.

use super::finding::Fits;
use crate::reason::{Belief, Engine, Evidence, Seen, draw};
use crate::rulebook::index::{List, SymptomAt};

/// Visits drawn. Enough to tell 1 per cent from 5.
const DRAWS: u32 = 300;
/// The draws are the same each time, so that the same answers give the same finding.
const SEED: u64 = 0x0051_7a1e_b017;
/// An answer less likely than this, given the others, is named among those that fit worst.
const UNLIKELY: f64 = 0.15;
/// At most so many are named.
const MOST_WORST: usize = 3;

/// How the answers in `evidence` fit; nothing when no cause applies.
pub(super) fn against_drawn_visits(engine: &Engine<'_>, evidence: &Evidence) -> Option<Fits> {
    let actual = Belief::new(engine, evidence)?.log_evidence();
    let asked: Vec<SymptomAt> = evidence.counted().into_iter().flatten().map(|(s, _)| s).collect();
    if asked.is_empty() {
        return Some(Fits { percentile: 100.0, worst: Vec::new() });
    }
    let mut rng = fastrand::Rng::with_seed(SEED);
    let mut as_unlikely = 0_u32;
    for _ in 0..DRAWS {
        let visit = drawn(engine, evidence, &asked, &mut rng);
        let drawn = Belief::new(engine, &visit).map_or(f64::NEG_INFINITY, |b| b.log_evidence());
        if drawn <= actual + 1e-12 {
            as_unlikely += 1;
        }
    }
    let mut worst: Vec<(f64, SymptomAt)> = asked
        .iter()
        .filter_map(|&symptom| {
            let without = Belief::new(engine, &evidence.with(symptom, Seen::Open))?.log_evidence();
            Some(((actual - without).exp(), symptom))
        })
        .filter(|(chance, _)| *chance < UNLIKELY)
        .collect();
    worst.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    worst.truncate(MOST_WORST);
    Some(Fits {
        percentile: 100.0 * f64::from(as_unlikely) / f64::from(DRAWS),
        worst: worst.into_iter().map(|(_, s)| s).collect(),
    })
}

/// The same questions answered by a conveyor drawn from the book.
fn drawn(
    engine: &Engine<'_>,
    evidence: &Evidence,
    asked: &[SymptomAt],
    rng: &mut fastrand::Rng,
) -> Evidence {
    let present = draw::causes(engine, &evidence.causes, rng);
    // Parents before relatives; open parents are drawn too, but stay unanswered.
    let mut hidden: List<SymptomAt, Option<usize>> = List::filled(None, evidence.symptoms.len());
    let parents = asked.iter().flat_map(|&s| engine.network().nodes[s].parents());
    let first: Vec<SymptomAt> = parents.filter(|&p| evidence.symptoms[p] != Seen::Absent).collect();
    let mut visit = evidence.clone();
    for &symptom in first.iter().chain(asked) {
        if hidden[symptom].is_none() {
            hidden[symptom] = Some(draw::answer(engine, symptom, &present, &hidden, rng));
        }
        if let (Seen::Answered(_), Some(answer)) = (evidence.symptoms[symptom], hidden[symptom]) {
            visit.symptoms[symptom] = Seen::Answered(answer);
        }
    }
    visit
}
