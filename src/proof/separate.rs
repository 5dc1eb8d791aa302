//! What the book's questions can and cannot tell apart: causes that look alike, answers that change nothing,
//! symptoms that say nearly the same thing, questions that are never worth their minutes.

mod alike;
mod pairs;
mod worth;

use std::collections::BTreeMap;

pub use alike::Alike;
pub use pairs::{Apart, Best, telling};
pub use worth::Slow;

use crate::conveyor::facts::Facts;
use crate::conveyor::facts::{Fact, FactKey};
use crate::reason::{Engine, Present, Truth, truth};
use crate::rulebook::index::{AnswerAt, CauseAt, List, Place, SymptomAt};
use crate::rulebook::model::{About, Book, Condition};
use crate::rulebook::network::{Kind, Says};

/// From where on something is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Levels {
    /// Two causes are told apart when the answers, on average, speak so many decibans for whichever it is.
    pub apart: f64,
    /// An answer changes nothing when it speaks at most so many decibans for or against any cause.
    pub idle: f64,
    /// Two symptoms say nearly the same thing when the weights of two of their answers, over the causes, have
    /// this correlation, -1..1.
    pub alike: f64,
    /// A question is not worth its minutes when it never reaches so many bits per minute.
    pub worth: f64,
}

impl Default for Levels {
    fn default() -> Self {
        Self { apart: 10.0, idle: 0.5, alike: 0.98, worth: 0.002 }
    }
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Separation {
    /// The levels it was worked out with.
    pub levels: Levels,
    /// All pairs of causes that can be at one conveyor, hardest to tell apart first.
    pub pairs: Vec<Apart>,
    /// Answers that change nothing, in book order.
    pub idle: Vec<Idle>,
    /// Symptoms that say nearly the same thing, closest first.
    pub alike: Vec<Alike>,
    /// Questions worth little for their minutes, the slowest first; those below the level are never worth them.
    pub slow: Vec<Slow>,
}

/// An answer that speaks for no cause and against none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Idle {
    /// The question.
    pub symptom: SymptomAt,
    /// The answer.
    pub answer: AnswerAt,
    /// The most it weighs for or against any cause, in decibans.
    pub most: f64,
    /// Whether it opens another question or lets a cause or fix apply, and so is of use all the same.
    pub opens: bool,
}

/// Works it all out for a conveyor of which `facts` are known.
pub fn separation(book: &Book, facts: &Facts, levels: &Levels) -> Separation {
    let alone = CauseAlone::new(book, facts);
    Separation {
        levels: *levels,
        pairs: pairs::all(&alone, levels),
        idle: idle(&alone, levels),
        alike: alike::all(&alone, levels),
        slow: worth::slow(book, facts, levels),
    }
}

/// The answers of a conveyor with one cause alone.
pub(super) struct CauseAlone<'b> {
    book: &'b Book,
    engine: Engine<'b>,
    /// The causes that may apply, in book order.
    causes: Vec<CauseAt>,
    /// The symptoms that may apply, in book order.
    symptoms: Vec<SymptomAt>,
    /// Chance of each answer by symptom and cause, parents of relative voices summed out.
    rows: List<SymptomAt, List<CauseAt, Vec<f64>>>,
    /// Chance that the answers open the question, by symptom and cause.
    open: List<SymptomAt, List<CauseAt, f64>>,
}

impl<'b> CauseAlone<'b> {
    fn new(book: &'b Book, facts: &Facts) -> Self {
        let engine = Engine::new(&book.network, Present { min: 1, max: 1 });
        // Answers are not given, so a condition on one is unknown and leaves it open.
        let may = |conditions: &[Condition]| {
            conditions.iter().all(|condition| truth(condition, facts, |_| None) != Truth::False)
        };
        let causes: Vec<CauseAt> =
            book.causes.iter().filter(|(_, c)| may(&c.only_if)).map(|(at, _)| at).collect();
        let symptoms: Vec<SymptomAt> =
            book.symptoms.iter().filter(|(_, s)| may(&s.only_if)).map(|(at, _)| at).collect();
        let mut alone = Self {
            book,
            engine,
            causes,
            symptoms,
            rows: book.symptoms.map(|_| List::default()),
            open: book.symptoms.map(|_| List::filled(1.0, book.causes.len())),
        };
        for symptom in book.symptoms.places() {
            alone.rows[symptom] =
                book.causes.places().map(|cause| alone.marginal(symptom, cause)).collect();
        }
        let mut done = vec![false; book.symptoms.len()];
        for symptom in book.symptoms.places() {
            alone.opened(symptom, &mut done);
        }
        alone
    }

    /// Chance of each answer with one cause alone, when this answer of a parent is known or all are closed.
    fn given(
        &self,
        symptom: SymptomAt,
        cause: CauseAt,
        known: Option<(SymptomAt, usize)>,
    ) -> Vec<f64> {
        let answer_of = |parent| known.filter(|(known, _)| *known == parent).map(|(_, a)| a);
        self.engine.row(symptom, &[cause], answer_of)
    }

    fn marginal(&self, symptom: SymptomAt, cause: CauseAt) -> Vec<f64> {
        let Some(parent) = self.parent(symptom, cause) else {
            return self.given(symptom, cause, None);
        };
        let mut sum = vec![0.0; self.book.symptoms[symptom].answers.len()];
        let parents = self.given(parent, cause, None);
        for (answer, chance) in parents.iter().enumerate() {
            let row = self.given(symptom, cause, Some((parent, answer)));
            sum.iter_mut().zip(row).for_each(|(sum, p)| *sum += chance * p);
        }
        sum
    }

