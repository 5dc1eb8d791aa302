//! Sizes that a gauge had to ask for, written into the conveyor's file if that is wished.

use std::io::{self, Write};
use std::path::Path;

use super::Bench;
use crate::ask::Ask;
use crate::commands::Streams;
use crate::commands::form::{Filled, Form, KEYS};
use crate::conveyor::pen;
use crate::disk;
use crate::gauge::{Given, Keyed, Readings, Way};
use crate::show::page::Screen;
use crate::source::folder;

/// Readings that were taken at a conveyor with a file.
pub(super) struct TakenReadings<'t> {
    /// How it was measured.
    pub(super) way: &'static Way,
    /// The readings.
    pub(super) readings: &'t Readings,
    /// The conveyor's file.
    pub(super) path: &'t Path,
}

/// Offers to keep what the file did not have. Whoever says no, or has gone, keeps the result all the same.
pub(super) fn offer(
    ask: &mut dyn Ask,
    screen: Screen,
    bench: &Bench,
    taken: &TakenReadings,
    streams: &mut Streams,
) -> io::Result<()> {
    let TakenReadings { way, readings, path } = *taken;
    let new: Vec<(&'static str, String)> = way
        .wanted
        .iter()
        .filter_map(|wanted| {
            let path = wanted.from.filter(|path| (bench.dimensions)(path).is_none())?;
            let given = readings.given(wanted.key)?;
            matches!(given, Given::Quantity(_)).then(|| (path, given.written()))
        })
        .collect();
    if new.is_empty() {
        return Ok(());
    }
    let shown = path.display().to_string();
    let keep = Form::new(ask, screen, KEYS).fill(|form| -> Filled<bool> {
        form.show(|page| {
            page.blank().para("The conveyor's file does not have these yet:");
            for wanted in way
                .wanted
                .iter()
                .filter(|wanted| new.iter().any(|(path, _)| wanted.from == Some(path)))
            {
                page.item(" - ", &bench.sides.fill(wanted.ask));
            }
        });
        form.yes("Write them into it?")
    });
    if !matches!(keep, Ok(true)) {
        return Ok(());
    }
    let written =
        folder::text(path).map_err(|_| "it cannot be read any more".to_owned()).and_then(|old| {
            let text = pen::with_sizes(&shown, &old, &new).map_err(|unfit| unfit.to_string())?;
            disk::write_again(path, &old, &text).map_err(|error| error.to_string())
        });
    match written {
        Ok(()) => writeln!(streams.err, "Written into {shown}."),
        Err(why) => writeln!(streams.err, "warning: {shown} is left as it is: {why}."),
    }
}
