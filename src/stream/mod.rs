//! What stands between any text and a stream: whatever a file, an argument or a person wrote, nothing in it
//! can steer a terminal, turn a line round or hide a part of it.
//!
//! Every character goes through [`shown`]. Pages clean what they lay out, so that its width is right; each
//! [`Stream`] does it once more, so that nothing depends on anybody's memory.

pub mod paint;
pub mod terminal;

use std::borrow::Cow;
use std::io::{self, Write};

use serde::Serialize;

use self::paint::Paint;
use crate::source::unprintable;

/// A tab is shown as so many blanks.
const TAB: &str = "    ";
/// Stands for what cannot be shown.
const STAND_IN: &str = "\u{fffd}";
/// The inks there are, as numbers of the control sequence that sets them: none of them hides or moves anything.
const INKS: [&str; 10] = ["0", "1", "2", "3", "4", "22", "31", "32", "33", "36"];

/// A character as it may go to a stream; nothing where it may go as it is.
fn shown(c: char) -> Option<&'static str> {
    match c {
        '\n' => None,
        '\t' => Some(TAB),
        c if unprintable(c) => Some(STAND_IN),
        _ => None,
    }
}

/// Text of whatever origin, fit to be shown; line ends stay.
pub fn clean(text: &str) -> Cow<'_, str> {
    screened(text, Inks::Stopped)
}

/// A page that we laid out, with its inks; everything else as in [`clean`].
pub fn painted(page: &str) -> Cow<'_, str> {
    screened(page, Inks::Through)
}

/// What becomes of the inks in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Inks {
    /// They are let through.
    Through,
    /// They are shown as what they are: letters.
    Stopped,
}

fn screened(text: &str, inks: Inks) -> Cow<'_, str> {
    if text.chars().all(|c| shown(c).is_none()) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let ink = if inks == Inks::Through { ink_at(rest) } else { 0 };
        let taken = if ink > 0 { ink } else { c.len_utf8() };
        let (this, after) = rest.split_at(taken);
        out.push_str(if ink > 0 { this } else { shown(c).unwrap_or(this) });
        rest = after;
    }
    Cow::Owned(out)
}

/// The length in bytes of the ink that the text begins with; 0 if it begins with none.
fn ink_at(text: &str) -> usize {
    let numbers = text.strip_prefix("\u{1b}[").and_then(|rest| rest.split_once('m'));
    let known = |numbers: &str| numbers.split(';').all(|number| INKS.contains(&number));
    numbers.filter(|(numbers, _)| known(numbers)).map_or(0, |(numbers, _)| numbers.len() + 3)
}

/// A value as a JSON document of two blanks a level, with a line end. Inside its texts, which is the only place
/// where such a character can stand, what cannot be shown is written as an escape: who reads the document gets it
/// back as it was.
///
/// # Errors
/// A value that has no JSON.
pub fn json(value: &impl Serialize) -> serde_json::Result<String> {
    let written = serde_json::to_string_pretty(value)?;
    let mut text = String::with_capacity(written.len() + 1);
    for c in written.chars() {
        if c == '\n' || !unprintable(c) {
            text.push(c);
            continue;
        }
        for unit in c.encode_utf16(&mut [0; 2]) {
            text.push_str(&format!("\\u{unit:04x}"));
        }
    }
    text.push('\n');
    Ok(text)
}

/// An output of the program. What is written there is shown as [`clean`] has it; letters that come in pieces are
/// put together, bytes that are no text are shown as such.
pub struct Stream {
    to: Box<dyn Write>,
    paint: Paint,
    torn: Vec<u8>,
}

/// What becomes of a piece of a letter at the end of what has come.
#[derive(Clone, Copy)]
enum TornLetter {
    /// It waits for the rest.
    Waits,
    /// It is written as it is: nothing more comes.
    Written,
}

/// What is left of a letter that came in pieces is at most so long, in bytes.
const LONGEST_TORN: usize = 3;

impl Stream {
    /// Writes to this; the inks of pages are let through if it is painted.
    pub fn new(to: Box<dyn Write>, paint: Paint) -> Self {
        Self { to, paint, torn: Vec::new() }
    }

    /// Whether inks are let through from now on.
    pub fn paint(&mut self, paint: Paint) {
        self.paint = paint;
    }

