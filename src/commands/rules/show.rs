//! `rules show`: everything about one entry.

use super::{does_not_load, tell};
use crate::cli::{ReportFormat, ShowArgs};
use crate::commands::{Failed, Streams};
use crate::exit::Exit;
use crate::problem::{Problems, Report};
use crate::proof::{case, touch::touching};
use crate::rulebook::find::{EntryAt, find, nearest};
use crate::rulebook::load;
use crate::rulebook::model::Book;
use crate::show::entries::{BookSheets, Detail, json};
use crate::show::page::Page;
use crate::stream::paint::Ink;

const LEGEND: &str = "How to read it: \"72 % with it, 8 % without\" says how likely that answer is. With it: this cause \
    alone is there. Without: no cause is there that speaks of it. Decibans say how strongly the answer then speaks: +3 makes \
    the cause twice as likely against the others, +10 ten times, +20 a hundred times; with a minus it speaks against it.";

/// So many near names are told.
const NEAR: usize = 5;

pub(super) fn run(args: &ShowArgs, streams: &mut Streams) -> Result<Exit, Failed> {
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
        streams.complain("warning: cases with something wrong are left out; `straybelt rules test` tells of them.")?;
    }
    let sheets = BookSheets::new(&book);
    let entries: Vec<_> = found.into_iter().map(|at| (at, touching(&cases.cases, at))).collect();
    match args.format {
        ReportFormat::Text => {
            let screen = streams.screen();
            for (at, cases) in &entries {
                let page = sheets.sheet(*at, Detail::Names, cases).page(screen);
                streams.out.page(&page)?;
            }
            let weighed = |at: &EntryAt| matches!(at, EntryAt::Cause(_) | EntryAt::Symptom(_));
            if entries.iter().any(|(at, _)| weighed(at)) {
                let mut legend = Page::new(screen);
                legend.blank().para_in(Ink::Faint, LEGEND);
                streams.out.page(&format!("\n{}", legend.finish()))?;
            }
        }
        ReportFormat::Json => {
            let document = json::document(&sheets, &entries);
            streams.out.json(&document)?;
        }
    }
    Ok(Exit::Done)
}

/// Says that nothing has this id, and what is nearest.
pub(super) fn unknown(book: &Book, id: &str, streams: &mut Streams) -> Result<Exit, Failed> {
    streams.complain(&format!("error: nothing in the rule book is called `{id}`."))?;
    let near = nearest(book, id, NEAR);
    if near.is_empty() {
        streams.complain("do: ids stand in the rule files; `straybelt rules print --format text` lists them all.")?;
    } else {
        streams.complain(&format!("do: did you mean {}?", near.join(", ")))?;
    }
    Ok(Exit::Usage)
}
