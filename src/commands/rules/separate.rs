//! `rules separate`: what the book's questions cannot tell apart.

use std::io;

use crate::cli::{ReportFormat, SeparateArgs};
use crate::commands::{Streams, book};
use crate::conveyor;
use crate::exit::Exit;
use crate::proof::separate::{self, Levels};
use crate::show::page::Screen;
use crate::show::separate as pages;

pub(super) fn run(args: &SeparateArgs, streams: &mut Streams) -> io::Result<Exit> {
    let book = match book(args.dir.as_deref(), streams)? {
        Ok(book) => book,
        Err(exit) => return Ok(exit),
    };
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
    let found = separate::of(&book, &conveyor, &levels);
    match args.format {
        ReportFormat::Text => {
            let screen = Screen::new(streams.width, streams.out_paint);
            let page = pages::page(screen, &book, &found, args.pairs);
            streams.out.page(&page)?;
        }
        ReportFormat::Json => {
            streams.out.json(&pages::document(&book, &found))?;
        }
    }
    Ok(Exit::Done)
}
