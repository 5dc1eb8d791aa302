//! What a person has chosen once and need not say again, kept beside the records.

use std::fs;
use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};

use crate::conveyor::quantity::Units;
use crate::kept::{Keep, Shelf, replace};

/// The file's name.
const FILE: &str = "settings.ron";
/// It is never larger, in bytes.
const LARGEST: u64 = 4096;

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct Written {
    units: Option<String>,
}

/// The units that were chosen last; nothing if none were, or if it cannot be read any more.
pub fn units(shelf: &Shelf<impl Keep>) -> Option<Units> {
    let path = shelf.beside(FILE);
    let size = fs::metadata(&path).ok()?.len();
    if size > LARGEST {
        return None;
    }
    let written: Written = ron::from_str(&fs::read_to_string(path).ok()?).ok()?;
    Units::named(&written.units?)
}

/// Remembers the units.
///
/// # Errors
/// If the state folder cannot be written.
pub fn remember(shelf: &Shelf<impl Keep>, units: Units) -> io::Result<()> {
    let path = shelf.beside(FILE);
    if let Some(folder) = Path::parent(&path) {
        fs::create_dir_all(folder)?;
    }
    replace(&path, format!("(units: Some(\"{}\"))", units.name()).as_bytes(), &mut |_| Ok(()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on fails loudly")]
mod tests {
    use super::*;
    use crate::visit::store::Store;

    #[test]
    fn the_units_chosen_last_are_known_again() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::at(folder.path().join("state"));
        assert_eq!(units(&store), None);
        remember(&store, Units::Inch).unwrap();
        remember(&store, Units::Both).unwrap();
        assert_eq!(units(&store), Some(Units::Both));
        fs::write(store.beside(FILE), "rubbish").unwrap();
        assert_eq!(units(&store), None);
    }
}
