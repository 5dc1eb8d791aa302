//! A guess at what is wrong with a text: the lexer and the search for slips both make them.

/// A guess at what is wrong, in bytes of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hint {
    /// First byte and one past the last.
    pub at: (usize, usize),
    /// What is wrong there, in words.
    pub says: String,
    /// A second place that belongs to it.
    pub also: Option<((usize, usize), String)>,
}

impl Hint {
    pub(super) fn new(at: (usize, usize), says: impl Into<String>) -> Self {
        Self { at, says: says.into(), also: None }
    }
}
