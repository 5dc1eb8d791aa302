//! "What if it were so?": a likelihood of the written rules changed without touching a file.
//!
//! `cause.symptom=often` for a sign or a side, `cause.symptom.answer=often` for a pattern or a grade,
//! `cause.how-common=rare`; a number such as 0.35 stands for a word anywhere.

use std::ops::Range;

use crate::problem::{Code, Problem, Report, near, nearest};
use crate::rulebook::rules::Rules;
use crate::rulebook::written::{
    Cause, Common, Favoured, Likelihood, Likely, SeenWith, Sign, Symptom, SymptomKind,
};
use crate::source::parse::{Spanned, Text};
use crate::source::{FileId, Span, Texts};

/// What stands for the file in problems.
const NAME: &str = "--what-if";
/// What stands for a symptom where the cause itself is meant.
const HOW_COMMON: &str = "how-common";
/// The answer of a sign whose likelihood is written.
const YES: &str = "yes";
const HOW: &str = "write cause.symptom=often, cause.symptom.answer=often, or cause.how-common=rare";

const LIKELIHOODS: [(&str, Likelihood); 6] = [
    ("always", Likelihood::Always),
    ("usually", Likelihood::Usually),
    ("often", Likelihood::Often),
    ("sometimes", Likelihood::Sometimes),
    ("seldom", Likelihood::Seldom),
    ("never", Likelihood::Never),
];
const COMMON: [(&str, Common); 6] = [
    ("leading", Common::Leading),
    ("everyday", Common::Everyday),
    ("common", Common::Common),
    ("occasional", Common::Occasional),
    ("rare", Common::Rare),
    ("rarest", Common::Rarest),
];

/// Changes the rules as each of `changes` says; what does not fit goes into the report.
pub fn apply(rules: &mut Rules, changes: &[String], texts: &mut Texts, report: &mut Report) {
    for change in changes {
        let file = texts.add(NAME, change.clone());
        let mut what_if = WhatIf { file, text: change, texts, report };
        what_if.change(rules);
    }
}

struct WhatIf<'d> {
    file: FileId,
    text: &'d str,
    texts: &'d Texts,
    report: &'d mut Report,
}

