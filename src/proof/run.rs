//! Runs cases: what they expect against what the book makes of their answers.

use super::case::{Case, Expect};
use crate::plan::PlanStep;
use crate::rulebook::index::{AnswerAt, CauseAt, FixAt, Place, SymptomAt};
use crate::rulebook::model::Book;
use crate::visit::{Depth, Diagnosis, Finding, Stop};

/// At most so many answers are named that made the difference.
const MOST_NAMED: usize = 3;
/// An answer that weighs less than this made no difference, decibans.
const NO_WEIGHT: f64 = 0.3;

/// The words that a judge speaks with, handed in by whoever runs cases: what a person reads of a fix is not made here.
#[derive(Debug, Clone, Copy)]
pub struct CaseWording {
    /// All that is said of a fix at a case's finding, piece by piece.
    pub fix: fn(&Case, &Book, &Finding, FixAt) -> Vec<String>,
    /// A chance.
    pub chance: fn(f64) -> String,
    /// Minutes.
    pub minutes: fn(f64) -> String,
}

/// How a case came out.
#[derive(Debug, Clone)]
pub struct CaseVerdict {
    /// What did not hold, in the order of the file.
    pub failures: Vec<Failure>,
    /// The finding it was judged by.
    pub finding: Finding,
}

impl CaseVerdict {
    /// Whether everything held.
    pub fn holds(&self) -> bool {
        self.failures.is_empty()
    }
}

/// An expectation that did not hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Failure {
    /// Which of the case's expectations.
    pub number: usize,
    /// What was expected.
    pub expected: String,
    /// What came instead.
    pub got: String,
    /// The answers that made the difference, strongest first.
    pub because: Vec<Weighty>,
    /// What would hold, in the words of the file, where something can be written there.
    pub would_hold: Option<String>,
}

/// An answer that raises what came against what was expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighty {
    /// The symptom.
    pub symptom: SymptomAt,
    /// The answer.
    pub answer: AnswerAt,
    /// By so much, decibans.
    pub decibans: f64,
}

/// Runs one case.
pub fn run(diagnosis: &Diagnosis<'_>, case: &Case, wording: CaseWording) -> CaseVerdict {
    let depth = if case.expect.iter().any(|e| e.what.needs_plan()) {
        Depth::All
    } else if case.expect.iter().any(|e| e.what.needs_question()) {
        Depth::Questions
    } else {
        Depth::Ranking
    };
    let finding = diagnosis.finding_to(case.conveyor.facts(), &case.observed, depth);
    let under_test =
        CaseUnderTest { diagnosis, book: diagnosis.book(), case, finding: &finding, wording };
    let failures = case
        .expect
        .iter()
        .enumerate()
        .filter_map(|(number, expected)| under_test.judge(number, &expected.what))
        .collect();
    CaseVerdict { failures, finding }
}

/// One case before its judge.
pub(super) struct CaseUnderTest<'c> {
    pub(super) diagnosis: &'c Diagnosis<'c>,
    pub(super) book: &'c Book,
    pub(super) case: &'c Case,
    pub(super) finding: &'c Finding,
    pub(super) wording: CaseWording,
}

/// What came instead, with what made the difference and what would hold.
pub(super) struct Came {
    pub(super) got: String,
    pub(super) because: Vec<Weighty>,
    pub(super) would_hold: Option<String>,
}

