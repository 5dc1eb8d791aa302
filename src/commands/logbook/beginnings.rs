//! The logbooks there are, by the beginnings of their files, and those that were set aside.

use std::path::PathBuf;

use jiff::Timestamp;

use crate::kept::{Begun, OpenRecord, StoreError, Wanted};
use crate::logbook::record::name_at;
use crate::logbook::{Glance, LogbookRecord, LogbookStore, key};

/// A logbook that could not be read.
pub(super) struct BadBook {
    /// What its conveyor is called, where that can be read still.
    pub(super) name: Option<String>,
    pub(super) error: StoreError,
}

impl BadBook {
    /// Whether it may be the logbook of a conveyor of this name.
    pub(super) fn may_be(&self, wanted: &str) -> bool {
        may_be(self.name.as_deref(), wanted)
    }
}

/// Whether a name is meant that was typed so; of a name that cannot be read it may be.
fn may_be(name: Option<&str>, wanted: &str) -> bool {
    name.map(key).is_none_or(|name| name == wanted || is_short_for(wanted, &name))
}

/// Whether a name begins with what was typed, as `OQ-04 salt reclaim` does with `OQ-04`.
pub(super) fn is_short_for(typed: &str, name: &str) -> bool {
    name.strip_prefix(typed).is_some_and(|more| more.starts_with(' '))
}

/// A glance at every logbook, by name, and what could not be read.
///
/// # Errors
/// If the folder cannot be read.
pub(super) fn glances(books: &LogbookStore) -> Result<(Vec<Glance>, Vec<BadBook>), StoreError> {
    let (mut glances, mut bad) = (Vec::new(), Vec::new());
    for (number, beginning) in books.beginnings()? {
        let text = match beginning {
            Ok(text) => text,
            Err(error) => {
                bad.push(BadBook { name: None, error });
                continue;
            }
        };
        match Glance::at(&text) {
            Some(glance) if glance.logbook == number => glances.push(glance),
            // What is wrong with it is found by reading all of it.
            _ => match books.look(number) {
                Ok(record) => glances.push(Glance::from(&record)),
                Err(error) => bad.push(BadBook { name: name_at(&text), error }),
            },
        }
    }
    glances.sort_by(|one, other| {
        (one.name.to_lowercase(), one.logbook).cmp(&(other.name.to_lowercase(), other.logbook))
    });
    Ok((glances, bad))
}

/// Opens the logbook of a conveyor of this name to write in it, or begins one.
///
/// # Errors
/// If it cannot be opened, or none be begun.
pub(super) fn open_or_begin(
    books: &LogbookStore,
    name: &str,
    now: Timestamp,
) -> Result<(OpenRecord<LogbookRecord>, Begun), StoreError> {
    let wanted = key(name);
    let begins = |beginning: &str| name_at(beginning).map(|name| key(&name) == wanted);
    let is = |record: &LogbookRecord| key(&record.name) == wanted;
    books.open_or_begin(&Wanted { begins: &begins, is: &is }, new(name), now)
}

/// A new logbook of a conveyor of this name.
pub(super) fn new(name: &str) -> impl FnOnce(u32) -> LogbookRecord + use<> {
    let name = name.trim().to_owned();
    move |number| LogbookRecord::new(number, name)
}

/// Logbooks that were set aside, with the name of the conveyor where it can be read still.
///
/// # Errors
/// If the folder cannot be read.
pub(super) fn set_aside(
    books: &LogbookStore,
) -> Result<Vec<(PathBuf, Option<String>)>, StoreError> {
    let files = books.set_aside()?.into_iter();
    Ok(files.map(|(path, beginning)| (path, name_at(&beginning))).collect())
}

/// Those of them that may be of a conveyor of this name, in words; nothing where there are none.
///
/// # Errors
/// If the folder cannot be read.
pub(super) fn lost(books: &LogbookStore, name: &str) -> Result<Option<String>, StoreError> {
    let wanted = key(name);
    let files = set_aside(books)?.into_iter();
    let paths: Vec<String> = files
        .filter(|(_, name)| may_be(name.as_deref(), &wanted))
        .map(|(path, _)| path.display().to_string())
        .collect();
    let stand = if paths.len() == 1 { "stands" } else { "stand" };
    Ok((!paths.is_empty()).then(|| {
        format!(
            "what may be the earlier logbook of {name} could not be read, and {stand} set aside: {}",
            paths.join(", ")
        )
    }))
}
