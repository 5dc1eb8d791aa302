//! `visits note`: notes, names and photos that belong to a visit, before it ended or after.

use std::io::Write;

use super::{Failed, Streams, say_store};
use crate::cli::VisitNoteArgs;
use crate::exit::Exit;
use crate::logbook::bounds::{self, LONGEST_NAME, LONGEST_NOTE};
use crate::show::chance::count;
use crate::visit::clock::{Clock, SystemClock};
use crate::visit::event::Event;
use crate::visit::photo::{self, NotKept};
use crate::visit::store::VisitStore;

/// Adds what was given to the visit.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(
    store: &VisitStore,
    args: &VisitNoteArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let said = |text: &Option<String>, what: &str, most: usize| {
        text.as_deref().map(|text| bounds::words(text, what, most)).transpose()
    };
    let texts = said(&args.text, "the note", LONGEST_NOTE)
        .and_then(|text| Ok((text, said(&args.by, "the name", LONGEST_NAME)?)));
    let (text, by) = match texts {
        Ok(texts) => texts,
        Err(why) => return refuse(&why, streams),
    };
    // All photos are looked at before any is kept.
    for path in &args.photo {
        if let Err(why) = photo::read(path) {
            return refuse(&why, streams);
        }
    }
    let mut visit = match store.open(args.visit) {
        Ok(visit) => visit,
        Err(error) => return say_store(&error, streams),
    };
    let mut events: Vec<Event> = Vec::new();
    events.extend(by.map(|name| Event::By { name }));
    events.extend(text.map(|text| Event::Remarked { text }));
    let mut copies = Vec::new();
    for path in &args.photo {
        match photo::keep(&visit, path) {
            Ok(file) => copies.push(file),
            Err(why) => {
                photo::take_away(&visit, &copies);
                return match why {
                    NotKept::Unfit(why) => refuse(&why, streams),
                    NotKept::Store(error) => say_store(&error, streams),
                };
            }
        }
    }
    events.extend(copies.iter().map(|file| Event::Photographed { file: file.clone() }));
    let many = events.len();
    if let Err(error) = visit.add_all(events, SystemClock.now()) {
        photo::take_away(&visit, &copies);
        return say_store(&error, streams);
    }
    writeln!(
        streams.out,
        "{} with visit {}.",
        count(many, "thing is kept", "things are kept"),
        args.visit
    )?;
    Ok(Exit::Done)
}

fn refuse(why: &str, streams: &mut Streams) -> Result<Exit, Failed> {
    streams
        .complain(&format!("error: {why}.\ndo: nothing was kept; put it right and try again."))?;
    Ok(Exit::Usage)
}
