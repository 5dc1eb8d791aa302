//! Files whole or not at all: a new one, never over one that is there; one written anew, if it still is what was read.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

/// Writes a file that is not there yet: beside its place first, then put there whole. An error of the kind
/// `AlreadyExists` says that the place is taken.
///
/// # Errors
/// If a folder cannot be made or the file not be written; then nothing of it is left.
pub(super) fn write_new(path: &Path, text: &str) -> io::Result<()> {
    let taken = || io::Error::from(io::ErrorKind::AlreadyExists);
    if path.symlink_metadata().is_ok() {
        return Err(taken());
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    let made = make_folders(folder)?;
    // A name with a point in front is passed over by whoever reads the folder.
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = folder.join(format!(".{name}.{}.new", std::process::id()));
    let mut open = OpenOptions::new();
    let written = open
        .write(true)
        .create_new(true)
        .open(&beside)
        .and_then(|mut file| file.write_all(text.as_bytes()).and_then(|()| file.sync_all()))
        .and_then(|()| put_in_place(&beside, path));
    let _ = fs::remove_file(&beside);
    if written.is_err() {
        for folder in made.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
    written
}

/// Writes a file anew beside itself and puts it in its place, if it still is what was read.
///
/// # Errors
/// If it has changed since, or cannot be written; then it is as it was.
pub(super) fn write_over(path: &Path, old: &str, new: &str) -> io::Result<()> {
    let mark = "\u{feff}";
    let now = fs::read_to_string(path)?;
    let bare = now.strip_prefix(mark).unwrap_or(&now);
    if bare != old {
        return Err(io::Error::other("it changed in the meantime"));
    }
    let begin = if bare.len() < now.len() { mark } else { "" };
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}.{}.new", std::process::id()));
    let mut file = OpenOptions::new().write(true).create_new(true).open(&beside)?;
    let written = file
        .write_all(format!("{begin}{new}").as_bytes())
        .and_then(|()| file.sync_all())
        .and_then(|()| fs::rename(&beside, path));
    if written.is_err() {
        let _ = fs::remove_file(&beside);
    }
    written
}

/// A link is refused where there is something already, which a rename would replace. Some file systems have
/// no links; there the place is looked at once more instead.
fn put_in_place(beside: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(beside, path) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(error),
        Err(_) if path.symlink_metadata().is_ok() => {
            Err(io::Error::from(io::ErrorKind::AlreadyExists))
        }
        Err(_) => fs::rename(beside, path),
    }
}

/// Makes the folders that are missing, outermost first, and tells which.
fn make_folders(folder: &Path) -> io::Result<Vec<std::path::PathBuf>> {
    let mut missing = Vec::new();
    let mut at = Some(folder);
    while let Some(folder) = at.filter(|f| !f.as_os_str().is_empty() && !f.exists()) {
        missing.push(folder.to_owned());
        at = folder.parent();
    }
    missing.reverse();
    fs::create_dir_all(folder)?;
    Ok(missing)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let names = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> =
            names.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_is_written_once_and_never_over_another() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a/b/c.ron");
        write_new(&path, "one").unwrap();
        let again = write_new(&path, "two").unwrap_err();
        assert_eq!(again.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read_to_string(&path).unwrap(), "one");
        assert_eq!(names(path.parent().unwrap()), ["c.ron"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_to_nowhere_is_a_file_too_and_a_failure_leaves_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("c.ron");
        std::os::unix::fs::symlink("nowhere", &path).unwrap();
        assert!(write_new(&path, "one").is_err());
        fs::write(dir.path().join("file"), "").unwrap();
        assert!(write_new(&dir.path().join("file/x/c.ron"), "one").is_err());
        assert_eq!(names(dir.path()), ["c.ron", "file"]);
    }
}
