//! `rules show`: everything about one entry.

use std::io::{self, Write};

use super::{does_not_load, tell};
use crate::cli::{ReportFormat, ShowArgs};
use crate::commands::Streams;
use crate::exit::Exit;
use crate::problem::{Problems, Report};
use crate::proof::{case, touch::touching};
use crate::rulebook::find::{find, nearest};
use crate::rulebook::load;
use crate::rulebook::model::Book;
use crate::show::page::Screen;
use crate::show::shelf::{Depth, Shelf, json};

/// So many near names are told.
const NEAR: usize = 5;

pub(super) fn run(args: &ShowArgs, streams: &mut Streams) -> io::Result<Exit> {
    let mut checked = load::read(args.rules.as_deref());
    let Some(book) = checked.book.take() else {
        return does_not_load(&Problems(checked.problems), streams);
    };
    tell(&checked.problems, streams)?;
    let found = find(&book, &args.id);
    if found.is_empty() {
        return unknown(&book, &args.id, streams);
    }
    let mut report = Report::default();
    let cases = case::read(&book, &checked, &mut report);
    if report.has_errors() {
        writeln!(
            streams.err,
            "warning: cases with something wrong are left out; `straybelt rules test` tells of them."
        )?;
    }
    let shelf = Shelf::of(&book);
    let entries: Vec<_> = found
        .into_iter()
        .map(|at| (at, touching(&cases.cases, at)))
        .collect();
    match args.format {
        ReportFormat::Text => {
            let screen = Screen::new(streams.width, streams.out_paint);
            for (at, cases) in &entries {
                let page = shelf.sheet(*at, Depth::Names, cases).page(screen);
                write!(streams.out, "{page}")?;
            }
        }
        ReportFormat::Json => {
            let document = json::document(&shelf, &entries);
            serde_json::to_writer_pretty(&mut streams.out, &document)?;
            writeln!(streams.out)?;
        }
    }
    Ok(Exit::Done)
}

/// Says that nothing has this id, and what is nearest.
pub(super) fn unknown(book: &Book, id: &str, streams: &mut Streams) -> io::Result<Exit> {
    writeln!(
        streams.err,
        "error: nothing in the rule book is called `{id}`."
    )?;
    let near = nearest(book, id, NEAR);
    if near.is_empty() {
        writeln!(
            streams.err,
            "help: ids and codes stand in the rule files; `straybelt rules print --format text` lists them all."
        )?;
    } else {
        writeln!(streams.err, "help: did you mean {}?", near.join(", "))?;
    }
    Ok(Exit::Usage)
}
