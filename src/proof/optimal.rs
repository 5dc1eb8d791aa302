//! The best way of asking there is, for a small book: at every state of the answers whatever leads to the
//! least expected minutes, worked out backwards over all of them. Asking first, putting right after, as
//! the program does; both ways are charged by the same account.

use std::collections::HashMap;

use serde::Serialize;

use crate::plan::{PlanningProblem, solve_exactly};
use crate::reason::{Belief, Worth};
use crate::rulebook::index::{AnswerAt, Place, SymptomAt};
use crate::rulebook::model::Book;
use crate::visit::{
    ConveyorFacts, Depth, Diagnosis, Finding, Machine, Observations, Reply, Stop, askable, asking,
};

/// Books with more causes or symptoms than this are not worked out.
pub const MOST: usize = 6;
/// Nor those with more fixes,
const MOST_FIXES: usize = 12;
/// or with more states of the answers.
const MOST_STATES: usize = 20_000;

/// Expected minutes from the first question on, by three ways of asking.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Exact {
    /// By the best way.
    pub best: f64,
    /// By the program's own.
    pub own: f64,
    /// Without any question.
    pub at_once: f64,
}

/// The three ways on a conveyor of which nothing is known; nothing if the book is too large for it, or no
/// cause applies.
pub fn exact(book: &Book) -> Option<Exact> {
    let answers = book.symptoms.values().map(|s| s.answers.len() + 1);
    let states = answers.fold(1_usize, usize::saturating_mul);
    let small = book.causes.len() <= MOST
        && book.symptoms.len() <= MOST
        && book.fixes.len() <= MOST_FIXES
        && states <= MOST_STATES;
    if !small {
        return None;
    }
    let diagnosis = Diagnosis::new(book);
    let facts = ConveyorFacts::default();
    let mut ways = AskingPolicies::new(&diagnosis, &facts);
    let nothing = Observations::none(book);
    Some(Exact {
        best: ways.best(&nothing)?,
        own: ways.own(&nothing)?,
        at_once: ways.at_once(&nothing)?,
    })
}

/// AskingPolicies of asking from any state of the answers on.
#[derive(Debug)]
pub struct AskingPolicies<'w> {
    diagnosis: &'w Diagnosis<'w>,
    facts: &'w ConveyorFacts,
    known: HashMap<(Vec<usize>, bool), f64>,
}

impl<'w> AskingPolicies<'w> {
    /// Over one book and one conveyor.
    pub fn new(diagnosis: &'w Diagnosis<'w>, facts: &'w ConveyorFacts) -> Self {
        Self { diagnosis, facts, known: HashMap::new() }
    }

    /// Least expected minutes from here; nothing if no cause applies.
    pub fn best(&mut self, observed: &Observations) -> Option<f64> {
        let key = (state(observed), observed.machine == Machine::LockedOut);
        if let Some(known) = self.known.get(&key) {
            return Some(*known);
        }
        let finding = self.finding(observed, Depth::Ranking);
        let mut best = self.plan_at_best(&finding)?;
        // An opening question is a question like any other to whoever asks in the best way.
        for symptom in askable(self.diagnosis.book(), &finding) {
            let (mut minutes, _) = asking(self.diagnosis.book(), symptom, observed.machine);
            for (chance, next) in self.after(&finding, symptom)? {
                minutes += chance * self.best(&next)?;
            }
            best = best.min(minutes);
        }
        self.known.insert(key, best);
        Some(best)
    }

    /// Expected minutes from here by the program's own way; nothing if no cause applies.
    pub fn own(&self, observed: &Observations) -> Option<f64> {
        let finding = self.finding(observed, Depth::All);
        let symptom = match &finding.stop {
            Stop::LookOn(look) => look.items.first().copied(),
            _ => None,
        };
        let Some(symptom) = symptom else {
            return self.planning(&finding).map(|_| finding.plan.expected_minutes);
        };
        let (mut minutes, _) = asking(self.diagnosis.book(), symptom, observed.machine);
        for (chance, next) in self.after(&finding, symptom)? {
            minutes += chance * self.own(&next)?;
        }
        Some(minutes)
    }

    /// Expected minutes from here without another question; nothing if no cause applies.
    pub fn at_once(&self, observed: &Observations) -> Option<f64> {
        self.plan_at_best(&self.finding(observed, Depth::Ranking))
    }

    fn plan_at_best(&self, finding: &Finding) -> Option<f64> {
        let problem = self.planning(finding)?;
        Some(problem.cost(&solve_exactly(&problem)))
    }

    fn planning(&self, finding: &Finding) -> Option<PlanningProblem> {
        self.diagnosis.planning_with_all(finding)
    }

    fn finding(&self, observed: &Observations, depth: Depth) -> Finding {
        self.diagnosis.finding_to(&self.facts.facts, observed, depth)
    }

    /// What is told after each answer to a question, with its chance.
    fn after(&self, finding: &Finding, symptom: SymptomAt) -> Option<Vec<(f64, Observations)>> {
        let engine = self.diagnosis.engine();
        let belief = Belief::new(engine, &finding.evidence)?;
        let chances = Worth::new(engine, &finding.evidence, &belief, symptom).chances;
        let machine = asking(self.diagnosis.book(), symptom, finding.observed.machine).1;
        let observed = chances.into_iter().enumerate().map(|(answer, chance)| {
            let mut observed = finding.observed.clone();
            observed.replies[symptom] = Reply::Answer(AnswerAt::at(answer));
            observed.machine = machine;
            (chance, observed)
        });
        Some(observed.collect())
    }
}

/// The answers to all questions, each with its number plus one, 0 for none.
fn state(observed: &Observations) -> Vec<usize> {
    let number = |reply: &Reply| match reply {
        Reply::Answer(answer) => answer.position() + 1,
        Reply::Unanswered | Reply::CantTell => 0,
    };
    observed.replies.values().map(number).collect()
}
