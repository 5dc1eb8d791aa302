//! The logbooks there are, by the beginnings of their files.

use crate::kept::StoreError;
use crate::logbook::{Glance, LogbookRecord, LogbookStore};

/// A glance at every logbook, by name, and what could not be read.
///
/// # Errors
/// If the folder cannot be read.
pub(super) fn glances(books: &LogbookStore) -> Result<(Vec<Glance>, Vec<StoreError>), StoreError> {
    let (mut glances, mut bad) = (Vec::new(), Vec::new());
    for (number, beginning) in books.beginnings()? {
        match beginning.map(|text| Glance::at(&text)) {
            Ok(Some(glance)) if glance.logbook == number => glances.push(glance),
            // What is wrong with it is found by reading all of it.
            Ok(_) => match books.look(number) {
                Ok(record) => glances.push(Glance::from(&record)),
                Err(error) => bad.push(error),
            },
            Err(error) => bad.push(error),
        }
    }
    glances.sort_by(|one, other| {
        (one.name.to_lowercase(), one.logbook).cmp(&(other.name.to_lowercase(), other.logbook))
    });
    Ok((glances, bad))
}

/// Whether a file begins as the logbook of a conveyor of this name.
pub(super) fn begins_as(name: &str) -> impl Fn(&str) -> bool {
    let wanted = key(name);
    move |beginning| Glance::at(beginning).is_some_and(|glance| key(&glance.name) == wanted)
}

/// Names that differ in capitals and blanks only are one.
pub(super) fn key(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// A new logbook of a conveyor of this name.
pub(super) fn new(name: &str) -> impl FnOnce(u32) -> LogbookRecord {
    let name = name.trim().to_owned();
    move |number| LogbookRecord::new(number, name)
}
