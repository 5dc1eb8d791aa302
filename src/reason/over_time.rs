//! Relative symptoms that were looked at at several times while parents of theirs were open.
//!
//! A parent that was not told is one thing of the conveyor, whenever it is looked at: it is summed out once
//! for all looks, with its chances at the first of them. If it is told later, that is what it was before,
//! unless one of its causes was cured in between.

use std::sync::Arc;

use super::cache::UncuredKey;
use super::cluster::Child;
use super::engine::Engine;
use super::evidence::{Evidence, Seen};
use super::history::History;
use super::sorted::{positions, union};
use super::subsets::Subsets;
use super::table::LikelihoodTable;
use super::tables::NetworkTables;
use crate::rulebook::index::{CauseAt, SymptomAt, sure, sure_mut};

/// The looks that hang together through open parents, at least one of them after some work.
#[derive(Debug)]
pub(super) struct OpenOverTime<'e> {
    parents: Vec<Parent<'e>>,
    looks: Vec<Look<'e>>,
    /// Their chance for every set of the scope of which nothing was cured until the last of them.
    uncured: Arc<Vec<f64>>,
}

#[derive(Debug)]
struct Parent<'e> {
    table: &'e LikelihoodTable,
    /// Position in the table's scope of each position in the scope; those that have one are its causes.
    position: Vec<Option<usize>>,
    linked: Vec<bool>,
    /// After how many batches it is first looked at through a relative symptom.
    first: usize,
    /// After how many batches it was told, and its answer.
    told: Option<(usize, usize)>,
}

#[derive(Debug)]
struct Look<'e> {
    child: Child<'e>,
    time: usize,
    answer: usize,
    repeats: Repeats,
}

/// What an answer owes to the one before it.
#[derive(Debug)]
pub(super) struct Repeats {
    /// After how many batches the earlier answer was given, and the chance that it alone gives this one.
    earlier: Option<(usize, f64)>,
    /// The share that tells of what is left.
    news: f64,
    /// The symptom's causes, by position in the scope.
    linked: Vec<bool>,
}

/// Room to work in.
#[derive(Debug, Default)]
pub(super) struct Room {
    states: Vec<usize>,
    hidden: Vec<usize>,
    /// Where what was there stands in the table of each hidden parent.
    places: Vec<usize>,
    left: Vec<usize>,
    inner: Vec<usize>,
}

/// Looks at relative symptoms, each with its time, and the open parents through which they hang together.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Together {
    pub(super) looks: Vec<(SymptomAt, usize)>,
    pub(super) parents: Vec<SymptomAt>,
}

impl Repeats {
    pub(super) fn new(
        evidence: &Evidence,
        scope: &[CauseAt],
        linked: &[CauseAt],
        (symptom, time, answer): (SymptomAt, usize, usize),
    ) -> Self {
        let again = evidence.same_again;
        let earlier = evidence.before(time, symptom);
        Self {
            earlier: earlier.map(|(at, said)| (at, if said == answer { again } else { 0.0 })),
            news: 1.0 - again,
            linked: marked(scope, linked),
        }
    }

    /// The largest chance that the answer can have if its chance given what is left is at most this.
    pub(super) fn at_most(&self, of_left: f64) -> f64 {
        match self.earlier {
            Some((_, again)) => of_left.max(again + self.news * of_left),
            None => of_left,
        }
    }

    /// The chance of the answer at this time, from its chance given what is left then.
    #[inline]
    pub(super) fn chance(&self, history: &History<'_>, time: usize, of_left: f64) -> f64 {
        match self.earlier {
            Some((before, again)) if history.unchanged(&self.linked, before, time) => {
                again + self.news * of_left
            }
            _ => of_left,
        }
    }
}

/// Which of the scope are among these, both sorted.
fn marked(scope: &[CauseAt], causes: &[CauseAt]) -> Vec<bool> {
    positions(scope, causes).into_iter().map(|p| p.is_some()).collect()
}

