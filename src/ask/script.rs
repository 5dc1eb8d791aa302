//! A person written down beforehand, for tests: what they type, and what they saw.

use std::collections::VecDeque;

use super::reply::{KeyKind, Lost, NoteReply, Prompt, PromptReply, read_note};
use super::{Ask, Pace};

/// Types these lines and keeps everything that was printed.
#[derive(Debug, Clone, Default)]
pub struct Script {
    typed: VecDeque<String>,
    pace: Option<Pace>,
    /// Everything printed and typed, as on a screen.
    pub seen: String,
}

/// Help is wrapped for the narrowest screen.
const NARROW: usize = 40;

impl Script {
    /// A person who types these lines and then goes away.
    pub fn new<'a>(typed: impl IntoIterator<Item = &'a str>) -> Self {
        let typed = typed.into_iter().map(str::to_owned).collect();
        Self { typed, pace: None, seen: String::new() }
    }

    /// The same, shown as much at once as somebody at a terminal.
    pub fn step_by_step(self) -> Self {
        Self { pace: Some(Pace::StepByStep), ..self }
    }

    /// What was left untyped.
    pub fn left(&self) -> usize {
        self.typed.len()
    }

    fn line(&mut self, label: &str) -> Option<String> {
        let line = self.typed.pop_front();
        let shown = line.as_deref().unwrap_or("(gone)");
        self.seen.push_str(&format!("{label}: {shown}\n"));
        line
    }
}

impl Ask for Script {
    fn pace(&self) -> Pace {
        self.pace.unwrap_or(Pace::Whole)
    }

    fn say(&mut self, page: &str) {
        self.seen.push_str(page);
    }

    fn choose(&mut self, prompt: &Prompt) -> PromptReply {
        loop {
            let Some(line) = self.line(&prompt.label()) else {
                return PromptReply::Lost(Lost::EndOfInput);
            };
            match prompt.read(&line) {
                Ok(reply) => return reply,
                Err(help) => {
                    let help = textwrap::fill(&help, NARROW);
                    self.seen.push_str(&format!("{help}\n"));
                }
            }
        }
    }

    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply {
        loop {
            let Some(line) = self.line(label) else {
                return NoteReply::Lost(Lost::EndOfInput);
            };
            match read_note(&line, keys) {
                Ok(reply) => return reply,
                Err(help) => self.seen.push_str(&format!("{}\n", textwrap::fill(&help, NARROW))),
            }
        }
    }

    fn words(&mut self, label: &str) -> Result<String, Lost> {
        self.line(label).ok_or(Lost::EndOfInput)
    }
}
