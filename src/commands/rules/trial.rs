//! `rules trial`: how the rule book does on conveyors drawn from the belt-line model.

use std::io;

use crate::cli::{ReportFormat, TrialArgs};
use crate::commands::progress::Progress;
use crate::commands::{Streams, book};
use crate::drill::trial::{Setting, trial};
use crate::exit::Exit;
use crate::show::page::Screen;
use crate::show::proof_trial::{self, Head, Json};
use crate::show::ways;

pub(super) fn run(args: &TrialArgs, streams: &mut Streams) -> io::Result<Exit> {
    let book = match book(args.rules.as_deref(), streams)? {
        Ok(book) => book,
        Err(exit) => return Ok(exit),
    };
    let setting = Setting { runs: args.draws.runs(), seed: args.draws.seed, words: &ways::said };
    let mut progress = Progress::new(streams.err.bare(), setting.runs, "conveyors");
    let report = trial(&book, &setting, &mut |through| progress.through(through));
    drop(progress);
    let head = Head { book: &book, seed: setting.seed };
    match args.draws.format {
        ReportFormat::Text => {
            let screen = Screen::new(streams.width, streams.out_paint);
            streams.out.page(&proof_trial::page(screen, head, &report))?;
        }
        ReportFormat::Json => {
            streams.out.json(&Json::of(head, &report))?;
        }
    }
    Ok(Exit::Done)
}
