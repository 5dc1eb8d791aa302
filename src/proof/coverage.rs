//! What no case exercises.

use std::collections::BTreeSet;

use super::case::{Case, Expect};
use super::run::CaseVerdict;
use crate::reason::{Truth, truth};
use crate::rulebook::index::{AnswerAt, CauseAt, CautionAt, FixAt, List, SymptomAt};
use crate::rulebook::model::{Book, Condition};
use crate::rulebook::places::EntryKind;

/// What the cases of a book reach, and what they do not.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// How much of each kind is exercised.
    pub counts: Vec<Count>,
    /// What is not, in book order.
    pub missing: Vec<Missing>,
    /// Causes that no case puts first.
    pub never_first: Vec<CauseAt>,
}

/// Things of one kind: how many there are, and how many a case exercises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    /// What is counted.
    pub what: &'static str,
    /// How many are exercised.
    pub reached: usize,
    /// How many there are.
    pub all: usize,
}

/// Something that no case exercises.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Whose entry it is.
    pub kind: EntryKind,
    /// The entry's id.
    pub id: String,
    /// What of it: nothing for the whole entry, an answer, or a condition that never holds or never fails.
    pub part: Option<String>,
}

impl Coverage {
    /// Reached of all, in per cent; 100 of nothing.
    pub fn per_cent(&self) -> f64 {
        let reached: usize = self.counts.iter().map(|c| c.reached).sum();
        let all: usize = self.counts.iter().map(|c| c.all).sum();
        if all == 0 { 100.0 } else { 100.0 * reached as f64 / all as f64 }
    }
}

/// What these cases exercise. Exercised are: an answer that a case gives and that counts, and its
/// symptom; a symptom that a case expects to be asked; a cause or fix that an expectation names; a fix
/// that was done, or stands in a plan which a case judges; the cautions of such a fix; a condition, once
/// where it holds and once where it does not. Cases that do not hold exercise nothing.
pub fn of<'c>(book: &Book, ran: impl IntoIterator<Item = (&'c Case, &'c CaseVerdict)>) -> Coverage {
    let mut reached = Reached {
        book,
        symptoms: BTreeSet::new(),
        answers: BTreeSet::new(),
        causes: BTreeSet::new(),
        first: BTreeSet::new(),
        fixes: BTreeSet::new(),
        holds: BTreeSet::new(),
        fails: BTreeSet::new(),
    };
    for (case, verdict) in ran {
        if verdict.holds() && !case.todo {
            reached.by(case, verdict);
        }
    }
    reached.summed_up()
}

/// A condition by its entry and its place there.
type ConditionAt = (CoveredEntry, usize);

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum CoveredEntry {
    Symptom(SymptomAt),
    Cause(CauseAt),
    Fix(FixAt),
}

struct Reached<'b> {
    book: &'b Book,
    symptoms: BTreeSet<SymptomAt>,
    answers: BTreeSet<(SymptomAt, AnswerAt)>,
    causes: BTreeSet<CauseAt>,
    first: BTreeSet<CauseAt>,
    fixes: BTreeSet<FixAt>,
    holds: BTreeSet<ConditionAt>,
    fails: BTreeSet<ConditionAt>,
}

