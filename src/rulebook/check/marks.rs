//! Marks: several answers at once. The files name the marks; the book has one answer for each set of them.

use crate::problem::Code;
use crate::rulebook::index::{AnswerAt, List, Place};
use crate::rulebook::model::{Answer, Meaning, NOTHING_TICKED, TOGETHER};
use crate::rulebook::network::{Kind, is_ticked, sets_of_marks};
use crate::rulebook::written::{Favoured, Likely, Symptom, SymptomKind};
use crate::source::Span;
use crate::source::parse::Text;

use super::Diagnostics;
use super::conditions::answer;
use super::names::{each_once, good_id};
use super::rows::chance;
use super::settings::Numbers;
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

/// Marks before any cause is linked to them: each has its chance by itself, and all are named.
pub(super) fn bare(symptom: &Symptom, numbers: &Numbers, diagnostics: &mut Diagnostics) -> Kind {
    let span = symptom.leak.span;
    let leaks = match &symptom.leak.value {
        Likely::Word(_) => {
            let message = "marks need a list of answers by itself, not one likelihood";
            let help = "write a list with all of them: by_itself: [(\"answer\", Seldom), ...]";
            diagnostics.tell(Code::WrongKind, span, message, help);
            None
        }
        Likely::Row(named) => row(named, symptom, numbers, diagnostics),
    };
    let Some(leaks) = leaks else {
        return Kind::Marks { leaks: vec![0.5; written(symptom).len()], links: Vec::new() };
    };
    let unnamed = written(symptom).iter().zip(&leaks).filter(|(_, leak)| leak.is_none());
    let unnamed: Vec<String> = unnamed.map(|((id, _), _)| format!("`{id}`")).collect();
    if !unnamed.is_empty() {
        let message = format!("nothing says how often {} is ticked by itself", unnamed.join(", "));
        let help = "each mark has a chance of its own, and none is left over: name all of them";
        diagnostics.tell(Code::Marks, span, message, help);
    }
    let leaks = leaks.into_iter().map(|leak| leak.unwrap_or(0.5)).collect();
    Kind::Marks { leaks, links: Vec::new() }
}

/// How likely a cause brings each mark; one that it does not name has no link.
pub(super) fn links(
    named: &[Favoured],
    symptom: &Symptom,
    numbers: &Numbers,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<f64>> {
    let links = row(named, symptom, numbers, diagnostics)?;
    Some(links.into_iter().map(|link| link.unwrap_or(0.0)).collect())
}

/// The chance of each mark that is named; nothing if one of them is not known.
fn row(
    named: &[Favoured],
    symptom: &Symptom,
    numbers: &Numbers,
    diagnostics: &mut Diagnostics,
) -> Option<Vec<Option<f64>>> {
    each_once(&named.iter().map(|f| &f.0).collect::<Vec<_>>(), diagnostics);
    let mut row = vec![None; written(symptom).len()];
    let mut good = true;
    for Favoured(id, likelihood) in named {
        let value = chance(*likelihood, numbers, diagnostics);
        let at = answer(id, &symptom.id, &symptom.answers, diagnostics);
        match at.and_then(|at| row.get_mut(at.position())) {
            Some(entry) => *entry = Some(value),
            None => good = false,
        }
    }
    good.then_some(row)
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
