//! Which tablet this is, and which of its visits stand in logbooks already: two small sealed files beside the logbooks.

use std::io;

use serde::{Deserialize, Serialize};

use super::ids::TabletId;
use crate::kept::{Keep, RecordStore, read_sheet, write_sheet};

const TABLET: &str = "logbooks/tablet.ron";
const TAKEN_IN: &str = "logbooks/visits.ron";
/// Neither is ever larger, in bytes.
const LARGEST: u64 = 4 * 1024 * 1024;
/// Letters of a tablet's name.
const LETTERS: usize = 12;

#[derive(Debug, Serialize, Deserialize)]
struct TabletFile {
    tablet: String,
}

/// Which tablet this is. Its name is drawn when it is first asked for.
///
/// # Errors
/// If its file cannot be read or written, or is damaged.
pub fn tablet(store: &RecordStore<impl Keep>) -> io::Result<TabletId> {
    let path = store.beside(TABLET);
    let bad = || {
        let why = format!("{} does not name a tablet: move it away", path.display());
        io::Error::new(io::ErrorKind::InvalidData, why)
    };
    if let Some(text) = read_sheet(&path, LARGEST)? {
        let file: TabletFile = ron::from_str(&text).map_err(|_| bad())?;
        return TabletId::named(&file.tablet).ok_or_else(bad);
    }
    let drawn: String =
        std::iter::repeat_with(|| fastrand::char('a'..='z')).take(LETTERS).collect();
    let tablet = TabletId::named(&drawn).ok_or_else(bad)?;
    let text = ron::to_string(&TabletFile { tablet: drawn }).map_err(io::Error::other)?;
    write_sheet(&path, &text)?;
    Ok(tablet)
}

/// Which visits stand in logbooks.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenIn {
    /// Every visit up to this number does.
    pub up_to: u32,
    /// Those of them that go on, and are to be looked at again.
    pub open: Vec<u32>,
    /// Those of them that could not be taken in, and are to be tried again.
    #[serde(default)]
    pub left_out: Vec<u32>,
}

/// Which visits stand in logbooks. Where that is not known any more it is none: to take one in twice changes nothing.
pub fn taken_in(store: &RecordStore<impl Keep>) -> TakenIn {
    let text = read_sheet(&store.beside(TAKEN_IN), LARGEST).ok().flatten();
    text.and_then(|text| ron::from_str(&text).ok()).unwrap_or_default()
}

/// Keeps which visits stand in logbooks.
///
/// # Errors
/// If it cannot be written.
pub fn keep_taken_in(store: &RecordStore<impl Keep>, taken: &TakenIn) -> io::Result<()> {
    let text = ron::to_string(taken).map_err(io::Error::other)?;
    write_sheet(&store.beside(TAKEN_IN), &text)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::logbook::record::LogbookStore;

    #[test]
    fn a_tablet_keeps_its_name_and_two_have_different_ones() {
        let (one, other) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
        let store = LogbookStore::at(one.path());
        let named = tablet(&store).unwrap();
        assert_eq!(tablet(&store).unwrap(), named);
        assert_ne!(tablet(&LogbookStore::at(other.path())).unwrap(), named);
        fs::write(one.path().join(TABLET), "rubbish").unwrap();
        assert!(tablet(&store).unwrap_err().to_string().contains("tablet.ron"));
    }

    #[test]
    fn what_was_taken_in_is_known_again_and_damage_is_nothing_known() {
        let folder = tempfile::tempdir().unwrap();
        let store = LogbookStore::at(folder.path());
        assert_eq!(taken_in(&store), TakenIn::default());
        let taken = TakenIn { up_to: 41, open: vec![7, 12], left_out: vec![9] };
        keep_taken_in(&store, &taken).unwrap();
        assert_eq!(taken_in(&store), taken);
        fs::write(folder.path().join(TAKEN_IN), "rubbish").unwrap();
        assert_eq!(taken_in(&store), TakenIn::default());
    }
}
