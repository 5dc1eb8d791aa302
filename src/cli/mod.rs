//! The command line: what may be typed, and the help. No logic.

mod conveyor;
mod drill;
mod examples;
mod gauge;
mod logbook;
mod rules;
mod shared;
mod views;
mod writing;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

pub use conveyor::*;
pub use drill::*;
pub use gauge::*;
pub use logbook::*;
pub use rules::*;
pub use shared::*;
pub use views::*;
pub use writing::*;

/// Finds why a conveyor belt runs off centre, and says what to put right, in which order.
#[derive(Debug, Parser)]
#[command(name = "straybelt", bin_name = "straybelt", version, about, max_term_width = 100, before_help = examples::TOP, after_help = EXIT_CODES)]
pub struct Cli {
    /// What to do; without one, in a terminal, one key begins it.
    #[command(subcommand)]
    pub command: Option<Command>,
    /// When to use colour.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN", display_order = 1000)]
    pub color: Colour,
}

const EXIT_CODES: &str = "Exit codes: 0 done; 1 problems found; 2 wrong use or a wrong file; 3 the rule book does not load; \
4 the state folder cannot be read or written; 130 interrupted.";

/// The subcommands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Find out why a belt runs off centre, and work through putting it right.
    ///
    /// Asks plain questions, shows what is likely and why, and makes a safe plan in order. Every answer is
    /// saved before the next question. Without a terminal it speaks plain lines on standard input and output.
    #[command(before_help = examples::DIAGNOSE)]
    Diagnose(DiagnoseArgs),
    /// List the visits there are, or show one again in full.
    #[command(before_help = examples::VISITS)]
    Visits(VisitsArgs),
    /// The logbook of a conveyor: visits, take-up readings, things done, what comes back.
    ///
    /// Without a subcommand all conveyors are listed with their last visit, open jobs and warnings.
    #[command(before_help = examples::LOGBOOK)]
    Logbook(LogbookArgs),
    /// Write, check or show what is known of a conveyor.
    #[command(before_help = examples::CONVEYOR)]
    Conveyor(ConveyorArgs),
    /// Work a measurement out: what tape, string line, straight-edge or infrared gun gave.
    ///
    /// Without a gauge's name all are listed. With a name it asks for the readings, or takes them from flags
    /// or a table. It says what they mean against the limit, and what to do about it.
    Gauge(GaugeArgs),
    /// Practise on a conveyor with hidden causes, far from any nip point.
    ///
    /// The belt answers from a mechanical model, so a wrong move makes it worse. Every move is saved before the
    /// next, and a debrief tells afterwards what the run was worth.
    #[command(before_help = examples::DRILL)]
    Drill(DrillArgs),
    /// Check the rule book, or write it out.
    #[command(before_help = examples::RULES)]
    Rules(RulesArgs),
    /// Print the completions of a shell.
    #[command(before_help = examples::COMPLETIONS)]
    Completions {
        /// Which shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page.
    #[command(before_help = examples::MAN)]
    Man,
}

impl Command {
    /// Whether plain lines were asked for: no line editing, and no colour either.
    pub fn is_plain(&self) -> bool {
        match self {
            Self::Diagnose(args) => args.plain,
            Self::Conveyor(args) => {
                matches!(args.command, ConveyorCommand::New { plain: true, .. })
            }
            Self::Gauge(args) => args.call.as_ref().is_some_and(|call| call.plain.plain),
            Self::Drill(args) => match &args.command {
                DrillCommand::Run(run) => run.plain.plain,
                DrillCommand::Again { plain, .. } | DrillCommand::New { plain, .. } => plain.plain,
                _ => false,
            },
            Self::Rules(args) => {
                matches!(&args.command, RulesCommand::New(new) if new.plain.plain)
            }
            Self::Logbook(args) => match &args.command {
                Some(LogbookCommand::Takeup(args)) => args.plain.plain,
                Some(LogbookCommand::Add(args)) => args.plain.plain,
                _ => false,
            },
            Self::Visits(_) | Self::Completions { .. } | Self::Man => false,
        }
    }
}

