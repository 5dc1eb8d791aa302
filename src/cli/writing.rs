//! Arguments of `rules new` and `rules learn`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::shared::{BookArgs, PlainArg, ReportFormat, StateArgs};

/// Arguments of `rules new`.
#[derive(Debug, Clone, Args)]
pub struct NewArgs {
    /// What to write.
    #[arg(value_enum)]
    pub kind: NewKind,
    /// The folder of the site's rules; it is made if it is not there.
    pub dir: Option<PathBuf>,
    /// Take the case from this visit.
    #[arg(long, value_name = "VISIT", requires = "dir")]
    pub from: Option<u32>,
    /// Where visits are kept.
    #[command(flatten)]
    pub state: StateArgs,
    /// How it is asked.
    #[command(flatten)]
    pub plain: PlainArg,
}

/// What `rules new` writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum NewKind {
    /// Something a person can observe, asked as one question.
    Symptom,
    /// What one person takes in standing at one place.
    Look,
    /// A root cause with its signs.
    Cause,
    /// A piece of work that cures causes.
    Fix,
    /// A warning shown before the work.
    Caution,
    /// What the book must make of known answers.
    Case,
    /// A practice run on a conveyor with hidden causes.
    Drill,
    /// The site's own site.ron: what it changes and switches off.
    Site,
}

impl NewKind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Symptom => "symptom",
            Self::Look => "look",
            Self::Cause => "cause",
            Self::Fix => "fix",
            Self::Caution => "caution",
            Self::Case => "case",
            Self::Drill => "drill",
            Self::Site => "site.ron",
        }
    }
}

/// Arguments of `rules learn`.
#[derive(Debug, Clone, Args)]
pub struct LearnArgs {
    /// The numbers of the visits.
    #[arg(required_unless_present = "all", conflicts_with = "all", value_name = "VISIT")]
    pub visits: Vec<u32>,
    /// All visits that are kept.
    #[arg(long)]
    pub all: bool,
    /// How the result is printed.
    #[arg(long, value_enum, default_value_t = ReportFormat::Text)]
    pub format: ReportFormat,
    /// Which rule book.
    #[command(flatten)]
    pub book: BookArgs,
    /// Where visits are kept.
    #[command(flatten)]
    pub state: StateArgs,
}
