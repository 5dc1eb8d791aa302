//! A look worth taking, and where somebody stands who takes it.

use crate::rulebook::index::{LookAt, SymptomAt};
use crate::rulebook::model::Book;
use crate::trade::LookPlace;

/// A look worth taking.
#[derive(Debug, Clone, PartialEq)]
pub struct NextLook {
    /// The look.
    pub look: LookAt,
    /// What is taken in there, in the order of the look.
    pub items: Vec<SymptomAt>,
    /// Minutes: the way there, the standing, the items, a change of the machine's state.
    pub minutes: f64,
    /// Bits about the causes present, each item by itself, times the chance that it can be told.
    pub bits: f64,
}

impl NextLook {
    /// Bits per minute.
    pub fn rate(&self) -> f64 {
        self.bits / self.minutes
    }
}

/// Where somebody stands who looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Standing {
    /// At this look: it need not be walked to, nor taken in again.
    pub at: Option<LookAt>,
    /// At this place.
    pub place: Option<LookPlace>,
}

impl Standing {
    /// Goes to a look: where one stands then.
    #[must_use]
    pub fn moved_to(self, book: &Book, look: LookAt) -> Self {
        let place = match book.looks[look].place {
            // Papers are asked for by radio, and a look of its own does not say where it is.
            None | Some(LookPlace::Papers) => self.place,
            place => place,
        };
        Self { at: Some(look), place }
    }

    /// At the same place, but no longer taking in what shows there: the machine or the belt is not as it was.
    #[must_use]
    pub fn taken_anew(self) -> Self {
        Self { at: None, ..self }
    }
}
