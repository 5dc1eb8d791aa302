//! What to look at next, and when to stop: the look with the most bits for its minutes, until one cause is likely
//! enough to act or looking has taken long enough.

use std::cell::RefCell;
use std::cmp::Ordering;

use super::by_rate::ByRate;
use super::finding::{Finding, Machine, NextQuestion, Reply, Stop};
use super::looks::{Least, Looks, minutes_looking};
use super::next_look::NextLook;
use crate::reason::{Belief, Engine, Looked, Outcome, Worth};
use crate::rulebook::index::{LookAt, Place, SymptomAt};
use crate::rulebook::model::{Book, Meaning, Thresholds};
use crate::trade::MachineState;

/// What questions and looks are chosen by.
#[derive(Clone, Copy)]
pub(super) struct AskingNow<'q> {
    pub(super) engine: &'q Engine<'q>,
    pub(super) book: &'q Book,
    pub(super) finding: &'q Finding,
    /// The chance of the likeliest cause to be still present, or that it is none of them.
    pub(super) leader: f64,
    /// When to stop.
    pub(super) thresholds: &'q Thresholds,
}

/// What may be looked at next.
pub(super) struct Next {
    /// Questions that may be asked, best first.
    pub(super) questions: Vec<NextQuestion>,
    /// Looks worth taking before any work, best first.
    pub(super) looks: Vec<NextLook>,
    /// Whether to stop.
    pub(super) stop: Stop,
}

/// Questions and looks, best first, and whether to stop.
pub(super) fn next(asked: AskingNow<'_>, belief: &Belief) -> Next {
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
    let open: Vec<SymptomAt> = next.iter().map(|q| q.symptom).collect();
    let bits = |symptom: SymptomAt| {
        next.iter().find(|q| q.symptom == symptom).map_or(0.0, |question| question.bits)
    };
    let looks = Looks::new(book, finding, &open);
    let worth = |least: Least| {
        let worth = looks.places().filter_map(|look| looks.look(look, least, bits));
        let mut worth: Vec<NextLook> = worth.collect();
        worth.sort_by(|a, b| looks.better_first(a, b));
        worth
    };
    let unasked = worth(Least::UNASKED);
    let best = unasked.first().cloned();
    let stop = asked.enough().unwrap_or(best.map_or(Stop::NothingLeft, Stop::LookOn));
    let looks = if matches!(stop, Stop::LookOn(_)) { unasked } else { worth(Least::WANTED) };
    Next { questions: next, looks, stop }
}

/// What [`next`] says about stopping, working out no more bits than it takes.
pub(super) fn stop(asked: AskingNow<'_>, belief: &Belief) -> Stop {
    let AskingNow { engine, book, finding, .. } = asked;
    if let Some(enough) = asked.enough() {
        return enough;
    }
    let open: Vec<SymptomAt> = askable(book, finding).collect();
    let looks = Looks::new(book, finding, &open);
    let mut looked = Looked::at(belief);
    let marginals = looked.marginals_now(engine, &finding.evidence);
    let looked = RefCell::new(looked);
    let bits = |symptom: SymptomAt| {
        Worth::looked_at(engine, &finding.evidence, &mut looked.borrow_mut(), symptom).bits
    };
    let bound = |symptom: SymptomAt| Worth::at_most(engine, &marginals, symptom);
    let bounds = looks.places().map(|look| (look, looks.at_most(look, bound)));
    let take = |look: LookAt| looks.look(look, Least::UNASKED, bits);
    let rate = |look: LookAt| take(look).map_or(0.0, |look| looks.score(&look));
    let best = ByRate::new(bounds, rate).next_above(0.0);
    best.and_then(take).map_or(Stop::NothingLeft, Stop::LookOn)
}

impl AskingNow<'_> {
    /// Whether enough was looked at to act.
    fn enough(&self) -> Option<Stop> {
        let thresholds = self.thresholds;
        if self.leader >= thresholds.enough {
            return Some(Stop::LeaderStands);
        }
        let minutes = minutes_looking(self.book, &self.finding.observed);
        (minutes >= thresholds.looking_minutes).then_some(Stop::TimeIsUp)
    }
}

/// Whether nobody can answer it by what was told: which side the belt runs to where it is never the same twice, and
/// which strand is off at the head, where the belt lies on both at once. An answer that is given all the same counts.
fn has_no_answer(book: &Book, finding: &Finding, symptom: SymptomAt) -> bool {
    let told = |of: Option<SymptomAt>| of.and_then(|of| Some((of, finding.latest[of]?)));
    let roles = &book.roles;
    if Some(symptom) == roles.belt_side {
        // The first answer of marks is that none of them is there.
        return told(roles.first_split)
            .is_some_and(|(of, answer)| book.symptoms[of].is_marks() && answer.position() == 0);
    }
    Some(symptom) == roles.strand
        && told(roles.place).is_some_and(|(of, answer)| {
            book.symptoms[of].answers[answer].means == Some(Meaning::Head)
        })
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
        .filter(move |&s| !has_no_answer(book, finding, s))
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
