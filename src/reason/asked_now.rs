//! Questions asked after some work: their answers speak of what is left now.

use std::sync::Arc;

use super::belief::Belief;
use super::cure_splits::CureSplits;
use super::engine::Engine;
use super::evidence::{Evidence, Seen};
use super::history::History;
use super::second_looks::SecondLooks;
use super::subsets::Subsets;
use super::table::{LikelihoodTable, entropy, normalise};
use crate::rulebook::index::{CauseAt, SymptomAt, sure, sure_mut};

/// One question, for sets of some causes.
pub(super) struct AskedNow<'e> {
    scope: Vec<CauseAt>,
    splits: CureSplits<'e>,
    /// Of which time its answer is.
    time: usize,
    answers: usize,
    /// How often each answer is given.
    given: Given<'e>,
    /// Room to work in.
    members: Vec<usize>,
    place: Vec<usize>,
}

/// By what the answers are given.
enum Given<'e> {
    /// By what is there at that time alone.
    Left(Arc<LikelihoodTable>),
    /// By what was answered before as well.
    Before(After<'e>),
}

/// For each answer all that hangs on it, as if it had been given.
struct After<'e>(Vec<SecondLooks<'e>>);

impl<'e> AskedNow<'e> {
    pub(super) fn new(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        symptom: SymptomAt,
        scope: Vec<CauseAt>,
    ) -> Self {
        let time = evidence.asked_at(symptom);
        let answers = engine.network().nodes[symptom].answers;
        let given = match table_now(engine, evidence, symptom) {
            Some(table) => Given::Left(table),
            None => Given::Before(After::each(engine, evidence, symptom, &scope)),
        };
        let splits = CureSplits::new(engine, evidence, &scope);
        let (members, place) = (Vec::new(), Vec::new());
        Self { splits, time, answers, given, scope, members, place }
    }

    /// How many answers there are.
    pub(super) fn answers(&self) -> usize {
        self.answers
    }

    /// The chance of each answer if these causes were present and just those of them are left.
    pub(super) fn row_of(&mut self, present: &[CauseAt], left: &[CauseAt], out: &mut [f64]) {
        let Self { scope, splits, time, given, members, place, .. } = self;
        let at = |table: &LikelihoodTable,
                  there: &mut dyn Iterator<Item = CauseAt>,
                  place: &mut Vec<usize>| {
            place.clear();
            place.extend(there.filter_map(|c| table.scope.binary_search(&c).ok()));
            table.subsets.place(place)
        };
        // Where it is one of the start or of the end, no matter how that came about.
        let known = match *time {
            0 => Some(present),
            end if end == splits.batches() => Some(left),
            _ => None,
        };
        if let (Given::Left(table), Some(known)) = (&*given, known) {
            let at = at(table, &mut known.iter().copied(), place);
            let slots = out.iter_mut().enumerate();
            slots.for_each(|(answer, slot)| *slot = table.chance(at, answer));
            return;
        }
        members.clear();
        members.extend(present.iter().filter_map(|c| scope.binary_search(c).ok()));
        out.fill(0.0);
        let mut row = vec![0.0; out.len()];
        let end = splits.batches();
        splits.histories(members, |history, weight| {
            let there = |time| history.left(time).filter_map(|m| scope.get(m)).copied();
            if weight <= 0.0 || !there(end).eq(left.iter().copied()) {
                return;
            }
            match given {
                Given::Before(after) => after.row(history, &mut row),
                Given::Left(table) => {
                    let at = at(table, &mut there(*time), place);
                    let slots = row.iter_mut().enumerate();
                    slots.for_each(|(answer, slot)| *slot = table.chance(at, answer));
                }
            }
            out.iter_mut().zip(&row).for_each(|(slot, p)| *slot += weight * p);
        });
        normalise(out);
    }
}

impl<'e> After<'e> {
    fn each(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        symptom: SymptomAt,
        scope: &[CauseAt],
    ) -> Self {
        let after =
            |answer| SecondLooks::about(engine, &evidence.told(symptom, answer), scope, symptom);
        Self((0..engine.network().nodes[symptom].answers).map(after).collect())
    }

    /// The chance of each answer given the whole way in which the work went.
    fn row(&mut self, history: &History<'_>, out: &mut [f64]) {
        for (slot, after) in out.iter_mut().zip(&mut self.0) {
            *slot = after.chance(history) * after.log().exp();
        }
        normalise(out);
    }
}

