//! `rules export`: the default book's files, or the compiled book for other programs.

use std::fs;
use std::io::Write;
use std::path::Path;

use super::{does_not_load, tell};
use crate::cli::{ExportArgs, ExportFormat};
use crate::commands::new_file::write_new;
use crate::commands::{Failed, Streams};
use crate::conveyor::{self, ConveyorSize};
use crate::exit::Exit;
use crate::rulebook::export;
use crate::rulebook::graph::DecisionGraph;
use crate::rulebook::load;

pub(super) fn run(args: &ExportArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    match (&args.dir, args.format) {
        (Some(dir), _) => export_files(dir, streams),
        (None, format) => export_book(args, format.unwrap_or(ExportFormat::Json), streams),
    }
}

fn export_book(
    args: &ExportArgs,
    format: ExportFormat,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let book = match load::with_site(args.rules.as_deref()) {
        Ok((book, _)) => book,
        Err(problems) => return does_not_load(&problems, streams),
    };
    let (facts, size) = match args.conveyor.as_deref().map(conveyor::read) {
        Some(Ok((conveyor, warnings))) => {
            tell(&warnings, streams)?;
            (*conveyor.facts(), ConveyorSize::from(conveyor.dimensions()))
        }
        Some(Err(problems)) => {
            tell(&problems.0, streams)?;
            return Ok(Exit::Usage);
        }
        None => Default::default(),
    };
    match format {
        ExportFormat::Json => {
            let book = book.on(&facts, size);
            streams.out.json(&export::document_for(&book, &facts, size))?;
        }
        ExportFormat::Dot => {
            streams.out.write_all(DecisionGraph::new(&book).dot(&book).as_bytes())?;
        }
    }
    Ok(Exit::Done)
}

/// Writes the default book's files. Nothing that exists is touched: it is all or nothing.
fn export_files(dir: &Path, streams: &mut Streams) -> Result<Exit, Failed> {
    let files = load::built_in();
    let taken = |inside: &str| dir.join(inside).symlink_metadata().is_ok();
    if let Some((inside, _)) = files.iter().find(|(inside, _)| taken(inside)) {
        let path = dir.join(inside);
        streams.complain(&format!(
            "error: {} exists; nothing was written. Name a folder that is empty or new.",
            path.display()
        ))?;
        return Ok(Exit::Usage);
    }
    for (nth, (inside, text)) in files.iter().enumerate() {
        let path = dir.join(inside);
        if let Err(error) = write_new(&path, text) {
            for (inside, _) in files.iter().take(nth) {
                let _ = fs::remove_file(dir.join(inside));
            }
            streams.complain(&format!(
                "error: {} cannot be written: {error}. Nothing of it is left. Name another folder, or give yourself the right to write there.",
                path.display()
            ))?;
            return Ok(Exit::Usage);
        }
    }
    writeln!(
        streams.out,
        "Wrote {} files to {}. Check them with: straybelt rules check {}",
        files.len(),
        dir.display(),
        dir.display()
    )?;
    Ok(Exit::Done)
}
