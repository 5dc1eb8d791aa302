//! Colour: on or off for each stream by itself, and never the only bearer of a meaning.

use colored::Colorize;

/// Whether one stream is painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paint {
    on: bool,
}

/// What a piece of text is, so that it can be painted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Ordinary text.
    Plain,
    /// Titles and what must be found at a glance.
    Strong,
    /// Warnings.
    Warn,
    /// What speaks for something, what is well.
    Good,
    /// Beside the point: sources, keys.
    Faint,
}

impl Paint {
    /// No colour at all.
    pub const NONE: Self = Self { on: false };

    /// Painted or not.
    pub fn new(on: bool) -> Self {
        if on {
            // The crate decides from standard output alone; here each stream is decided by itself.
            colored::control::set_override(true);
        }
        Self { on }
    }

    /// Whether this stream is painted.
    pub fn is_on(self) -> bool {
        self.on
    }

    /// One line of text in this ink. Only the sixteen basic colours that both light and dark screens set.
    pub fn ink(self, ink: Ink, text: &str) -> String {
        if !self.on || text.is_empty() {
            return text.to_owned();
        }
        match ink {
            Ink::Plain => text.to_owned(),
            Ink::Strong => text.bold().to_string(),
            Ink::Warn => text.red().bold().to_string(),
            Ink::Good => text.green().to_string(),
            Ink::Faint => text.dimmed().to_string(),
        }
    }
}
