//! What applies to this conveyor after these answers: conditions that are true, false or unknown.

use crate::conveyor::facts::Facts;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, List, SymptomAt};
use crate::rulebook::model::{About, Book, Condition, Follows};

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
    /// The same, and what follows from them: known, and no evidence of its own. Conditions ask for these.
    pub told: List<SymptomAt, Option<AnswerAt>>,
    /// Answers given to symptoms that do not apply, with the condition that fails.
    pub ignored: Vec<(SymptomAt, Condition)>,
}

impl Applicability {
    /// Works out what applies. `answers` are those given, "can't tell" left out.
    pub fn new(book: &Book, facts: &Facts, answers: &List<SymptomAt, Option<AnswerAt>>) -> Self {
        let mut open =
            Opened { book, facts, answers, known: List::filled(None, book.symptoms.len()) };
        let symptoms: List<SymptomAt, bool> =
            book.symptoms.places().map(|s| open.applies(s)).collect();
        let counted: List<SymptomAt, Option<AnswerAt>> =
            answers.iter().map(|(s, answer)| if symptoms[s] { *answer } else { None }).collect();
        let told: List<SymptomAt, Option<AnswerAt>> =
            counted.iter().map(|(s, answer)| answer.or_else(|| open.following(s))).collect();
        let truth = |condition: &Condition| truth(condition, facts, |s| told[s]);
        let ignored = answers
            .iter()
            .filter(|(s, answer)| answer.is_some() && !symptoms[*s])
            .filter_map(|(s, _)| {
                let failing = book.symptoms[s].only_if.iter().find(|c| !opens(c, truth(c)));
                let known_already = || {
                    let from = &open.follows(s)?.from;
                    Some(Condition { not: !from.not, ..from.clone() })
                };
                Some((s, failing.cloned().or_else(known_already)?))
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
            told,
            ignored,
        }
    }
}

/// Whether a condition holds, given the answers that count.
pub fn truth(
    condition: &Condition,
    facts: &Facts,
    answer: impl Fn(SymptomAt) -> Option<AnswerAt>,
) -> Truth {
    let holds = match &condition.about {
        About::Conveyor { key, is } => facts.get(*key).map(|fact| is.contains(&fact)),
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
    facts: &'a Facts,
    answers: &'a List<SymptomAt, Option<AnswerAt>>,
    known: List<SymptomAt, Option<bool>>,
}

impl<'a> Opened<'a> {
    /// Conditions point to earlier answers without a circle (the book is checked), so this ends.
    fn applies(&mut self, symptom: SymptomAt) -> bool {
        if let Some(known) = self.known[symptom] {
            return known;
        }
        let book = self.book;
        let mut applies = true;
        for condition in &book.symptoms[symptom].only_if {
            let told = match condition.about {
                About::Answer { symptom: earlier, .. } if self.applies(earlier) => {
                    self.answers[earlier]
                }
                About::Answer { symptom: earlier, .. } => self.following(earlier),
                About::Conveyor { .. } => None,
            };
            applies &= opens(condition, truth(condition, self.facts, |_| told));
        }
        applies &= self.follows(symptom).is_none();
        self.known[symptom] = Some(applies);
        applies
    }

    /// What follows of a symptom from the answers, if something does. What it follows from waits for no answer.
    fn follows(&self, symptom: SymptomAt) -> Option<&'a Follows> {
        let given = |parent: SymptomAt| {
            let open = |c: &Condition| opens(c, truth(c, self.facts, |_| None));
            self.answers[parent].filter(|_| self.book.symptoms[parent].only_if.iter().all(open))
        };
        let follows = self.book.symptoms[symptom].follows.iter();
        follows.clone().find(|f| truth(&f.from, self.facts, given) == Truth::True)
    }

    fn following(&self, symptom: SymptomAt) -> Option<AnswerAt> {
        self.follows(symptom).map(|follows| follows.is)
    }
}
