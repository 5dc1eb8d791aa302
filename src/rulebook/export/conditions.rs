//! Conditions in the document, and what follows from an answer.

use serde::Serialize;

use crate::rulebook::model::{About, Book, Condition, Symptom};

/// A condition as others read it.
#[derive(Debug, Serialize)]
pub(super) struct ConditionOut<'b> {
    about: &'static str,
    key: &'b str,
    is: Vec<&'b str>,
    not: bool,
}

/// What follows from an answer to another question.
#[derive(Debug, Serialize)]
pub(super) struct FollowsOut<'b> {
    from: ConditionOut<'b>,
    is: &'b str,
}

/// The answers that follow from one to another question.
pub(super) fn follows<'b>(symptom: &'b Symptom, book: &'b Book) -> Vec<FollowsOut<'b>> {
    let follows = symptom.follows.iter().filter_map(|follows| {
        let from = conditions(std::slice::from_ref(&follows.from), book).pop()?;
        let is = symptom.answers.item(follows.is).map_or("", |answer| answer.id.as_str());
        Some(FollowsOut { from, is })
    });
    follows.collect()
}

/// The conditions as others read them.
pub(super) fn conditions<'b>(conditions: &'b [Condition], book: &'b Book) -> Vec<ConditionOut<'b>> {
    conditions
        .iter()
        .map(|condition| match &condition.about {
            About::Conveyor { key, is } => ConditionOut {
                about: "conveyor",
                key: key.word(),
                is: is.iter().map(|fact| fact.value()).collect(),
                not: condition.not,
            },
            About::Answer { symptom, is } => {
                let symptom = book.symptoms.item(*symptom);
                let named = symptom.into_iter().flat_map(|symptom| symptom.named_of(is));
                let answers = named.map(|answer| answer.id.as_str());
                ConditionOut {
                    about: "answer",
                    key: symptom.map_or("", |symptom| symptom.id.as_str()),
                    is: answers.collect(),
                    not: condition.not,
                }
            }
        })
        .collect()
}
