//! What follows without weighing anything: what applies, and which opening question comes next. It keeps the
//! first questions quick, however large the book.

use super::{Reply, Told};
use crate::reason::{Applies, Facts};
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::Book;

/// What applies after these replies.
pub fn applies(book: &Book, facts: &dyn Facts, told: &Told) -> Applies {
    let answers = told.replies.map(|reply| match reply {
        Reply::Answer(answer) => Some(*answer),
        Reply::None | Reply::CantTell => None,
    });
    Applies::of(book, facts, &answers)
}

/// The opening question to ask now: the first that applies, had no reply and is not in a group with an answer.
/// It is the question that a finding would put first.
pub fn opening(book: &Book, applies: &Applies, told: &Told) -> Option<SymptomAt> {
    // Without a cause that applies there is nothing to ask about.
    if !applies.causes.values().any(|applies| *applies) {
        return None;
    }
    let group_answered = |symptom: SymptomAt| {
        let group = book.symptoms[symptom].group.and_then(|g| book.groups.get(g));
        group.is_some_and(|group| group.iter().any(|s| applies.counted[*s].is_some()))
    };
    (book.opening.iter().copied())
        .filter(|s| applies.symptoms[*s] && told.replies[*s] == Reply::None)
        .find(|s| !group_answered(*s))
}
