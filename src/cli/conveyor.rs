//! Arguments of `conveyor`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::examples;
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
    #[command(before_help = examples::CONVEYOR_NEW)]
    New {
        /// The file to write.
        file: PathBuf,
        /// Plain lines, no line editing.
        #[arg(long)]
        plain: bool,
    },
    /// Check conveyor files, and say what gauges still need.
    #[command(before_help = examples::CONVEYOR_CHECK)]
    Check {
        /// The files (RON or JSON).
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
    /// Show a conveyor: facts, dimensions, limits, and a drawing to scale.
    #[command(before_help = examples::CONVEYOR_SHOW)]
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
