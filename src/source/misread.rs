//! What is wrong with the shape of a text, in words that a rule author knows.

use std::fmt;

use super::{FileId, Span, lexer};

/// What is said where a list should begin.
pub(super) const NO_LIST: &str = "a list in [ ] is expected here";

/// What is said where a word should stand.
pub(super) const NO_WORD: &str = "a field name or a word is expected here";
/// What is said where a bracket should open.
pub(super) const NO_OPENING: &str = "an opening `(` is expected here";

/// Why a text could not be read as what it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// Where.
    pub span: Span,
    /// What.
    pub what: What,
}

/// What is wrong with the shape of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A field that is not known there, and those that are.
    UnknownField(String, &'static [&'static str]),
    /// A word that is not known there, and those that are.
    UnknownWord(String, &'static [&'static str]),
    /// A field that must be there and is not.
    MissingField(String),
    /// A field that is there twice.
    TwiceField(String),
    /// Nested too deeply.
    TooDeep,
    /// Something else was expected; the words say what.
    Expected(String),
    /// The text is not RON here; the words say what was expected.
    Syntax(String),
}

impl fmt::Display for What {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownField(found, _) => write!(f, "unknown field `{found}`"),
            Self::UnknownWord(found, _) => write!(f, "unknown word `{found}`"),
            Self::MissingField(field) => write!(f, "field `{field}` is missing"),
            Self::TwiceField(field) => write!(f, "field `{field}` stands here twice"),
            Self::TooDeep => f.write_str("brackets are nested too deeply"),
            Self::Expected(what) | Self::Syntax(what) => f.write_str(what),
        }
    }
}

/// ron's error with its place in the whole file and in words that a rule author knows.
pub(crate) fn misread(
    file: FileId,
    slice: &str,
    base: usize,
    error: ron::error::SpannedError,
) -> Misread {
    use ron::Error as E;
    let mut start = offset(slice, error.span.start);
    let end = offset(slice, error.span.end);
    let mut span = Span::new(file, base + start, base + end.max(start));
    let what = match error.code {
        E::NoSuchStructField { expected, found, .. } => What::UnknownField(found, expected),
        E::NoSuchEnumVariant { expected, found, .. } => What::UnknownWord(found, expected),
        E::MissingStructField { field, .. } => {
            // ron stands at the closing bracket; the opening one says more.
            let opener = lexer::open_bracket(slice.get(..start).unwrap_or("")).unwrap_or(0);
            span = Span::new(file, base + opener, base + opener + 1);
            What::MissingField(field.to_owned())
        }
        E::DuplicateStructField { field, .. } => What::TwiceField(field.to_owned()),
        E::ExceededRecursionLimit => What::TooDeep,
        E::ExpectedFloat
        | E::ExpectedInteger
        | E::InvalidIntegerDigit { .. }
        | E::FloatUnderscore => What::Expected("a number is expected here".to_owned()),
        E::IntegerOutOfBounds => What::Expected("this whole number is out of range".to_owned()),
        E::ExpectedBoolean => What::Expected("`true` or `false` is expected here".to_owned()),
        E::ExpectedString => What::Expected("a text in double quotes is expected here".to_owned()),
        E::InvalidEscape(words) => {
            What::Expected(format!("this escape is not known: {}", lower(words)))
        }
        E::ExpectedDifferentLength { expected, found } => {
            What::Expected(format!("{}, but there is {found}", lengths(&expected)))
        }
        E::InvalidValueForType { found, .. } => {
            What::Expected(format!("{found} does not belong here"))
        }
        E::ExpectedArray => What::Syntax(NO_LIST.to_owned()),
        E::ExpectedArrayEnd => What::Syntax("the list's closing `]` is expected here".to_owned()),
        E::ExpectedStructLike
        | E::ExpectedNamedStructLike(_)
        | E::ExpectedDifferentStructName { .. } => What::Syntax(NO_OPENING.to_owned()),
        E::ExpectedStructLikeEnd | E::ExpectedOptionEnd => {
            What::Syntax("a closing `)` is expected here".to_owned())
        }
        E::ExpectedMapColon => What::Syntax("a `:` is expected here".to_owned()),
        E::ExpectedComma => What::Syntax("a comma is expected here".to_owned()),
        E::ExpectedIdentifier => What::Syntax(NO_WORD.to_owned()),
        E::ExpectedStringEnd => What::Syntax("this text has no closing \"".to_owned()),
        E::UnclosedBlockComment => What::Syntax("this comment has no closing */".to_owned()),
        E::TrailingCharacters if slice.starts_with(|c: char| c.is_ascii_digit() || c == '-') => {
            start = 0;
            What::Expected("a whole number is expected here".to_owned())
        }
        E::TrailingCharacters => {
            What::Syntax("nothing more is expected after the last bracket".to_owned())
        }
        E::Eof => What::Syntax("the file ends too early".to_owned()),
        E::ExpectedAttribute | E::ExpectedAttributeEnd | E::NoSuchExtension(_) => {
            What::Syntax("a line that begins with # does not belong here".to_owned())
        }
        E::SuggestRawIdentifier(found) | E::InvalidIdentifier(found) => {
            What::Syntax(format!("`{found}` cannot stand here"))
        }
        E::UnexpectedChar(c) => What::Syntax(format!("the character {c:?} cannot stand here")),
        E::Message(words) => What::Expected(words),
        other => What::Syntax(lower(&other.to_string())),
    };
    if matches!(what, What::Expected(_) | What::Syntax(_)) {
        // ron stands before the blanks.
        let (from, to) = lexer::next(slice, start).unwrap_or((start, end));
        span = Span::new(file, base + from, base + to);
    }
    Misread { span, what }
}

/// "a tuple of size 2" and the like, in plain words.
fn lengths(expected: &str) -> String {
    let number: String = expected.chars().filter(char::is_ascii_digit).collect();
    if number.is_empty() {
        format!("{expected} expected")
    } else {
        format!("{number} values are expected in this bracket")
    }
}

fn lower(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// The byte at ron's line and column of `text`.
fn offset(text: &str, at: ron::error::Position) -> usize {
    let mut start = 0;
    for _ in 1..at.line {
        match text.get(start..).and_then(|rest| rest.find('\n')) {
            Some(found) => start += found + 1,
            None => return text.len(),
        }
    }
    let rest = text.get(start..).unwrap_or("");
    start + rest.char_indices().nth(at.col.saturating_sub(1)).map_or(rest.len(), |(at, _)| at)
}
