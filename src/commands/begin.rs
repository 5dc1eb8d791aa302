//! `straybelt` alone, at a terminal: what can be done now, begun by one key.

use super::{Failed, Streams};
use crate::ask::one_key;
use crate::cli::{Command, DiagnoseArgs, DrillArgs, DrillCommand, GaugeArgs, RunArgs};
use crate::show::greeting::{self, Wish};
use crate::show::page::Screen;
use crate::visit::store::VisitStore;

/// Greets, and waits for the key of what is wanted; nothing when the person goes away.
///
/// # Errors
/// If the page cannot be written.
pub(super) fn wished(streams: &mut Streams) -> Result<Option<Command>, Failed> {
    let open = VisitStore::usual(None).ok().and_then(|store| store.open_ones().ok());
    let open = open.and_then(|open| open.into_iter().next());
    let screen = Screen::with(streams.columns, streams.err_paint);
    streams.err.page(&greeting::page(screen, open.as_ref()))?;
    let wishes = greeting::wishes(open.is_some());
    let letters: Vec<char> = wishes.iter().map(|wish| wish.letter()).collect();
    let Ok(letter) = one_key(&letters) else { return Ok(None) };
    let wish = wishes.into_iter().find(|wish| wish.letter() == letter);
    Ok(wish.and_then(|wish| match wish {
        Wish::NewVisit => {
            Some(Command::Diagnose(DiagnoseArgs { announced: true, ..DiagnoseArgs::default() }))
        }
        Wish::GoOn => Some(Command::Diagnose(DiagnoseArgs {
            resume: Some(open.map(|record| record.visit)),
            ..DiagnoseArgs::default()
        })),
        Wish::Practise => Some(Command::Drill(DrillArgs {
            command: DrillCommand::Run(RunArgs::default()),
            book: Default::default(),
            state: Default::default(),
        })),
        Wish::Measure => Some(Command::Gauge(GaugeArgs::default())),
        Wish::Leave => None,
    }))
}
