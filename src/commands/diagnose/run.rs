//! From the command line to a conversation: the book, the conveyor, the visit, who is asked and how.

use std::path::{Path, PathBuf};

use super::conversation::{announce, converse};
use super::talk::{Away, ConveyorFrom, Means, Talk};
use crate::ask::{Farewell, KeyKind, Lost, Prompt, PromptReply, hear_signals};
use crate::cli::DiagnoseArgs;
use crate::commands::{Failed, Streams, asker, book, flags, found, logbook, refuse, say_store};
use crate::conveyor;
use crate::exit::Exit;
use crate::problem::Problems;
use crate::show::asking::{self, QuestionPut};
use crate::show::past;
use crate::visit::ConveyorFacts;
use crate::visit::clock::SystemClock;
use crate::visit::store::{OpenVisit, Record, StoreError, VisitStore};

/// Does what `diagnose` was told.
///
/// # Errors
/// If an error message cannot be written.
pub(in crate::commands) fn run(args: &DiagnoseArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let book = book(args.book.rules.as_deref(), streams)?;
    let args = match which_conveyor(args, streams)? {
        Ok(conveyor) => &DiagnoseArgs { conveyor, ..args.clone() },
        Err(lost) => {
            return Ok(match lost {
                Lost::Interrupted => Exit::Interrupted,
                Lost::EndOfInput => Exit::Done,
            });
        }
    };
    let facts = match facts_of(args.conveyor.as_deref()) {
        Ok(facts) => facts,
        Err(problems) => return refuse(&problems, streams),
    };
    let store = match VisitStore::usual(args.state.state.as_deref()) {
        Ok(store) => store,
        Err(error) => return say_store(&error, streams),
    };
    if let Some(wrong) = SystemClock::wrong() {
        streams.complain(&format!("error: {wrong}."))?;
        return Ok(Exit::Usage);
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
    logbook::gather_quietly(&store, &SystemClock);
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
    let ended = match begin {
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
    };
    logbook::gather_quietly(&store, &SystemClock);
    ended
}

/// What is known of the conveyor from its file. Warnings about it are for whoever keeps the file: `conveyor check` tells
/// of them.
fn facts_of(file: Option<&Path>) -> Result<ConveyorFacts, Problems> {
    let Some(path) = file else { return Ok(ConveyorFacts::default()) };
    let (conveyor, _) = conveyor::read(path)?;
    let mut facts = ConveyorFacts::from(&conveyor);
    let stem = path.file_stem().and_then(|stem| stem.to_str());
    facts.name = facts.name.or_else(|| stem.map(str::to_owned));
    Ok(facts)
}

/// The conveyor's file: the one named, or one of those in the state folder, which are asked for before a new visit.
fn which_conveyor(
    args: &DiagnoseArgs,
    streams: &mut Streams,
) -> Result<Result<Option<PathBuf>, Lost>, Failed> {
    let state = args.state.state.as_deref();
    if let Some(named) = &args.conveyor {
        return Ok(Ok(Some(found::conveyor(named, state, streams)?)));
    }
    let files = match args.resume {
        Some(_) => Vec::new(),
        None => found::conveyors(state),
    };
    if files.is_empty() {
        return Ok(Ok(None));
    }
    let name = |path: &PathBuf| path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let mut answers: Vec<String> = files.iter().map(name).collect();
    answers.push("Another one: a few short questions".to_owned());
    let keys = [KeyKind::Stop];
    let asked = QuestionPut {
        title: "Which conveyor?".to_owned(),
        around: String::new(),
        ask: "Which of these is it?".to_owned(),
        answers: answers.clone(),
        keys: &keys,
        own: &[],
    };
    let chosen = {
        let (mut ask, screen) = asker::somebody(args.manner(), streams);
        ask.say(&asking::question(screen, &asked));
        ask.choose(&Prompt::new(answers, &keys))
    };
    match chosen {
        PromptReply::Choice(place) => {
            let file = files.get(place);
            if let Some(path) = file {
                found::taken(path, streams)?;
            }
            Ok(Ok(file.cloned()))
        }
        PromptReply::Lost(lost) => Ok(Err(lost)),
        PromptReply::Ticked(_) | PromptReply::Key(_) => Ok(Err(Lost::EndOfInput)),
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
        None if args.announced => Ok(Begin::New(Vec::new())),
        None => {
            let mut open = store.open_ones()?;
            if args.conveyor.is_some() {
                open.retain(|record| past::conveyor_name(record) == facts.name);
            }
            Ok(Begin::New(open))
        }
    }
}