impl CaseUnderTest<'_> {
    fn judge(&self, number: usize, expect: &Expect) -> Option<Failure> {
        let (expected, came) = match expect {
            Expect::Leads(causes) => {
                (format!("leading: {}", one_of(self.causes(causes))), self.leads(causes))
            }
            Expect::Among(first, causes) => (
                format!("within the first {first}: {}", all_of(self.causes(causes))),
                self.among(*first, causes),
            ),
            Expect::Above(a, b) => {
                (format!("{} above {}", self.cause(*a), self.cause(*b)), self.above(*a, *b))
            }
            Expect::Below(cause, most) => (
                format!("{} at most {most}", self.cause(*cause)),
                self.chance(*cause, |p| p <= *most, f64::ceil, "Below"),
            ),
            Expect::AtLeast(cause, least) => (
                format!("{} at least {least}", self.cause(*cause)),
                self.chance(*cause, |p| p >= *least, f64::floor, "AtLeast"),
            ),
            Expect::LeftOut(causes) => (
                format!("do not apply here: {}", all_of(self.causes(causes))),
                wrong(causes, |c| self.finding.causes_apply[c], |c| self.cause(c))
                    .map(|wrong| plain(format!("{} applies", all_of(wrong)))),
            ),
            Expect::Asks(questions) => {
                (format!("asked next: {}", one_of(self.symptoms(questions))), self.asks(questions))
            }
            Expect::Never(questions) => (
                format!("not asked here: {}", all_of(self.symptoms(questions))),
                wrong(questions, |s| self.finding.symptoms_apply[s], |s| self.symptom(s))
                    .map(|wrong| plain(format!("{} may be asked", all_of(wrong)))),
            ),
            Expect::Plans(fixes) => {
                (format!("planned: {}", all_of(self.fixes(fixes))), self.planned(fixes, true))
            }
            Expect::NeverPlans(fixes) => {
                (format!("not planned: {}", all_of(self.fixes(fixes))), self.planned(fixes, false))
            }
            Expect::Offers(fixes) => (
                format!("offered here: {}", all_of(self.fixes(fixes))),
                wrong(fixes, |f| !self.finding.fixes_apply[f], |f| self.fix(f))
                    .map(|wrong| plain(format!("{} does not apply", all_of(wrong)))),
            ),
            Expect::NeverOffers(fixes) => (
                format!("not offered here: {}", all_of(self.fixes(fixes))),
                wrong(fixes, |f| self.finding.fixes_apply[f], |f| self.fix(f))
                    .map(|wrong| plain(format!("{} applies", all_of(wrong)))),
            ),
            Expect::First(fixes) => {
                (format!("first step: {}", one_of(self.fixes(fixes))), self.first(fixes))
            }
            Expect::Before(a, b) => {
                (format!("{} before {}", self.fix(*a), self.fix(*b)), self.before(*a, *b))
            }
            Expect::Says(fix, text) => (
                format!("the words of {} hold \"{text}\"", self.fix(*fix)),
                self.says(*fix, text, true),
            ),
            Expect::Unsays(fix, text) => (
                format!("the words of {} do not hold \"{text}\"", self.fix(*fix)),
                self.says(*fix, text, false),
            ),
            Expect::Unclear(questions) => (
                format!("not clear yet; asked next: {}", one_of(self.symptoms(questions))),
                self.unclear(questions),
            ),
        };
        came.map(|came| Failure {
            number,
            expected,
            got: came.got,
            because: came.because,
            would_hold: came.would_hold,
        })
    }

    pub(super) fn steps(&self) -> impl Iterator<Item = &PlanStep> {
        self.finding.plan.batches.iter().flat_map(|b| &b.steps)
    }

    /// What is looked at next, standing at one place; nothing once it is enough to act.
    pub(super) fn asked_next(&self) -> &[SymptomAt] {
        match &self.finding.stop {
            Stop::LookOn(look) => &look.items,
            _ => &[],
        }
    }

    /// What the expected questions would be worth.
    pub(super) fn worth_of(&self, questions: &[SymptomAt]) -> String {
        let mut words = String::new();
        for &question in questions.iter().take(MOST_NAMED) {
            let found = self.finding.next.iter().find(|n| n.symptom == question);
            let look = self.finding.next_looks.iter().find(|l| l.items.contains(&question));
            let name = self.symptom(question);
            words.push_str(&match (found, look) {
                (Some(n), Some(look)) => format!(
                    "; {name} would tell {:.2} bits, in a look of {}",
                    n.bits,
                    (self.wording.minutes)(look.minutes)
                ),
                (Some(n), None) => {
                    format!("; {name} would tell {:.2} bits and is in no look", n.bits)
                }
                (None, _) => format!("; {name} is not open here"),
            });
        }
        words
    }

    /// How likely these causes are, for the end of a sentence.
    pub(super) fn stand_also(&self, causes: &[CauseAt]) -> String {
        let stands = causes.iter().take(MOST_NAMED).map(|c| self.stands(*c));
        format!("; {}", stands.collect::<Vec<_>>().join(", "))
    }

    pub(super) fn stands(&self, cause: CauseAt) -> String {
        let rank = self.finding.ranked.iter().position(|r| r.cause == cause);
        match rank {
            Some(rank) => format!(
                "{} {} (no. {})",
                self.cause(cause),
                (self.wording.chance)(self.chance_of(cause)),
                rank + 1
            ),
            None => format!("{} does not apply", self.cause(cause)),
        }
    }

    pub(super) fn chance_of(&self, cause: CauseAt) -> f64 {
        let ranked = self.finding.ranked.iter().find(|r| r.cause == cause);
        ranked.map_or(0.0, |r| r.probability)
    }

    /// The answers that put one cause before another.
    pub(super) fn apart(&self, ahead: CauseAt, behind: CauseAt) -> Vec<Weighty> {
        let whys = self.diagnosis.why_all(self.finding, &[ahead, behind]);
        let (Some(ahead), Some(behind)) = (whys.first(), whys.get(1)) else {
            return Vec::new();
        };
        let against = |symptom: SymptomAt| -> f64 {
            let all = behind.raises.iter().chain(&behind.lowers);
            all.filter(|w| w.symptom == symptom).map(|w| w.decibans).sum()
        };
        let all = ahead.raises.iter().chain(&ahead.lowers);
        strongest(
            all.map(|w| Weighty {
                symptom: w.symptom,
                answer: w.answer,
                decibans: w.decibans - against(w.symptom),
            })
            .filter(|w| w.decibans > NO_WEIGHT)
            .collect(),
        )
    }

    /// The answers that weigh most for or against a cause.
    pub(super) fn weights(&self, cause: CauseAt) -> Vec<Weighty> {
        let why = self.diagnosis.why(self.finding, cause);
        let all = why.raises.iter().chain(&why.lowers);
        strongest(
            all.map(|w| Weighty { symptom: w.symptom, answer: w.answer, decibans: w.decibans })
                .filter(|w| w.decibans.abs() > NO_WEIGHT)
                .collect(),
        )
    }

    pub(super) fn cause(&self, at: CauseAt) -> &str {
        &self.book.causes[at].id
    }

    pub(super) fn symptom(&self, at: SymptomAt) -> &str {
        &self.book.symptoms[at].id
    }

    pub(super) fn fix(&self, at: FixAt) -> &str {
        &self.book.fixes[at].id
    }

    fn causes<'s>(&'s self, list: &'s [CauseAt]) -> impl Iterator<Item = &'s str> {
        list.iter().map(|c| self.cause(*c))
    }

    pub(super) fn symptoms<'s>(&'s self, list: &'s [SymptomAt]) -> impl Iterator<Item = &'s str> {
        list.iter().map(|s| self.symptom(*s))
    }

    fn fixes<'s>(&'s self, list: &'s [FixAt]) -> impl Iterator<Item = &'s str> {
        list.iter().map(|f| self.fix(*f))
    }
}

