//! `straybelt drill again --replay`: a run move by move, with the belt after each that let it run.

use super::DrillBook;
use crate::commands::progress::Progress;
use crate::commands::{Failed, Streams, refuse, say_store};
use crate::drill::frames::{self, Frame};
use crate::drill::record::{Record, Store};
use crate::drill::{Drill, World};
use crate::exit::Exit;
use crate::show::drill::{list, replay};
use crate::visit::Diagnosis;

/// Shows a run once more, picture by picture.
///
/// # Errors
/// If standard output cannot be written.
pub(super) fn show(
    room: &DrillBook,
    store: &Store,
    run: u32,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let record = match store.look(run) {
        Ok(record) => record,
        Err(error) => return say_store(&error, streams),
    };
    let drill = match record.drill(&room.book) {
        Ok(drill) => drill,
        Err(problems) => return refuse(&problems, streams),
    };
    let diagnosis = Diagnosis::new(&room.book);
    let Some((world, frames)) = pictured(&record, &drill, &diagnosis, streams) else {
        streams.complain(
            "error: the belt of this drill cannot run. `straybelt rules check` tells why.",
        )?;
        return Ok(Exit::Usage);
    };
    let screen = streams.screen();
    let page = list::briefing(screen, &drill) + &replay::text(screen, &world, &frames);
    streams.out.page(&page)?;
    Ok(Exit::Done)
}

/// A run made again with its pictures; on a terminal a line tells how far it is, if that takes long.
pub(super) fn pictured<'d>(
    record: &Record,
    drill: &'d Drill,
    diagnosis: &'d Diagnosis<'d>,
    streams: &mut Streams,
) -> Option<(World<'d>, Vec<Frame>)> {
    let moves = record.moves.len();
    let mut progress = Progress::new(streams.err.bare(), moves, "moves made again");
    frames::frames(record, drill, diagnosis, &mut |number| {
        progress.through(number);
        true
    })
}
