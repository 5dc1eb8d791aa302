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
                list(screen, &book, &store, args.before, &SystemClock, &again)
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

/// The newest visits, or with `before` the newest of those with lower numbers. `again` are the flags that were named, to be named again.
///
/// # Errors
/// If the state folder cannot be read.
pub fn list(
    screen: Screen,
    book: &Book,
    store: &VisitStore,
    before: Option<u32>,
    clock: &dyn Clock,
    again: &str,
) -> Result<String, StoreError> {
    Ok(past::visits(screen, book, &store.newest(before, past::A_PAGE)?, &clock.zone(), again))
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
    let now = replay(book, &record.conveyor, &record.events);
    let finding = Diagnosis::new(book).finding(&now.conveyor, &now.observed);
    let sides = Sides::named(now.conveyor.left.as_deref(), now.conveyor.right.as_deref());
    let known = Known::new(book, &now.conveyor, &sides, &finding.answers).after(&now.observed);
    Ok(past::visit(screen, &known, &record, &now, &finding, &clock.zone()))
}
