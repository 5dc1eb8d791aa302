//! Lock files: one beside each record, locked by whoever has it open, and one that is locked while a number is taken.

use std::fs::{self, File, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::disk::{self, is_left_of};

/// How often, and how long apart, the right to take a number is asked for. To take one is a matter of milliseconds.
const TRIES: u32 = 500;
const APART: Duration = Duration::from_millis(10);

/// The lock file of the record in this file.
pub(super) fn name(path: &Path) -> PathBuf {
    path.with_extension("lock")
}

/// Makes a lock file that is not there yet, and locks it: whoever makes it has the number.
///
/// # Errors
/// Of the kind `AlreadyExists` if there is one.
pub(super) fn take(path: &Path) -> io::Result<File> {
    let lock = disk::create(path)?;
    // Nobody else can have locked a file that was not there, but for one who opens it this very moment.
    match lock.try_lock() {
        Err(TryLockError::WouldBlock) => Err(io::Error::from(io::ErrorKind::AlreadyExists)),
        Err(TryLockError::Error(error)) => Err(error),
        Ok(()) => Ok(lock),
    }
}

/// Whether the lock file at this place is still the one that was opened. It is not when the folder was removed, and
/// perhaps made anew by somebody else.
///
/// # Errors
/// Of the kind `NotFound` if there is none any more.
pub(super) fn still_there(lock: &File, path: &Path) -> io::Result<bool> {
    let found = path.symlink_metadata()?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let ours = lock.metadata()?;
        Ok((ours.dev(), ours.ino()) == (found.dev(), found.ino()))
    }
    #[cfg(not(unix))]
    {
        let _ = lock;
        Ok(found.is_file())
    }
}

/// Saves that were cut short leave files beside the record's; they go when nobody has it open. Only who holds its
/// lock may do this.
pub(super) fn sweep(path: &Path) {
    // Written so by the first versions.
    let _ = fs::remove_file(path.with_extension("ron.new"));
    let (Some(folder), Some(name)) = (path.parent(), path.file_name().and_then(|n| n.to_str()))
    else {
        return;
    };
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        if entry.file_name().to_str().is_some_and(|found| is_left_of(name, found)) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Whoever holds this is the only one to take a number. Where the file system knows no locks, nobody is kept out.
///
/// # Errors
/// If the file cannot be made, or another process holds it and does not go on.
pub(super) fn gate(path: &Path) -> io::Result<File> {
    let gate = disk::open_to_lock(path)?;
    for _ in 0..TRIES {
        match gate.try_lock() {
            Err(TryLockError::WouldBlock) => std::thread::sleep(APART),
            Ok(()) | Err(TryLockError::Error(_)) => return Ok(gate),
        }
    }
    Err(io::Error::new(io::ErrorKind::TimedOut, "another straybelt holds it and does not go on"))
}