/// The table by which a question is answered now, if nothing matters to it but what is there at the time that
/// its answer is of.
pub(super) fn table_now(
    engine: &Engine<'_>,
    evidence: &Evidence,
    symptom: SymptomAt,
) -> Option<Arc<LikelihoodTable>> {
    let tables = engine.tables();
    let now = evidence.now();
    let looked_at = |child: SymptomAt| {
        evidence.before(now + 1, child).is_some() && {
            let parents = tables.parents(child);
            let open = |p: &SymptomAt| {
                let mut times = std::iter::once(0).chain(evidence.second.iter().map(|l| l.after));
                times.any(|time| evidence.seen_at(time, *p) == Seen::Open)
            };
            parents.contains(&symptom)
                || parents.iter().any(|p| tables.parents(symptom).contains(p) && open(p))
        }
    };
    let before = evidence.before(now + 1, symptom).is_some();
    // What is asked of the start while a parent was open that was told since.
    let time = evidence.asked_at(symptom);
    let told_since = |p: &SymptomAt| {
        evidence.seen_at(time, *p) == Seen::Open && evidence.before(now + 1, *p).is_some()
    };
    let told_since = tables.parents(symptom).iter().any(told_since);
    let alone = !before && !told_since && !tables.relatives().iter().any(|child| looked_at(*child));
    alone.then(|| engine.table_at(evidence, time, symptom))
}

/// The belief in what is left now, and the ways in which it may have come about.
#[derive(Debug)]
pub(super) struct LeftNow {
    /// The sets that may be left.
    pub(super) belief: Belief,
    scope: Vec<CauseAt>,
    /// One way after another: how many were present, then each of them and the batch that cured it.
    ways: Vec<usize>,
    chances: Vec<f64>,
}

impl LeftNow {
    pub(super) fn new(engine: &Engine<'_>, evidence: &Evidence, belief: &Belief) -> Self {
        let scope = belief.possible();
        let chances = belief.exactly(&scope);
        let now = evidence.now();
        let mut splits = CureSplits::new(engine, evidence, &scope);
        let layout = Subsets::new(scope.len(), belief.most());
        let mut weights = vec![0.0; layout.len()];
        let (mut ways, mut of_ways) = (Vec::new(), Vec::new());
        let mut left = Vec::new();
        layout.for_each(|members, at| {
            let chance = *sure(&chances, at);
            if chance <= 0.0 {
                return;
            }
            let first = of_ways.len();
            splits.histories(members, |history, weight| {
                if weight <= 0.0 {
                    return;
                }
                ways.push(history.members.len());
                ways.extend(history.members);
                ways.extend(history.cured_in);
                of_ways.push(weight);
            });
            let these = of_ways.iter_mut().skip(first);
            let total: f64 = these.map(|w| *w).sum();
            of_ways.iter_mut().skip(first).for_each(|w| *w *= chance / total);
        });
        if belief.something_else() > 0.0 {
            // Nothing was there to be cured, and nothing answers now but what answered then.
            ways.push(0);
            of_ways.push(belief.something_else());
        }
        let list = Self { belief: belief.clone(), scope: scope.clone(), ways, chances: of_ways };
        list.each(|history, chance| {
            left.clear();
            left.extend(history.left(now));
            *sure_mut(&mut weights, layout.place(&left)) += chance;
        });
        let causes = evidence.causes.len();
        Self { belief: Belief::over(scope, belief.most(), weights, causes), ..list }
    }

    fn each(&self, mut each: impl FnMut(&History<'_>, f64)) {
        let mut rest = self.ways.as_slice();
        for chance in &self.chances {
            let Some((&len, after)) = rest.split_first() else { return };
            let (members, after) = after.split_at(len.min(after.len()));
            let (cured_in, after) = after.split_at(len.min(after.len()));
            rest = after;
            each(&History { members, cured_in }, *chance);
        }
    }

    /// The chances of the answers to a question asked now, and their mean entropy in bits given the way in
    /// which things stand, where more than what is left matters to it.
    pub(super) fn answers(
        &self,
        engine: &Engine<'_>,
        evidence: &Evidence,
        symptom: SymptomAt,
    ) -> (Vec<f64>, f64) {
        let mut after = After::each(engine, evidence, symptom, &self.scope);
        let mut mean = vec![0.0; after.0.len()];
        let mut row = mean.clone();
        let mut mean_entropy = 0.0;
        self.each(|history, chance| {
            after.row(history, &mut row);
            mean.iter_mut().zip(&row).for_each(|(m, p)| *m += chance * p);
            mean_entropy += chance * entropy(&row);
        });
        (mean, mean_entropy)
    }
}