pub(super) fn plain(got: String) -> Came {
    Came { got, because: Vec::new(), would_hold: None }
}

/// The names of those that are wrong, if any.
fn wrong<'s, P: Place>(
    list: &[P],
    is_wrong: impl Fn(P) -> bool,
    name: impl Fn(P) -> &'s str,
) -> Option<Vec<&'s str>> {
    let wrong: Vec<&str> = list.iter().filter(|p| is_wrong(**p)).map(|p| name(*p)).collect();
    (!wrong.is_empty()).then_some(wrong)
}

fn strongest(mut weights: Vec<Weighty>) -> Vec<Weighty> {
    weights.sort_by(|a, b| {
        let size = |w: &Weighty| w.decibans.abs();
        size(b).total_cmp(&size(a)).then(a.symptom.cmp(&b.symptom))
    });
    weights.truncate(MOST_NAMED);
    weights
}

pub(super) fn listed<'s>(names: impl IntoIterator<Item = &'s str>) -> String {
    let names: Vec<&str> = names.into_iter().collect();
    if names.is_empty() {
        return "nothing".to_owned();
    }
    names.join(", ")
}

fn one_of<'s>(names: impl IntoIterator<Item = &'s str>) -> String {
    names.into_iter().collect::<Vec<_>>().join(" or ")
}

pub(super) fn all_of<'s>(names: impl IntoIterator<Item = &'s str>) -> String {
    names.into_iter().collect::<Vec<_>>().join(" and ")
}
