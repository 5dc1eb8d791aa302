//! A terminal: pages on standard error, the number typed with Enter; an arrow-key list on request.

use std::io::Write;

use dialoguer::console::{Key, Term};
use dialoguer::theme::{SimpleTheme, Theme};
use dialoguer::{Input, Select};
use unicode_width::UnicodeWidthStr;

use super::reply::{KeyKind, Lost, NoteReply, Prompt, PromptReply, read_note};
use super::screenful::Screenful;
use super::{Ask, Pace, signal};
use crate::stream;
use crate::stream::terminal::{Cells, Columns, cells};

/// How one of several answers is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choosing {
    /// Its number is typed.
    ByNumber,
    /// From an arrow-key list.
    ByArrowKeys,
}

/// Asks at a terminal. Standard input and standard error must both be one.
pub struct Typed {
    choosing: Choosing,
    columns: Columns,
    screenful: Screenful,
    gone: Option<Lost>,
}

/// What stands under a screenful of a taller page.
const MORE: &str = "-- more: press Enter";
/// Stands above an arrow-key list in which nothing is chosen yet.
const CHOOSE: &str = "Choose with the arrow keys, then Enter:\n";
/// Columns that the mark of the chosen line takes, and the margin.
const MARK: usize = 4;
/// Further lines of an answer hang below its first.
const BELOW: &str = "\n    ";

impl Typed {
    /// Lines are at most `columns` wide.
    pub fn new(choosing: Choosing, columns: Columns) -> Self {
        Self { choosing, columns, screenful: Screenful::default(), gone: None }
    }

    fn line(&mut self, label: &str) -> Result<String, Lost> {
        if let Some(lost) = self.gone {
            return Err(lost);
        }
        let read = first(label).and_then(|first| match first {
            First::Letter(first) => Input::<String>::with_theme(&OneLine)
                .with_prompt(label)
                .allow_empty(true)
                .with_initial_text(first)
                .interact_text()
                .map_err(|dialoguer::Error::IO(error)| error),
            First::Nothing => Ok(String::new()),
            First::EndOfInput => Err(std::io::ErrorKind::UnexpectedEof.into()),
        });
        self.screenful.read();
        read.map_err(|_| {
            let _ = std::io::stderr().write_all(b"\n");
            *self.gone.insert(gone())
        })
    }

    fn print(&mut self, text: &str) {
        let mut out = std::io::stderr();
        if out.write_all(text.as_bytes()).and_then(|()| out.flush()).is_err() {
            self.gone.get_or_insert(Lost::EndOfInput);
        }
    }

    /// Waits under a screenful until somebody has read it.
    fn wait_for_more(&mut self) {
        match read_on() {
            Ok(true) => self.screenful.read(),
            Ok(false) => self.gone = Some(Lost::EndOfInput),
            Err(_) => {
                self.print("\n");
                self.gone = Some(gone());
            }
        }
    }

    /// The arrow-key list. The question is on the page already, so it has no prompt; nothing is paged,
    /// because then answers would hide; leaving it by Esc or a torn key falls back to typing.
    ///
    /// No answer stands chosen beforehand: Enter pressed too soon must not answer a question of safety.
    fn menu(&mut self, prompt: &Prompt) -> Option<PromptReply> {
        let room = self.columns.now().saturating_sub(MARK);
        let keys = prompt.keys.iter().filter(|k| **k != KeyKind::Help);
        let items: Vec<String> = (prompt.options.iter().cloned())
            .chain(keys.clone().map(|k| format!("({})", k.short())))
            .map(|item| stream::clean(&item).replace('\n', " "))
            .collect();
        let rows = Cells::of_terminal().map_or(usize::MAX, |screen| screen.rows);
        let items = listed(&items, room, rows.saturating_sub(2));
        self.print(CHOOSE);
        let chosen = Select::with_theme(&SimpleTheme)
            .items(&items)
            .report(false)
            // Two lines of this are kept for a prompt.
            .max_length(items.len() + 2)
            .interact_opt();
        self.screenful.read();
        match chosen {
            Ok(Some(place)) if place < prompt.options.len() => Some(PromptReply::Choice(place)),
            Ok(Some(place)) => keys
                .clone()
                .nth(place - prompt.options.len())
                .map(|kind| PromptReply::Key(kind.key())),
            Ok(None) => None,
            Err(_) => Some(PromptReply::Lost(*self.gone.insert(gone()))),
        }
    }
}

impl Ask for Typed {
    fn pace(&self) -> Pace {
        Pace::StepByStep
    }

