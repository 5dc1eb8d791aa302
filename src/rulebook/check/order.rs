//! Circles: fixes that wait for each other, symptoms that open each other.

use crate::problem::Code;
use crate::rulebook::graph;
use crate::rulebook::index::{FixAt, Place, SymptomAt};
use crate::rulebook::model::{About, Book};
use crate::rulebook::written::{Order, Rules};
use crate::source::Span;

use super::Desk;

pub(super) fn circles(book: &Book, rules: &Rules, desk: &mut Desk) {
    let fixes = graph::circles(
        book.fixes.len(),
        book.fixes.iter().flat_map(|(me, fix)| {
            fix.after
                .iter()
                .chain(&fix.needs)
                .map(move |before| (before.position(), me.position()))
        }),
    );
    for circle in fixes {
        fix_circle(&circle, book, rules, desk);
    }
    let symptoms = graph::circles(
        book.symptoms.len(),
        book.symptoms.iter().flat_map(|(me, symptom)| {
            symptom
                .only_if
                .iter()
                .filter_map(move |condition| match &condition.about {
                    About::Answer { symptom, .. } => Some((symptom.position(), me.position())),
                    About::Conveyor { .. } => None,
                })
        }),
    );
    for circle in symptoms {
        symptom_circle(&circle, book, rules, desk);
    }
}

fn fix_circle(circle: &[usize], book: &Book, rules: &Rules, desk: &mut Desk) {
    let ids: Vec<&str> = circle
        .iter()
        .filter_map(|at| book.fixes.get(FixAt::at(*at)))
        .map(|fix| fix.id.as_str())
        .collect();
    let mut places: Vec<Span> = Vec::new();
    for (step, at) in circle.iter().enumerate() {
        let Some(fix) = rules.fixes.get(*at) else {
            continue;
        };
        let before = step.checked_sub(1).map_or(ids.last(), |step| ids.get(step));
        let said = fix
            .after
            .iter()
            .chain(&fix.needs)
            .find_map(|order| match order {
                Order::Fix(id) if Some(&id.text.as_str()) == before => Some(id.span),
                Order::Every(stage) => {
                    let named =
                        before.and_then(|id| rules.fixes.iter().find(|fix| fix.id.text == *id));
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
        desk,
    );
}

fn symptom_circle(circle: &[usize], book: &Book, rules: &Rules, desk: &mut Desk) {
    let ids: Vec<&str> = circle
        .iter()
        .filter_map(|at| book.symptoms.get(SymptomAt::at(*at)))
        .map(|symptom| symptom.id.as_str())
        .collect();
    let places: Vec<Span> = circle
        .iter()
        .filter_map(|at| rules.symptoms.get(*at))
        .map(|symptom| {
            symptom
                .only_if
                .first()
                .map_or(symptom.id.span, |condition| condition.span)
        })
        .collect();
    tell(
        "these symptoms open each other, so none is ever asked",
        &ids,
        &places,
        "take one of these conditions away",
        desk,
    );
}

fn tell(message: &str, ids: &[&str], places: &[Span], help: &str, desk: &mut Desk) {
    let Some((first, others)) = places.split_first() else {
        return;
    };
    let mut round = ids.to_vec();
    round.extend(ids.first());
    let mut problem = desk.problem(
        Code::Circle,
        *first,
        format!("{message}: {}", round.join(", then ")),
    );
    for place in others.iter().take(7) {
        problem = problem.also(desk.place(*place), "");
    }
    desk.add(problem.help(help));
}
