//! From the command line to a conversation: the book, the conveyor, the visit, who is asked and how.

use super::conversation::{announce, converse};
use super::talk::{Away, ConveyorFrom, Means, Talk};
use crate::ask::{Farewell, hear_signals};
use crate::cli::DiagnoseArgs;
use crate::commands::rules::tell;
use crate::commands::{Failed, Streams, asker, book, flags, say_store};
use crate::conveyor;
use crate::exit::Exit;
use crate::show::past;
use crate::visit::clock::SystemClock;
use crate::visit::store::{OpenVisit, Record, StoreError, VisitStore};
use crate::visit::{ConveyorFacts, settings};

/// Does what `diagnose` was told.
///
/// # Errors
/// If an error message cannot be written.
pub(in crate::commands) fn run(args: &DiagnoseArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.book.rules.as_deref(), streams)?;
    let facts = match &args.conveyor {
        None => ConveyorFacts::default(),
        Some(path) => match conveyor::read(path) {
            Err(problems) => {
                tell(&problems.0, streams)?;
                return Ok(Exit::Usage);
            }
            Ok((conveyor, warnings)) => {
                tell(&warnings, streams)?;
                let mut facts = ConveyorFacts::from(&conveyor);
                let stem = path.file_stem().and_then(|stem| stem.to_str());
                facts.name = facts.name.or_else(|| stem.map(str::to_owned));
                facts
            }
        },
    };
    let store = match VisitStore::usual(args.state.state.as_deref()) {
        Ok(store) => store,
        Err(error) => return say_store(&error, streams),
    };
    if let Some(wrong) = SystemClock::wrong() {
        streams.complain(&format!("error: {wrong}."))?;
        return Ok(Exit::Usage);
    }
    if let Err(why) = settings::units(&store) {
        streams
            .complain(&format!("warning: the units chosen last are not known any more: {why}."))?;
    }
    let begin = match begin(args, &store, &facts) {
        Ok(begin) => begin,
        Err(error) => return say_store(&error, streams),
    };

    // Minutes are those of this conveyor, as far as it is known when the visit begins.
    let book = match &begin {
        Begin::With(kept) => kept.record().conveyor.book(&book),
        Begin::New(_) => facts.book(&book),
    };
    let farewell = Farewell::default();
    hear_signals(&farewell);
    let (mut ask, screen) = asker::somebody(args.manner(), streams);
    let means = Means {
        book: &book,
        store: &store,
        clock: &SystemClock,
        screen,
        farewell: &farewell,
        again: &flags(&[
            ("--rules", args.book.rules.as_deref()),
            ("--state", args.state.state.as_deref()),
        ]),
    };
    match begin {
        Begin::With(kept) => Ok(converse(&mut Talk::resume(means, ask.as_mut(), *kept))),
        Begin::New(open) => {
            let from = match args.conveyor {
                Some(_) => ConveyorFrom::File,
                None => ConveyorFrom::Questions,
            };
            let mut talk = Talk::begin(means, ask.as_mut(), facts, from);
            match announce(&mut talk, &open) {
                Ok(None) => Ok(converse(&mut talk)),
                Ok(Some(error)) => say_store(&error, streams),
                Err(Away::Interrupted) => Ok(Exit::Interrupted),
                Err(Away::Stopped | Away::EndOfInput) => Ok(Exit::Done),
            }
        }
    }
}

enum Begin {
    /// With a visit that was begun before.
    With(Box<OpenVisit>),
    /// A new one; these are open and are to be announced.
    New(Vec<Record>),
}

fn begin(
    args: &DiagnoseArgs,
    store: &VisitStore,
    facts: &ConveyorFacts,
) -> Result<Begin, StoreError> {
    match args.resume {
        Some(Some(visit)) => Ok(Begin::With(Box::new(store.open(visit)?))),
        Some(None) => Ok(Begin::With(Box::new(store.open_newest()?))),
        None => {
            let mut open = store.open_ones()?;
            if args.conveyor.is_some() {
                open.retain(|record| past::conveyor_name(record) == facts.name);
            }
            Ok(Begin::New(open))
        }
    }
}