impl Together {
    /// All that hang together through open parents, also those at the start alone.
    pub(super) fn all(tables: &NetworkTables<'_>, evidence: &Evidence) -> Vec<Self> {
        let mut groups: Vec<Self> = Vec::new();
        for &child in tables.relatives() {
            for (time, _) in answers(evidence, child) {
                let open = |p: &SymptomAt| evidence.seen_at(time, *p) == Seen::Open;
                let parents: Vec<SymptomAt> =
                    tables.parents(child).iter().copied().filter(open).collect();
                if parents.is_empty() {
                    continue;
                }
                let shares = |group: &Self| group.parents.iter().any(|p| parents.contains(p));
                let (touched, apart): (Vec<Self>, Vec<Self>) = groups.into_iter().partition(shares);
                groups = apart;
                let looks = touched.iter().flat_map(|g| g.looks.clone());
                groups.push(Self {
                    looks: looks.chain([(child, time)]).collect(),
                    parents: union(touched.into_iter().map(|g| g.parents).chain([parents])),
                });
            }
        }
        groups
    }

    /// Whether they hang together over time, or a parent of theirs was told later.
    pub(super) fn over_time(&self, evidence: &Evidence) -> bool {
        self.looks.iter().any(|(_, time)| *time > 0)
            || self.parents.iter().any(|p| first_told(evidence, *p).is_some())
    }

    /// Whether an answer given after so many batches is one of these looks, or tells a parent of theirs.
    pub(super) fn holds(&self, (symptom, time): (SymptomAt, usize), evidence: &Evidence) -> bool {
        self.looks.contains(&(symptom, time))
            || (self.parents.contains(&symptom)
                && first_told(evidence, symptom).is_some_and(|(first, _)| first == time))
    }

    /// Whether the answer to a symptom's question changes what these looks say.
    pub(super) fn concerns(&self, tables: &NetworkTables<'_>, symptom: SymptomAt) -> bool {
        let looks = |(child, _): &(SymptomAt, usize)| {
            *child == symptom || tables.parents(*child).contains(&symptom)
        };
        self.parents.contains(&symptom) || self.looks.iter().any(looks)
    }
}

/// The answers to a symptom's question with their times, the start first.
fn answers(evidence: &Evidence, symptom: SymptomAt) -> impl Iterator<Item = (usize, usize)> {
    let start = match evidence.symptoms[symptom] {
        Seen::Answered(answer) => Some((0, answer)),
        Seen::Open | Seen::Absent => None,
    };
    let later = evidence.second.iter();
    let later = later.filter_map(move |look| Some((look.after, look.answer(symptom)?)));
    start.into_iter().chain(later)
}

/// When a symptom was first told after some work, and what.
fn first_told(evidence: &Evidence, symptom: SymptomAt) -> Option<(usize, usize)> {
    evidence.second.iter().find_map(|look| Some((look.after, look.answer(symptom)?)))
}

/// What the chances depend on while nothing is cured.
fn uncured_key(
    tables: &NetworkTables<'_>,
    evidence: &Evidence,
    together: &Together,
    scope: &[CauseAt],
) -> UncuredKey {
    let mut key = UncuredKey {
        scope: scope.to_vec(),
        same_again: evidence.same_again.to_bits(),
        looks: Vec::new(),
        parents: Vec::new(),
        told: together.parents.iter().map(|p| first_told(evidence, *p)).collect(),
    };
    for &(child, time) in &together.looks {
        let answer = answers(evidence, child).find(|(at, _)| *at == time);
        let before = evidence.before(time, child);
        key.looks.push((child, answer.map_or(0, |(_, answer)| answer), before));
        let parents = tables.parents(child).iter();
        key.parents.extend(parents.map(|p| evidence.seen_at(time, *p)));
    }
    key
}

