//! Drawing from the network: causes present by their priors, answers by what the causes present say.
//! The draws come from whoever asks, so that the same seed gives the same visit.

use fastrand::Rng;

use super::engine::Engine;
use crate::rulebook::index::{CauseAt, List, SymptomAt};

/// Sets of causes are drawn again until one is within the limits; a book always has one soon.
const MOST_TRIES: u32 = 10_000;

/// The causes present at one conveyor, in book order, by how likely each is there; 0 where one does not apply.
pub fn causes(engine: &Engine<'_>, priors: &List<CauseAt, f64>, draw: &mut Rng) -> Vec<CauseAt> {
    let limits = engine.present();
    for _ in 0..MOST_TRIES {
        let present: Vec<CauseAt> = priors
            .iter()
            .filter(|(_, prior)| **prior > 0.0 && draw.f64() < **prior)
            .map(|(c, _)| c)
            .collect();
        if (limits.min..=limits.max).contains(&present.len()) {
            return present;
        }
    }
    let apply = priors.places().filter(|c| priors[*c] > 0.0);
    apply.take(limits.min).collect()
}

/// The answer to a question when these causes are present. `hidden` holds the answers drawn before; a
/// parent without one gives no voice.
pub fn answer(
    engine: &Engine<'_>,
    symptom: SymptomAt,
    present: &[CauseAt],
    hidden: &List<SymptomAt, Option<usize>>,
    draw: &mut Rng,
) -> usize {
    answer_by(engine, symptom, present, |parent| hidden[parent], draw)
}

/// The same where `parent` says which answer of a parent picks the row of a relative voice.
pub fn answer_by(
    engine: &Engine<'_>,
    symptom: SymptomAt,
    present: &[CauseAt],
    parent: impl Fn(SymptomAt) -> Option<usize>,
    draw: &mut Rng,
) -> usize {
    pick(&engine.row(symptom, present, parent), draw)
}

/// Where a draw falls in a row of chances.
fn pick(row: &[f64], draw: &mut Rng) -> usize {
    let mut left = draw.f64();
    let falls_here = |chance: &f64| {
        left -= chance;
        left < 0.0
    };
    let last = row.len().saturating_sub(1);
    row.iter().position(falls_here).unwrap_or(last)
}
