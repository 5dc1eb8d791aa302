//! `rules export`: the default book's files, or the compiled book for other programs.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use super::does_not_load;
use crate::cli::{ExportArgs, ExportFormat};
use crate::commands::Streams;
use crate::exit::Exit;
use crate::rulebook::export;
use crate::rulebook::graph::DecisionGraph;
use crate::rulebook::load;

pub(super) fn run(args: &ExportArgs, streams: &mut Streams) -> io::Result<Exit> {
    match (&args.dir, args.format) {
        (Some(dir), _) => export_files(dir, streams),
        (None, format) => {
            export_book(args.rules.as_deref(), format.unwrap_or(ExportFormat::Json), streams)
        }
    }
}

fn export_book(
    site: Option<&Path>,
    format: ExportFormat,
    streams: &mut Streams,
) -> io::Result<Exit> {
    let book = match load::with_site(site) {
        Ok((book, _)) => book,
        Err(problems) => return does_not_load(&problems, streams),
    };
    match format {
        ExportFormat::Json => {
            streams.out.json(&export::document(&book))?;
        }
        ExportFormat::Dot => {
            streams.out.write_all(DecisionGraph::of(&book).dot(&book).as_bytes())?;
        }
    }
    Ok(Exit::Done)
}

/// Writes the default book's files. Nothing that exists is touched: it is all or nothing.
fn export_files(dir: &Path, streams: &mut Streams) -> io::Result<Exit> {
    let files = load::built_in();
    if let Some((inside, _)) = files.iter().find(|(inside, _)| dir.join(inside).exists()) {
        let path = dir.join(inside);
        streams.complain(&format!(
            "error: {} exists; nothing was written. Name a folder that is empty or new.",
            path.display()
        ))?;
        return Ok(Exit::Usage);
    }
    for (inside, text) in &files {
        let path = dir.join(inside);
        let written = path.parent().map_or(Ok(()), fs::create_dir_all).and_then(|()| {
            fs::OpenOptions::new()
                .write(true)
                .create_new(true)
                .open(&path)?
                .write_all(text.as_bytes())
        });
        if let Err(error) = written {
            streams.complain(&format!("error: {} cannot be written: {error}", path.display()))?;
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
