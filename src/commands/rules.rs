//! `rules check` and `rules export`.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use serde::Serialize;

use super::Streams;
use crate::cli::{CheckArgs, CheckFormat, ExportArgs, ExportFormat, RulesArgs, RulesCommand};
use crate::exit::Exit;
use crate::problem::{Problem, Problems, count};
use crate::rulebook::export;
use crate::rulebook::graph::DecisionGraph;
use crate::rulebook::load::{self, Counts};
use crate::show::problem;

/// Does what `rules` was told.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &RulesArgs, streams: &mut Streams) -> io::Result<Exit> {
    match &args.command {
        RulesCommand::Check(args) => check(args, streams),
        RulesCommand::Export(args) => export(args, streams),
    }
}

/// What `rules check --format json` prints.
#[derive(Serialize)]
struct Report<'p> {
    format: u32,
    read: Counts,
    errors: usize,
    warnings: usize,
    problems: Vec<problem::Json<'p>>,
}

fn check(args: &CheckArgs, streams: &mut Streams) -> io::Result<Exit> {
    let checked = load::read(args.dir.as_deref());
    let problems = &checked.problems;
    let errors = problems.iter().filter(|problem| problem.is_error()).count();
    let warnings = problems.len() - errors;
    match args.format {
        CheckFormat::Human => {
            for found in problems {
                writeln!(
                    streams.out,
                    "{}",
                    problem::page(found, streams.width, streams.out_paint)
                )?;
            }
            writeln!(streams.out, "{}", problem::summary(&checked, streams.width))?;
        }
        CheckFormat::Plain => {
            for found in problems {
                writeln!(streams.out, "{}", problem::line(found))?;
            }
        }
        CheckFormat::Json => {
            let problems = problems.iter().map(problem::Json::from).collect();
            let report = Report {
                format: 1,
                read: checked.counts,
                errors,
                warnings,
                problems,
            };
            serde_json::to_writer_pretty(&mut streams.out, &report)?;
            writeln!(streams.out)?;
        }
    }
    let bad = errors > 0 || checked.book.is_none() || (args.strict && warnings > 0);
    Ok(if bad { Exit::Problems } else { Exit::Done })
}

fn export(args: &ExportArgs, streams: &mut Streams) -> io::Result<Exit> {
    match (&args.dir, args.format) {
        (Some(dir), _) => export_files(dir, streams),
        (None, format) => export_book(
            args.rules.as_deref(),
            format.unwrap_or(ExportFormat::Json),
            streams,
        ),
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
            serde_json::to_writer_pretty(&mut streams.out, &export::document(&book))?;
            writeln!(streams.out)?;
        }
        ExportFormat::Dot => streams
            .out
            .write_all(DecisionGraph::of(&book).dot(&book).as_bytes())?,
    }
    Ok(Exit::Done)
}

/// Writes the default book's files. Nothing that exists is touched: it is all or nothing.
fn export_files(dir: &Path, streams: &mut Streams) -> io::Result<Exit> {
    let files = load::built_in();
    if let Some((inside, _)) = files.iter().find(|(inside, _)| dir.join(inside).exists()) {
        let path = dir.join(inside);
        writeln!(
            streams.err,
            "error: {} exists; nothing was written. Name a folder that is empty or new.",
            path.display()
        )?;
        return Ok(Exit::Usage);
    }
    for (inside, text) in &files {
        let path = dir.join(inside);
        let written = path
            .parent()
            .map_or(Ok(()), fs::create_dir_all)
            .and_then(|()| {
                fs::OpenOptions::new()
                    .write(true)
                    .create_new(true)
                    .open(&path)?
                    .write_all(text.as_bytes())
            });
        if let Err(error) = written {
            writeln!(
                streams.err,
                "error: {} cannot be written: {error}",
                path.display()
            )?;
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

/// Tells what is wrong with a file, on standard error.
pub(super) fn tell(problems: &[Problem], streams: &mut Streams) -> io::Result<()> {
    for found in problems {
        let page = problem::page(found, streams.width, streams.err_paint);
        writeln!(streams.err, "{page}")?;
    }
    Ok(())
}

/// Tells that the rule book does not load, and why.
pub(super) fn does_not_load(problems: &Problems, streams: &mut Streams) -> io::Result<Exit> {
    tell(&problems.0, streams)?;
    let errors = problems
        .0
        .iter()
        .filter(|problem| problem.is_error())
        .count();
    let errors = count(errors, "error");
    writeln!(
        streams.err,
        "error: the rule book does not load: {errors}. `straybelt rules check DIR` tells of them too."
    )?;
    Ok(Exit::Rules)
}
