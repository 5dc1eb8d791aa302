//! Which logbook is meant: by the conveyor's file, or by its name.

use std::path::Path;

use super::Desk;
use super::beginnings::{BadBook, glances, is_short_for, lost, new, open_or_begin};
use crate::commands::{Failed, Streams, found, refuse};
use crate::conveyor;
use crate::exit::Exit;
use crate::kept::{Begun, OpenRecord, StoreError};
use crate::logbook::bounds::{self, LONGEST_NAME};
use crate::logbook::{Glance, LogbookRecord, key};
use crate::visit::ConveyorFacts;

/// A conveyor that was named, by its file or by its name alone.
pub(super) struct Named {
    pub(super) name: String,
    pub(super) facts: Option<ConveyorFacts>,
}

/// The conveyor that is meant.
///
/// # Errors
/// After it was told what is wrong with the name or the file.
pub(super) fn named(desk: &Desk, told: &Path, streams: &mut Streams) -> Result<Named, Failed> {
    let file = told.is_file().then(|| told.to_path_buf()).or_else(|| {
        let files = found::conveyors_in(desk.visits);
        files.into_iter().find(|path| path.file_stem() == Some(told.as_os_str()))
    });
    if let Some(path) = file {
        let facts = match conveyor::read(&path) {
            Ok((conveyor, _)) => ConveyorFacts::from(&conveyor),
            Err(problems) => return refuse(&problems, streams).and_then(Failed::told),
        };
        let stem = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or("conveyor");
        let name = facts.name.clone().unwrap_or_else(|| stem.to_owned());
        return Ok(Named { name, facts: Some(facts) });
    }
    let text = told.to_string_lossy();
    match bounds::words(&text, "the name of the conveyor", LONGEST_NAME) {
        Ok(name) => Ok(Named { name, facts: None }),
        Err(why) => {
            streams.complain(&format!("error: {why}."))?;
            Failed::told(Exit::Usage)
        }
    }
}

/// The logbook of the conveyor that is meant, only to look at.
///
/// # Errors
/// After it was told that there is none.
pub(super) fn standing(
    desk: &Desk,
    told: &Path,
    streams: &mut Streams,
) -> Result<Result<LogbookRecord, StoreError>, Failed> {
    let named = named(desk, told, streams)?;
    match by_name(desk, &named, streams)? {
        Ok(Some(glance)) => {
            let looked = desk.books.look(glance.logbook);
            Ok(looked.map(|record| match named.facts {
                // The file of today says more than what was kept of it.
                Some(conveyor) if record.other_conveyor(&conveyor).is_none() => {
                    LogbookRecord { conveyor, ..record }
                }
                _ => record,
            }))
        }
        Ok(None) => {
            streams.complain(&format!(
                "error: there is no logbook of {}.\ndo: `straybelt logbook{}` lists those there are; `straybelt logbook takeup` and `straybelt logbook add` begin one.",
                named.name, desk.again
            ))?;
            Failed::told(Exit::Usage)
        }
        Err(error) => Ok(Err(error)),
    }
}

/// What is known of the conveyor that is meant: its logbook, or an empty one.
///
/// # Errors
/// After it was told why that cannot be had.
pub(super) fn known(
    desk: &Desk,
    named: &Named,
    streams: &mut Streams,
) -> Result<LogbookRecord, Failed> {
    let record = match by_name(desk, named, streams)? {
        Ok(Some(glance)) => desk.books.look(glance.logbook),
        Ok(None) => Ok(new(&named.name)(0)),
        Err(error) => Err(error),
    };
    match record {
        Ok(record) => Ok(match &named.facts {
            Some(conveyor) => LogbookRecord { conveyor: conveyor.clone(), ..record },
            None => record,
        }),
        Err(error) => {
            // Whoever wants to write has what cannot be understood set aside.
            let opened = error.number().map(|number| desk.books.open(number).err());
            let error = opened.flatten().unwrap_or(error);
            streams.complain(&format!(
                "error: nothing was entered. A logbook that may be that of {} cannot be read.",
                named.name
            ))?;
            crate::commands::say_store(&error, streams).and_then(Failed::told)
        }
    }
}

/// The logbook that is meant, opened to write in it; begun if there is none.
///
/// # Errors
/// After it was told why it cannot be.
pub(super) fn to_write(
    desk: &Desk,
    named: &Named,
    streams: &mut Streams,
) -> Result<Result<OpenRecord<LogbookRecord>, StoreError>, Failed> {
    let name = match by_name(desk, named, streams)? {
        Ok(Some(glance)) => glance.name,
        Ok(None) => named.name.clone(),
        Err(error) => return Ok(Err(error)),
    };
    let (mut open, begun) = match open_or_begin(desk.books, &name, desk.now()) {
        Ok(opened) => opened,
        Err(error) => return Ok(Err(error)),
    };
    if begun == Begun::Now
        && let Ok(Some(lost)) = lost(desk.books, &name)
    {
        begun_beside(&lost, streams)?;
    }
    let Some(facts) = &named.facts else { return Ok(Ok(open)) };
    if let Some(why) = open.record().other_conveyor(facts) {
        streams.complain(&format!(
            "error: there is a logbook of another conveyor called {name}: {why}.\ndo: give each conveyor a name of its own in its file, then try again."
        ))?;
        return Failed::told(Exit::Usage);
    }
    if open.record().conveyor != *facts
        && let Err(error) = open.change(|record| record.conveyor = facts.clone())
    {
        return Ok(Err(error));
    }
    Ok(Ok(open))
}

/// Says that a logbook is begun although there may have been one.
pub(super) fn begun_beside(lost: &str, streams: &mut Streams) -> Result<(), Failed> {
    streams.complain(&format!(
        "warning: {lost}. A new one is begun.\ndo: mend that file with an editor and rename it back to .ron; `straybelt logbook check` then tells how to put both together."
    ))?;
    Ok(())
}

/// The logbook of this name; or the only one whose name begins with it, as `OQ-04` does for `OQ-04 salt reclaim`.
fn by_name(
    desk: &Desk,
    named: &Named,
    streams: &mut Streams,
) -> Result<Result<Option<Glance>, StoreError>, Failed> {
    let (glances, mut bad) = match glances(desk.books) {
        Ok(all) => all,
        Err(error) => return Ok(Err(error)),
    };
    let wanted = key(&named.name);
    if let Some(glance) = glances.iter().find(|glance| key(&glance.name) == wanted) {
        return Ok(Ok(Some(glance.clone())));
    }
    // It may be one that cannot be read.
    bad.retain(|bad| bad.may_be(&wanted));
    let none = |bad: Vec<BadBook>| match bad.into_iter().next() {
        None => Ok(Ok(None)),
        Some(bad) => Ok(Err(bad.error)),
    };
    if named.facts.is_some() {
        return none(bad);
    }
    let begin = |glance: &&Glance| is_short_for(&wanted, &key(&glance.name));
    let beginning: Vec<&Glance> = glances.iter().filter(begin).collect();
    match beginning.as_slice() {
        [] => none(bad),
        [one] => Ok(Ok(Some((*one).clone()))),
        several => {
            let names: Vec<&str> = several.iter().map(|glance| glance.name.as_str()).collect();
            streams.complain(&format!(
                "error: {} may be any of these: {}.\ndo: name one of them in full.",
                named.name,
                names.join("; ")
            ))?;
            Failed::told(Exit::Usage)
        }
    }
}
