//! Marks: several answers at once. The files name the marks; the book has one answer for each set of them.

use crate::problem::Code;
use crate::rulebook::index::{AnswerAt, List, Place};
use crate::rulebook::model::{Answer, Meaning, NOTHING_TICKED, TOGETHER};
use crate::rulebook::network::{is_ticked, sets_of_marks};
use crate::rulebook::written::{Symptom, SymptomKind};
use crate::source::Span;
use crate::source::parse::Text;

use super::Diagnostics;
use super::names::{each_once, good_id};
use super::words::{self, SHORT};

/// A symptom has so many marks at most, since each set of them is an answer of its own.
const MOST_MARKS: usize = 4;
/// What is answered when nothing is ticked, unless the symptom has words of its own.
const NONE: &str = "None of these";

/// Whether several of its answers may be given at once.
pub(super) fn is_marks(symptom: &Symptom) -> bool {
    symptom.kind.value == SymptomKind::Marks
}

/// The answers as written; of marks no more than can be reckoned with.
pub(super) fn written(symptom: &Symptom) -> &[(Text, Text)] {
    let all = symptom.answers.as_slice();
    if is_marks(symptom) { all.get(..MOST_MARKS).unwrap_or(all) } else { all }
}

/// How many answers the book has for it.
pub(super) fn answers_of(symptom: &Symptom) -> usize {
    let named = written(symptom).len();
    if is_marks(symptom) { sets_of_marks(named) } else { named }
}

/// The book's answer for one that the files name: of marks that with no other ticked.
pub(super) fn alone(symptom: &Symptom, named: usize) -> AnswerAt {
    AnswerAt::at(if is_marks(symptom) { sets_of_marks(named) } else { named })
}

/// All answers of the book in which one of those that the files name is given.
pub(super) fn any_of(symptom: &Symptom, named: &[AnswerAt]) -> Vec<AnswerAt> {
    if !is_marks(symptom) {
        return named.to_vec();
    }
    let holds = |all: &usize| named.iter().any(|mark| is_ticked(*all, mark.position()));
    (0..answers_of(symptom)).filter(holds).map(AnswerAt::at).collect()
}

/// One answer for each set of marks. One with several ticked means what the first of them means.
pub(super) fn answers(
    symptom: &Symptom,
    means: &[Option<Meaning>],
    diagnostics: &mut Diagnostics,
) -> List<AnswerAt, Answer> {
    let number = symptom.answers.len();
    if !(2..=MOST_MARKS).contains(&number) {
        let message = format!(
            "{number} marks: a symptom has 2 to {MOST_MARKS} answers that may be given at once"
        );
        let span = symptom.answers.get(MOST_MARKS).or(symptom.answers.first());
        let span = span.map_or(symptom.id.span, |(id, _)| id.span);
        let help = "part it into two symptoms, or make a sign of each answer";
        diagnostics.tell(Code::MarksNumber, span, message, help);
    }
    each_once(&symptom.answers.iter().map(|(id, _)| id).collect::<Vec<_>>(), diagnostics);
    let marks: Vec<Answer> = (written(symptom).iter().zip(means))
        .map(|((id, says), means)| {
            good_id(id, diagnostics);
            if id.text == NOTHING_TICKED {
                let message = format!("`{NOTHING_TICKED}` is kept for no mark ticked");
                let help = "take it out: every list of marks has that by itself";
                diagnostics.tell(Code::BadId, id.span, message, help);
            }
            let says = words::shown(says, SHORT, diagnostics);
            Answer { id: id.text.clone(), says, means: *means }
        })
        .collect();
    let none = symptom.none.as_ref().map(|none| words::shown(none, SHORT, diagnostics));
    let nothing = Answer {
        id: NOTHING_TICKED.to_owned(),
        says: none.unwrap_or_else(|| NONE.to_owned()),
        means: Some(Meaning::NoPattern),
    };
    let sets = (1..answers_of(symptom)).map(|set| {
        let ticked = marks.iter().enumerate().filter(|(mark, _)| is_ticked(set, *mark));
        together(&ticked.map(|(_, mark)| mark).collect::<Vec<_>>())
    });
    std::iter::once(nothing).chain(sets).collect()
}

/// The answer with several marks ticked.
fn together(marks: &[&Answer]) -> Answer {
    let ids: Vec<&str> = marks.iter().map(|mark| mark.id.as_str()).collect();
    let says = marks.iter().enumerate().map(|(place, mark)| match place {
        0 => mark.says.clone(),
        _ => small(&mark.says),
    });
    Answer {
        id: ids.join(TOGETHER),
        says: says.collect::<Vec<_>>().join(", and "),
        means: marks.first().and_then(|mark| mark.means),
    }
}

/// Within a sentence: a small letter first, unless the word is written in capitals.
fn small(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.as_str()) {
        (Some(first), rest) if rest.starts_with(|c: char| c.is_lowercase() || c == ' ') => {
            first.to_lowercase().chain(rest.chars()).collect()
        }
        _ => text.to_owned(),
    }
}

/// What marks may not be, whoever says so: what follows from them would need one answer.
pub(super) fn refuse(symptom: &Symptom, diagnostics: &mut Diagnostics) {
    if let (true, Some(group)) = (is_marks(symptom), &symptom.group) {
        let message = format!(
            "`{}` has several answers at once, so it cannot count once with others in the group `{group}`",
            symptom.id
        );
        let help = "take `group` out: words that tell the same go into one of its answers";
        diagnostics.tell(Code::Marks, group.span, message, help);
    }
    if let (false, Some(none)) = (is_marks(symptom), &symptom.none) {
        let message =
            format!("`{}` has one answer at a time, so `none` is never shown", symptom.id);
        let help = "take `none` out, or make \"none of these\" one of its answers";
        diagnostics.tell(Code::Marks, none.span, message, help);
    }
}

/// Whether a side may follow from it; marks are refused.
pub(super) fn gives_a_side(parent: &Symptom, named: Span, diagnostics: &mut Diagnostics) -> bool {
    if is_marks(parent) {
        let message = format!(
            "`{}` has several answers at once, so no one side can follow from it",
            parent.id
        );
        let help = "a side follows from a pattern with the answers `left` and `right`";
        diagnostics.tell(Code::Marks, named, message, help);
    }
    !is_marks(parent)
}