    /// The symptom whose answer picks this cause's row, if its voice is relative.
    fn parent(&self, symptom: SymptomAt, cause: CauseAt) -> Option<SymptomAt> {
        let Kind::Pattern { voices, .. } = &self.book.network.nodes[symptom].kind else {
            return None;
        };
        let (_, voice) = voices.iter().find(|(speaker, _)| *speaker == cause)?;
        match &voice.says {
            Says::Relative { parent, .. } => Some(*parent),
            Says::Row(_) => None,
        }
    }

    /// The symptoms whose answers must be given before this one is asked.
    fn openers(
        &self,
        symptom: SymptomAt,
    ) -> impl Iterator<Item = (SymptomAt, &Condition, &[AnswerAt])> {
        let conditions = self.book.symptoms[symptom].only_if.iter();
        conditions.filter_map(|condition| match &condition.about {
            About::Answer { symptom, is } => Some((*symptom, condition, is.as_slice())),
            About::Conveyor { .. } => None,
        })
    }

    /// Works out how likely the answers open a question. Conditions are free of circles in a checked book.
    fn opened(&mut self, symptom: SymptomAt, done: &mut [bool]) {
        match done.get_mut(symptom.position()) {
            Some(done) if !*done => *done = true,
            _ => return,
        }
        let earlier: Vec<SymptomAt> = self.openers(symptom).map(|(earlier, ..)| earlier).collect();
        for earlier in earlier {
            self.opened(earlier, done);
        }
        let chances = self.book.causes.places().map(|cause| {
            let openers = self.openers(symptom).map(|(earlier, condition, is)| {
                let row = self.rows[earlier][cause].iter().enumerate();
                let opens = row.filter(|(at, _)| is.contains(&AnswerAt::at(*at)) != condition.not);
                self.open[earlier][cause] * opens.map(|(_, chance)| chance).sum::<f64>()
            });
            openers.product()
        });
        let chances = chances.collect();
        self.open[symptom] = chances;
    }

    /// Whether two causes can be at one conveyor: no fact has to have two values.
    fn together(&self, one: CauseAt, other: CauseAt) -> bool {
        let allowed = |cause: CauseAt| {
            let mut left: BTreeMap<FactKey, Vec<Fact>> =
                FactKey::FOR_RULES.iter().map(|key| (*key, key.values())).collect();
            for condition in &self.book.causes[cause].only_if {
                if let About::Conveyor { key, is } = &condition.about
                    && let Some(values) = left.get_mut(key)
                {
                    values.retain(|value| is.contains(value) != condition.not);
                }
            }
            left
        };
        let (one, other) = (allowed(one), allowed(other));
        one.iter().all(|(key, values)| {
            other.get(key).is_none_or(|others| values.iter().any(|v| others.contains(v)))
        })
    }
}

/// Decibans of one chance against another.
fn decibans(chance: f64, against: f64) -> f64 {
    10.0 * (chance.max(1e-12) / against.max(1e-12)).log10()
}

fn idle(alone: &CauseAlone, levels: &Levels) -> Vec<Idle> {
    let book = alone.book;
    let mut idle = Vec::new();
    for &symptom in &alone.symptoms {
        for (answer, _) in book.symptoms[symptom].listed() {
            let most = weighs(alone, symptom, answer);
            if most <= levels.idle {
                idle.push(Idle { symptom, answer, most, opens: opens(book, symptom, answer) });
            }
        }
    }
    idle
}

/// The most that an answer weighs for or against any cause, beside the mean over the causes. For a relative
/// voice under any answer of the parent.
fn weighs(alone: &CauseAlone, symptom: SymptomAt, answer: AnswerAt) -> f64 {
    let chance = |row: &[f64]| row.get(answer.position()).copied().unwrap_or(0.0);
    let prior = |cause: CauseAt| alone.book.network.priors[cause];
    let total: f64 = alone.causes.iter().map(|cause| prior(*cause)).sum();
    let means =
        alone.causes.iter().map(|cause| prior(*cause) * chance(&alone.rows[symptom][*cause]));
    let mean = means.sum::<f64>() / total.max(1e-12);
    let mut most = 0.0_f64;
    for &cause in &alone.causes {
        let mut weigh = |row: &[f64]| most = most.max(decibans(chance(row), mean).abs());
        weigh(&alone.rows[symptom][cause]);
        if let Some(parent) = alone.parent(symptom, cause) {
            for given in 0..alone.book.symptoms[parent].answers.len() {
                weigh(&alone.given(symptom, cause, Some((parent, given))));
            }
        }
    }
    most
}

fn opens(book: &Book, symptom: SymptomAt, answer: AnswerAt) -> bool {
    let waits = |conditions: &[Condition]| {
        conditions.iter().any(|condition| match &condition.about {
            About::Answer { symptom: asked, is } => {
                *asked == symptom && is.contains(&answer) != condition.not
            }
            About::Conveyor { .. } => false,
        })
    };
    let is_parent = || book.network.nodes.values().any(|node| node.parents().contains(&symptom));
    book.symptoms.values().any(|entry| waits(&entry.only_if))
        || book.causes.values().any(|entry| waits(&entry.only_if))
        || book.fixes.values().any(|entry| waits(&entry.only_if))
        || is_parent()
}
