//! Arguments of `rules`: what a supervisor does with the rule book.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

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