impl WhatIf<'_> {
    fn change(&mut self, rules: &mut Rules) {
        let Some(equals) = self.text.find('=') else {
            let whole = self.piece(0..self.text.len());
            return self.tell(Code::Shape, &whole, "nothing is said to change", HOW);
        };
        let value = self.piece(equals + 1..self.text.len());
        let mut names = Vec::new();
        let mut from = 0;
        for part in self.text.get(..equals).unwrap_or("").split('.') {
            names.push(self.piece(from..from + part.len()));
            from += part.len() + 1;
        }
        match names.as_slice() {
            [cause, what] if what.text == HOW_COMMON => self.how_common(rules, cause, &value),
            [cause, symptom] => self.link(rules, (cause, symptom), None, &value),
            [cause, symptom, answer] => self.link(rules, (cause, symptom), Some(answer), &value),
            _ => {
                let whole = self.piece(0..equals);
                self.tell(Code::Shape, &whole, "this names no likelihood", HOW);
            }
        }
    }

    fn how_common(&mut self, rules: &mut Rules, cause: &Text, value: &Text) {
        let Some(at) = self.cause(rules, cause) else {
            return;
        };
        let common = self.value(value, &COMMON, Common::Chance);
        if let (Some(value), Some(cause)) = (common, rules.causes.get_mut(at)) {
            let span = self.whole();
            cause.value.how_common = Spanned { value, span };
            cause.value.on.clear();
        }
    }

    fn link(
        &mut self,
        rules: &mut Rules,
        (cause, symptom): (&Text, &Text),
        answer: Option<&Text>,
        value: &Text,
    ) {
        let (Some(cause_at), Some(symptom_at)) =
            (self.cause(rules, cause), self.symptom(rules, symptom))
        else {
            return;
        };
        let Some(likelihood) = self.value(value, &LIKELIHOODS, Likelihood::Chance) else {
            return;
        };
        let (Some(cause), Some(symptom)) =
            (rules.causes.get_mut(cause_at), rules.symptoms.get_mut(symptom_at))
        else {
            return;
        };
        let (cause, symptom) = (&mut cause.value, &mut symptom.value);
        let likelihood = Spanned { value: likelihood, span: value.span };
        if let Some(answer) = answer
            && !symptom.answers.iter().any(|(id, _)| id.text == answer.text)
        {
            let message = format!("`{}` has no answer `{answer}`", symptom.id);
            let known = symptom.answers.iter().map(|(id, _)| id.text.as_str());
            let problem = self.problem(Code::UnknownId, answer, &message);
            self.report.add(near(problem, answer, known, "its answers"));
            return;
        }
        if follows_a_side(cause, symptom) {
            match answer {
                Some(answer) => {
                    let message = format!(
                        "here `{}` says that the answer follows another side, whichever that is",
                        cause.id
                    );
                    self.tell(Code::Shape, answer, &message, "leave the answer out");
                }
                None => self.put(cause, symptom, None, likelihood),
            }
            return;
        }
        match (symptom.kind.value, answer) {
            (SymptomKind::Sign, Some(answer)) if answer.text != YES => {
                let message = format!("the likelihood of a sign is that of `{YES}`");
                self.tell(Code::Shape, answer, &message, "leave the answer out");
            }
            (SymptomKind::Sign, _) => self.put(cause, symptom, None, likelihood),
            (_, Some(answer)) => self.put(cause, symptom, Some(answer), likelihood),
            (_, None) => {
                let answers = symptom.answers.iter().map(|(id, _)| id.text.as_str());
                let answers: Vec<&str> = answers.collect();
                let message = format!("which answer of `{}`?", symptom.id);
                let help = format!(
                    "write {}.{}.ANSWER={}; its answers: {}",
                    cause.id,
                    symptom.id,
                    value,
                    answers.join(", ")
                );
                let name = symptom.id.clone();
                let at = self.find(&name.text).unwrap_or_else(|| value.clone());
                self.tell(Code::Shape, &at, &message, &help);
            }
        }
    }

    /// Puts a likelihood where the cause speaks of the symptom, or makes it speak.
    fn put(
        &self,
        cause: &mut Cause,
        symptom: &mut Symptom,
        answer: Option<&Text>,
        likelihood: Spanned<Likelihood>,
    ) {
        let span = self.whole();
        let from_symptom = |seen: &&mut SeenWith| seen.0.text == cause.id.text;
        if let Some(seen) = symptom.seen_with.iter_mut().find(from_symptom) {
            match (&mut seen.1.value, answer) {
                (Likely::Row(row), Some(answer)) => favour(row, answer, likelihood),
                (said, _) => *said = Likely::Word(likelihood.value),
            }
            seen.1.span = span;
            return;
        }
        let id = &symptom.id;
        let said = |sign: &&mut Spanned<Sign>| sign.value.symptom().text == id.text;
        if let Some(sign) = cause.signs.iter_mut().find(said) {
            match (&mut sign.value, answer) {
                (
                    Sign::Shows(_, row) | Sign::Reaches(_, row) | Sign::Marks(_, row),
                    Some(answer),
                ) => {
                    favour(row, answer, likelihood);
                }
                (
                    Sign::Sees(_, of) | Sign::SameSideAs(_, _, of) | Sign::OppositeSideTo(_, _, of),
                    _,
                ) => *of = likelihood,
                _ => {}
            }
            sign.span = span;
            return;
        }
        let row = |answer: &Text| vec![Favoured(answer.clone(), likelihood)];
        let value = match (symptom.kind.value, answer) {
            (SymptomKind::Grade, Some(answer)) => Sign::Reaches(id.clone(), row(answer)),
            (SymptomKind::Pattern, Some(answer)) => Sign::Shows(id.clone(), row(answer)),
            (SymptomKind::Marks, Some(answer)) => Sign::Marks(id.clone(), row(answer)),
            _ => Sign::Sees(id.clone(), likelihood),
        };
        cause.signs.push(Spanned { value, span });
    }

    fn cause(&mut self, rules: &Rules, name: &Text) -> Option<usize> {
        let at = rules.causes.iter().position(|cause| cause.id.text == name.text);
        if at.is_none() {
            let known = rules.causes.iter().map(|cause| cause.id.text.as_str());
            self.unknown("cause", name, known, "causes");
        }
        at
    }

    fn symptom(&mut self, rules: &Rules, name: &Text) -> Option<usize> {
        let mut all = rules.symptoms.iter();
        let at = all.position(|symptom| symptom.id.text == name.text);
        if at.is_none() {
            let known = rules.symptoms.iter().map(|s| s.id.text.as_str());
            self.unknown("symptom", name, known.chain([HOW_COMMON]), "symptoms");
        }
        at
    }

    /// A word of the list, in any case, or a number.
    fn value<T: Copy>(
        &mut self,
        written: &Text,
        words: &[(&'static str, T)],
        chance: impl Fn(f64) -> T,
    ) -> Option<T> {
        let word = written.text.to_lowercase();
        if let Some((_, value)) = words.iter().find(|(known, _)| *known == word) {
            return Some(*value);
        }
        if let Some(number) = written.text.parse::<f64>().ok().filter(|n| n.is_finite()) {
            return Some(chance(number));
        }
        let known: Vec<&str> = words.iter().map(|(known, _)| *known).collect();
        let problem = self.problem(
            Code::UnknownWord,
            written,
            "no likelihood is called so, and it is no number",
        );
        let problem = match nearest(&word, known.iter().copied()) {
            Some(meant) => problem.help(format!("did you mean `{meant}`?")),
            None => problem,
        };
        let help = format!("words: {}; or a number such as 0.35", known.join(", "));
        self.report.add(problem.help(help));
        None
    }

    fn unknown<'k>(
        &mut self,
        what: &str,
        name: &Text,
        known: impl Iterator<Item = &'k str>,
        all: &str,
    ) {
        let problem = self.problem(Code::UnknownId, name, &format!("unknown {what} `{name}`"));
        self.report.add(near(problem, name, known, all));
    }

    /// A piece of what was typed, blanks around it left out.
    fn piece(&self, range: Range<usize>) -> Text {
        let raw = self.text.get(range.clone()).unwrap_or("");
        let start = range.start + (raw.len() - raw.trim_start().len());
        let text = raw.trim();
        Text {
            text: text.to_owned(),
            span: Span::new(self.file, start, start + text.len()),
            plain: true,
        }
    }

    fn find(&self, name: &str) -> Option<Text> {
        let at = self.text.find(name)?;
        Some(self.piece(at..at + name.len()))
    }

    fn whole(&self) -> Span {
        Span::new(self.file, 0, self.text.len())
    }

    fn problem(&self, code: Code, at: &Text, message: &str) -> Problem {
        Problem::at(code, self.texts.place(at.span), message)
    }

    fn tell(&mut self, code: Code, at: &Text, message: &str, help: &str) {
        let problem = self.problem(code, at, message).help(help);
        self.report.add(problem);
    }
}

/// Whether what the cause says about the symptom depends on another symptom's side.
fn follows_a_side(cause: &Cause, symptom: &Symptom) -> bool {
    cause.signs.iter().any(|sign| {
        matches!(sign.value, Sign::SameSideAs(..) | Sign::OppositeSideTo(..))
            && sign.value.symptom().text == symptom.id.text
    })
}

/// Favours an answer of a row so much.
fn favour(row: &mut Vec<Favoured>, answer: &Text, likelihood: Spanned<Likelihood>) {
    match row.iter_mut().find(|f| f.0.text == answer.text) {
        Some(favoured) => favoured.1 = likelihood,
        None => row.push(Favoured(answer.clone(), likelihood)),
    }
}
