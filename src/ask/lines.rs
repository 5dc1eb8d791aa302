//! Plain lines in, plain lines out: for a pipe, a serial line or a screen reader.

use std::io::{BufRead, Write};

use super::reply::{KeyKind, Lost, NoteReply, Prompt, PromptReply, read_note};
use super::{Ask, signal};
use crate::stream;
use crate::stream::terminal::Columns;

/// Asks over two streams, line by line, without a single control sequence.
pub struct PlainLines<R, W> {
    input: R,
    output: W,
    columns: Columns,
    gone: Option<Lost>,
}

/// A line longer than this, in bytes, is cut: nobody types it.
const LONGEST_LINE: usize = 4096;

impl<R: BufRead, W: Write> PlainLines<R, W> {
    /// Asks over these streams. PlainLines are at most `columns` wide.
    pub fn new(input: R, output: W, columns: Columns) -> Self {
        Self { input, output, columns, gone: None }
    }

    fn print(&mut self, text: &str) {
        let written = self
            .output
            .write_all(stream::painted(text).as_bytes())
            .and_then(|()| self.output.flush());
        if written.is_err() {
            self.gone.get_or_insert(Lost::EndOfInput);
        }
    }

    /// The next line, however broken its letters; nothing when there is none.
    fn line(&mut self) -> Result<String, Lost> {
        if let Some(lost) = self.gone {
            return Err(lost);
        }
        let mut kept = Vec::new();
        loop {
            let (used, ended) = match self.input.fill_buf() {
                Ok([]) if kept.is_empty() => {
                    return Err(*self.gone.insert(Lost::EndOfInput));
                }
                Ok([]) => (0, true),
                Ok(bytes) => {
                    let end = bytes.iter().position(|b| *b == b'\n');
                    let line = bytes.split(|b| *b == b'\n').next().unwrap_or_default();
                    let room = LONGEST_LINE.saturating_sub(kept.len());
                    kept.extend(line.iter().take(room));
                    (end.map_or(bytes.len(), |e| e + 1), end.is_some())
                }
                Err(error)
                    if error.kind() == std::io::ErrorKind::Interrupted && !signal::heard() =>
                {
                    continue;
                }
                Err(_) => return Err(*self.gone.insert(signal::lost())),
            };
            self.input.consume(used);
            if ended {
                return Ok(String::from_utf8_lossy(&kept).into_owned());
            }
        }
    }
}

impl<R: BufRead, W: Write> Ask for PlainLines<R, W> {
    fn say(&mut self, page: &str) {
        self.print(page);
    }

    fn choose(&mut self, prompt: &Prompt) -> PromptReply {
        loop {
            self.print(&format!("{}: ", prompt.label()));
            match self.line() {
                Err(lost) => return PromptReply::Lost(lost),
                Ok(line) => match prompt.read(&line) {
                    Ok(reply) => return reply,
                    Err(help) => {
                        self.print(&format!("{}\n", textwrap::fill(&help, self.columns.now())));
                    }
                },
            }
        }
    }

    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply {
        loop {
            self.print(&format!("{}: ", stream::clean(label)));
            match self.line() {
                Err(lost) => return NoteReply::Lost(lost),
                Ok(line) => match read_note(&line, keys) {
                    Ok(reply) => return reply,
                    Err(help) => {
                        self.print(&format!("{}\n", textwrap::fill(&help, self.columns.now())));
                    }
                },
            }
        }
    }

    fn words(&mut self, label: &str) -> Result<String, Lost> {
        self.print(&format!("{}: ", stream::clean(label)));
        self.line()
    }
}

#[cfg(test)]
mod tests {
    use super::super::reply::Key;
    use super::*;

    fn ask(input: &[u8]) -> (Vec<PromptReply>, String) {
        let mut out = Vec::new();
        let mut lines = PlainLines::new(input, &mut out, Columns::Fixed(80));
        let prompt = Prompt::new(vec!["No".to_owned(), "Yes".to_owned()], &[KeyKind::Stop]);
        let replies = (0..3).map(|_| lines.choose(&prompt)).collect();
        (replies, String::from_utf8(out).expect("text"))
    }

    #[test]
    fn the_end_of_input_stops_for_good() {
        let (replies, _) = ask(b"1\n");
        let end = PromptReply::Lost(Lost::EndOfInput);
        assert_eq!(replies, [PromptReply::Choice(0), end, end]);
    }

    #[test]
    fn a_last_line_without_its_end_still_counts() {
        assert_eq!(ask(b"2").0.first(), Some(&PromptReply::Choice(1)));
    }

    #[test]
    fn broken_letters_and_endless_lines_get_the_helpful_line() {
        let mut input = vec![0xff, 0xfe, b'\n'];
        input.extend(std::iter::repeat_n(b'9', 1_000_000));
        input.extend(b"\r\ns\r\n");
        let (replies, out) = ask(&input);
        assert_eq!(replies.first(), Some(&PromptReply::Key(Key::Stop)));
        assert_eq!(out.matches("Type 1 or 2, or s.").count(), 2);
        assert!(out.len() < 1000);
    }
}