    fn say(&mut self, page: &str) {
        let page = stream::painted(page);
        let mut rest = page.as_ref();
        // Measured anew at each piece: the screen may have been turned meanwhile.
        while let Some(screen) = Cells::of_terminal().filter(|_| self.gone.is_none()) {
            let (now, later) = self.screenful.take(rest, screen);
            self.print(now);
            rest = later;
            if rest.is_empty() {
                return;
            }
            self.wait_for_more();
        }
        self.print(rest);
    }

    fn choose(&mut self, prompt: &Prompt) -> PromptReply {
        if self.choosing == Choosing::ByArrowKeys
            && self.gone.is_none()
            && !prompt.options.is_empty()
            && !prompt.is_tick_list
        {
            if let Some(reply) = self.menu(prompt) {
                return reply;
            }
            self.say("Nothing was chosen. Type the number, or a letter.\n");
        }
        loop {
            match self.line(&prompt.label()) {
                Err(lost) => return PromptReply::Lost(lost),
                Ok(line) => match prompt.read(&line) {
                    Ok(reply) => return reply,
                    Err(help) => {
                        self.say(&format!("{}\n", textwrap::fill(&help, self.columns.now())));
                    }
                },
            }
        }
    }

    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply {
        loop {
            match self.line(label) {
                Err(lost) => return NoteReply::Lost(lost),
                Ok(line) => match read_note(&line, keys) {
                    Ok(reply) => return reply,
                    Err(help) => {
                        self.say(&format!("{}\n", textwrap::fill(&help, self.columns.now())));
                    }
                },
            }
        }
    }

    fn words(&mut self, label: &str) -> Result<String, Lost> {
        self.line(label)
    }

    fn line_or_leave(&mut self, label: &str) -> Result<Option<String>, Lost> {
        if let Some(lost) = self.gone {
            return Err(lost);
        }
        let read = line_or_leave(&stream::clean(label));
        self.screenful.read();
        match read {
            Ok(Some(line)) => Ok(Some(line)),
            // A signal breaks the waiting off as Ctrl-C does; whoever has heard it is on the way out.
            Ok(None) => match gone() {
                Lost::Interrupted => Err(*self.gone.insert(Lost::Interrupted)),
                Lost::EndOfInput => Ok(None),
            },
            Err(_) => {
                self.print("\n");
                Err(*self.gone.insert(gone()))
            }
        }
    }
}

/// Reads a line key by key, so that Ctrl-C is a key like others and raises no signal; nothing where it was pressed.
fn line_or_leave(label: &str) -> std::io::Result<Option<String>> {
    let term = Term::stderr();
    term.write_str(&format!("{label}: "))?;
    let mut typed = String::new();
    loop {
        match term.read_key_raw()? {
            Key::Enter => {
                term.write_line("")?;
                return Ok(Some(typed));
            }
            Key::CtrlC => {
                term.write_line("")?;
                return Ok(None);
            }
            Key::Char('\u{4}') => return Err(std::io::ErrorKind::UnexpectedEof.into()),
            Key::Backspace => {
                if let Some(last) = typed.pop() {
                    term.clear_chars(last.to_string().width())?;
                }
            }
            Key::Char(letter) if !letter.is_control() => {
                typed.push(letter);
                term.write_str(&letter.to_string())?;
            }
            _ => {}
        }
    }
}

/// Waits for one of these letters, in either case, and writes it down.
///
/// # Errors
/// When the person goes away.
pub fn one_key(letters: &[char]) -> Result<char, Lost> {
    let term = Term::stderr();
    loop {
        match term.read_key() {
            Ok(Key::Escape | Key::Char('\u{4}')) => return Err(Lost::EndOfInput),
            Ok(Key::Char(typed)) if letters.contains(&typed.to_ascii_lowercase()) => {
                let letter = typed.to_ascii_lowercase();
                let _ = term.write_line(&letter.to_string());
                return Ok(letter);
            }
            Ok(_) => {}
            Err(_) => return Err(gone()),
        }
    }
}

/// Asks for Enter and clears the asking away; whether anybody is there to press it. A blank does as well.
fn read_on() -> std::io::Result<bool> {
    let term = Term::stderr();
    term.write_str(MORE)?;
    loop {
        match term.read_key()? {
            Key::Enter | Key::Char(' ') => {
                term.write_str("\r\u{1b}[J")?;
                return Ok(true);
            }
            Key::Char('\u{4}') => return Ok(false),
            _ => {}
        }
    }
}