impl Reached<'_> {
    /// Several marks ticked together reach each of them.
    fn answered(&mut self, symptom: SymptomAt, answer: AnswerAt) {
        let parts = self.book.symptoms[symptom].parts(answer);
        self.answers.extend(parts.into_iter().map(|part| (symptom, part)));
    }

    fn by(&mut self, case: &Case, verdict: &CaseVerdict) {
        let finding = &verdict.finding;
        for (symptom, answer) in finding.answers.iter() {
            if let Some(answer) = answer {
                self.symptoms.insert(symptom);
                self.answered(symptom, *answer);
            }
        }
        for (symptom, answer) in finding.second.iter().flat_map(|look| &look.answers) {
            self.symptoms.insert(*symptom);
            self.answered(*symptom, *answer);
        }
        let leading = finding.ranked.first().map(|r| r.cause);
        let mut plan_judged = false;
        for expected in &case.expect {
            plan_judged |= expected.what.needs_plan();
            match &expected.what {
                Expect::Leads(causes) => {
                    self.causes.extend(causes);
                    self.first.extend(leading);
                }
                Expect::Among(_, causes) | Expect::LeftOut(causes) => self.causes.extend(causes),
                Expect::Above(a, b) => self.causes.extend([a, b]),
                Expect::Below(cause, _) | Expect::AtLeast(cause, _) => {
                    self.causes.insert(*cause);
                }
                Expect::Asks(questions) | Expect::Never(questions) | Expect::Unclear(questions) => {
                    self.symptoms.extend(questions);
                }
                Expect::Plans(fixes)
                | Expect::NeverPlans(fixes)
                | Expect::Offers(fixes)
                | Expect::NeverOffers(fixes)
                | Expect::First(fixes) => self.fixes.extend(fixes),
                Expect::Before(a, b) => self.fixes.extend([a, b]),
                Expect::Says(fix, _) | Expect::Unsays(fix, _) => {
                    self.fixes.insert(*fix);
                }
            }
        }
        self.fixes.extend(case.observed.done.iter().flatten());
        if plan_judged {
            let steps = finding.plan.batches.iter().flat_map(|b| &b.steps);
            self.fixes.extend(steps.map(|s| s.fix));
        }
        let book = self.book;
        for (at, condition) in conditions(book) {
            match truth(condition, case.conveyor.facts(), |s| finding.latest[s]) {
                Truth::True => self.holds.insert(at),
                Truth::False => self.fails.insert(at),
                Truth::Unknown => false,
            };
        }
    }

    fn summed_up(self) -> Coverage {
        let book = self.book;
        let cautions: BTreeSet<CautionAt> = (self.fixes.iter().map(|f| &book.fixes[*f]))
            .flat_map(|fix| book.warnings(fix.state(), &fix.cautions))
            .collect();
        let mut missing = Vec::new();
        let mut whole = |kind, id: &String| {
            missing.push(Missing { kind, id: id.clone(), part: None });
        };
        lacking(&book.symptoms, &self.symptoms, |s| {
            whole(EntryKind::Symptom, &s.id);
        });
        lacking(&book.causes, &self.causes, |c| whole(EntryKind::Cause, &c.id));
        lacking(&book.fixes, &self.fixes, |f| whole(EntryKind::Fix, &f.id));
        lacking(&book.cautions, &cautions, |c| whole(EntryKind::Caution, &c.id));
        let mut answers = 0;
        for (at, symptom) in book.symptoms.iter() {
            for (answer, words) in symptom.listed() {
                answers += 1;
                if self.symptoms.contains(&at) && !self.answers.contains(&(at, answer)) {
                    missing.push(Missing {
                        kind: EntryKind::Symptom,
                        id: symptom.id.clone(),
                        part: Some(format!("answer {}", words.id)),
                    });
                }
            }
        }
        let mut sides = 0;
        for (at, condition) in conditions(book) {
            for (set, never) in [(&self.holds, "holds"), (&self.fails, "fails")] {
                sides += 1;
                if !set.contains(&at) {
                    let (kind, id) = match at.0 {
                        CoveredEntry::Symptom(s) => (EntryKind::Symptom, &book.symptoms[s].id),
                        CoveredEntry::Cause(c) => (EntryKind::Cause, &book.causes[c].id),
                        CoveredEntry::Fix(f) => (EntryKind::Fix, &book.fixes[f].id),
                    };
                    missing.push(Missing {
                        kind,
                        id: id.clone(),
                        part: Some(format!(
                            "condition on {} never {never}",
                            condition.subject(book)
                        )),
                    });
                }
            }
        }
        let counts = [
            ("symptoms", self.symptoms.len(), book.symptoms.len()),
            ("answers", self.answers.len(), answers),
            ("causes", self.causes.len(), book.causes.len()),
            ("fixes", self.fixes.len(), book.fixes.len()),
            ("cautions", cautions.len(), book.cautions.len()),
            ("conditions, both ways", self.holds.len() + self.fails.len(), sides),
        ];
        Coverage {
            counts: counts
                .into_iter()
                .map(|(what, reached, all)| Count { what, reached, all })
                .collect(),
            missing,
            never_first: book.causes.places().filter(|c| !self.first.contains(c)).collect(),
        }
    }
}

/// Every condition of the book.
fn conditions(book: &Book) -> impl Iterator<Item = (ConditionAt, &Condition)> {
    let numbered = |entry: CoveredEntry, list: &'_ [Condition]| -> Vec<ConditionAt> {
        (0..list.len()).map(|number| (entry, number)).collect()
    };
    let symptoms = book.symptoms.iter().flat_map(move |(at, s)| {
        numbered(CoveredEntry::Symptom(at), &s.only_if).into_iter().zip(&s.only_if)
    });
    let causes = book.causes.iter().flat_map(move |(at, c)| {
        numbered(CoveredEntry::Cause(at), &c.only_if).into_iter().zip(&c.only_if)
    });
    let fixes = book.fixes.iter().flat_map(move |(at, f)| {
        numbered(CoveredEntry::Fix(at), &f.only_if).into_iter().zip(&f.only_if)
    });
    symptoms.chain(causes).chain(fixes)
}

fn lacking<P: crate::rulebook::index::Place + Ord, T>(
    list: &List<P, T>,
    reached: &BTreeSet<P>,
    mut each: impl FnMut(&T),
) {
    for (at, entry) in list.iter() {
        if !reached.contains(&at) {
            each(entry);
        }
    }
}
