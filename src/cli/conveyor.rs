//! Arguments of `conveyor`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::gauge::GaugeFormat;

/// Arguments of `conveyor`.
#[derive(Debug, Args)]
pub struct ConveyorArgs {
    /// What to do.
    #[command(subcommand)]
    pub command: ConveyorCommand,
}

/// The subcommands of `conveyor`.
#[derive(Debug, Subcommand)]
pub enum ConveyorCommand {
    /// Ask what is known of a conveyor and write it into a new file.
    ///
    /// Everything may be left out. Never overwrites a file.
    #[command(
        after_help = "Example:\n  straybelt conveyor new oq-04.ron\n      asks, then writes oq-04.ron"
    )]
    New {
        /// The file to write.
        file: PathBuf,
        /// Plain lines, no line editing.
        #[arg(long)]
        plain: bool,
    },
    /// Check conveyor files, and say what gauges still need.
    #[command(after_help = "Example:\n  straybelt conveyor check oq-04.ron")]
    Check {
        /// The files (RON or JSON).
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
    /// Show a conveyor: facts, dimensions, limits, and a drawing to scale.
    #[command(after_help = "Example:\n  straybelt conveyor show oq-04.ron")]
    Show {
        /// The file (RON or JSON).
        file: PathBuf,
        /// In which units: metric, inch, both [default: the file's].
        #[arg(long, value_name = "UNITS", value_parser = ["metric", "inch", "both"])]
        units: Option<String>,
        /// How it is printed.
        #[arg(long, value_enum, default_value_t = GaugeFormat::Text, value_name = "FORMAT")]
        format: GaugeFormat,
    },
}
