//! The single expectations: whether each holds, and what came instead.

use super::run::{Came, CaseUnderTest, all_of, listed, plain};
use crate::rulebook::index::{CauseAt, FixAt, SymptomAt};

/// A cause leads so clearly that nobody would call the finding unclear.
const CLEAR: f64 = 0.5;

impl CaseUnderTest<'_> {
    pub(super) fn leads(&self, causes: &[CauseAt]) -> Option<Came> {
        let Some(leading) = self.finding.ranked.first() else {
            return Some(plain("no cause applies".to_owned()));
        };
        if causes.contains(&leading.cause) {
            return None;
        }
        let wanted = causes.first().copied();
        Some(Came {
            got: format!("{}{}", self.stands(leading.cause), self.stand_also(causes)),
            because: wanted.map_or_else(Vec::new, |wanted| self.apart(leading.cause, wanted)),
            would_hold: Some(format!("Leads([{:?}])", self.cause(leading.cause))),
        })
    }

    pub(super) fn among(&self, first: usize, causes: &[CauseAt]) -> Option<Came> {
        let within: Vec<CauseAt> =
            self.finding.ranked.iter().take(first).map(|r| r.cause).collect();
        let missing: Vec<CauseAt> =
            causes.iter().copied().filter(|c| !within.contains(c)).collect();
        let (&worst, &last) = (missing.first()?, within.last()?);
        let kept = causes.iter().filter(|c| within.contains(c));
        let kept: Vec<&str> = kept.map(|c| self.cause(*c)).collect();
        Some(Came {
            got: format!(
                "first {first}: {}{}",
                within.iter().map(|c| self.stands(*c)).collect::<Vec<_>>().join(", "),
                self.stand_also(&missing)
            ),
            because: self.apart(last, worst),
            would_hold: (!kept.is_empty()).then(|| format!("Among({first}, {kept:?})")),
        })
    }

    pub(super) fn above(&self, a: CauseAt, b: CauseAt) -> Option<Came> {
        let rank = |cause| self.finding.ranked.iter().position(|r| r.cause == cause);
        match (rank(a), rank(b)) {
            (Some(first), Some(second)) if first < second => None,
            (Some(_), None) => None,
            (None, _) => Some(plain(format!("{} does not apply", self.cause(a)))),
            (Some(_), Some(_)) => Some(Came {
                got: format!("{}, {}", self.stands(b), self.stands(a)),
                because: self.apart(b, a),
                would_hold: Some(format!("Above({:?}, {:?})", self.cause(b), self.cause(a))),
            }),
        }
    }

    pub(super) fn chance(
        &self,
        cause: CauseAt,
        holds: impl Fn(f64) -> bool,
        round: fn(f64) -> f64,
        word: &str,
    ) -> Option<Came> {
        let chance = self.chance_of(cause);
        (!holds(chance)).then(|| Came {
            got: self.stands(cause),
            because: self.weights(cause),
            would_hold: Some(format!(
                "{word}({:?}, {:?})",
                self.cause(cause),
                round(chance * 100.0) / 100.0
            )),
        })
    }

    pub(super) fn asks(&self, questions: &[SymptomAt]) -> Option<Came> {
        let next = self.asked_next();
        if next.iter().any(|item| questions.contains(item)) {
            return None;
        }
        let got = match next {
            [] => "nothing more is asked".to_owned(),
            next => format!("asked next: {}", all_of(self.symptoms(next))),
        };
        Some(Came {
            got: format!("{got}{}", self.worth_of(questions)),
            because: Vec::new(),
            would_hold: self.would_ask("Asks"),
        })
    }

    pub(super) fn unclear(&self, questions: &[SymptomAt]) -> Option<Came> {
        if let Some(leading) = self.finding.ranked.first()
            && leading.probability >= CLEAR
        {
            return Some(Came {
                got: format!("clear: {}", self.stands(leading.cause)),
                because: self.weights(leading.cause),
                would_hold: None,
            });
        }
        self.asks(questions).map(|came| Came { would_hold: self.would_ask("Unclear"), ..came })
    }

    /// An expectation of this word that what is looked at next fulfils.
    fn would_ask(&self, word: &str) -> Option<String> {
        let next: Vec<&str> = self.symptoms(self.asked_next()).collect();
        (!next.is_empty()).then(|| format!("{word}({next:?})"))
    }

    pub(super) fn planned(&self, fixes: &[FixAt], wanted: bool) -> Option<Came> {
        let planned: Vec<FixAt> = self.steps().map(|s| s.fix).collect();
        let wrong: Vec<FixAt> =
            fixes.iter().copied().filter(|f| planned.contains(f) != wanted).collect();
        let first = *wrong.first()?;
        let names = all_of(wrong.iter().map(|f| self.fix(*f)));
        let cured: Vec<CauseAt> = self.book.fixes[first].cures.iter().map(|(c, _)| *c).collect();
        let right = fixes.iter().filter(|f| !wrong.contains(f));
        let right: Vec<&str> = right.map(|f| self.fix(*f)).collect();
        let word = if wanted { "Plans" } else { "NeverPlans" };
        Some(Came {
            got: if wanted {
                format!(
                    "{names} not in the plan, which is: {}{}",
                    listed(planned.iter().map(|f| self.fix(*f))),
                    self.stand_also(&cured)
                )
            } else {
                format!("{names} planned{}", self.stand_also(&cured))
            },
            because: cured.first().map_or_else(Vec::new, |c| self.weights(*c)),
            would_hold: (!right.is_empty()).then(|| format!("{word}({right:?})")),
        })
    }

    pub(super) fn first(&self, fixes: &[FixAt]) -> Option<Came> {
        let first = self.steps().next().map(|s| s.fix);
        if first.is_some_and(|f| fixes.contains(&f)) {
            return None;
        }
        Some(Came {
            got: first.map_or("no plan".to_owned(), |f| format!("first step: {}", self.fix(f))),
            because: Vec::new(),
            would_hold: first.map(|f| format!("First([{:?}])", self.fix(f))),
        })
    }

    pub(super) fn before(&self, a: FixAt, b: FixAt) -> Option<Came> {
        let planned: Vec<FixAt> = self.steps().map(|s| s.fix).collect();
        let at = |fix| planned.iter().position(|f| *f == fix);
        let missing = |fix| plain(format!("{} is not planned", self.fix(fix)));
        match (at(a), at(b)) {
            (Some(first), Some(second)) if first < second => None,
            (Some(_), Some(_)) => Some(Came {
                got: format!("{} comes first", self.fix(b)),
                because: Vec::new(),
                would_hold: Some(format!("Before({:?}, {:?})", self.fix(b), self.fix(a))),
            }),
            (None, _) => Some(missing(a)),
            (_, None) => Some(missing(b)),
        }
    }

    pub(super) fn says(&self, fix: FixAt, text: &str, wanted: bool) -> Option<Came> {
        let all = (self.wording.fix)(self.case, self.book, self.finding, fix);
        let text = one_blank(text);
        if all.iter().any(|words| one_blank(words).contains(&text)) == wanted {
            return None;
        }
        let moves: Vec<&String> = all.iter().filter(|words| nearly(words, &text)).collect();
        Some(plain(if wanted {
            match moves.first() {
                Some(nearest) => format!("the nearest words are: {nearest}"),
                None => format!("its words are: {}", all.join(" ")),
            }
        } else {
            "they do".to_owned()
        }))
    }
}

/// White space as one blank.
fn one_blank(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether at least half of the longer words stand in both.
fn nearly(words: &str, text: &str) -> bool {
    let long = |w: &&str| w.len() > 3;
    let wanted: Vec<&str> = text.split_whitespace().filter(long).collect();
    let met = wanted.iter().filter(|w| words.contains(**w)).count();
    !wanted.is_empty() && 2 * met >= wanted.len()
}
