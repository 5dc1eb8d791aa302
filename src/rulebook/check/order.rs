//! Circles: fixes that wait for each other, symptoms that open each other.

use crate::problem::Code;
use crate::rulebook::graph::DecisionGraph;
use crate::rulebook::index::{FixAt, Place, SymptomAt};
use crate::rulebook::model::Book;
use crate::rulebook::rules::Rules;
use crate::rulebook::written::Order;
use crate::source::Span;

use super::Diagnostics;

pub(super) fn circles(
    book: &Book,
    graph: &DecisionGraph,
    rules: &Rules,
    diagnostics: &mut Diagnostics,
) {
    for circle in graph.fix_circles() {
        fix_circle(&circle, book, rules, diagnostics);
    }
    for circle in graph.symptom_circles() {
        symptom_circle(&circle, book, rules, diagnostics);
    }
}

fn fix_circle(circle: &[FixAt], book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let ids: Vec<&str> =
        circle.iter().filter_map(|at| book.fixes.item(*at)).map(|fix| fix.id.as_str()).collect();
    let mut places: Vec<Span> = Vec::new();
    for (step, at) in circle.iter().enumerate() {
        let Some(fix) = rules.fixes.get(at.position()) else {
            continue;
        };
        let before = step.checked_sub(1).map_or(ids.last(), |step| ids.get(step));
        let said = fix.after.iter().chain(&fix.needs).find_map(|order| match order {
            Order::Fix(id) if Some(&id.text.as_str()) == before => Some(id.span),
            Order::Every(stage) => {
                let named = before.and_then(|id| rules.fixes.iter().find(|fix| fix.id.text == *id));
                (named.is_some_and(|fix| fix.stage.value == stage.value)).then_some(stage.span)
            }
            Order::Fix(_) => None,
        });
        places.push(said.unwrap_or(fix.stage.span));
    }
    tell(
        "these fixes wait for each other",
        &ids,
        &places,
        "the order of stages in book.ron counts too; take one of these away",
        diagnostics,
    );
}

fn symptom_circle(circle: &[SymptomAt], book: &Book, rules: &Rules, diagnostics: &mut Diagnostics) {
    let ids: Vec<&str> = circle
        .iter()
        .filter_map(|at| book.symptoms.item(*at))
        .map(|symptom| symptom.id.as_str())
        .collect();
    let mut places: Vec<Span> = Vec::new();
    for (step, at) in circle.iter().enumerate() {
        let Some(symptom) = rules.symptoms.get(at.position()) else {
            continue;
        };
        let before = step.checked_sub(1).map_or(ids.last(), |step| ids.get(step));
        let said = symptom
            .only_if
            .iter()
            .find(|condition| condition.asks().map(|asked| asked.text.as_str()) == before.copied());
        places.push(said.map_or(symptom.id.span, |condition| condition.span));
    }
    let message = "these symptoms open each other, so none is ever asked";
    tell(message, &ids, &places, "take one of these conditions away", diagnostics);
}

pub(super) fn tell(
    message: &str,
    ids: &[&str],
    places: &[Span],
    help: &str,
    diagnostics: &mut Diagnostics,
) {
    let Some((first, others)) = places.split_first() else {
        return;
    };
    let mut round = ids.to_vec();
    round.extend(ids.first());
    let mut problem =
        diagnostics.problem(Code::Circle, *first, format!("{message}: {}", round.join(", then ")));
    for place in others.iter().take(7) {
        problem = problem.also(diagnostics.place(*place), "");
    }
    diagnostics.add(problem.help(help));
}
