//! Texts and places: which file, which bytes, which line and column. Knows nothing of rules.

mod around;
pub mod fields;
pub mod folder;
pub mod hint;
pub mod hints;
pub(crate) mod lexer;
mod mended;
pub mod misread;
pub mod parse;
mod reading;
mod recover;
pub mod slip;
mod watch;

use std::borrow::Cow;
use std::sync::OnceLock;

/// No single file may be larger than this, bytes.
pub const FILE_LIMIT: usize = 4 * 1024 * 1024;
/// All files of one folder together may not be larger than this, bytes.
pub const FOLDER_LIMIT: usize = 64 * 1024 * 1024;
/// Of a longer line only so many characters round the place are kept.
const LINE_SHOWN: usize = 240;

/// Which of the texts that were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(u32);

/// A stretch of one text, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// Which text.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A stretch of `file` from byte `start` up to `end`.
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let clip = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Self { file, start: clip(start), end: clip(end.max(start)) }
    }

    /// The first byte of it.
    pub fn first(self) -> Self {
        Self { end: self.start.saturating_add(1).min(self.end), ..self }
    }

    /// The stretch from `from` to `to`, counted in bytes from this one's start.
    pub fn part(self, from: usize, to: usize) -> Self {
        let start = self.start as usize;
        let end = self.end as usize;
        Self::new(self.file, (start + from).min(end), (start + to).min(end))
    }
}

/// A text and the name that people know it by.
#[derive(Debug, Clone)]
pub struct Source {
    /// The path as it is shown.
    pub name: String,
    /// The text, without a byte order mark.
    pub text: Cow<'static, str>,
    /// Where its lines end, found when a place is first asked for: a file may hold thousands.
    line_ends: OnceLock<Vec<usize>>,
}

/// All texts of one reading.
#[derive(Debug, Clone, Default)]
pub struct Texts {
    files: Vec<Source>,
}

/// A place as a person is told of it, with the line it stands in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The file's path as shown.
    pub file: String,
    /// Where in it, if a single place is meant.
    pub at: Option<At>,
}

/// A line and column, both from 1; columns count characters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct At {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// How many characters are meant, at least 1, all in this line.
    pub width: usize,
    /// The line, or as much of it round the place as is kept.
    pub text: String,
    /// How many characters of the line stand before `text`.
    pub skipped: usize,
}

impl Place {
    /// A whole file.
    pub fn file(name: impl Into<String>) -> Self {
        Self { file: name.into(), at: None }
    }
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.at {
            Some(at) => write!(f, "{}:{}:{}", self.file, at.line, at.column),
            None => f.write_str(&self.file),
        }
    }
}

impl Texts {
    /// Takes a text in. A byte order mark at its start is dropped.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<Cow<'static, str>>) -> FileId {
        let text = match text.into() {
            Cow::Borrowed(text) => Cow::Borrowed(text.strip_prefix('\u{feff}').unwrap_or(text)),
            Cow::Owned(text) => match text.strip_prefix('\u{feff}') {
                Some(rest) => Cow::Owned(rest.to_owned()),
                None => Cow::Owned(text),
            },
        };
        self.files.push(Source { name: name.into(), text, line_ends: OnceLock::new() });
        FileId(u32::try_from(self.files.len() - 1).unwrap_or(u32::MAX))
    }

    /// The text of a file.
    pub fn text(&self, file: FileId) -> &str {
        self.files.get(file.0 as usize).map_or("", |source| &source.text)
    }

    /// The name of a file.
    pub fn name(&self, file: FileId) -> &str {
        self.files.get(file.0 as usize).map_or("", |source| &source.name)
    }

    /// The bytes of a span as text.
    pub fn slice(&self, span: Span) -> &str {
        self.text(span.file).get(span.start as usize..span.end as usize).unwrap_or("")
    }

    /// How many texts there are.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// Where a span is, for people.
    pub fn place(&self, span: Span) -> Place {
        let (start, end) = (span.start as usize, span.end as usize);
        let at = self.files.get(span.file.0 as usize).map(|source| {
            let ends = source.line_ends.get_or_init(|| line_ends(&source.text));
            let line = ends.partition_point(|end| *end < floor(&source.text, start));
            at(&source.text, line, start, end)
        });
        Place {
            file: self.name(span.file).to_owned(),
            at: Some(at.unwrap_or_else(|| at_in("", 0, 0))),
        }
    }
}

