//! Arguments of `drill`: practice runs.

use std::path::PathBuf;

use clap::{Args, Subcommand, ValueEnum};

use super::examples;
use super::shared::{BookArgs, PageArgs, PlainArg, StateArgs};

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
        /// Show the belt after each move that let it run.
        #[arg(long)]
        replay: bool,
        /// How it is asked.
        #[command(flatten)]
        plain: PlainArg,
    },
    /// Tell what a run was worth; of several runs, make a class list.
    #[command(before_help = examples::DRILL_DEBRIEF)]
    Debrief(DebriefArgs),
    /// Take a course: see where a learner stands, and run the drill that comes next.
    #[command(before_help = examples::DRILL_COURSE)]
    Course(CourseArgs),
    /// Tell what learners have reached, week by week, from all runs that are kept.
    #[command(before_help = examples::DRILL_PROGRESS)]
    Progress(ProgressArgs),
    /// Write a drill as blank sheets for a class without tablets; the answers go on a sheet apart.
    #[command(before_help = examples::DRILL_SHEET)]
    Sheet(DrillSheetArgs),
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
    /// Who runs it too, at the same keyboard: the two make their moves in turns.
    #[arg(long, value_name = "NAME", value_parser = who, requires = "who")]
    pub with: Option<String>,
    /// End the run as it stands after so many minutes by the clock, breaks counted.
    #[arg(long, value_name = "MINUTES", value_parser = clap::value_parser!(u32).range(1..=600))]
    pub limit: Option<u32>,
    /// As an examination: the run's file does not show at a glance what is hidden.
    ///
    /// Which drill it is and what it hides stand sealed in the file. That keeps honest people from seeing it by chance.
    /// It is no secret: whoever is determined, and knows how, can open the seal.
    #[arg(long)]
    pub exam: bool,
    /// How it is asked.
    #[command(flatten)]
    pub plain: PlainArg,
}

/// Arguments of `drill course`.
#[derive(Debug, Args)]
pub struct CourseArgs {
    /// The course; without it, all of them are listed.
    pub name: Option<String>,
    /// Who takes it, as in the class list; without it, it is asked for.
    #[arg(long, value_name = "NAME", value_parser = who)]
    pub who: Option<String>,
    /// Only show where the learner stands; run nothing.
    #[arg(long)]
    pub show: bool,
    /// How it is asked.
    #[command(flatten)]
    pub plain: PlainArg,
}

/// Arguments of `drill progress`.
#[derive(Debug, Args)]
pub struct ProgressArgs {
    /// The learner, as in the class list; without a name, everybody.
    #[arg(value_parser = who)]
    pub name: Option<String>,
    /// How it is written, and where.
    #[command(flatten)]
    pub page: PageArgs,
}

/// Arguments of `drill sheet`.
#[derive(Debug, Args)]
pub struct DrillSheetArgs {
    /// The drill.
    pub name: String,
    /// The trainer's sheet with the answers, in place of the learners'.
    #[arg(long)]
    pub answers: bool,
    /// How it is written.
    #[arg(long, value_enum, default_value_t = SheetFormat::Text, value_name = "FORMAT")]
    pub format: SheetFormat,
    /// The file to write; without it, standard output.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// How a sheet is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetFormat {
    /// Plain text.
    Text,
    /// One page for a browser, to print.
    Html,
}

fn who(text: &str) -> Result<String, String> {
    let name = text.trim();
    match name.chars().count() {
        1..=40 if name.contains(" with ") => {
            Err("two share a run by --who NAME --with NAME".to_owned())
        }
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
