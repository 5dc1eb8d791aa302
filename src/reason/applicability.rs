//! What applies to this conveyor after these answers: conditions that are true, false or unknown.

use crate::conveyor::Conveyor;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use crate::rulebook::model::{About, Book, Condition};

/// What is known of the conveyor: a fact's value, if it is known.
pub trait Facts {
    /// The value of the fact with this key.
    fn fact(&self, key: &str) -> Option<&str>;
}

impl Facts for Conveyor {
    fn fact(&self, key: &str) -> Option<&str> {
        self.get(key)
    }
}

/// Whether a condition holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Truth {
    /// It holds.
    True,
    /// It does not hold.
    False,
    /// A fact is not known, or the question was not answered.
    Unknown,
}

/// What applies.
#[derive(Debug, Clone)]
pub struct Applicability {
    /// Causes: unless a condition is false.
    pub causes: List<CauseAt, bool>,
    /// Symptoms: unknown facts let them apply, questions not yet answered keep them closed.
    pub symptoms: List<SymptomAt, bool>,
    /// Fixes: only when every condition is known to hold.
    pub fixes: List<FixAt, bool>,
    /// Fixes that wait for nothing but answers, with the conditions on those.
    pub waiting: Vec<(FixAt, Vec<Condition>)>,
    /// Answers that count, symptom by symptom.
    pub counted: List<SymptomAt, Option<AnswerAt>>,
    /// Answers given to symptoms that do not apply, with the condition that fails.
    pub ignored: Vec<(SymptomAt, Condition)>,
}

impl Applicability {
    /// Works out what applies. `answers` are those given, "can't tell" left out.
    pub fn new(
        book: &Book,
        facts: &dyn Facts,
        answers: &List<SymptomAt, Option<AnswerAt>>,
    ) -> Self {
        let mut open =
            Opened { book, facts, answers, known: List::filled(None, book.symptoms.len()) };
        let symptoms: List<SymptomAt, bool> =
            book.symptoms.places().map(|s| open.applies(s)).collect();
        let counted: List<SymptomAt, Option<AnswerAt>> =
            answers.iter().map(|(s, answer)| if symptoms[s] { *answer } else { None }).collect();
        let truth = |condition: &Condition| truth(condition, facts, |s| counted[s]);
        let ignored = answers
            .iter()
            .filter(|(s, answer)| answer.is_some() && !symptoms[*s])
            .filter_map(|(s, _)| {
                let failing = book.symptoms[s].only_if.iter().find(|c| !opens(c, truth(c)))?;
                Some((s, failing.clone()))
            })
            .collect();
        let waiting = book.fixes.iter().filter_map(|(at, fix)| {
            let open: Vec<&Condition> =
                fix.only_if.iter().filter(|c| truth(c) != Truth::True).collect();
            let waits = |c: &&Condition| {
                truth(c) == Truth::Unknown && matches!(c.about, About::Answer { .. })
            };
            (!open.is_empty() && open.iter().all(waits))
                .then(|| (at, open.into_iter().cloned().collect()))
        });
        Self {
            waiting: waiting.collect(),
            causes: book.causes.map(|c| c.only_if.iter().all(|c| truth(c) != Truth::False)),
            fixes: book.fixes.map(|f| f.only_if.iter().all(|c| truth(c) == Truth::True)),
            symptoms,
            counted,
            ignored,
        }
    }
}

/// Whether a condition holds, given the answers that count.
pub fn truth(
    condition: &Condition,
    facts: &dyn Facts,
    answer: impl Fn(SymptomAt) -> Option<AnswerAt>,
) -> Truth {
    let holds = match &condition.about {
        About::Conveyor { key, is } => facts.fact(key).map(|value| is.iter().any(|v| v == value)),
        About::Answer { symptom, is } => answer(*symptom).map(|given| is.contains(&given)),
    };
    match holds {
        None => Truth::Unknown,
        Some(holds) if holds != condition.not => Truth::True,
        Some(_) => Truth::False,
    }
}

/// Whether a symptom's condition lets it be asked.
fn opens(condition: &Condition, truth: Truth) -> bool {
    match condition.about {
        About::Conveyor { .. } => truth != Truth::False,
        About::Answer { .. } => truth == Truth::True,
    }
}

struct Opened<'a> {
    book: &'a Book,
    facts: &'a dyn Facts,
    answers: &'a List<SymptomAt, Option<AnswerAt>>,
    known: List<SymptomAt, Option<bool>>,
}

impl Opened<'_> {
    /// Conditions point to earlier answers without a circle (the book is checked), so this ends.
    fn applies(&mut self, symptom: SymptomAt) -> bool {
        if let Some(known) = self.known[symptom] {
            return known;
        }
        let book = self.book;
        let mut applies = true;
        for condition in &book.symptoms[symptom].only_if {
            let counted = match condition.about {
                About::Answer { symptom: earlier, .. } if self.applies(earlier) => {
                    self.answers[earlier]
                }
                _ => None,
            };
            applies &= opens(condition, truth(condition, self.facts, |_| counted));
        }
        self.known[symptom] = Some(applies);
        applies
    }
}
