//! What can never happen: symptoms that never open, causes that no answer raises, causes without a fix.

use std::collections::{BTreeMap, BTreeSet};

use crate::conveyor::facts::{Fact, FactKey, Facts};
use crate::problem::Code;
use crate::rulebook::graph::DecisionGraph;
use crate::rulebook::index::{AnswerAt, Place, SymptomAt};
use crate::rulebook::model::{About, Book, Condition};
use crate::rulebook::rules::Rules;
use crate::source::Span;

use super::{Diagnostics, Off};

pub(super) fn reach(
    book: &Book,
    graph: &DecisionGraph,
    rules: &Rules,
    off: &Off,
    diagnostics: &mut Diagnostics,
) {
    let closed = unreachable(book, rules, diagnostics);
    for (at, cause) in book.causes.iter() {
        let Some(written) = rules.causes.get(at.position()) else {
            continue;
        };
        if graph.pointing_to(at).iter().all(|(symptom, _)| closed.contains(symptom)) {
            let message = format!("no answer can make `{}` more likely", cause.id);
            diagnostics.tell(
                Code::SilentCause,
                written.id.span,
                message,
                "give it a sign that is likelier with it than without",
            );
        }
    }
    for at in graph.uncured() {
        if let Some(written) = rules.causes.get(at.position()) {
            if let Some(span) = off.uncured.get(&written.id.text) {
                let message = format!("with this switched off no fix is left for `{}`", written.id);
                let help = "switch the cause off too, or write a fix of your own for it";
                diagnostics.tell(Code::NoFix, *span, message, help);
                continue;
            }
            let message = format!("no fix cures `{}`", written.id);
            diagnostics.tell(
                Code::NoFix,
                written.id.span,
                message,
                "name it in the cures of a fix, or write a fix",
            );
        }
    }
    let roles = book.roles.all();
    for at in graph.idle_symptoms().into_iter().filter(|at| !roles.contains(at)) {
        let written = rules.symptoms.get(at.position());
        // Its causes are switched off, so it tells nothing and is not asked.
        if let Some(written) = written.filter(|s| !off.idle.contains(&s.id.text)) {
            let message =
                format!("no cause has a sign on `{}`, so its answer tells nothing", written.id);
            diagnostics.tell(
                Code::IdleSymptom,
                written.id.span,
                message,
                "add it to the signs of a cause, or seen_with to the symptom",
            );
        }
    }
}

/// The symptoms whose conditions, and those of the symptoms they wait for, can never all hold.
fn unreachable(book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) -> BTreeSet<SymptomAt> {
    let mut closed = BTreeSet::new();
    for (at, symptom) in book.symptoms.iter() {
        if contradicts(&symptom.only_if, book) {
            closed.insert(at);
            let span = rules
                .symptoms
                .get(at.position())
                .map(|s| s.only_if.first().map_or(s.id.span, |c| c.span));
            never(span, &format!("the symptom `{}` can never be asked", symptom.id), diagnostics);
        }
    }
    for (at, cause) in book.causes.iter() {
        if contradicts(&cause.only_if, book) {
            let span =
                rules.causes.get(at.position()).and_then(|c| c.only_if.first()).map(|c| c.span);
            never(span, &format!("the cause `{}` can never apply", cause.id), diagnostics);
        }
    }
    for (at, fix) in book.fixes.iter() {
        if contradicts(&fix.only_if, book) {
            let span =
                rules.fixes.get(at.position()).and_then(|f| f.only_if.first()).map(|c| c.span);
            never(span, &format!("the fix `{}` can never be done", fix.id), diagnostics);
        }
    }
    for look in book.looks.values().filter(|look| contradicts(&look.early_if, book)) {
        let written = rules.looks.iter().find(|written| written.id.text == look.id);
        let span = written.and_then(|l| l.early_if.first()).map(|c| c.span);
        never(span, &format!("the look `{}` can never come forward", look.id), diagnostics);
    }
    closed
}

fn never(span: Option<Span>, message: &str, diagnostics: &mut Diagnostics) {
    if let Some(span) = span {
        let help = "its conditions, with those of the symptoms it waits for, leave no value over";
        diagnostics.tell(
            Code::Unreachable,
            span,
            format!("{message}: its conditions contradict each other"),
            help,
        );
    }
}

/// What is still possible while conditions are gathered.
#[derive(Default)]
struct Left {
    facts: BTreeMap<FactKey, Vec<Fact>>,
    answers: BTreeMap<SymptomAt, BTreeSet<AnswerAt>>,
}

/// Whether these conditions, and what they wait for, can never all hold.
/// The book has no circles; the walk goes to each symptom once.
fn contradicts<'b>(conditions: &'b [Condition], book: &'b Book) -> bool {
    let mut left = Left::default();
    let mut waiting: Vec<&'b [Condition]> = vec![conditions];
    while let Some(conditions) = waiting.pop() {
        for condition in conditions {
            match &condition.about {
                About::Conveyor { key, is } => {
                    let values = left.facts.entry(*key).or_insert_with(|| key.values());
                    values.retain(|value| is.contains(value) != condition.not);
                    if values.is_empty() {
                        return true;
                    }
                }
                About::Answer { symptom, is } => {
                    let Some(asked) = book.symptoms.item(*symptom) else {
                        continue;
                    };
                    let answers = left.answers.entry(*symptom).or_insert_with(|| {
                        // Either way it must have been asked, so its own conditions must hold too.
                        waiting.push(&asked.only_if);
                        asked.answers.places().collect()
                    });
                    answers.retain(|answer| is.contains(answer) != condition.not);
                    if answers.is_empty() {
                        return true;
                    }
                }
            }
        }
    }
    // A class settles whether the belt is troughed.
    match (left.facts.get(&FactKey::Class), left.facts.get(&FactKey::Troughed)) {
        (Some(classes), Some(values)) => classes.iter().all(|class| {
            let settled = [*class].into_iter().collect::<Facts>().get(FactKey::Troughed);
            settled.is_some_and(|value| !values.contains(&value))
        }),
        _ => false,
    }
}
