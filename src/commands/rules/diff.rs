//! `rules diff`: what one rule book changes in another, entry by entry.

use std::path::Path;

use super::{DEFAULT, does_not_load, folder};
use crate::cli::{DiffArgs, ReportFormat};
use crate::commands::{Failed, Streams};
use crate::exit::Exit;
use crate::problem::Problems;
use crate::rulebook::cards::{Difference, differences};
use crate::rulebook::load::{self, Checked};
use crate::rulebook::model::Book;
use crate::show::changes::{Changes, ChangesJson};
use crate::show::entries::sheet::Sheet;

pub(super) fn run(args: &DiffArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let (old, new) = match args.books.as_slice() {
        [old, new, ..] => (Some(old.as_path()), new.as_path()),
        [new] => (None, new.as_path()),
        [] => (None, Path::new(DEFAULT)),
    };
    let (before, _) = loaded(folder(old), streams)?;
    let (now, checked) = loaded(folder(Some(new)), streams)?;
    let all = differences(&before, &now);
    let called =
        |dir: Option<&Path>| dir.map_or(DEFAULT.to_owned(), |dir| dir.display().to_string());
    let (old, new) = (called(old), called(Some(new)));
    let place = |difference: &Difference| place(&checked, difference);
    let changes = Changes { old: (&before, &old), new: (&now, &new), all: &all, place: &place };
    match args.format {
        ReportFormat::Text => {
            let mut sheet = Sheet::default();
            sheet.title("changes", "What changes", "");
            sheet.blocks.extend(changes.sheet().blocks);
            streams.out.page(&sheet.page(streams.screen()))?;
        }
        ReportFormat::Json => streams.out.json(&ChangesJson::new(&changes))?,
    }
    Ok(Exit::Done)
}

/// Where the files of the new book say it.
pub(super) fn place(checked: &Checked, difference: &Difference) -> Option<String> {
    let card = difference.card();
    checked.said(card.kind, &card.id).map(|place| place.to_string())
}

fn loaded(dir: Option<&Path>, streams: &mut Streams) -> Result<(Book, Checked), Failed> {
    let mut checked = load::read(dir);
    match checked.book.take() {
        Some(book) => Ok((book, checked)),
        None => does_not_load(&Problems(checked.problems), streams).and_then(Failed::told),
    }
}
