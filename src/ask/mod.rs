//! Asking: one grammar of replies at every question, and three ways to put it to a person.
//!
//! [`Typed`] is for a terminal, [`PlainLines`] for a pipe, a serial line or a screen reader, [`Script`] for
//! tests. All print the same pages and read the same replies; [`reply`] holds the grammar.

mod key;
mod lines;
pub mod reply;
mod screenful;
mod script;
mod signal;
pub mod ticks;
mod typed;

pub use lines::PlainLines;
pub use reply::{Key, KeyKind, Lost, NoteReply, Prompt, PromptReply};
pub use script::Script;
pub use signal::{Farewell, hear_signals};
pub use ticks::Ticks;
pub use typed::{Choosing, Typed, one_key};

/// How much of a job is put on the screen at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pace {
    /// All of it on one page: for lines that somebody scrolls, prints or hears read out.
    Whole,
    /// A step at a time, so that none scrolls away.
    StepByStep,
}

/// Somebody who can be asked. What is printed is laid out already.
///
/// Nothing here fails: whoever has gone (end of input, closed terminal, Ctrl-C) answers [`PromptReply::Lost`]
/// from then on, because every answer before it is on disk.
pub trait Ask {
    /// How much of a job they are shown at once.
    fn pace(&self) -> Pace {
        Pace::Whole
    }
    /// Prints a page.
    fn say(&mut self, page: &str);
    /// Asks for a number or a key until one that is on offer comes.
    fn choose(&mut self, prompt: &Prompt) -> PromptReply;
    /// Asks for a line of the person's own words. An empty line means skipped.
    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply;
    /// Asks for a line as it is typed, for forms: no keys, nothing cut. Whoever fills in a form is not led by
    /// keys, so that every word may be typed.
    ///
    /// # Errors
    /// When the person has gone.
    fn words(&mut self, label: &str) -> Result<String, Lost> {
        match self.note(label, &[]) {
            NoteReply::Text(text) => Ok(text),
            NoteReply::Skipped | NoteReply::Key(_) => Ok(String::new()),
            NoteReply::Lost(lost) => Err(lost),
        }
    }
    /// The same for a form that is part of something larger: nothing where Ctrl-C leaves the form alone. Where no key can
    /// be told from a signal, Ctrl-C is what it is elsewhere.
    ///
    /// # Errors
    /// When the person has gone.
    fn line_or_leave(&mut self, label: &str) -> Result<Option<String>, Lost> {
        self.words(label).map(Some)
    }
}
