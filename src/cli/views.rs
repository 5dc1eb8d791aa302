//! Arguments of the `rules` commands that show, draw and print the book.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::shared::ReportFormat;

/// Arguments of `rules graph`.
#[derive(Debug, Args)]
pub struct GraphArgs {
    /// Only what hangs on this symptom, cause or fix: its id.
    #[arg(long, value_name = "ID")]
    pub around: Option<String>,
    /// How many arrows far, on either side.
    #[arg(long, value_name = "N", default_value_t = 1, requires = "around", value_parser = steps)]
    pub steps: usize,
    /// Draw everything around it, on more than one page if need be.
    #[arg(long, requires = "around")]
    pub all: bool,
    /// The file to write; without it, standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "output")]
    pub force: bool,
    /// What is written.
    #[arg(long, value_enum, value_name = "FORMAT")]
    pub format: GraphFormat,
    /// A site's folder of rule files.
    #[arg(long, value_name = "DIR")]
    pub rules: Option<PathBuf>,
}

fn steps(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(steps @ 1..=5) => Ok(steps),
        _ => Err("write a number from 1 to 5".to_owned()),
    }
}

/// How the decision graph is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum GraphFormat {
    /// A picture for a browser, with text that can be searched.
    Svg,
    /// The DOT language, for drawing programs.
    Dot,
    /// The Mermaid language, for wikis and text editors.
    Mermaid,
    /// A tree of text.
    Text,
}

/// Arguments of `rules print`.
#[derive(Debug, Args)]
pub struct PrintArgs {
    /// What is written.
    #[arg(long, value_enum, value_name = "FORMAT")]
    pub format: PrintFormat,
    /// A site's folder of rule files.
    #[arg(long, value_name = "DIR")]
    pub rules: Option<PathBuf>,
    /// The file to write; without it, standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "output")]
    pub force: bool,
    /// Only this chapter, such as causes, fixes or changed; may be given again.
    #[arg(long, value_name = "CHAPTER")]
    pub chapter: Vec<String>,
    /// All chapters, however many pages they are.
    #[arg(long, conflicts_with = "chapter")]
    pub whole: bool,
}

/// How the handbook is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PrintFormat {
    /// One HTML file that needs nothing else.
    Html,
    /// Plain text, 76 columns.
    Text,
}

/// Arguments of `rules show`.
#[derive(Debug, Args)]
pub struct ShowArgs {
    /// The entry's id, or a term.
    pub id: String,
    /// A site's folder of rule files.
    #[arg(long, value_name = "DIR")]
    pub rules: Option<PathBuf>,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text, value_name = "FORMAT")]
    pub format: ReportFormat,
}

/// Arguments of `rules separate`.
#[derive(Debug, Args)]
pub struct SeparateArgs {
    /// A folder of rule files.
    pub dir: Option<PathBuf>,
    /// For a conveyor of which this is known (RON or JSON) [default: nothing is known].
    #[arg(long, value_name = "FILE")]
    pub conveyor: Option<PathBuf>,
    /// So many decibans tell two causes apart.
    #[arg(long, value_name = "DECIBANS", default_value_t = 10.0, value_parser = level)]
    pub level: f64,
    /// So many of the pairs that can be told apart are listed, hardest first.
    #[arg(long, value_name = "N", default_value_t = 10)]
    pub pairs: usize,
    /// How it is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text, value_name = "FORMAT")]
    pub format: ReportFormat,
}

fn level(text: &str) -> Result<f64, String> {
    match text.parse() {
        Ok(level) if (0.1..=100.0).contains(&level) => Ok(level),
        _ => Err("write a number from 0.1 to 100".to_owned()),
    }
}
