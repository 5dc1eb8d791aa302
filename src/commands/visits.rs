//! `visits`: the visits there are, and one of them in full.

use super::{Failed, Streams, flags};
use crate::cli::{VisitsArgs, VisitsCommand};
use crate::exit::Exit;
use crate::rulebook::model::Book;
use crate::show::page::Screen;
use crate::show::past;
use crate::show::words::{Known, Sides};
use crate::visit::clock::{Clock, SystemClock};
use crate::visit::store::{StoreError, VisitStore};
use crate::visit::{Diagnosis, replay};

/// Does what `visits` was told.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &VisitsArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = super::book(args.book.rules.as_deref(), streams)?;
    let screen = streams.screen();
    let page =
        VisitStore::usual(args.state.state.as_deref()).and_then(|store| match args.command {
            None => {
                let again = flags(&[
                    ("--rules", args.book.rules.as_deref()),
                    ("--state", args.state.state.as_deref()),
                ]);
                let wanted = ListWanted { before: args.before, again: &again };
                list(screen, &book, &store, &SystemClock, &wanted)
            }
            Some(VisitsCommand::Show { visit }) => show(screen, &book, &store, visit, &SystemClock),
        });
    match page {
        Ok(page) => {
            streams.out.page(&page)?;
            Ok(Exit::Done)
        }
        Err(error) => super::say_store(&error, streams),
    }
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
