//! Which measurement answers a symptom, and which says how much a fix moves.

use crate::gauge::{self, Gauge};
use crate::problem::{Code, near};
use crate::rulebook::index::{AnswerAt, Place};
use crate::rulebook::model::GaugeMeasure;
use crate::rulebook::written::{MeasuredBy, Symptom};
use crate::source::parse::Text;

use super::Diagnostics;
use super::marks;

/// The gauges of these names.
pub(super) fn all(names: &[Text], diagnostics: &mut Diagnostics) -> Vec<&'static Gauge> {
    names.iter().filter_map(|name| find(name, diagnostics)).collect()
}

pub(super) fn find(name: &Text, diagnostics: &mut Diagnostics) -> Option<&'static Gauge> {
    let found = gauge::named(&name.text);
    if found.is_none() {
        let problem =
            diagnostics.problem(Code::Gauge, name.span, format!("there is no gauge `{name}`"));
        let known = gauge::ALL.iter().map(|gauge| gauge.id);
        diagnostics.add(near(problem, &name.text, known, "gauges"));
    }
    found
}

/// Answers of a symptom, by their ids.
pub(super) fn answers(
    named: &[Text],
    answers: &[(Text, Text)],
    diagnostics: &mut Diagnostics,
) -> Vec<AnswerAt> {
    let mut found = Vec::new();
    for name in named {
        match answers.iter().position(|(id, _)| id.text == name.text) {
            Some(place) => found.push(AnswerAt::at(place)),
            None => no_answer(name, answers, diagnostics),
        }
    }
    found
}

pub(super) fn no_answer(name: &Text, answers: &[(Text, Text)], diagnostics: &mut Diagnostics) {
    let message = format!("the symptom has no answer `{name}`");
    let problem = diagnostics.problem(Code::UnknownId, name.span, message);
    let known = answers.iter().map(|(id, _)| id.text.as_str());
    diagnostics.add(near(problem, &name.text, known, "its answers"));
}

/// What a gauge's words mean as answers.
pub(super) fn measured(
    by: &MeasuredBy,
    symptom: &Symptom,
    diagnostics: &mut Diagnostics,
) -> Option<GaugeMeasure> {
    let MeasuredBy::Gauge(name, tell, means) = by;
    let answers = symptom.answers.as_slice();
    let gauge = find(name, diagnostics)?;
    let Some(told) = gauge.tell(&tell.text) else {
        let message = format!("the gauge `{name}` does not tell `{tell}`");
        let problem = diagnostics.problem(Code::Gauge, tell.span, message);
        let known = gauge.tells.iter().map(|tell| tell.id);
        diagnostics.add(near(problem, &tell.text, known, "it tells"));
        return None;
    };
    let mut read: Vec<(&'static str, AnswerAt)> = Vec::new();
    for (word, answer) in means {
        let known = told.words.iter().find(|known| **known == word.text).copied();
        let place = answers.iter().position(|(id, _)| id.text == answer.text);
        match (known, place) {
            (Some(known), Some(_)) if read.iter().any(|(before, _)| *before == known) => {
                let message = format!("the word `{word}` stands here twice");
                diagnostics.tell(Code::Gauge, word.span, message, "keep one of them");
            }
            (Some(known), Some(place)) => read.push((known, marks::alone(symptom, place))),
            (None, _) => {
                let message = format!("`{tell}` of the gauge `{name}` has no word `{word}`");
                let problem = diagnostics.problem(Code::Gauge, word.span, message);
                diagnostics.add(near(problem, &word.text, told.words.iter().copied(), "words"));
            }
            (_, None) => no_answer(answer, answers, diagnostics),
        }
    }
    Some(GaugeMeasure { gauge, tell: told, means: read })
}
