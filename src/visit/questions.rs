//! Which question next, and when to stop: bits per minute among those that pay for themselves.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::by_rate::ByRate;
use super::finding::{Finding, Machine, NextQuestion, Reply, Stop};
use crate::plan::{Candidates, QuickPlanner};
use crate::reason::{Belief, Engine, Evidence, Looked, Scenarios, Worth};
use crate::rulebook::index::{AnswerAt, FixAt, Place, SymptomAt};
use crate::rulebook::model::{About, Book, Condition};
use crate::trade::MachineState;

/// For so many questions, at most, it is worked out whether they pay.
const MOST_VALUED: usize = 12;
/// Scenarios less likely than this do not decide whether a question pays.
const FLOOR: f64 = 1e-5;

/// What questions are chosen by.
#[derive(Clone, Copy)]
pub(super) struct AskingNow<'q> {
    pub(super) engine: &'q Engine<'q>,
    pub(super) book: &'q Book,
    pub(super) finding: &'q Finding,
    /// What may be planned, with fixes that an answer opens.
    pub(super) candidates: &'q dyn Fn(&[FixAt]) -> Candidates,
}

/// Questions that may be asked, best first, and whether to stop.
pub(super) fn next(
    asked: AskingNow<'_>,
    belief: &Belief,
    scenarios: Option<&Scenarios>,
) -> (Vec<NextQuestion>, Stop) {
    let AskingNow { engine, book, finding, .. } = asked;
    let machine = finding.observed.machine;
    let mut looked = Looked::at(belief);
    let mut next: Vec<NextQuestion> = askable(book, finding)
        .map(|symptom| {
            let worth = Worth::looked_at(engine, &finding.evidence, &mut looked, symptom);
            let minutes = asking(book, symptom, machine).0;
            NextQuestion {
                symptom,
                chances: worth.chances,
                bits: worth.bits,
                minutes,
                saves_minutes: None,
                pays: None,
            }
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
    let likely = scenarios.map_or_else(
        || likely(engine, belief, &finding.evidence),
        |scenarios| scenarios.likeliest(FLOOR),
    );
    let stop = Valuing::new(asked, likely).value(&mut next);
    next.sort_by(|a, b| {
        let pays = |q: &NextQuestion| q.pays == Some(true);
        pays(b).cmp(&pays(a)).then_with(|| by_rate(a, b))
    });
    (next, stop)
}

/// What [`next`] says about stopping, working out no more bits than it takes.
pub(super) fn stop(asked: AskingNow<'_>, belief: &Belief, likely: Scenarios) -> Stop {
    let AskingNow { engine, book, finding, .. } = asked;
    let open: Vec<SymptomAt> = askable(book, finding).collect();
    if open.is_empty() {
        return Stop::NothingLeft;
    }
    if open.iter().any(|symptom| book.opening.contains(symptom)) {
        return Stop::Opening;
    }
    let mut valuing = Valuing::new(asked, likely);
    let minutes = |symptom| asking(book, symptom, finding.observed.machine).0;
    let mut looked = Looked::at(belief);
    let marginals = looked.marginals_now(engine, &finding.evidence);
    let mut by_rate = ByRate::new(
        open.iter().map(|&symptom| {
            let bits = Worth::at_most(engine, &marginals, symptom);
            (symptom, bits / minutes(symptom))
        }),
        |symptom| {
            let worth = Worth::looked_at(engine, &finding.evidence, &mut looked, symptom);
            worth.bits / minutes(symptom)
        },
    );
    for symptom in by_rate.by_ref().take(MOST_VALUED) {
        if valuing.saves(symptom) > minutes(symptom) {
            return Stop::Pays(symptom);
        }
    }
    let pair = valuing.paying_pair(&by_rate.unbounded());
    pair.map_or(Stop::NothingPays, |(first, _)| Stop::Pays(first))
}

/// The scenarios that decides whether questions pay.
pub(super) fn likely(engine: &Engine<'_>, belief: &Belief, evidence: &Evidence) -> Scenarios {
    Scenarios::likely(engine, belief, evidence, FLOOR)
}

/// Whether one question pays for its minutes.
pub(super) fn pays(asked: AskingNow<'_>, likely: Scenarios, symptom: SymptomAt) -> bool {
    let mut valuing = Valuing::new(asked, likely);
    valuing.saves(symptom) > asking(asked.book, symptom, asked.finding.observed.machine).0
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

struct Valuing<'v> {
    engine: &'v Engine<'v>,
    book: &'v Book,
    finding: &'v Finding,
    likely: Scenarios,
    /// What may be planned, with fixes that an answer opens.
    candidates: &'v dyn Fn(&[FixAt]) -> Candidates,
    /// What may be planned as things stand.
    planner: QuickPlanner,
    /// The same with fixes that an answer opens, for answers met so far.
    opened: BTreeMap<Vec<FixAt>, QuickPlanner>,
    /// Minutes of the plan as things stand, and its order.
    now: (f64, Vec<FixAt>),
}

impl<'v> Valuing<'v> {
    fn new(asked: AskingNow<'v>, likely: Scenarios) -> Self {
        let AskingNow { engine, book, finding, candidates } = asked;
        let mut planner = candidates(&[]).quick_planner(&likely.list);
        let locked_out = finding.observed.machine == Machine::LockedOut;
        let chances: Vec<f64> = likely.list.iter().map(|s| s.chance).collect();
        let now = planner.plan(&chances, locked_out, &[]);
        Self { engine, book, finding, likely, candidates, planner, opened: BTreeMap::new(), now }
    }

    /// Values questions in their order until one pays; then pairs that complete a relative symptom.
    fn value(&mut self, next: &mut [NextQuestion]) -> Stop {
        for question in next.iter_mut().take(MOST_VALUED) {
            let saves = self.saves(question.symptom);
            let pays = saves > question.minutes;
            question.saves_minutes = Some(saves);
            question.pays = Some(pays);
            if pays {
                return Stop::Pays(question.symptom);
            }
        }
        let open: Vec<SymptomAt> = next.iter().map(|q| q.symptom).collect();
        let Some((first, saves)) = self.paying_pair(&open) else {
            return Stop::NothingPays;
        };
        if let Some(question) = next.iter_mut().find(|q| q.symptom == first) {
            question.saves_minutes = Some(saves);
            question.pays = Some(true);
        }
        Stop::Pays(first)
    }

    /// Plan minutes saved on average by the answer to a question.
    fn saves(&mut self, symptom: SymptomAt) -> f64 {
        let machine = asking(self.book, symptom, self.finding.observed.machine).1;
        let evidence = &self.finding.evidence;
        let answers = (self.likely).chances_after_each(self.engine, evidence, symptom);
        let mut after = 0.0;
        for (answer, (chance, chances)) in answers.iter().enumerate() {
            after += chance * self.minutes_after(chances, machine, &[(symptom, answer)]);
        }
        self.now.0 - after
    }

    /// A relative symptom and its parent may pay together where neither pays alone: the first to be asked
    /// of such a pair, and what it saves less the minutes of the other.
    fn paying_pair(&mut self, open: &[SymptomAt]) -> Option<(SymptomAt, f64)> {
        for &relative in open {
            for parent in self.book.network.nodes[relative].parents() {
                if !open.contains(&parent) {
                    continue;
                }
                let (first, second) = if self.needs_stop(relative) && !self.needs_stop(parent) {
                    (parent, relative)
                } else {
                    (relative, parent)
                };
                let (own, between) = asking(self.book, first, self.finding.observed.machine);
                let (other, machine) = asking(self.book, second, between);
                let saves = self.now.0 - self.after_both(first, second, machine);
                if saves > own + other {
                    return Some((first, saves - other));
                }
            }
        }
        None
    }

    fn after_both(&mut self, first: SymptomAt, second: SymptomAt, machine: Machine) -> f64 {
        let mut minutes = 0.0;
        let evidence = &self.finding.evidence;
        let answers = self.likely.after_each(self.engine, evidence, first);
        for (answer, (chance, scenarios)) in answers.into_iter().enumerate() {
            let evidence = evidence.told(first, answer);
            let then = scenarios.chances_after_each(self.engine, &evidence, second);
            for (other, (then, chances)) in then.iter().enumerate() {
                let answers = [(first, answer), (second, other)];
                minutes += chance * then * self.minutes_after(chances, machine, &answers);
            }
        }
        minutes
    }

    fn needs_stop(&self, symptom: SymptomAt) -> bool {
        self.book.symptoms[symptom].state == MachineState::LockedOut
    }

    /// Minutes of the plan after these answers, which give the ways in which things may stand these
    /// chances: at most those of today's plan, which nothing forbids to follow all the same.
    fn minutes_after(
        &mut self,
        chances: &[f64],
        machine: Machine,
        answers: &[(SymptomAt, usize)],
    ) -> f64 {
        let locked_out = machine == Machine::LockedOut;
        let opened = self.opened_by(answers);
        let planner = if opened.is_empty() {
            &mut self.planner
        } else {
            let (candidates, scenarios) = (self.candidates, &self.likely.list);
            let known = self.opened.entry(opened);
            known.or_insert_with_key(|opened| candidates(opened).quick_planner(scenarios))
        };
        planner.plan(chances, locked_out, &self.now.1).0
    }

    /// Fixes that waited for nothing but these answers.
    fn opened_by(&self, answers: &[(SymptomAt, usize)]) -> Vec<FixAt> {
        let holds = |condition: &Condition| match &condition.about {
            About::Answer { symptom, is } => {
                let given = answers.iter().find(|(s, _)| s == symptom);
                given.is_some_and(|(_, a)| is.contains(&AnswerAt::at(*a)) != condition.not)
            }
            About::Conveyor { .. } => false,
        };
        let waiting = self.finding.fixes_waiting.iter();
        waiting
            .filter(|(_, conditions)| conditions.iter().all(holds))
            .map(|(fix, _)| *fix)
            .collect()
    }
}
