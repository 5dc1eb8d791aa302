//! Arguments of `drill`: practice runs.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::examples;
use super::shared::{BookArgs, PlainArg, StateArgs};

/// Arguments of `drill`.
#[derive(Debug, Args)]
pub struct DrillArgs {
    /// What to do.
    #[command(subcommand)]
    pub command: DrillCommand,
    /// Which rule book; a site's folder may hold drills of its own in drills/.
    #[command(flatten)]
    pub book: BookArgs,
    /// Where runs are kept.
    #[command(flatten)]
    pub state: StateArgs,
}

/// The subcommands of `drill`.
#[derive(Debug, Subcommand)]
pub enum DrillCommand {
    /// List the drills there are, and the newest of the runs that were made.
    #[command(before_help = examples::DRILL_LIST)]
    List {
        /// List the runs before this one: the next page.
        #[arg(long, value_name = "NUMBER")]
        before: Option<u32>,
    },
    /// Show what a drill is about; for trainers also what it hides.
    #[command(before_help = examples::DRILL_SHOW)]
    Show {
        /// The drill.
        name: String,
        /// Also what is hidden, what an expert looks at, and what to talk about.
        #[arg(long)]
        hidden: bool,
    },
    /// Run a drill: look, lock out, measure, mend, and watch how the belt answers.
    #[command(before_help = examples::DRILL_RUN)]
    Run(RunArgs),
    /// Go on with a run; one that is over is shown again, move by move.
    #[command(before_help = examples::DRILL_AGAIN)]
    Again {
        /// The run's number.
        run: u32,
        /// How it is asked.
        #[command(flatten)]
        plain: PlainArg,
    },
    /// Tell what a run was worth; of several runs, make a class list.
    #[command(before_help = examples::DRILL_DEBRIEF)]
    Debrief(DebriefArgs),
    /// Write a new drill: asks for what it needs, writes a commented file, checks it.
    #[command(before_help = examples::DRILL_NEW)]
    New {
        /// The folder of the site's rules; it is made if it is not there.
        dir: Option<PathBuf>,
        /// How it is asked.
        #[command(flatten)]
        plain: PlainArg,
    },
}

/// Arguments of `drill run`.
#[derive(Debug, Default, Args)]
pub struct RunArgs {
    /// The drill; without it, it is asked for.
    #[arg(conflicts_with = "seed")]
    pub name: Option<String>,
    /// Draw a fresh drill, with causes as frequent as the rule book has them.
    #[arg(long, value_name = "N")]
    pub seed: Option<u32>,
    /// Who runs it, for the class list.
    #[arg(long, value_name = "NAME", value_parser = who)]
    pub who: Option<String>,
    /// How it is asked.
    #[command(flatten)]
    pub plain: PlainArg,
}

fn who(text: &str) -> Result<String, String> {
    let name = text.trim();
    match name.chars().count() {
        1..=40 if !name.chars().any(crate::source::unprintable) => Ok(name.to_owned()),
        _ => Err("write a name of 1 to 40 characters".to_owned()),
    }
}

/// Arguments of `drill debrief`.
#[derive(Debug, Args)]
pub struct DebriefArgs {
    /// The runs' numbers.
    #[arg(required = true, value_name = "RUN")]
    pub runs: Vec<u32>,
    /// How it is written.
    #[arg(long, value_enum, default_value_t = DebriefFormat::Text, value_name = "FORMAT")]
    pub format: DebriefFormat,
    /// The file to write; without it, standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// How a debrief is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DebriefFormat {
    /// Pages for people.
    Text,
    /// One JSON document.
    Json,
    /// One page for a browser, with pictures, to print or keep.
    Html,
}