/// Arguments of `diagnose`.
#[derive(Debug, Clone, Default, Args)]
pub struct DiagnoseArgs {
    /// What is known of the conveyor (RON or JSON): a file, or its name in `conveyors` of the state folder.
    #[arg(long, value_name = "FILE", conflicts_with = "resume")]
    pub conveyor: Option<PathBuf>,
    /// Answers from a file (RON or JSON) instead of a conversation; - reads standard input.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["resume", "plain", "menu", "state"])]
    pub answers: Option<PathBuf>,
    /// How the finding is printed.
    #[arg(long, value_enum, default_value_t = FindingFormat::Text, value_name = "FORMAT", requires = "answers")]
    pub format: FindingFormat,
    /// Go on with this open visit, or with the latest one.
    #[arg(long, value_name = "NUMBER", num_args = 0..=1)]
    pub resume: Option<Option<u32>>,
    /// Plain lines, no line editing: for a serial line or a screen reader.
    #[arg(long, conflicts_with = "menu")]
    pub plain: bool,
    /// Choose answers from a list with the arrow keys.
    #[arg(long)]
    pub menu: bool,
    /// Which rule book.
    #[command(flatten)]
    pub book: BookArgs,
    /// Where visits are kept.
    #[command(flatten)]
    pub state: StateArgs,
    /// Open visits were named already: a new one is begun at once.
    #[arg(skip)]
    pub announced: bool,
}

impl DiagnoseArgs {
    /// How the person is asked.
    pub fn manner(&self) -> Manner {
        match (self.plain, self.menu) {
            (true, _) => Manner::PlainLines,
            (false, true) => Manner::ArrowKeys,
            (false, false) => Manner::Typed,
        }
    }
}

/// How a finding is printed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum FindingFormat {
    /// Pages for people.
    #[default]
    Text,
    /// One JSON document.
    Json,
}

/// Arguments of `visits`.
#[derive(Debug, Args)]
pub struct VisitsArgs {
    /// What to do with visits; without it they are listed.
    #[command(subcommand)]
    pub command: Option<VisitsCommand>,
    /// List those before this one: the next page.
    #[arg(long, value_name = "NUMBER")]
    pub before: Option<u32>,
    /// Which rule book.
    #[command(flatten)]
    pub book: BookArgs,
    /// Where visits are kept.
    #[command(flatten)]
    pub state: StateArgs,
}

/// The subcommands of `visits`.
#[derive(Debug, Subcommand)]
pub enum VisitsCommand {
    /// Show one visit in full: asked, believed, found, done, moved.
    #[command(before_help = examples::VISITS_SHOW)]
    Show(VisitShowArgs),
    /// Write the job sheet of a visit's plan: tick boxes, signatures, blank lines.
    #[command(before_help = examples::VISITS_SHEET)]
    Sheet(VisitShowArgs),
    /// Add a note, a name or photos to a visit, before it ended or after.
    #[command(before_help = examples::VISITS_NOTE)]
    Note(VisitNoteArgs),
}

/// Arguments of `visits note`.
#[derive(Debug, Args)]
pub struct VisitNoteArgs {
    /// The visit's number.
    pub visit: u32,
    /// The note.
    #[arg(required_unless_present_any = ["by", "photo"])]
    pub text: Option<String>,
    /// Who made the visit.
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// A photo (JPEG, PNG, WebP, up to 20 MB); it is copied beside the visit.
    #[arg(long, value_name = "FILE")]
    pub photo: Vec<PathBuf>,
}

/// Arguments of `visits show` and `visits sheet`.
#[derive(Debug, Args)]
pub struct VisitShowArgs {
    /// The visit's number.
    pub visit: u32,
    /// How and where it is written.
    #[command(flatten)]
    pub page: PageArgs,
}
