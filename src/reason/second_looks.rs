//! The chance of what was seen anew after work, given how the work went.
//!
//! An answer given after a batch speaks of what is left then. While the causes of its symptom are those that
//! were there at the earlier answer, it mostly repeats that: the same picture seen twice is no news.

use super::engine::Engine;
use super::evidence::Evidence;
use super::history::History;
use super::over_time::{OpenOverTime, Repeats, Room, Together};
use super::sorted::positions;
use super::subsets::Subsets;
use crate::rulebook::index::{CauseAt, SymptomAt, sure, sure_mut};

/// All second looks, made ready for sets of some causes.
#[derive(Debug)]
pub(super) struct SecondLooks<'e> {
    /// The sets that may be left.
    layout: Subsets,
    /// The times at which something was seen.
    times: Vec<usize>,
    looks: Vec<Look>,
    /// For each set that may be left what each look says of it, one set after another.
    chances: Vec<f64>,
    open: Vec<OpenOverTime<'e>>,
    /// Logarithm of what all chances were divided by, so that many of them keep their digits.
    log: f64,
    /// Room to work in: where what is left at each time stands in the layout.
    places: Vec<usize>,
    left: Vec<usize>,
    room: Room,
}

#[derive(Debug)]
struct Look {
    time: usize,
    /// Its number among the times.
    time_at: usize,
    repeats: Repeats,
    /// One over the number of members of its group that were answered at that time.
    share: f64,
    /// What its chance is divided by.
    scale: f64,
}

impl<'e> SecondLooks<'e> {
    /// Of everything seen anew; nothing if nothing was.
    pub(super) fn new(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        scope: &[CauseAt],
    ) -> Option<Self> {
        (!evidence.second.is_empty()).then(|| Self::of(engine, evidence, scope, None))
    }

    /// Of nothing but what hangs on the answer to one symptom's question.
    pub(super) fn about(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        scope: &[CauseAt],
        symptom: SymptomAt,
    ) -> Self {
        Self::of(engine, evidence, scope, Some(symptom))
    }

    fn of(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        scope: &[CauseAt],
        about: Option<SymptomAt>,
    ) -> Self {
        let tables = engine.tables();
        // Where the answer asked about is one of the start, what was answered then hangs on it too.
        let from_start = about.is_some_and(|symptom| evidence.asked_at(symptom) == 0);
        let mut together = Together::all(tables, evidence);
        if !from_start {
            together.retain(|group| group.over_time(evidence));
        }
        let concerned = together.iter().filter(|t| about.is_none_or(|s| t.concerns(tables, s)));
        let layout = Subsets::new(scope.len(), engine.present().max);
        let at = (scope, &layout);
        let open = concerned.map(|t| OpenOverTime::new(engine, evidence, t, at)).collect();
        let start = from_start.then(|| (0, evidence.counted()));
        let later = evidence.second.iter();
        let later = later.map(|l| (l.after, evidence.by_group(l.told.iter().copied())));
        let mut looks = Self {
            layout,
            times: Vec::new(),
            looks: Vec::new(),
            chances: Vec::new(),
            open,
            log: 0.0,
            places: Vec::new(),
            left: Vec::new(),
            room: Room::default(),
        };
        let mut columns = Vec::new();
        for (time, groups) in start.into_iter().chain(later) {
            looks.times.push(time);
            looks.places.push(0);
            for group in groups {
                #[expect(clippy::cast_precision_loss, reason = "a group has a handful of members")]
                let share = 1.0 / group.len() as f64;
                for (symptom, answer) in group {
                    let hangs = |s| s == symptom || tables.parents(symptom).contains(&s);
                    let with_others = together.iter().any(|t| t.holds((symptom, time), evidence));
                    if !with_others && about.is_none_or(hangs) {
                        let said = (symptom, time, answer);
                        columns.push(looks.add(engine, evidence, scope, (said, share)));
                    }
                }
            }
        }
        looks.interleave(&columns);
        looks
    }

    /// Adds a look, and gives what it says of each set that may be left.
    fn add(
        &mut self,
        engine: &Engine<'_>,
        evidence: &Evidence,
        scope: &[CauseAt],
        ((symptom, time, answer), share): ((SymptomAt, usize, usize), f64),
    ) -> Vec<f64> {
        let time_at = self.times.len().saturating_sub(1);
        let table = engine.table_at(evidence, time, symptom);
        let linked = engine.network().nodes[symptom].linked();
        let repeats = Repeats::new(evidence, scope, &linked, (symptom, time, answer));
        let column = table.column(answer);
        let mut chances = vec![0.0; self.layout.len()];
        self.layout.project(&table.subsets, &positions(scope, &table.scope), |place, at| {
            *sure_mut(&mut chances, place) = *sure(column, at);
        });
        let largest = chances.iter().copied().fold(0.0, f64::max);
        let scale = repeats.at_most(largest).max(f64::MIN_POSITIVE);
        self.log += share * scale.ln();
        self.looks.push(Look { time, time_at, repeats, share, scale });
        chances
    }

    /// From one look's chances after another's to one set's after another's.
    fn interleave(&mut self, columns: &[Vec<f64>]) {
        self.chances.reserve(self.layout.len() * columns.len());
        for place in 0..self.layout.len() {
            self.chances.extend(columns.iter().map(|column| *sure(column, place)));
        }
    }

    /// The chance of everything seen, but for [`Self::log`].
    pub(super) fn chance(&mut self, history: &History<'_>) -> f64 {
        for (place, &time) in self.places.iter_mut().zip(&self.times) {
            self.left.clear();
            self.left.extend(history.left(time));
            *place = self.layout.place(&self.left);
        }
        let mut product = 1.0;
        for (number, look) in self.looks.iter().enumerate() {
            let row = sure(&self.places, look.time_at) * self.looks.len();
            let of_left = *sure(&self.chances, row + number);
            let chance = look.repeats.chance(history, look.time, of_left) / look.scale;
            product *= if look.share < 1.0 { chance.powf(look.share) } else { chance };
        }
        let last = self.times.last().copied().unwrap_or(0);
        let uncured = history.cured_in.iter().all(|batch| *batch >= last);
        let uncured = uncured.then(|| self.layout.place(history.members));
        for open in &self.open {
            product *= open.chance(history, uncured, &mut self.room);
        }
        product
    }

    /// Logarithm of what the chances are to be multiplied by.
    pub(super) fn log(&self) -> f64 {
        self.log
    }
}
