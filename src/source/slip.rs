//! What is wrong with the shape of a text, as it is told of.

use super::hints::Told;
use super::misread::Misread;
use super::{FileId, Span};

/// Something that is wrong with the shape of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Slip {
    /// The file as a whole is no list, or no value.
    File(Misread),
    /// Something in an entry cannot be read as what it should be.
    Entry(Misread),
    /// Commas, quotes, brackets: the places where they are wrong, each with what is said of it.
    Guess {
        /// Where, and what is wrong there; the first is the main place.
        places: Vec<(Span, String)>,
        /// Where the first belongs to, and what is there.
        also: Option<(Span, String)>,
        /// How many more places have the same.
        more: usize,
    },
}

/// No more places of one slip are shown.
const PLACES: usize = 3;

impl Slip {
    /// Whether a bracket or a quote is wrong, so that nobody knows what belongs where.
    pub(super) fn is_sore(&self) -> bool {
        let sore = |says: &str| {
            ["this `", "this text has no", "this bracket"]
                .iter()
                .any(|begin| says.starts_with(begin))
        };
        matches!(self, Self::Guess { places, .. } if places.iter().any(|(_, says)| sore(says)))
    }

    /// Its main place.
    pub(super) fn span(&self) -> Option<Span> {
        match self {
            Self::File(misread) | Self::Entry(misread) => Some(misread.span),
            Self::Guess { places, .. } => places.first().map(|(span, _)| *span),
        }
    }

    pub(super) fn guess(file: FileId, told: Told, back: &dyn Fn(usize) -> usize) -> Self {
        let span = |at: (usize, usize)| Span::new(file, back(at.0), back(at.1));
        let more = told.hints.len().saturating_sub(PLACES);
        let also = told.hints.first().and_then(|hint| hint.also.clone());
        let places = told.hints.into_iter().take(PLACES).map(|hint| (span(hint.at), hint.says));
        Self::Guess {
            places: places.collect(),
            also: also.map(|(at, says)| (span(at), says)),
            more,
        }
    }
}
