//! `straybelt drill`: practice runs.

mod choose;
mod course;
mod debrief;
mod floor;
mod learners;
mod progress;
mod replay;
mod run;
mod sheet;
mod turns;
mod ways;

use super::{Failed, Streams, flags, say_store};
use crate::cli::{DrillArgs, DrillCommand, NewArgs, NewKind};
use crate::drill::course::Course;
use crate::drill::record::Store;
use crate::drill::{self, Drill};
use crate::exit::Exit;
use crate::problem::{Report, nearest};
use crate::rulebook::load;
use crate::rulebook::model::Book;
use crate::show::drill::list as pages;
use crate::show::drill::words::DrillNames;
use crate::visit::clock::{Clock, SystemClock};

/// The drills of a rule book.
struct DrillBook {
    book: Book,
    drills: Vec<Drill>,
    courses: Vec<Course>,
}

/// Where runs are begun and gone on with.
struct Practice<'p> {
    room: &'p DrillBook,
    store: &'p Store,
    args: &'p DrillArgs,
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
        DrillCommand::Show { name, hidden } => {
            let shown = if *hidden { DrillShown::Hidden } else { DrillShown::Briefing };
            show(&room, name, shown, streams)
        }
        DrillCommand::Run(wanted) => {
            run::begin(&Practice { room: &room, store: &store, args }, wanted, streams)
        }
        DrillCommand::Again { run, replay: true, .. } => replay::show(&room, &store, *run, streams),
        DrillCommand::Again { run, plain, .. } => {
            let practice = Practice { room: &room, store: &store, args };
            run::again(&practice, *run, plain.manner(), streams)
        }
        DrillCommand::Course(wanted) => {
            course::take(&Practice { room: &room, store: &store, args }, wanted, streams)
        }
        DrillCommand::Progress(wanted) => progress::tell(&room, &store, wanted, streams),
        DrillCommand::Sheet(wanted) => sheet::write(&room, wanted, streams),
        DrillCommand::Debrief(wanted) => debrief::debrief(&room, &store, wanted, streams),
        DrillCommand::New { .. } => Ok(Exit::Usage),
    }
}

/// The rule book and its drills, or how the program ends without them.
fn room(args: &DrillArgs, streams: &mut Streams) -> Result<DrillBook, Failed> {
    let checked = load::read(args.book.rules.as_deref());
    let Some(book) = &checked.book else {
        let problems = crate::problem::Problems(checked.problems);
        return super::rules::does_not_load(&problems, streams).and_then(Failed::told);
    };
    let mut report = Report::default();
    let drills = drill::read::read(book, &checked, &mut report).drills;
    let mut of_courses = Report::default();
    let courses = drill::course::read::read(book, &checked, &drills, &mut of_courses);
    for (what, report) in [("drills", report), ("courses", of_courses)] {
        let problems = report.sorted();
        if !problems.is_empty() {
            super::rules::tell(&problems, streams)?;
            streams.complain(&format!("warning: {what} with something wrong are left out."))?;
        }
    }
    Ok(DrillBook { book: book.clone(), drills, courses })
}

impl DrillBook {
    fn drill(&self, name: &str) -> Option<&Drill> {
        self.drills.iter().find(|drill| drill.id == name)
    }
}

/// Says that there is no such drill, and which there may be.
fn unknown(room: &DrillBook, name: &str, streams: &mut Streams) -> Result<Exit, Failed> {
    let meant = nearest(name, room.drills.iter().map(|drill| drill.id.as_str()));
    let meant = meant.map_or(String::new(), |meant| format!(" Did you mean {meant}?"));
    streams.complain(&format!(
        "error: there is no drill {name}.{meant} `straybelt drill list` lists those there are."
    ))?;
    Ok(Exit::Usage)
}

fn list(
    room: &DrillBook,
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

/// How much of a drill is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum DrillShown {
    /// What the learner is told.
    Briefing,
    /// What is hidden too.
    Hidden,
}

fn show(
    room: &DrillBook,
    name: &str,
    shown: DrillShown,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let Some(drill) = room.drill(name) else {
        return unknown(room, name, streams);
    };
    let screen = streams.screen();
    let mut page = pages::briefing(screen, drill);
    if shown == DrillShown::Hidden {
        let names = DrillNames::new(drill);
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
