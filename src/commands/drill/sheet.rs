//! `straybelt drill sheet`: a drill on paper, for a class without tablets.

use super::{DrillBook, unknown};
use crate::cli::{DrillSheetArgs, SheetFormat};
use crate::commands::{Failed, Streams, output};
use crate::disk::Over;
use crate::drill::World;
use crate::exit::Exit;
use crate::show::drill::sheet::{answers, html, learners, text};
use crate::show::page::Screen;
use crate::stream::paint::Paint;
use crate::visit::Diagnosis;

/// Writes the learners' sheet, or the trainer's.
///
/// # Errors
/// If standard output cannot be written.
pub(super) fn write(
    room: &DrillBook,
    wanted: &DrillSheetArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let Some(drill) = room.drill(&wanted.name) else {
        return unknown(room, &wanted.name, streams);
    };
    let diagnosis = Diagnosis::new(&room.book);
    let sheet = if wanted.answers {
        let Some(world) = World::begin(drill, &diagnosis) else {
            streams.complain(
                "error: the belt of this drill cannot run. `straybelt rules check` tells why.",
            )?;
            return Ok(Exit::Usage);
        };
        answers::sheet(&world)
    } else {
        learners::sheet(drill, room.book.minutes)
    };
    let paint = if wanted.output.is_some() { Paint::NONE } else { streams.out_paint };
    let document = match wanted.format {
        SheetFormat::Text => text(Screen::with(streams.columns, paint), &sheet),
        SheetFormat::Html => html(&drill.title, &sheet),
    };
    let over = if wanted.force { Over::PlainFile } else { Over::Nothing };
    output::deliver(&document, wanted.output.as_deref(), over, "the sheet", streams)
}
