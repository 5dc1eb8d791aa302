//! The command line: what may be typed, and the help. No logic.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

/// Finds why a conveyor belt runs off centre, and says what to put right, in which order.
#[derive(Debug, Parser)]
#[command(name = "straybelt", version, about, max_term_width = 100, arg_required_else_help = true, after_help = EXIT_CODES)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// When to use colour.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    pub color: Colour,
}

const EXIT_CODES: &str = "Exit codes: 0 done; 1 problems found; 2 wrong use or a wrong file; 3 the rule book does not load; \
4 the state folder cannot be read or written; 130 interrupted.";

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

/// The subcommands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Find the cause, and plan what to put right.
    Diagnose(DiagnoseArgs),
    /// Check the rule book, or write it out.
    Rules(RulesArgs),
}

/// Arguments of `diagnose`.
#[derive(Debug, Args)]
pub struct DiagnoseArgs {
    /// Answers from a file (RON or JSON) instead of a conversation; - reads standard input.
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// What is known of the conveyor (RON or JSON).
    #[arg(long, value_name = "FILE")]
    pub conveyor: Option<PathBuf>,
    /// A site's own folder of rules, laid over the default book.
    #[arg(long, value_name = "DIR")]
    pub rules: Option<PathBuf>,
    /// How the finding is printed.
    #[arg(long, value_enum, default_value_t = FindingFormat::Text, value_name = "FORMAT", requires = "answers")]
    pub format: FindingFormat,
}

/// How a finding is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FindingFormat {
    /// Pages for people.
    Text,
    /// One JSON document.
    Json,
}

/// Arguments of `rules`.
#[derive(Debug, Args)]
pub struct RulesArgs {
    /// What to do with the rules.
    #[command(subcommand)]
    pub command: RulesCommand,
}

/// The subcommands of `rules`.
#[derive(Debug, Subcommand)]
pub enum RulesCommand {
    /// Read the rule files and report everything that is wrong with them.
    ///
    /// A folder with a book.ron is a whole rule book; any other is laid over the default one.
    #[command(
        after_help = "Examples:\n  straybelt rules check              the default rule book\n  straybelt rules check site-rules   with a site's own folder"
    )]
    Check(CheckArgs),
    /// Write the default rule book's files to a folder, or the compiled book to standard output.
    #[command(
        after_help = "Examples:\n  straybelt rules export my-rules              the files, never over existing ones\n  straybelt rules export --format json         the network as JSON, to standard output"
    )]
    Export(ExportArgs),
}

/// Arguments of `rules check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// A folder of rule files.
    pub dir: Option<PathBuf>,
    /// How to print problems.
    #[arg(long, value_enum, default_value_t = CheckFormat::Human)]
    pub format: CheckFormat,
    /// Count warnings as problems.
    #[arg(long)]
    pub strict: bool,
}

/// How problems are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// With the lines and what to do.
    Human,
    /// One line each.
    Plain,
    /// One JSON document.
    Json,
}

/// Arguments of `rules export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// The folder to write the default rule book's files to.
    #[arg(required_unless_present = "format", conflicts_with = "format")]
    pub dir: Option<PathBuf>,
    /// Print the compiled book instead.
    #[arg(long, value_enum)]
    pub format: Option<ExportFormat>,
    /// A site's folder of rule files.
    #[arg(long, value_name = "DIR", requires = "format")]
    pub rules: Option<PathBuf>,
}

/// What is printed of the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ExportFormat {
    /// The compiled network, for other programs.
    Json,
    /// The decision graph, for drawing programs.
    Dot,
}
