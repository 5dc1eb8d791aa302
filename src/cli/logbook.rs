//! Arguments of `logbook`.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Subcommand, ValueEnum};

use super::examples;
use super::shared::{BookArgs, PageArgs, PlainArg, ReportFormat, StateArgs};
use crate::logbook::Work;
use crate::trade::Units;

/// Arguments of `logbook`.
#[derive(Debug, Args)]
pub struct LogbookArgs {
    /// What to do; without it the logbooks are listed.
    #[command(subcommand)]
    pub command: Option<LogbookCommand>,
    /// How the list is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text, value_name = "FORMAT")]
    pub format: ReportFormat,
    /// Which rule book.
    #[command(flatten)]
    pub book: BookArgs,
    /// Where visits and logbooks are kept.
    #[command(flatten)]
    pub state: StateArgs,
}

/// The subcommands of `logbook`.
#[derive(Debug, Subcommand)]
pub enum LogbookCommand {
    /// Show the story of a conveyor: visits, take-up, open jobs, warnings.
    #[command(before_help = examples::LOGBOOK_SHOW)]
    Show(LogbookShowArgs),
    /// Write down how the take-up stands: both screws, carriage, weight or winch.
    ///
    /// Asks for the reading, or takes it from flags or a table. Screws and carriages count from their slack end:
    /// more is tighter.
    #[command(before_help = examples::LOGBOOK_TAKEUP)]
    Takeup(TakeupArgs),
    /// Write down a thing done outside a visit: new belt, splice made, roll swapped.
    #[command(before_help = examples::LOGBOOK_ADD)]
    Add(LogbookAddArgs),
    /// Strike out an entry that is wrong; it stays in the book and counts for nothing.
    #[command(before_help = examples::LOGBOOK_STRIKE)]
    Strike {
        /// The conveyor: its file or name.
        conveyor: PathBuf,
        /// The entry's id, or its first letters.
        entry: String,
        /// Why.
        #[arg(long, value_name = "TEXT")]
        why: String,
    },
    /// Take visits in that are in no logbook yet.
    #[command(before_help = examples::LOGBOOK_GATHER)]
    Gather,
    /// Write visits and logbooks as flat tables that any engine can be asked about.
    ///
    /// People's names stay out unless they are asked for.
    #[command(before_help = examples::LOGBOOK_EXPORT)]
    Export(LogbookExportArgs),
    /// Put the entries of another tablet's export into the logbooks here.
    #[command(before_help = examples::LOGBOOK_IMPORT)]
    Import {
        /// The export (ndjson).
        file: PathBuf,
    },
    /// Read everything and say what is wrong.
    #[command(before_help = examples::LOGBOOK_CHECK)]
    Check,
}

/// Arguments of `logbook export`.
#[derive(Debug, Args)]
pub struct LogbookExportArgs {
    /// How it is written.
    #[arg(long, value_enum, default_value_t = TablesFormat::Ndjson, value_name = "FORMAT")]
    pub format: TablesFormat,
    /// The file to write, or with csv the folder; without it, standard output.
    #[arg(short, long, value_name = "PATH")]
    pub output: Option<PathBuf>,
    /// Replace files that are there already.
    #[arg(long, requires = "output")]
    pub force: bool,
    /// With the names of people.
    #[arg(long)]
    pub names: bool,
}

/// How tables are written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum TablesFormat {
    /// One JSON object a line, its table among the keys.
    #[default]
    Ndjson,
    /// One CSV file for each table, in a folder.
    Csv,
}

/// Arguments of `logbook show`.
#[derive(Debug, Args)]
pub struct LogbookShowArgs {
    /// The conveyor: its file or name.
    pub conveyor: PathBuf,
    /// How and where it is written.
    #[command(flatten)]
    pub page: PageArgs,
}

/// Arguments of `logbook takeup`.
#[derive(Debug, Args)]
pub struct TakeupArgs {
    /// The conveyor: its file or name.
    pub conveyor: PathBuf,
    /// How far out the left screw stands, such as 212mm.
    #[arg(long, value_name = "LENGTH", requires = "right", conflicts_with_all = ["carriage", "weight", "pull", "csv"])]
    pub left: Option<String>,
    /// How far out the right screw stands.
    #[arg(long, value_name = "LENGTH", requires = "left")]
    pub right: Option<String>,
    /// How far out the carriage stands.
    #[arg(long, value_name = "LENGTH", conflicts_with_all = ["weight", "pull", "csv"])]
    pub carriage: Option<String>,
    /// The mass of the weight, such as 350kg.
    #[arg(long, value_name = "MASS", conflicts_with_all = ["pull", "csv"])]
    pub weight: Option<String>,
    /// The pull of the winch's rope, such as 12kN.
    #[arg(long, value_name = "FORCE", conflicts_with = "csv")]
    pub pull: Option<String>,
    /// With weight or pull: how far the take-up has gone.
    #[arg(long, value_name = "LENGTH")]
    pub at: Option<String>,
    /// A table of readings: columns date, left and right (or carriage, weight, pull, at), by, why.
    #[arg(long, value_name = "FILE")]
    pub csv: Option<PathBuf>,
    /// In which units bare numbers are: metric, inch [default: the conveyor's].
    #[arg(long, value_parser = units(), value_name = "UNITS")]
    pub units: Option<Units>,
    /// Day, who and why.
    #[command(flatten)]
    pub whence: WhenceArgs,
    /// How it is asked.
    #[command(flatten)]
    pub plain: PlainArg,
}

/// When, by whom and why something was read or done.
#[derive(Debug, Clone, Default, Args)]
pub struct WhenceArgs {
    /// The day: 2026-03-01, today or yesterday [default: today].
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
    /// Who read or did it.
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// Why, or more of it.
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
}

/// Arguments of `logbook add`.
#[derive(Debug, Args)]
pub struct LogbookAddArgs {
    /// The conveyor: its file or name.
    pub conveyor: PathBuf,
    /// What was done.
    #[arg(long, value_parser = works(), value_name = "WORK")]
    pub done: Option<Work>,
    /// The open job that was done: its id, or its first letters.
    #[arg(long, value_name = "JOB", conflicts_with = "done")]
    pub job: Option<String>,
    /// Day, who and why.
    #[command(flatten)]
    pub whence: WhenceArgs,
    /// How it is asked.
    #[command(flatten)]
    pub plain: PlainArg,
}

fn works() -> impl TypedValueParser<Value = Work> {
    let words = PossibleValuesParser::new(Work::ALL.map(Work::word));
    words.map(|word| Work::named(&word).unwrap_or(Work::Other))
}

fn units() -> impl TypedValueParser<Value = Units> {
    let words = PossibleValuesParser::new([Units::Metric, Units::Inch].map(Units::word));
    words.map(|word| Units::named(&word).unwrap_or_default())
}
