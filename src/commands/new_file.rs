//! A new file with the folders that it needs.

use std::fs;
use std::io;
use std::path::Path;

use crate::disk::{self, Over, Sight};

/// Writes a file that is not there yet, and makes the folders that are missing. An error of the kind
/// `AlreadyExists` says that the place is taken.
///
/// # Errors
/// If a folder cannot be made or the file not be written; then nothing of it is left.
pub(super) fn write_new(path: &Path, text: &str) -> io::Result<()> {
    let made = disk::make_folders(path.parent().unwrap_or(Path::new(".")), Sight::Usual)?;
    let written = disk::write(path, text.as_bytes(), Over::Nothing, Sight::Usual);
    if written.is_err() {
        for folder in made.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_are_made_and_a_failure_leaves_none_of_them() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a/b/c.ron");
        write_new(&path, "one").unwrap();
        let again = write_new(&path, "two").unwrap_err();
        assert_eq!(again.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read_to_string(&path).unwrap(), "one");
        assert!(write_new(&path.join("x/c.ron"), "one").is_err());
        assert!(write_new(&dir.path().join("x/y").join("z".repeat(300)), "one").is_err());
        assert!(!dir.path().join("x").exists());
    }
}
