//! What several subcommands have: flags and the words for formats.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On terminals, unless NO_COLOR is set.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// How a person is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Manner {
    /// In plain lines: no line editing.
    PlainLines,
    /// At a terminal; answers are chosen by their numbers.
    Typed,
    /// At a terminal; answers are chosen with the arrow keys.
    ArrowKeys,
}

/// The flag for plain lines.
#[derive(Debug, Clone, Copy, Default, Args)]
pub struct PlainArg {
    /// Plain lines, no line editing: for a serial line or a screen reader.
    #[arg(long)]
    pub plain: bool,
}

impl PlainArg {
    /// What it asks for.
    pub fn manner(self) -> Manner {
        if self.plain { Manner::PlainLines } else { Manner::Typed }
    }
}

/// Which rule book.
#[derive(Debug, Clone, Default, Args)]
pub struct BookArgs {
    /// A site's folder of rule files, laid over the default rule book.
    #[arg(long, value_name = "DIR", global = true)]
    pub rules: Option<PathBuf>,
}

/// Where visits are kept.
#[derive(Debug, Clone, Default, Args)]
pub struct StateArgs {
    /// Where visits are kept [default: STRAYBELT_STATE, or the user's state folder].
    #[arg(long, value_name = "DIR", global = true)]
    pub state: Option<PathBuf>,
}

/// How a result is printed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum ReportFormat {
    /// For people.
    #[default]
    Text,
    /// One JSON document.
    Json,
}

/// How a page is written that can be handed over, and where.
#[derive(Debug, Clone, Default, Args)]
pub struct PageArgs {
    /// How it is written.
    #[arg(long, value_enum, default_value_t = PageFormat::Text, value_name = "FORMAT")]
    pub format: PageFormat,
    /// The file to write; without it, standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// How a page is written that can be handed over.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum PageFormat {
    /// For a screen.
    #[default]
    Text,
    /// One HTML file that needs nothing else: to print, or for a phone.
    Html,
    /// One JSON document.
    Json,
}
