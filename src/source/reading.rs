//! Which text this thread reads, and the places of what ron lends out of it.
//!
//! ron lends out slices of the text it reads; the address of a slice less the address of the text is
//! a place in it. `Reading` says, for the thread that parses, which text that is.

use std::cell::RefCell;
use std::rc::Rc;

use ron::extensions::Extensions;
use ron::value::RawValue;
use serde::de::{self, Deserialize};

use super::lexer::{self, extent};
use super::misread::{Misread, misread};
use super::{FileId, Span};

/// How RON is read everywhere in this program.
pub(super) fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// The text of a value without the comments and blanks round it.
pub(super) fn raw(value: &RawValue) -> &str {
    let text = value.get_ron();
    let (start, end) = extent(text);
    text.get(start..end).unwrap_or(text)
}

/// What an item of a text is worth when nobody says which text it is of.
pub(super) const NOWHERE: Span = Span { file: FileId(u32::MAX), start: 0, end: 0 };

thread_local! {
    static READING: RefCell<Option<Reading>> = const { RefCell::new(None) };
    /// The place and kind of an error found by a reading inside a reading: ron itself would only
    /// know where the outer one stood.
    static INNER: RefCell<Option<Misread>> = const { RefCell::new(None) };
}

/// The text that this thread reads.
pub(super) struct Reading {
    file: FileId,
    /// The text's address.
    base: usize,
    text: Rc<str>,
    /// Everything before this byte has been read.
    done: usize,
    /// From a place in this text to that in the file.
    back: Back,
    /// The words of the enum that was last asked for.
    words: &'static [&'static str],
}

/// From a place in a text that was mended to that in the file.
pub(super) type Back = Rc<dyn Fn(usize) -> usize>;

/// While this lives, slices of the text can be turned into places.
pub(super) struct Guard;

impl Reading {
    pub(super) fn of(file: FileId, text: &str) -> Guard {
        Self::mended(file, text, Rc::new(|at| at))
    }

    /// Of a text that is not that of the file any more.
    pub(super) fn mended(file: FileId, text: &str, back: Back) -> Guard {
        let base = text.as_ptr() as usize;
        READING.set(Some(Self { file, base, text: text.into(), done: 0, back, words: &[] }));
        INNER.take();
        Guard
    }

    /// A stretch of this text as one of the file.
    fn span(&self, start: usize, end: usize) -> Span {
        Span::new(self.file, (self.back)(start), (self.back)(end))
    }

    fn offset(&self, slice: &str) -> Option<usize> {
        let start = (slice.as_ptr() as usize).checked_sub(self.base)?;
        (start + slice.len() <= self.text.len()).then_some(start)
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        READING.take();
        INNER.take();
    }
}

fn reading(with: impl FnOnce(&mut Reading) -> Option<Span>) -> Span {
    READING.with_borrow_mut(|reading| with(reading.as_mut()?)).unwrap_or(NOWHERE)
}

/// The place of a slice of the text; what stands before its end has been read.
pub(super) fn seen(slice: &str) -> Span {
    reading(|reading| {
        let start = reading.offset(slice)?;
        reading.done = start + slice.len();
        Some(reading.span(start, reading.done))
    })
}

/// The place of a text without escapes.
pub(super) fn seen_text(slice: &str) -> Span {
    let span = seen(slice);
    // Its closing quote has been read as well.
    reading(|reading| {
        let rest = reading.text.get(reading.done..).unwrap_or("");
        let quote = rest.strip_prefix('"').map(|after| after.trim_start_matches('#'));
        reading.done += quote.map_or(0, |after| rest.len() - after.len());
        Some(span)
    })
}

/// The place of a word, with the bracket that follows it.
pub(super) fn seen_word(word: &str) -> Span {
    reading(|reading| {
        let start = reading.offset(word)?;
        reading.done = start + word.len();
        Some(reading.span(start, lexer::value_end(&reading.text, start)))
    })
}

/// The place of a text with escapes: ron lends out no slice of it, but it is the next one.
pub(super) fn seen_escaped() -> Span {
    reading(|reading| {
        let (start, end) = lexer::escaped(&reading.text, reading.done)?;
        reading.done = end;
        Some(reading.span(start, end))
    })
}

/// Notes the words of which one is expected next.
pub(super) fn expects(words: &'static [&'static str]) {
    READING.with_borrow_mut(|reading| {
        if let Some(reading) = reading {
            reading.words = words;
        }
    });
}

/// The words of which one was last expected.
pub(super) fn expected() -> &'static [&'static str] {
    READING.with_borrow(|reading| reading.as_ref().map_or(&[][..], |reading| reading.words))
}

fn span_of(slice: &str) -> Option<Span> {
    READING.with_borrow(|reading| {
        let reading = reading.as_ref()?;
        let start = reading.offset(slice)?;
        Some(Span::new(reading.file, start, start + slice.len()))
    })
}

/// Reads a slice of the text; an error leaves its own place behind in [`INNER`].
pub(super) fn inner<'de, T: Deserialize<'de>, E: de::Error>(slice: &'de str) -> Result<T, E> {
    let Some(span) = span_of(slice) else {
        return options().from_str(slice).map_err(|error| E::custom(error.code));
    };
    read(span.file, slice, span.start as usize).map_err(|misread| {
        let words = misread.what.to_string();
        INNER.set(Some(misread));
        E::custom(words)
    })
}

/// Reads `slice`, which begins at byte `base` of `file`.
pub(super) fn read<'de, T: Deserialize<'de>>(
    file: FileId,
    slice: &'de str,
    base: usize,
) -> Result<T, Misread> {
    options().from_str(slice).map_err(|error| match INNER.take() {
        Some(misread) => misread,
        None => misread(file, slice, base, error),
    })
}