impl<'e> OpenOverTime<'e> {
    pub(super) fn new(
        engine: &'e Engine<'_>,
        evidence: &Evidence,
        together: &Together,
        (scope, layout): (&[CauseAt], &Subsets),
    ) -> Self {
        let tables = engine.tables();
        let nodes = &tables.network.nodes;
        let looks = together.looks.iter().filter_map(|&(symptom, time)| {
            let (_, answer) = answers(evidence, symptom).find(|(at, _)| *at == time)?;
            let node = &nodes[symptom];
            let at = (scope, together.parents.as_slice());
            let seen = |parent| evidence.seen_at(time, parent);
            Some(Look {
                child: Child::new((symptom, node), Some(answer), at, seen),
                time,
                answer,
                repeats: Repeats::new(evidence, scope, &node.linked(), (symptom, time, answer)),
            })
        });
        let parents = together.parents.iter().map(|&parent| {
            let table: &LikelihoodTable = tables.table(parent);
            let looked = together.looks.iter().filter(|(child, time)| {
                tables.parents(*child).contains(&parent)
                    && evidence.seen_at(*time, parent) == Seen::Open
            });
            Parent {
                table,
                position: positions(scope, &table.scope),
                linked: marked(scope, &table.scope),
                first: looked.map(|(_, time)| *time).min().unwrap_or(0),
                told: first_told(evidence, parent),
            }
        });
        let mut open =
            Self { looks: looks.collect(), parents: parents.collect(), uncured: Arc::default() };
        let key = uncured_key(tables, evidence, together, scope);
        open.uncured = engine.uncured(key, || open.of_uncured(layout));
        open
    }

    fn of_uncured(&self, layout: &Subsets) -> Vec<f64> {
        let (mut room, mut chances) = (Room::default(), Vec::with_capacity(layout.len()));
        let never = vec![usize::MAX; layout.most()];
        layout.for_each(|members, _| {
            let history = History { members, cured_in: &never };
            chances.push(self.worked_out(&history, &mut room));
        });
        chances
    }

    /// The chance of all that was answered, and told of the parents; `uncured` is the place of the set if
    /// nothing of it was cured until the last look.
    pub(super) fn chance(
        &self,
        history: &History<'_>,
        uncured: Option<usize>,
        room: &mut Room,
    ) -> f64 {
        match uncured {
            Some(place) => *sure(&self.uncured, place),
            None => self.worked_out(history, room),
        }
    }

    fn worked_out(&self, history: &History<'_>, room: &mut Room) -> f64 {
        room.states.clear();
        room.hidden.clear();
        room.places.clear();
        let mut known = 1.0;
        for (number, parent) in self.parents.iter().enumerate() {
            room.states.push(0);
            match parent.told {
                Some((told, answer)) if history.unchanged(&parent.linked, parent.first, told) => {
                    *sure_mut(&mut room.states, number) = answer;
                    known *= parent.table.chance(parent.place(history, parent.first, room), answer);
                    continue;
                }
                Some((told, answer)) => {
                    known *= parent.table.chance(parent.place(history, told, room), answer);
                }
                None => {}
            }
            let hangs = |look: &Look<'_>| {
                let mut left = history.left(look.time);
                left.any(|member| look.child.hangs_on(member) == Some(number))
            };
            if self.looks.iter().any(hangs) {
                let place = parent.place(history, parent.first, room);
                room.hidden.push(number);
                room.places.push(place);
            }
        }
        known * self.summed_out(history, room)
    }

    /// The same over the states of the hidden parents, the others' being known.
    fn summed_out(&self, history: &History<'_>, room: &mut Room) -> f64 {
        let mut sum = 0.0;
        loop {
            let mut weight = 1.0;
            for (&number, &place) in room.hidden.iter().zip(&room.places) {
                let state = *sure(&room.states, number);
                weight *= sure(&self.parents, number).table.chance(place, state);
            }
            for look in &self.looks {
                room.left.clear();
                room.left.extend(history.left(look.time));
                let of_left = look.child.chance(&room.left, &room.states, look.answer);
                weight *= look.repeats.chance(history, look.time, of_left);
            }
            sum += weight;
            let mut more = false;
            for &number in &room.hidden {
                let state = sure_mut(&mut room.states, number);
                *state += 1;
                if *state < sure(&self.parents, number).table.answers() {
                    more = true;
                    break;
                }
                *state = 0;
            }
            if !more {
                return sum;
            }
        }
    }
}

impl Parent<'_> {
    /// Where what is left at a time stands in the table.
    fn place(&self, history: &History<'_>, time: usize, room: &mut Room) -> usize {
        room.inner.clear();
        let inner = history.left(time).filter_map(|m| self.position.get(m).copied().flatten());
        room.inner.extend(inner);
        self.table.subsets.place(&room.inner)
    }
}
