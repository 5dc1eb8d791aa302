//! What answers mean to drawings and drills, and whether what speaks of them finds an answer for each.

use crate::problem::{Code, near};
use crate::rulebook::index::AnswerAt;
use crate::rulebook::model::{Meaning, ShiftSays, Sight};
use crate::rulebook::rules::Rules;
use crate::rulebook::written;
use crate::source::parse::{Spanned, Text};
use crate::trade::LogbookSign;

use super::Diagnostics;
use super::gauges::no_answer;
use super::marks;
use super::words::{self, LONG};

/// What each answer means, in their order. `no`, `yes`, `left` and `right` mean so by themselves.
pub(super) fn answers(
    symptom: &written::Symptom,
    rules: &Rules,
    diagnostics: &mut Diagnostics,
) -> Vec<Option<Meaning>> {
    let ids = symptom.answers.iter().map(|(id, _)| id.text.as_str());
    let mut all: Vec<Option<Meaning>> = ids.map(by_itself).collect();
    if marks::is_marks(symptom) {
        // After those of the marks: nothing ticked.
        all.push(Some(Meaning::NoPattern));
    }
    let wanted = symptom.drilled_as.map_or(&[][..], |sight| sight.value.tells());
    let told = role(rules, &symptom.id).map_or(&[][..], |(_, tells)| tells);
    for (answer, meaning) in &symptom.means {
        let place = symptom.answers.iter().position(|(id, _)| id.text == answer.text);
        let Some(own) = place.and_then(|place| all.get(place)).copied() else {
            no_answer(answer, &symptom.answers, diagnostics);
            continue;
        };
        if own.is_some() || all.contains(&Some(meaning.value)) {
            let message = match own {
                Some(own) => format!("`{answer}` means {own:?} already"),
                None => format!("another answer means {:?} already", meaning.value),
            };
            diagnostics.tell(Code::AnswerMeans, answer.span, message, "keep one of them");
        } else if !wanted.contains(&meaning.value) && !told.contains(&meaning.value) {
            let message = format!("nothing asks for an answer that means {:?} here", meaning.value);
            let what = "a question tells what its `drilled_as` and its role in book.ron tell";
            diagnostics.tell(Code::AnswerMeans, meaning.span, message, what);
        } else if let Some(own) = place.and_then(|place| all.get_mut(place)) {
            *own = Some(meaning.value);
        }
    }
    all
}

fn by_itself(answer: &str) -> Option<Meaning> {
    match answer {
        "no" => Some(Meaning::No),
        "yes" => Some(Meaning::Yes),
        "left" => Some(Meaning::Left),
        "right" => Some(Meaning::Right),
        _ => None,
    }
}

/// The role of a symptom that drawings speak of, and what it tells.
fn role(rules: &Rules, id: &Text) -> Option<(&'static str, &'static [Meaning])> {
    let roles = &rules.book.as_ref()?.value.roles;
    let all = [
        (&roles.place, "place", &Meaning::PLACES[..]),
        (&roles.first_split, "first_split", &Meaning::FIRST_SPLIT),
        (&roles.strand, "strand", &[Meaning::Carry, Meaning::Return]),
    ];
    let its = all
        .into_iter()
        .find(|(symptom, ..)| symptom.as_ref().is_some_and(|symptom| symptom.text == id.text));
    its.map(|(_, role, tells)| (role, tells))
}

/// That a role of the book tells all that drawings know of it; what no answer means is a gap in them.
pub(super) fn role_tells(symptom: &written::Symptom, rules: &Rules, diagnostics: &mut Diagnostics) {
    let Some((role, tells)) = role(rules, &symptom.id) else { return };
    let missing = |meaning: &&Meaning| {
        let nothing_ticked = marks::is_marks(symptom) && **meaning == Meaning::NoPattern;
        !nothing_ticked && symptom.means.iter().all(|(_, known)| known.value != **meaning)
    };
    let missing: Vec<String> = tells.iter().filter(missing).map(|m| format!("{m:?}")).collect();
    if !missing.is_empty() {
        let message = format!(
            "`{}` has the role `{role}`, and no answer of it means {}",
            symptom.id,
            missing.join(", ")
        );
        let help = "say it in `means`: drawings leave out what no answer means";
        diagnostics.tell(Code::NoMeaning, symptom.id.span, message, help);
    }
}

/// What of a drill's conveyor answers a symptom: an answer must stand for all that this can tell.
pub(super) fn drilled(
    symptom: &written::Symptom,
    means: &[Option<Meaning>],
    diagnostics: &mut Diagnostics,
) -> Option<Sight> {
    let Spanned { value: sight, span } = symptom.drilled_as?;
    let missing = sight.tells().iter().filter(|meaning| !means.contains(&Some(**meaning)));
    let missing: Vec<String> = missing.map(|meaning| format!("{meaning:?}")).collect();
    if !missing.is_empty() {
        let message =
            format!("{sight:?} may tell {}, and no answer means that", missing.join(", "));
        diagnostics.tell(Code::AnswerMeans, span, message, "say in `means` which answer it is");
    }
    Some(sight)
}

/// What in a logbook speaks for its answers.
pub(super) fn in_logbook(
    symptom: &written::Symptom,
    diagnostics: &mut Diagnostics,
) -> Vec<(AnswerAt, LogbookSign)> {
    let mut known = Vec::new();
    for (answer, word) in &symptom.in_logbook {
        let place = symptom.answers.iter().position(|(id, _)| id.text == answer.text);
        if place.is_none() {
            no_answer(answer, &symptom.answers, diagnostics);
        }
        let sign = LogbookSign::named(&word.text);
        if sign.is_none() {
            let message = format!("a logbook does not say `{word}`");
            let problem = diagnostics.problem(Code::UnknownId, word.span, message);
            let words = LogbookSign::ALL.iter().map(|sign| sign.word());
            diagnostics.add(near(problem, &word.text, words, "what it can say"));
        }
        known.extend(place.map(|place| marks::alone(symptom, place)).zip(sign));
    }
    known
}

/// What the shift tells, by answer.
pub(super) fn shift_says(
    symptom: &written::Symptom,
    diagnostics: &mut Diagnostics,
) -> Option<ShiftSays> {
    let written::ShiftSays(place, says) = symptom.shift_says.as_ref()?;
    let mut known: Vec<(AnswerAt, String)> = Vec::new();
    for (answer, text) in says {
        match symptom.answers.iter().position(|(id, _)| id.text == answer.text) {
            Some(place) => {
                known.push((marks::alone(symptom, place), words::plain(text, LONG, diagnostics)));
            }
            None => no_answer(answer, &symptom.answers, diagnostics),
        }
    }
    Some(ShiftSays { place: *place, says: known })
}