/// The bytes at which lines end.
fn line_ends(text: &str) -> Vec<usize> {
    text.match_indices('\n').map(|(at, _)| at).collect()
}

/// Line, column and line text of the bytes `start..end` of a text that no other place is asked of.
fn at_in(text: &str, start: usize, end: usize) -> At {
    let before = text.get(..floor(text, start)).unwrap_or("");
    at(text, line_ends(before).len(), start, end)
}

/// Line, column and line text of the bytes `start..end`, before which so many lines end. Lines end in LF or
/// CR LF.
fn at(text: &str, lines_before: usize, start: usize, end: usize) -> At {
    let start = floor(text, start);
    let end = floor(text, end.max(start));
    let (before, after) = text.split_at(start);
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    let line = 1 + lines_before;
    let column = 1 + text.get(line_start..start).unwrap_or("").chars().count();
    let rest = after.split('\n').next().unwrap_or("");
    let rest = rest.strip_suffix('\r').unwrap_or(rest);
    let whole = text.get(line_start..start + rest.len()).unwrap_or("");
    let meant = rest.get(..(end - start).min(rest.len())).unwrap_or(rest);
    let width = meant.chars().count().max(1);
    let skipped = (column - 1).saturating_sub(LINE_SHOWN / 3);
    let text = whole.chars().skip(skipped).take(LINE_SHOWN).collect();
    At { line, column, width, text, skipped }
}

/// A text in double quotes that reads back the same.
pub fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                out.push('\\');
                out.push(c);
            }
            c if unprintable(c) => out.push_str(&format!("\\u{{{:x}}}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Control characters, and those that turn, hide or join what stands round them on a terminal.
pub fn unprintable(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

/// The nearest character boundary at or before `at`.
fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_lines_end_in_either_way() {
        let mut texts = Texts::default();
        let file = texts.add("a.ron", "\u{feff}// Größe\r\n\tid: \"x\",\r\nlast");
        let text = texts.text(file);
        let start = text.find("\"x\"").unwrap();
        let place = texts.place(Span::new(file, start, start + 3));
        let at = place.at.as_ref().unwrap();
        assert_eq!((at.line, at.column, at.width), (2, 6, 3));
        assert_eq!(at.text, "\tid: \"x\",");
        assert_eq!(place.to_string(), "a.ron:2:6");
        let start = text.find("öße").unwrap();
        let at = texts.place(Span::new(file, start, start + 5)).at.unwrap();
        assert_eq!((at.line, at.column, at.width), (1, 6, 3));
    }

    #[test]
    fn a_place_past_the_end_or_inside_a_character_is_no_panic() {
        let at = |text, start, end| {
            let mut texts = Texts::default();
            let file = texts.add("a", text);
            texts.place(Span::new(file, start, end)).at.unwrap()
        };
        let inside = at("aö", 2, 99);
        assert_eq!((inside.line, inside.column, inside.width), (1, 2, 1));
        assert_eq!(at("", 5, 9).line, 1);
    }

    #[test]
    fn a_very_long_line_is_kept_only_round_the_place() {
        let text = "x".repeat(100_000);
        let at = at(&text, 0, 50_000, 50_003);
        assert_eq!((at.column, at.width, at.text.len()), (50_001, 3, LINE_SHOWN));
        assert!(at.skipped < 50_000 && at.skipped + LINE_SHOWN > 50_003);
    }
}
