//! `rules separate`: what the book's questions cannot tell apart.

use super::book;
use crate::cli::{ReportFormat, SeparateArgs};
use crate::commands::{Failed, Streams};
use crate::conveyor;
use crate::exit::Exit;
use crate::proof::separate::{self, Levels};
use crate::show::separate as pages;

pub(super) fn run(args: &SeparateArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.dir.as_deref(), streams)?;
    let conveyor = match args.conveyor.as_deref().map(conveyor::read).transpose() {
        Ok(read) => {
            let (conveyor, warnings) = read.unwrap_or_default();
            super::tell(&warnings, streams)?;
            conveyor
        }
        Err(problems) => {
            super::tell(&problems.0, streams)?;
            return Ok(Exit::Usage);
        }
    };
    let levels = Levels { apart: args.level, ..Levels::default() };
    let found = separate::separation(&book, conveyor.facts(), &levels);
    match args.format {
        ReportFormat::Text => {
            let screen = streams.screen();
            let page = pages::page(screen, &book, &found, args.pairs);
            streams.out.page(&page)?;
        }
        ReportFormat::Json => {
            streams.out.json(&pages::document(&book, &found))?;
        }
    }
    Ok(Exit::Done)
}
