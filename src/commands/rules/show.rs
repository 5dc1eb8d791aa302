//! `rules show`: everything about one entry.

use std::io::{self, Write};

use crate::cli::{ReadFormat, ShowArgs};
use crate::commands::Streams;
use crate::commands::book;
use crate::exit::Exit;
use crate::rulebook::find::{EntryAt, find, nearest};
use crate::rulebook::model::Book;
use crate::show::page::Screen;
use crate::show::shelf::{Depth, Shelf, json};

/// So many near names are told.
const NEAR: usize = 5;

pub(super) fn run(args: &ShowArgs, streams: &mut Streams) -> io::Result<Exit> {
    let book = match book(args.rules.as_deref(), streams)? {
        Ok(book) => book,
        Err(exit) => return Ok(exit),
    };
    let found = find(&book, &args.id);
    if found.is_empty() {
        return unknown(&book, &args.id, streams);
    }
    let shelf = Shelf::of(&book);
    let entries: Vec<_> = found.into_iter().map(|at| (at, cases(at))).collect();
    match args.format {
        ReadFormat::Text => {
            let screen = Screen::new(streams.width, streams.out_paint);
            for (at, cases) in &entries {
                let page = shelf.sheet(*at, Depth::Names, cases).page(screen);
                write!(streams.out, "{page}")?;
            }
        }
        ReadFormat::Json => {
            let document = json::document(&shelf, &entries);
            serde_json::to_writer_pretty(&mut streams.out, &document)?;
            writeln!(streams.out)?;
        }
    }
    Ok(Exit::Done)
}

/// The ids of the cases that touch an entry. The cases come with the room that runs them.
fn cases(_: EntryAt) -> Vec<String> {
    Vec::new()
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
