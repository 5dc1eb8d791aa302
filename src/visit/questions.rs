//! Which question next, and when to stop: the most bits for its minutes, until one cause is likely enough to act or
//! looking has taken long enough.

use std::cmp::Ordering;

use super::by_rate::ByRate;
use super::finding::{Finding, Machine, NextQuestion, Reply, Stop};
use crate::reason::{Belief, Engine, Looked, Outcome, Worth};
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::Book;
use crate::trade::MachineState;

/// A question that tells less is left out, bits.
const LEAST_BITS: f64 = 0.02;

/// What questions are chosen by.
#[derive(Clone, Copy)]
pub(super) struct AskingNow<'q> {
    pub(super) engine: &'q Engine<'q>,
    pub(super) book: &'q Book,
    pub(super) finding: &'q Finding,
    /// The chance of the likeliest cause to be still present.
    pub(super) leader: f64,
}

/// Questions that may be asked, best first, and whether to stop.
pub(super) fn next(asked: AskingNow<'_>, belief: &Belief) -> (Vec<NextQuestion>, Stop) {
    let AskingNow { engine, book, finding, .. } = asked;
    let machine = finding.observed.machine;
    let mut looked = Looked::at(belief);
    let mut next: Vec<NextQuestion> = askable(book, finding)
        .map(|symptom| {
            let worth = Worth::looked_at(engine, &finding.evidence, &mut looked, symptom);
            let minutes = asking(book, symptom, machine).0;
            NextQuestion { symptom, chances: worth.chances, bits: worth.bits, minutes }
        })
        .collect();
    let opening = |q: &NextQuestion| book.opening.iter().position(|s| *s == q.symptom);
    next.sort_by(|a, b| match (opening(a), opening(b)) {
        (Some(x), Some(y)) => x.cmp(&y),
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => by_rate(a, b),
    });
    if next.is_empty() {
        return (next, Stop::NothingLeft);
    }
    if next.first().is_some_and(|q| opening(q).is_some()) {
        return (next, Stop::Opening);
    }
    let enough = asked.enough();
    let best = next.iter().find(|q| q.bits >= LEAST_BITS && is_looked_at_first(book, q.symptom));
    let stop = enough.unwrap_or(best.map_or(Stop::NothingLeft, |q| Stop::LookOn(q.symptom)));
    (next, stop)
}

/// What [`next`] says about stopping, working out no more bits than it takes.
pub(super) fn stop(asked: AskingNow<'_>, belief: &Belief) -> Stop {
    let AskingNow { engine, book, finding, .. } = asked;
    let open: Vec<SymptomAt> = askable(book, finding).collect();
    if open.is_empty() {
        return Stop::NothingLeft;
    }
    if open.iter().any(|symptom| book.opening.contains(symptom)) {
        return Stop::Opening;
    }
    if let Some(enough) = asked.enough() {
        return enough;
    }
    let minutes = |symptom| asking(book, symptom, finding.observed.machine).0;
    let mut looked = Looked::at(belief);
    let marginals = looked.marginals_now(engine, &finding.evidence);
    let first = open.iter().filter(|symptom| is_looked_at_first(book, **symptom));
    let mut by_rate = ByRate::new(
        first.map(|&symptom| {
            let bits = Worth::at_most(engine, &marginals, symptom);
            (symptom, bits / minutes(symptom))
        }),
        |symptom| {
            let worth = Worth::looked_at(engine, &finding.evidence, &mut looked, symptom);
            if worth.bits < LEAST_BITS { 0.0 } else { worth.bits / minutes(symptom) }
        },
    );
    by_rate.next_above(0.0).map_or(Stop::NothingLeft, Stop::LookOn)
}

impl AskingNow<'_> {
    /// Whether enough was looked at to act.
    fn enough(&self) -> Option<Stop> {
        let thresholds = self.book.thresholds;
        if self.leader >= thresholds.enough {
            return Some(Stop::LeaderStands);
        }
        (self.minutes_looking() >= thresholds.looking_minutes).then_some(Stop::TimeIsUp)
    }

    /// Minutes that went into looking so far, checks on the locked-out machine not counted.
    fn minutes_looking(&self) -> f64 {
        let observed = &self.finding.observed;
        let start = observed.replies.iter().filter(|(_, reply)| **reply != Reply::Unanswered);
        let later = observed.second.iter().flat_map(|look| &look.replies);
        let looked = start.map(|(symptom, _)| symptom).chain(later.map(|(symptom, _)| *symptom));
        let first = looked.filter(|symptom| is_looked_at_first(self.book, *symptom));
        first.map(|symptom| self.book.symptoms[symptom].minutes).sum()
    }
}

/// Whether it is looked at before any work: what needs isolation is a check of the work that needs it too.
fn is_looked_at_first(book: &Book, symptom: SymptomAt) -> bool {
    book.symptoms[symptom].state != MachineState::LockedOut
}

/// Symptoms that apply, are not answered ("can't tell" included) and not in an answered group. What could not
/// be told before a batch may be told after it, unless it belongs to the past.
pub fn askable<'f>(
    book: &'f Book,
    finding: &'f Finding,
) -> impl Iterator<Item = SymptomAt> + use<'f> {
    let answered_group = move |symptom: SymptomAt| {
        book.symptoms[symptom]
            .group
            .and_then(|g| book.groups.get(g))
            .is_some_and(|group| group.iter().any(|&s| finding.latest[s].is_some()))
    };
    let open = move |symptom: SymptomAt| {
        let observed = &finding.observed;
        match observed.latest(symptom) {
            Reply::Unanswered => true,
            Reply::Answer(_) => false,
            Reply::CantTell => {
                let past = book.symptoms[symptom].state == MachineState::Anywhere;
                !past
                    && observed.second.last().is_some_and(|look| {
                        look.after_batch < observed.now()
                            || look.reply(symptom) == Reply::Unanswered
                    })
            }
        }
    };
    book.symptoms
        .places()
        .filter(move |&s| finding.symptoms_apply[s] && open(s))
        .filter(move |&s| !answered_group(s))
}

/// The opening questions that are asked again after work that changed how the belt runs, as it runs now.
pub fn asked_anew<'f>(
    book: &'f Book,
    finding: &'f Finding,
) -> impl Iterator<Item = SymptomAt> + use<'f> {
    let observed = &finding.observed;
    let changed = observed.now() > 0
        && !matches!(observed.outcomes.last(), None | Some(Outcome::NoChange | Outcome::True));
    let opening = book.opening.iter().copied().filter(move |_| changed);
    opening.filter(move |&symptom| {
        finding.symptoms_apply[symptom]
            && book.symptoms[symptom].state != MachineState::Anywhere
            && observed.reply_of_now(book, symptom) == Reply::Unanswered
    })
}

/// Minutes of a question from the machine's state, and the state it leaves.
pub fn asking(book: &Book, symptom: SymptomAt, machine: Machine) -> (f64, Machine) {
    let entry = &book.symptoms[symptom];
    match (entry.state, machine) {
        (MachineState::LockedOut, Machine::Running) => {
            (entry.minutes + book.minutes.lock_out, Machine::LockedOut)
        }
        (MachineState::Running, Machine::LockedOut) => {
            (entry.minutes + book.minutes.restart_and_watch, Machine::Running)
        }
        _ => (entry.minutes, machine),
    }
}

fn by_rate(a: &NextQuestion, b: &NextQuestion) -> Ordering {
    let rate = |q: &NextQuestion| q.bits / q.minutes;
    rate(b).total_cmp(&rate(a)).then(a.symptom.cmp(&b.symptom))
}
