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
    /// What would put it right, so that reading can go on behind it.
    pub(super) mend: Option<Mend>,
}

/// What would put a slip right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mend {
    /// The bytes that it takes the place of; none where something is missing.
    pub(super) at: (usize, usize),
    /// What belongs there.
    pub(super) put: String,
    /// Whether it is only a slip where reading stops: `(12,5)` may also be two numbers.
    pub(super) only_there: bool,
}

impl Hint {
    pub(super) fn new(at: (usize, usize), says: impl Into<String>) -> Self {
        Self { at, says: says.into(), also: None, mend: None }
    }

    /// With what would put it right.
    pub(super) fn mend(mut self, at: (usize, usize), put: impl Into<String>) -> Self {
        self.mend = Some(Mend { at, put: put.into(), only_there: false });
        self
    }

    /// With what would put it right, if reading stops there.
    pub(super) fn mend_there(mut self, at: (usize, usize), put: impl Into<String>) -> Self {
        self.mend = Some(Mend { at, put: put.into(), only_there: true });
        self
    }
}
