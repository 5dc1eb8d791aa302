//! What a person has chosen once and need not say again, kept beside the records.

use std::io;

use serde::{Deserialize, Serialize};

use crate::kept::{Keep, RecordStore, read_sheet, write_sheet};
use crate::trade::Units;

/// The file's name.
const FILE: &str = "settings.ron";
/// It is never larger, in bytes.
const LARGEST: u64 = 4096;

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct SettingsFile {
    units: Option<String>,
}

/// The units that were chosen last; nothing if none were.
///
/// # Errors
/// If what was chosen cannot be read any more, with the file.
pub fn units(store: &RecordStore<impl Keep>) -> Result<Option<Units>, String> {
    let path = store.beside(FILE);
    let bad = |why: &str| format!("{}: {why}", path.display());
    let Some(text) = read_sheet(&path, LARGEST).map_err(|error| bad(&error.to_string()))? else {
        return Ok(None);
    };
    let written: SettingsFile = ron::from_str(&text)
        .map_err(|error| bad(&format!("line {}: {}", error.span.start.line, error.code)))?;
    let Some(name) = written.units else {
        return Ok(None);
    };
    let known = Units::named(&name);
    known.map(Some).ok_or_else(|| bad("it names units that are not known"))
}

/// Remembers the units.
///
/// # Errors
/// If the state folder cannot be written.
pub fn remember(store: &RecordStore<impl Keep>, units: Units) -> io::Result<()> {
    write_sheet(&store.beside(FILE), &format!("(units: Some(\"{}\"))", units.word()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on fails loudly")]
mod tests {
    use std::fs;

    use super::*;
    use crate::visit::store::VisitStore;

    #[test]
    fn the_units_chosen_last_are_known_again() {
        let folder = tempfile::tempdir().unwrap();
        let store = VisitStore::at(folder.path().join("state"));
        assert_eq!(units(&store), Ok(None));
        remember(&store, Units::Inch).unwrap();
        remember(&store, Units::Both).unwrap();
        assert_eq!(units(&store), Ok(Some(Units::Both)));
        fs::write(store.beside(FILE), "(units: Some(\"inch\"))\n").unwrap();
        assert_eq!(units(&store), Ok(Some(Units::Inch)), "written before there were checksums");
        fs::write(store.beside(FILE), "rubbish").unwrap();
        assert!(units(&store).unwrap_err().contains(FILE));
    }

    #[test]
    fn a_flipped_bit_is_refused_in_words() {
        let folder = tempfile::tempdir().unwrap();
        let store = VisitStore::at(folder.path());
        remember(&store, Units::Inch).unwrap();
        let path = store.beside(FILE);
        let whole = fs::read(&path).unwrap();
        for bit in 0..whole.len() * 8 {
            let mut flipped = whole.clone();
            flipped[bit / 8] ^= 1 << (bit % 8);
            fs::write(&path, flipped).unwrap();
            assert!(units(&store).unwrap_err().contains(FILE), "bit {bit}");
        }
        for length in 0..whole.len() {
            fs::write(&path, &whole[..length]).unwrap();
            assert!(units(&store).unwrap_err().contains(FILE), "{length} bytes");
        }
    }
}
