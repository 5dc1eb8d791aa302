//! `straybelt drill`: practice runs.

mod choose;
mod debrief;
mod floor;
mod run;
mod ways;

use super::{Failed, Streams, flags, say_store};
use crate::cli::{DrillArgs, DrillCommand, NewArgs, NewKind};
use crate::drill::record::Store;
use crate::drill::{self, Drill};
use crate::exit::Exit;
use crate::problem::{Report, nearest};
use crate::rulebook::load;
use crate::rulebook::model::Book;
use crate::show::drill::list as pages;
use crate::show::drill::words::Names;
use crate::visit::clock::{Clock, SystemClock};

/// The drills of a rule book.
struct Room {
    book: Book,
    drills: Vec<Drill>,
}

/// Does what `drill` was told.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &DrillArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    if let DrillCommand::New { dir, plain } = &args.command {
        let new = NewArgs {
            kind: NewKind::Drill,
            dir: dir.clone().or_else(|| args.book.rules.clone()),
            from: None,
            state: args.state.clone(),
            plain: *plain,
        };
        return super::rules::write_new_entry(&new, streams);
    }
    let room = room(args, streams)?;
    let store = match Store::usual(args.state.state.as_deref()) {
        Ok(store) => store,
        Err(error) => return say_store(&error, streams),
    };
    match &args.command {
        DrillCommand::List { before } => list(&room, &store, args, *before, streams),
        DrillCommand::Show { name, hidden } => show(&room, name, *hidden, streams),
        DrillCommand::Run(wanted) => run::begin(&room, &store, args, wanted, streams),
        DrillCommand::Again { run, plain } => {
            run::again(&room, &store, args, *run, *plain, streams)
        }
        DrillCommand::Debrief(wanted) => debrief::debrief(&room, &store, wanted, streams),
        DrillCommand::New { .. } => Ok(Exit::Usage),
    }
}

/// The rule book and its drills, or how the program ends without them.
fn room(args: &DrillArgs, streams: &mut Streams) -> Result<Room, Failed> {
    let checked = load::read(args.book.rules.as_deref());
    let Some(book) = &checked.book else {
        let problems = crate::problem::Problems(checked.problems);
        return super::rules::does_not_load(&problems, streams).and_then(Failed::told);
    };
    let mut report = Report::default();
    let drills = drill::read::read(book, &checked, &mut report);
    let problems = report.sorted();
    if !problems.is_empty() {
        super::rules::tell(&problems, streams)?;
        streams.complain("warning: drills with something wrong are left out.")?;
    }
    Ok(Room { book: book.clone(), drills })
}

impl Room {
    fn drill(&self, name: &str) -> Option<&Drill> {
        self.drills.iter().find(|drill| drill.id == name)
    }
}

/// Says that there is no such drill, and which there may be.
fn unknown(room: &Room, name: &str, streams: &mut Streams) -> Result<Exit, Failed> {
    let meant = nearest(name, room.drills.iter().map(|drill| drill.id.as_str()));
    let meant = meant.map_or(String::new(), |meant| format!(" Did you mean {meant}?"));
    streams.complain(&format!(
        "error: there is no drill {name}.{meant} `straybelt drill list` lists those there are."
    ))?;
    Ok(Exit::Usage)
}

fn list(
    room: &Room,
    store: &Store,
    args: &DrillArgs,
    before: Option<u32>,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let screen = streams.screen();
    match store.newest(before, pages::A_PAGE) {
        Ok(runs) => {
            let again = flags(&[
                ("--rules", args.book.rules.as_deref()),
                ("--state", args.state.state.as_deref()),
            ]);
            let page = pages::list(screen, &room.drills, &runs, &SystemClock.zone(), &again);
            streams.out.page(&page)?;
            Ok(Exit::Done)
        }
        Err(error) => say_store(&error, streams),
    }
}

fn show(room: &Room, name: &str, hidden: bool, streams: &mut Streams) -> Result<Exit, Failed> {
    let Some(drill) = room.drill(name) else {
        return unknown(room, name, streams);
    };
    let screen = streams.screen();
    let mut page = pages::briefing(screen, drill);
    if hidden {
        let names = Names::of(drill);
        let things: Vec<Vec<String>> = drill
            .hidden
            .iter()
            .map(|hidden| hidden.things.iter().map(|thing| names.thing(*thing)).collect())
            .collect();
        page += &pages::hidden(screen, &room.book, drill, &things);
    }
    streams.out.page(&page)?;
    Ok(Exit::Done)
}
