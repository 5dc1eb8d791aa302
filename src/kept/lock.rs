//! A record's lock file: locked by whoever has the record open.

use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};

use super::file::new_name;

/// The lock file of the record in this file.
pub(super) fn name(path: &Path) -> PathBuf {
    path.with_extension("lock")
}

/// The lock file of a record that is there already, made if it has gone.
pub(super) fn file(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).create(true).truncate(false).open(path)
}

/// A save that was cut short leaves a `.new` file; it goes when nobody has the record open.
pub(super) fn sweep(path: &Path) {
    let left = new_name(path);
    if !left.exists() {
        return;
    }
    if file(&name(path)).is_ok_and(|lock| lock.try_lock().is_ok()) {
        let _ = fs::remove_file(left);
    }
}