/// What is typed first.
enum First {
    Letter(String),
    /// Enter alone.
    Nothing,
    /// Ctrl-D: whoever asks for a line and nothing else passes it over.
    EndOfInput,
}

/// Prints the label and waits for the first key. After a letter the label is cleared away again, since whoever
/// reads the rest of the line prints it anew.
fn first(label: &str) -> std::io::Result<First> {
    let term = Term::stderr();
    term.write_str(&format!("{label}: "))?;
    loop {
        match term.read_key()? {
            Key::Enter => {
                term.write_line("")?;
                return Ok(First::Nothing);
            }
            Key::Char('\u{4}') => return Ok(First::EndOfInput),
            Key::Char(letter) if !letter.is_control() => {
                let columns = cells().unwrap_or(usize::MAX);
                term.write_str(&format!("{}\r\u{1b}[J", above(label, "", columns)))?;
                return Ok(First::Letter(letter.to_string()));
            }
            _ => {}
        }
    }
}

/// Prints the label, a colon and a blank: no colour, no symbols, nothing drawn anew.
struct OneLine;

impl Theme for OneLine {
    fn format_input_prompt(
        &self,
        f: &mut dyn std::fmt::Write,
        label: &str,
        _: Option<&str>,
    ) -> std::fmt::Result {
        write!(f, "{}: ", stream::clean(label))
    }
    fn format_input_prompt_selection(
        &self,
        f: &mut dyn std::fmt::Write,
        label: &str,
        typed: &str,
    ) -> std::fmt::Result {
        // The last of the lines that it took is cleared already; those above would stand there twice.
        let columns = cells().unwrap_or(usize::MAX);
        let (label, typed) = (stream::clean(label), stream::clean(typed));
        write!(f, "{}{label}: {typed}", above(&label, &typed, columns))
    }
}

/// What clears the lines above the last one of a reply that did not fit one line.
fn above(label: &str, typed: &str, columns: usize) -> String {
    let used = label.width() + 2 + typed.width();
    match used.saturating_sub(1) / columns.max(1) {
        0 => String::new(),
        lines => format!("\u{1b}[{lines}A\r\u{1b}[J"),
    }
}

/// Ctrl-C is raised as a signal just before the prompt ends; the handler may still be on its way.
fn gone() -> Lost {
    std::thread::sleep(std::time::Duration::from_millis(30));
    signal::lost()
}

/// The lines of a list: each in full, wrapped below itself; where they do not fit the rows, each on one line, since
/// its full text stands on the page above.
fn listed(items: &[String], width: usize, rows: usize) -> Vec<String> {
    let options =
        textwrap::Options::new(width.max(1)).word_splitter(textwrap::WordSplitter::NoHyphenation);
    let wrapped: Vec<Vec<_>> = items.iter().map(|item| textwrap::wrap(item, &options)).collect();
    if wrapped.iter().map(Vec::len).sum::<usize>() > rows {
        return items.iter().map(|item| cut(item, width)).collect();
    }
    wrapped.iter().map(|lines| lines.join(BELOW)).collect()
}

/// One line of at most `width` columns.
fn cut(text: &str, width: usize) -> String {
    use unicode_width::UnicodeWidthChar;
    let mut used = 0;
    let kept: String = text
        .chars()
        .take_while(|c| {
            used += c.width().unwrap_or(0);
            used <= width
        })
        .collect();
    if kept.len() == text.len() {
        kept
    } else {
        kept.chars().take(kept.chars().count().saturating_sub(2)).chain("..".chars()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_in_a_list_is_whole_while_the_rows_last() {
        let items =
            ["YES: on a beam, roll bracket or plate, or folded over".to_owned(), "No".to_owned()];
        let whole = listed(&items, 36, 22);
        assert_eq!(whole, ["YES: on a beam, roll bracket or\n    plate, or folded over", "No"]);
        assert_eq!(listed(&items, 36, 2), ["YES: on a beam, roll bracket or pl..", "No"]);
    }

    #[test]
    fn a_reply_of_several_lines_is_written_over_itself() {
        assert_eq!(above("ask", &"x".repeat(35), 40), "");
        assert_eq!(above("ask", &"x".repeat(36), 40), "\u{1b}[1A\r\u{1b}[J");
        assert_eq!(above("ask", &"x".repeat(90), 40), "\u{1b}[2A\r\u{1b}[J");
        assert_eq!(above("ask", "x", usize::MAX), "");
    }
}
