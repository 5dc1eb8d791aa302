//! What follows without weighing anything: what applies. It keeps the first questions quick, however large the book.

use super::Observations;
use crate::conveyor::facts::Facts;
use crate::reason::Applicability;
use crate::rulebook::model::Book;

/// What applies after these replies.
pub fn applicability(book: &Book, facts: &Facts, observed: &Observations) -> Applicability {
    Applicability::new(book, facts, &observed.answers())
}
