//! `only_if`: conditions on the conveyor and on earlier answers.

use crate::conveyor::facts::{Fact, FactKey};
use crate::problem::{Code, near};
use crate::rulebook::index::{AnswerAt, Place};
use crate::rulebook::model::{About, Condition, Follows};
use crate::rulebook::rules::Rules;
use crate::rulebook::written;
use crate::source::Span;
use crate::source::parse::{Spanned, Text};

use super::Diagnostics;
use super::marks;
use super::names::{Names, each_once};

/// The checked conditions. One on a symptom that is switched off is left out.
pub(super) fn conditions(
    written: &[Spanned<written::Condition>],
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Vec<Condition> {
    written
        .iter()
        .filter_map(|condition| {
            let (inner, not) = without_not(&condition.value);
            let about = about((inner, condition.span), rules, names, diagnostics)?;
            Some(Condition { about, not })
        })
        .collect()
}

/// What follows from other answers. One on a symptom that is switched off is left out.
pub(super) fn follows(
    symptom: &written::Symptom,
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Vec<Follows> {
    let mut follows = Vec::new();
    for (from, is) in &symptom.follows {
        let is = answer(is, &symptom.id.text, &symptom.answers, diagnostics);
        if follows_from_nothing_plain(from, symptom, rules) {
            diagnostics.tell(
                Code::FollowsFrom,
                from.span,
                format!("`{}` cannot follow from this", symptom.id),
                "write the answer to another question, one that has neither `only_if` on answers nor `follows`: (Answer(\"where\", [\"head\"]), \"carry\")",
            );
            continue;
        }
        let from = conditions(std::slice::from_ref(from), rules, names, diagnostics).pop();
        follows.extend(from.zip(is).map(|(from, is)| Follows { from, is }));
    }
    follows
}

/// Whether this is anything but the answer to another question that is open from the start. Of such alone nothing can go
/// round in a circle. An id that is not known is told where it is looked up.
fn follows_from_nothing_plain(
    from: &Spanned<written::Condition>,
    symptom: &written::Symptom,
    rules: &Rules,
) -> bool {
    let written::Condition::Answer(parent, _) = without_not(&from.value).0 else { return true };
    let parent = rules.symptoms.iter().find(|known| known.id.text == parent.text);
    parent.is_some_and(|parent| {
        let waits = |c: &Spanned<written::Condition>| {
            matches!(without_not(&c.value).0, written::Condition::Answer(..))
        };
        parent.id.text == symptom.id.text
            || !parent.follows.is_empty()
            || parent.only_if.iter().any(waits)
    })
}

/// What stands within any number of `Not`, and whether it is turned round.
fn without_not(condition: &written::Condition) -> (&written::Condition, bool) {
    let (mut inner, mut not) = (condition, false);
    while let written::Condition::Not(next) = inner {
        (inner, not) = (next, !not);
    }
    (inner, not)
}

fn about(
    (condition, span): (&written::Condition, Span),
    rules: &Rules,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Option<About> {
    Some(match condition {
        written::Condition::Not(_) => return None,
        written::Condition::Conveyor(key, is) => {
            let is = some(is, span, diagnostics)?;
            let (key, is) = fact(key, is, diagnostics)?;
            About::Conveyor { key, is }
        }
        written::Condition::Answer(symptom, is) => {
            let is = some(is, span, diagnostics)?;
            let at = names.symptoms.find(symptom, diagnostics)?;
            let asked = rules.symptoms.get(at.position())?;
            let named = is.iter().filter_map(|id| answer(id, symptom, &asked.answers, diagnostics));
            let named: Vec<AnswerAt> = named.collect();
            About::Answer { symptom: at, is: marks::any_of(asked, &named) }
        }
    })
}

fn some<'e>(is: &'e [Text], span: Span, diagnostics: &mut Diagnostics) -> Option<&'e [Text]> {
    each_once(&is.iter().collect::<Vec<_>>(), diagnostics);
    if is.is_empty() {
        diagnostics.tell(
            Code::FactValue,
            span,
            "this condition names no value, so it can never hold",
            "write the values in [ ]",
        );
        return None;
    }
    Some(is)
}

fn fact(key: &Text, is: &[Text], diagnostics: &mut Diagnostics) -> Option<(FactKey, Vec<Fact>)> {
    let Some(fact) = FactKey::for_rules(key) else {
        let problem = diagnostics.problem(
            Code::FactValue,
            key.span,
            format!("a conveyor has no fact `{key}`"),
        );
        diagnostics.add(near(
            problem,
            key,
            FactKey::FOR_RULES.iter().map(|key| key.word()),
            "facts",
        ));
        return None;
    };
    for value in is.iter().filter(|value| fact.with(value).is_none()) {
        let problem =
            diagnostics.problem(Code::FactValue, value.span, format!("`{key}` is never `{value}`"));
        diagnostics.add(near(problem, value, fact.values().into_iter().map(Fact::value), "values"));
    }
    Some((fact, is.iter().filter_map(|value| fact.with(value)).collect()))
}

/// Where an answer stands among those of its symptom; an unknown one is reported.
pub(super) fn answer(
    id: &Text,
    symptom: &str,
    answers: &[(Text, Text)],
    diagnostics: &mut Diagnostics,
) -> Option<AnswerAt> {
    let found = answers.iter().position(|(known, _)| known.text == id.text);
    if found.is_none() {
        let problem = diagnostics.problem(
            Code::UnknownId,
            id.span,
            format!("`{symptom}` has no answer `{id}`"),
        );
        let problem =
            near(problem, id, answers.iter().map(|(known, _)| known.text.as_str()), "its answers");
        let problem = match answers.first() {
            Some((first, _)) => {
                problem.also(diagnostics.place(first.span), "its answers are declared here")
            }
            None => problem,
        };
        diagnostics.add(problem);
    }
    found.map(AnswerAt::at)
}
