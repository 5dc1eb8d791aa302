//! Asking: one grammar of replies at every question, and three ways to put it to a person.
//!
//! [`Typed`] is for a terminal, [`PlainLines`] for a pipe, a serial line or a screen reader, [`Script`] for
//! tests. All print the same pages and read the same replies; [`reply`] holds the grammar.

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

/// Somebody who can be asked. What is printed is laid out already.
///
/// Nothing here fails: whoever has gone (end of input, closed terminal, Ctrl-C) answers [`PromptReply::Lost`]
/// from then on, because every answer before it is on disk.
pub trait Ask {
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
}
