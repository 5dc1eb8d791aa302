//! Sentences with sides and quantities in them. They are filled in when they are shown: with what the sides are
//! called here, and in the reader's units.

use crate::trade::Side;
use std::borrow::Cow;

use crate::conveyor::quantity::{self, Quantity};

/// A piece of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Plain text.
    Text(Cow<'static, str>),
    /// A side, by the name it has here.
    Side(Side),
    /// A quantity, in the reader's units.
    Quantity(Quantity),
    /// A place along the conveyor, m: in the unit that places were given in.
    Place(f64),
}

/// A sentence of pieces.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Words(pub Vec<Piece>);

/// Makes [`Words`] of texts, sides and quantities: `say!("Shift the ", Side::Left, " end ", length, ".")`.
#[macro_export]
macro_rules! say {
    ($($piece:expr),* $(,)?) => {
        $crate::gauge::Words(vec![$($crate::gauge::Piece::from($piece)),*])
    };
}

impl From<&'static str> for Piece {
    fn from(text: &'static str) -> Self {
        Self::Text(Cow::Borrowed(text))
    }
}

impl From<String> for Piece {
    fn from(text: String) -> Self {
        Self::Text(Cow::Owned(text))
    }
}

impl From<Side> for Piece {
    fn from(side: Side) -> Self {
        Self::Side(side)
    }
}

impl From<Quantity> for Piece {
    fn from(quantity: Quantity) -> Self {
        Self::Quantity(quantity)
    }
}

impl From<quantity::Length> for Piece {
    fn from(length: quantity::Length) -> Self {
        Self::Quantity(Quantity::Length(length))
    }
}

impl From<quantity::Force> for Piece {
    fn from(force: quantity::Force) -> Self {
        Self::Quantity(Quantity::Force(force))
    }
}

impl From<quantity::Angle> for Piece {
    fn from(angle: quantity::Angle) -> Self {
        Self::Quantity(Quantity::Angle(angle))
    }
}

impl From<quantity::Time> for Piece {
    fn from(time: quantity::Time) -> Self {
        Self::Quantity(Quantity::Time(time))
    }
}
