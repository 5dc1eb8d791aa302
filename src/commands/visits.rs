//! `visits`: the visits there are, and one of them in full.

use std::ffi::OsStr;
use std::path::Path;

use super::output::deliver;
use super::{Failed, Streams, flags, note};
use crate::cli::{PageFormat, VisitShowArgs, VisitsArgs, VisitsCommand};
use crate::disk::Over;
use crate::exit::Exit;
use crate::rulebook::model::Book;
use crate::show::page::Screen;
use crate::show::past;
use crate::show::visit_page::{self, Photo, VisitPage};
use crate::show::words::{Known, Sides};
use crate::stream;
use crate::visit::clock::{Clock, SystemClock};
use crate::visit::event::{Event, standing};
use crate::visit::photo;
use crate::visit::store::{Record, StoreError, VisitStore};
use crate::visit::{Diagnosis, replay};

/// Does what `visits` was told.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &VisitsArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = super::book(args.book.rules.as_deref(), streams)?;
    let screen = streams.screen();
    let store = match VisitStore::usual(args.state.state.as_deref()) {
        Ok(store) => store,
        Err(error) => return super::say_store(&error, streams),
    };
    let page = match &args.command {
        None => {
            let again = flags(&[
                ("--rules", args.book.rules.as_deref()),
                ("--state", args.state.state.as_deref()),
            ]);
            let wanted = ListWanted { before: args.before, again: &again };
            list(screen, &book, &store, &SystemClock, &wanted)
        }
        Some(VisitsCommand::Show(args))
            if args.page.format == PageFormat::Text && args.page.output.is_none() =>
        {
            show(screen, &book, &store, args.visit, &SystemClock)
        }
        Some(VisitsCommand::Show(args)) => {
            return hand_over(&book, &store, args, Paper::Visit, streams);
        }
        Some(VisitsCommand::Note(args)) => return note::run(&store, args, streams),
        Some(VisitsCommand::Sheet(args)) => {
            return hand_over(&book, &store, args, Paper::JobSheet, streams);
        }
    };
    match page {
        Ok(page) => {
            streams.out.page(&page)?;
            Ok(Exit::Done)
        }
        Err(error) => super::say_store(&error, streams),
    }
}

/// What is handed over of a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Paper {
    /// The visit itself.
    Visit,
    /// The job sheet of its plan.
    JobSheet,
}

/// Writes a visit or its job sheet, to be handed over.
fn hand_over(
    book: &Book,
    store: &VisitStore,
    args: &VisitShowArgs,
    paper: Paper,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let record = match store.look(args.visit) {
        Ok(record) => record,
        Err(error) => return super::say_store(&error, streams),
    };
    let book = &record.conveyor.book(book);
    let now = replay(book, &record.conveyor, &record.events);
    let diagnosis = Diagnosis::new(book);
    let finding = diagnosis.finding(&now.conveyor.facts, &now.observed);
    let sides = Sides::named(now.conveyor.left.as_deref(), now.conveyor.right.as_deref());
    let known = Known::new(book, &now.conveyor.facts, &sides, &finding.latest).after(&now.observed);
    let visit = past::PastVisit { record: &record, now: &now, finding: &finding };
    let zone = SystemClock.zone();
    let photos = photos(store, &record);
    let why = |cause| diagnosis.why(&finding, cause);
    let start = Known::new(book, &now.conveyor.facts, &sides, &finding.answers);
    let page =
        VisitPage { known: &known, start: &start, photos: &photos, visit, why: &why, zone: &zone };
    let document = match (paper, args.page.format) {
        (Paper::Visit, PageFormat::Text) => past::visit(streams.screen(), &known, &visit, &zone),
        (Paper::Visit, PageFormat::Html) => visit_page::html(&page),
        (Paper::JobSheet, PageFormat::Text) => visit_page::job_sheet_text(streams.screen(), &page),
        (Paper::JobSheet, PageFormat::Html) => visit_page::job_sheet_html(&page),
        (_, PageFormat::Json) => stream::json(&visit_page::document(&page))?,
    };
    let over = if args.page.force { Over::PlainFile } else { Over::Nothing };
    let what = if paper == Paper::Visit { "the visit" } else { "the job sheet" };
    deliver(&document, args.page.output.as_deref(), over, what, streams)
}

/// The photos of a visit that can still be read.
fn photos(store: &VisitStore, record: &Record) -> Vec<Photo> {
    let Ok(folder) = store.beside_record(record.visit, photo::FOLDER) else { return Vec::new() };
    let events = standing(&record.events);
    let files = events.iter().filter_map(|event| match &event.what {
        Event::Photographed { file } => Some(file),
        _ => None,
    });
    // A record may have been changed by hand: a name leads nowhere but into this folder.
    let plain = files.filter(|file| Path::new(file).file_name() == Some(OsStr::new(file)));
    plain
        .filter_map(|file| {
            let (kind, bytes) = photo::read(&folder.join(file)).ok()?;
            Some(Photo { file: file.clone(), kind, bytes })
        })
        .collect()
}

/// Which visits are listed.
#[derive(Debug, Clone, Copy, Default)]
pub struct ListWanted<'w> {
    /// Only those with lower numbers.
    pub before: Option<u32>,
    /// The flags that were named, to be named again.
    pub again: &'w str,
}

/// The newest visits.
///
/// # Errors
/// If the state folder cannot be read.
pub fn list(
    screen: Screen,
    book: &Book,
    store: &VisitStore,
    clock: &dyn Clock,
    wanted: &ListWanted,
) -> Result<String, StoreError> {
    let listing = store.newest(wanted.before, past::A_PAGE)?;
    Ok(past::visits(screen, book, &listing, &clock.zone(), wanted.again))
}

/// One visit in full.
///
/// # Errors
/// If there is no such visit, or it cannot be read.
pub fn show(
    screen: Screen,
    book: &Book,
    store: &VisitStore,
    visit: u32,
    clock: &dyn Clock,
) -> Result<String, StoreError> {
    let record = store.look(visit)?;
    let book = &record.conveyor.book(book);
    let now = replay(book, &record.conveyor, &record.events);
    let finding = Diagnosis::new(book).finding(&now.conveyor.facts, &now.observed);
    let sides = Sides::named(now.conveyor.left.as_deref(), now.conveyor.right.as_deref());
    let known = Known::new(book, &now.conveyor.facts, &sides, &finding.latest).after(&now.observed);
    let visit = past::PastVisit { record: &record, now: &now, finding: &finding };
    Ok(past::visit(screen, &known, &visit, &clock.zone()))
}
