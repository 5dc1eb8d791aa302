//! Whether the answers fit together: how likely they are beside visits drawn from the book.

use super::finding::Fits;
use crate::reason::{Belief, Engine, Evidence, Seen, draw};
use crate::rulebook::index::{CauseAt, List, SymptomAt};

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
    let anew = evidence.second.iter();
    let mut told: Vec<(usize, SymptomAt)> =
        anew.flat_map(|look| look.told.iter().map(|(s, _)| (look.after, *s))).collect();
    told.splice(0..0, asked.iter().map(|s| (0, *s)));
    if told.is_empty() {
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
    let mut worst: Vec<(f64, SymptomAt)> = told
        .into_iter()
        .filter_map(|(time, symptom)| {
            let without = Belief::new(engine, &evidence.without(time, symptom))?.log_evidence();
            Some(((actual - without).exp(), symptom))
        })
        .filter(|(chance, _)| *chance < UNLIKELY)
        .collect();
    worst.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    // One symptom may fit badly at several looks.
    let mut named: Vec<SymptomAt> = Vec::new();
    for (_, symptom) in worst {
        if !named.contains(&symptom) {
            named.push(symptom);
        }
    }
    named.truncate(MOST_WORST);
    Some(Fits { percentile: 100.0 * f64::from(as_unlikely) / f64::from(DRAWS), worst: named })
}

/// The same questions answered by a conveyor drawn from the book.
fn drawn(
    engine: &Engine<'_>,
    evidence: &Evidence,
    asked: &[SymptomAt],
    rng: &mut fastrand::Rng,
) -> Evidence {
    let present = draw::causes(engine, &evidence.priors(engine.network()), rng);
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
    if !visit.second.is_empty() {
        SeeingAnew::new(engine, &present, hidden, &visit, rng).all(&mut visit, rng);
    }
    visit
}

/// What is seen anew on a drawn conveyor after each batch.
struct SeeingAnew<'d> {
    engine: &'d Engine<'d>,
    present: &'d [CauseAt],
    /// The batch that cures each of those present; a number that no batch has if none does.
    cured_in: Vec<usize>,
    /// What is so, told or not.
    hidden: List<SymptomAt, Option<usize>>,
    /// After how many batches that was told, or first mattered.
    since: List<SymptomAt, usize>,
}

impl<'d> SeeingAnew<'d> {
    fn new(
        engine: &'d Engine<'d>,
        present: &'d [CauseAt],
        hidden: List<SymptomAt, Option<usize>>,
        visit: &Evidence,
        rng: &mut fastrand::Rng,
    ) -> Self {
        let cured_in = present.iter().map(|&c| visit.work.cured_in(c, rng.f64())).collect();
        let since = hidden.map(|_| 0);
        Self { engine, present, cured_in, hidden, since }
    }

    /// Puts what is seen into the looks of the visit.
    fn all(mut self, visit: &mut Evidence, rng: &mut fastrand::Rng) {
        let looks = visit.second.clone();
        for (number, look) in looks.iter().enumerate() {
            let told: Vec<SymptomAt> = look.told.iter().map(|(symptom, _)| *symptom).collect();
            let nodes = &self.engine.network().nodes;
            let parents = told.iter().flat_map(|symptom| nodes[*symptom].parents());
            let parents: Vec<SymptomAt> = parents.collect();
            // Parents before relatives.
            for &symptom in parents.iter().filter(|p| !told.contains(p)) {
                if visit.seen_at(look.after, symptom) == Seen::Open
                    && self.hidden[symptom].is_none()
                {
                    self.draw(visit, look.after, symptom, rng);
                }
            }
            let (first, then): (Vec<SymptomAt>, Vec<SymptomAt>) =
                told.into_iter().partition(|symptom| parents.contains(symptom));
            let mut seen: Vec<(SymptomAt, usize)> = Vec::new();
            for symptom in first.into_iter().chain(then) {
                seen.push((symptom, self.look(visit, look.after, symptom, rng)));
            }
            seen.sort_unstable();
            if let Some(slot) = visit.second.get_mut(number) {
                slot.told = seen;
            }
        }
    }

    /// The answer of a look: mostly the earlier one while the symptom's causes are the same, and the very same
    /// if that was never told.
    fn look(
        &mut self,
        visit: &Evidence,
        after: usize,
        symptom: SymptomAt,
        rng: &mut fastrand::Rng,
    ) -> usize {
        let told = visit.before(after, symptom).is_some();
        if let Some(before) = self.hidden[symptom]
            && self.unchanged(symptom, self.since[symptom], after)
            && (!told || rng.f64() < visit.same_again)
        {
            self.since[symptom] = after;
            return before;
        }
        self.draw(visit, after, symptom, rng)
    }

    /// Draws what is so by what is left.
    fn draw(
        &mut self,
        visit: &Evidence,
        after: usize,
        symptom: SymptomAt,
        rng: &mut fastrand::Rng,
    ) -> usize {
        let left = self.present.iter().zip(&self.cured_in).filter(|(_, batch)| **batch >= after);
        let left: Vec<CauseAt> = left.map(|(cause, _)| *cause).collect();
        let parent = |p| match visit.seen_at(after, p) {
            Seen::Absent => None,
            Seen::Open | Seen::Answered(_) => self.hidden[p],
        };
        let answer = draw::answer_by(self.engine, symptom, &left, parent, rng);
        self.hidden[symptom] = Some(answer);
        self.since[symptom] = after;
        answer
    }

    /// Whether of a symptom's causes the same were there at both times.
    fn unchanged(&self, symptom: SymptomAt, from: usize, to: usize) -> bool {
        let linked = self.engine.network().nodes[symptom].linked();
        let mut cured = self.present.iter().zip(&self.cured_in);
        !cured.any(|(cause, batch)| (from..to).contains(batch) && linked.contains(cause))
    }
}
