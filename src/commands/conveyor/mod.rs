//! `straybelt conveyor`: conveyor files, new, checked, shown.

mod new;

use std::path::{Path, PathBuf};

use super::{Failed, Streams, refuse, setting};
use crate::cli::{ConveyorArgs, ConveyorCommand, GaugeFormat, PlainArg};
use crate::conveyor::quantity::Units;
use crate::conveyor::{self, Conveyor};
use crate::exit::Exit;
use crate::problem::{Problem, Problems};
use crate::show::conveyor as pages;
use crate::stream;

/// Does what `conveyor` was told.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &ConveyorArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    match &args.command {
        ConveyorCommand::New { file, plain } => {
            new::run(file, PlainArg { plain: *plain }.manner(), streams)
        }
        ConveyorCommand::Check { files } => check(files, streams),
        ConveyorCommand::Show { file, units, format } => {
            show(file, units.as_deref(), *format, streams)
        }
    }
}

/// A conveyor file with everything that is to be said of it: errors, or the conveyor and its warnings.
fn read(path: &Path) -> Result<(Conveyor, Vec<Problem>), Problems> {
    let (conveyor, warnings) = conveyor::read(path)?;
    let (_, of_limits) = setting::of(&conveyor);
    let said: Vec<Problem> = warnings.into_iter().chain(of_limits).collect();
    if said.iter().any(Problem::is_error) { Err(Problems(said)) } else { Ok((conveyor, said)) }
}

fn check(files: &[PathBuf], streams: &mut Streams) -> Result<Exit, Failed> {
    let mut exit = Exit::Done;
    for path in files {
        match read(path) {
            Ok((conveyor, warnings)) => {
                super::rules::tell(&warnings, streams)?;
                if !warnings.is_empty() {
                    exit = Exit::Problems;
                }
                let screen = streams.screen();
                let page = pages::checked(screen, &path.display().to_string(), &conveyor);
                streams.out.page(&page)?;
            }
            Err(problems) => {
                super::rules::tell(&problems.0, streams)?;
                exit = Exit::Problems;
            }
        }
    }
    Ok(exit)
}

fn show(
    path: &Path,
    units: Option<&str>,
    format: GaugeFormat,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let (conveyor, warnings) = match read(path) {
        Ok(read) => read,
        Err(problems) => return refuse(&problems, streams),
    };
    super::rules::tell(&warnings, streams)?;
    let units = units.and_then(Units::named).or(conveyor.units()).unwrap_or_default();
    let text = match format {
        GaugeFormat::Text => {
            let screen = streams.screen();
            pages::page(screen, &conveyor, units)
        }
        GaugeFormat::Json => stream::json(&pages::document(&conveyor))?,
    };
    streams.out.page(&text)?;
    Ok(Exit::Done)
}