    /// Writes a page that we laid out, with its inks.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn page(&mut self, page: &str) -> io::Result<()> {
        self.pass(TornLetter::Written)?;
        let inks = if self.paint.is_on() { Inks::Through } else { Inks::Stopped };
        self.to.write_all(screened(page, inks).as_bytes())
    }

    /// Writes the value as a JSON document.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn json(&mut self, value: &impl Serialize) -> io::Result<()> {
        self.write_all(json(value)?.as_bytes())
    }

    /// The bare output, for lines of our own that are drawn anew. No text of anybody else may go there.
    pub fn bare(&mut self) -> &mut dyn Write {
        &mut self.to
    }

    /// Writes what has come.
    fn pass(&mut self, torn: TornLetter) -> io::Result<()> {
        let keep = match torn {
            TornLetter::Written => 0,
            TornLetter::Waits => torn_off(&self.torn),
        };
        let whole = self.torn.len() - keep;
        let bytes: Vec<u8> = self.torn.drain(..whole).collect();
        self.to.write_all(clean(&String::from_utf8_lossy(&bytes)).as_bytes())
    }
}

/// How many bytes at the end are the beginning of a letter.
fn torn_off(bytes: &[u8]) -> usize {
    let mut ends = bytes.len().saturating_sub(LONGEST_TORN)..bytes.len();
    let torn = ends.find(|&at| {
        let end = std::str::from_utf8(bytes.get(at..).unwrap_or_default());
        end.is_err_and(|error| error.error_len().is_none() && error.valid_up_to() == 0)
    });
    torn.map_or(0, |at| bytes.len() - at)
}

impl Write for Stream {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.torn.extend_from_slice(bytes);
        self.pass(TornLetter::Waits).map(|()| bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.pass(TornLetter::Written)?;
        self.to.flush()
    }
}

#[cfg(test)]
mod tests {
    use std::sync::{Arc, Mutex};

    use proptest::prelude::*;

    use super::*;

    #[derive(Clone, Default)]
    struct Seen(Arc<Mutex<Vec<u8>>>);

    impl Write for Seen {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.0.lock().unwrap().extend_from_slice(bytes);
            Ok(bytes.len())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    fn written(pieces: &[&[u8]]) -> String {
        let seen = Seen::default();
        let mut stream = Stream::new(Box::new(seen.clone()), Paint::new(true));
        for piece in pieces {
            stream.write_all(piece).unwrap();
        }
        stream.flush().unwrap();
        String::from_utf8(std::mem::take(&mut seen.0.lock().unwrap())).unwrap()
    }

    #[test]
    fn what_steers_a_terminal_is_shown_as_a_stand_in_and_the_rest_as_it_is() {
        assert_eq!(clean("Größe 5 µm\n\tx"), "Größe 5 µm\n    x");
        let hostile =
            "\0\u{7}\u{8}\r\u{1b}\u{7f}\u{85}\u{9b}\u{61c}\u{200e}\u{202e}\u{2066}\u{e0041}";
        assert_eq!(clean(hostile), STAND_IN.repeat(hostile.chars().count()));
    }

    #[test]
    fn inks_pass_where_there_is_paint_and_nothing_else_that_begins_like_one() {
        let page = "\u{1b}[1;31mstop\u{1b}[0m \u{1b}[2J\u{1b}[8m\u{1b}]0;x\u{7}\u{1b}[1";
        assert_eq!(
            painted(page),
            "\u{1b}[1;31mstop\u{1b}[0m \u{fffd}[2J\u{fffd}[8m\u{fffd}]0;x\u{fffd}\u{fffd}[1"
        );
        assert_eq!(clean("\u{1b}[1mx"), "\u{fffd}[1mx");
    }

    #[test]
    fn a_document_reads_back_as_it_was() {
        let value = serde_json::json!({ "a\u{9b}": "\u{1b}\u{7f}\u{202e}\u{e0041} \u{85}\n\t" });
        let text = json(&value).unwrap();
        assert!(text.chars().all(|c| c == '\n' || !unprintable(c)), "{text}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&text).unwrap(), value);
    }

    #[test]
    fn letters_in_pieces_are_put_together_and_what_is_no_text_is_shown() {
        assert_eq!(written(&[b"\xe2", b"\x80", b"\xae\xc3", b"\xb6"]), "\u{fffd}ö");
        assert_eq!(written(&[b"\xc2", b"\x9b"]), "\u{fffd}");
        assert_eq!(written(&[b"a\xff\xc3"]), "a\u{fffd}\u{fffd}");
        // Inks are for pages.
        assert_eq!(written(&[b"\x1b[1mx"]), "\u{fffd}[1mx");
    }

    proptest! {
        #[test]
        fn however_a_text_is_cut_the_same_is_written(
            text in "[a\u{1b}\u{9b}ö€\u{202e}\u{1f600}]{0,40}", cut in 0..80usize
        ) {
            let (one, other) = text.as_bytes().split_at(cut.min(text.len()));
            prop_assert_eq!(written(&[one, other]), clean(&text).into_owned());
        }
    }
}
