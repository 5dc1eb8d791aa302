//! A file in the state folder that is no record: what was chosen once.

use std::io;
use std::path::Path;

use super::seal::{seal, unseal};
use crate::disk::{self, Over, Sight};

/// Its text, if its checksum fits or if it has none; nothing if there is no such file.
///
/// # Errors
/// If it cannot be read, is larger than so many bytes, or is damaged.
pub(crate) fn read_sheet(path: &Path, largest: u64) -> io::Result<Option<String>> {
    match disk::read_text(path, largest) {
        Ok(text) => match unseal(&text) {
            Ok(text) => Ok(Some(text.to_owned())),
            Err(why) => Err(io::Error::new(io::ErrorKind::InvalidData, why)),
        },
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// Writes it anew, and the folders that it needs.
///
/// # Errors
/// If it cannot be written.
pub(crate) fn write_sheet(path: &Path, text: &str) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        disk::make_folders(folder, Sight::Private)?;
    }
    disk::write(path, seal(text).as_bytes(), Over::PlainFile, Sight::Private)
}
