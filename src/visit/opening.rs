//! What follows without weighing anything: what applies, and which opening question comes next. It keeps the
//! first questions quick, however large the book.

use super::{Observations, Reply};
use crate::reason::{Applicability, Facts};
use crate::rulebook::index::SymptomAt;
use crate::rulebook::model::Book;

/// What applies after these replies.
pub fn applicability(book: &Book, facts: &dyn Facts, observed: &Observations) -> Applicability {
    Applicability::new(book, facts, &observed.answers())
}

/// The opening question to ask now: the first that applies, had no reply and is not in a group with an answer.
/// It is the question that a finding would put first.
pub fn question(
    book: &Book,
    applies: &Applicability,
    observed: &Observations,
) -> Option<SymptomAt> {
    // Without a cause that applies there is nothing to ask about.
    if !applies.causes.values().any(|applies| *applies) {
        return None;
    }
    let group_answered = |symptom: SymptomAt| {
        let group = book.symptoms[symptom].group.and_then(|g| book.groups.get(g));
        group.is_some_and(|group| group.iter().any(|s| applies.counted[*s].is_some()))
    };
    (book.opening.iter().copied())
        .filter(|s| applies.symptoms[*s] && observed.replies[*s] == Reply::Unanswered)
        .find(|s| !group_answered(*s))
}
