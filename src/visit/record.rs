//! A visit's file: its shape, reading it, and replacing it whole and safely.

use std::cmp::Ordering;
use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::event::{Ended, Stamped};
use super::replay::ConveyorFacts;

/// The format this program writes.
pub(super) const FORMAT: u32 = 1;
/// No visit file is larger, in bytes.
const LARGEST: u64 = 16 * 1024 * 1024;
/// The head of a visit file is within so many bytes.
const HEAD: u64 = 2048;

/// A visit as it stands in its file; what identifies it comes first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// The format of the file.
    pub format: u32,
    /// The visit's number.
    pub visit: u32,
    /// Whether it goes on, or how it ended.
    pub state: VisitState,
    /// When it began.
    pub begun: Timestamp,
    /// The book it was begun with.
    pub book: BookMark,
    /// The conveyor as its file said, empty without a file.
    pub conveyor: ConveyorFacts,
    /// Whether a conveyor file was named.
    pub conveyor_file: bool,
    /// Everything that happened.
    pub events: Vec<Stamped>,
}

/// Which book a visit was begun with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BookMark {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// Fingerprint of its texts.
    pub fingerprint: String,
}

/// Whether a visit goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum VisitState {
    /// It goes on.
    Open,
    /// It ended.
    Over(Ended),
}

/// Why a visit could not be kept or had.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No folder to keep visits in.
    #[error(
        "there is no place to keep visits: neither HOME nor XDG_STATE_HOME is set. Name a folder with --state DIR"
    )]
    NoHome,
    /// Reading or writing failed.
    #[error("{path}: {what}: {error}. {remedy}")]
    Io {
        /// Where.
        path: String,
        /// What was tried.
        what: &'static str,
        /// Why not.
        error: io::Error,
        /// What to do.
        remedy: &'static str,
    },
    /// There is no such visit.
    #[error("there is no visit {0} here. `straybelt visits` lists those there are")]
    Missing(u32),
    /// No visit is open.
    #[error(
        "no visit is open. Begin one with `straybelt diagnose`; `straybelt visits` lists those that ended"
    )]
    NoneOpen,
    /// Another process has it open.
    #[error("visit {0} is open in another terminal. Go on there, or close it there first")]
    Busy(u32),
    /// Its file cannot be understood.
    #[error(
        "visit {visit}: {path} cannot be understood ({why}). It was kept as {kept}; mend it with an editor and rename it back"
    )]
    Bad {
        /// Which.
        visit: u32,
        /// Its file.
        path: String,
        /// Why.
        why: String,
        /// Where it was put.
        kept: String,
    },
    /// Written by an older program, in a format that is no longer read.
    #[error(
        "visit {visit} was written by an older straybelt (format {format}, this one reads {FORMAT}). Its file is left as it is; use the one that wrote it"
    )]
    Older {
        /// Which.
        visit: u32,
        /// Its format.
        format: u32,
    },
    /// Written by a newer program.
    #[error(
        "visit {visit} was written by a newer straybelt (format {format}, this one reads {FORMAT}). Use that one"
    )]
    Newer {
        /// Which.
        visit: u32,
        /// Its format.
        format: u32,
    },
}

/// The beginning of a file, where its state stands.
pub(super) fn head(path: &Path) -> io::Result<String> {
    let mut head = Vec::new();
    File::open(path)?.take(HEAD).read_to_end(&mut head)?;
    Ok(String::from_utf8_lossy(&head).into_owned())
}

/// Reads a visit; a file that cannot be understood is set aside, never thrown away.
pub(super) fn read(visit: u32, path: &Path) -> Result<Record, StoreError> {
    read_only(visit, path).map_err(|error| match error {
        StoreError::Bad {
            visit,
            path: shown,
            why,
            ..
        } => {
            let aside = path.with_extension("ron.bad");
            let kept = match fs::rename(path, &aside) {
                Ok(()) => aside.display().to_string(),
                Err(_) => shown.clone(),
            };
            StoreError::Bad {
                visit,
                path: shown,
                why,
                kept,
            }
        }
        other => other,
    })
}

/// Reads a visit and leaves its file alone whatever it holds.
pub(super) fn read_only(visit: u32, path: &Path) -> Result<Record, StoreError> {
    let mut bytes = Vec::new();
    let opened = File::open(path).and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes));
    opened.map_err(|e| io_error(path, "cannot be read", e))?;
    let bad = |why: String| StoreError::Bad {
        visit,
        path: path.display().to_string(),
        why,
        kept: path.display().to_string(),
    };
    if bytes.len() as u64 > LARGEST {
        return Err(bad("far too large".to_owned()));
    }
    let text = std::str::from_utf8(&bytes).map_err(|_| bad("not plain text".to_owned()))?;
    #[derive(Deserialize)]
    struct Head {
        format: u32,
    }
    let spoilt =
        |e: ron::error::SpannedError| bad(format!("line {}: {}", e.span.start.line, e.code));
    let head: Head = ron::from_str(text).map_err(spoilt)?;
    let format = head.format;
    match format.cmp(&FORMAT) {
        Ordering::Less => return Err(StoreError::Older { visit, format }),
        Ordering::Greater => return Err(StoreError::Newer { visit, format }),
        Ordering::Equal => {}
    }
    let record: Record = ron::from_str(text).map_err(spoilt)?;
    if record.visit == visit {
        Ok(record)
    } else {
        Err(bad(format!("it says that it is visit {}", record.visit)))
    }
}

/// An error of the disk, with what to do about it.
pub(super) fn io_error(path: &Path, what: &'static str, error: io::Error) -> StoreError {
    let remedy = match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "The disk is full: free some space"
        }
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "Give yourself the right to write there, or name another folder with --state DIR"
        }
        io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
            "A file stands where a folder should be: move it away, or name another folder with --state DIR"
        }
        io::ErrorKind::NotFound => {
            "The folder has gone: bring it back, or name another one with --state DIR"
        }
        _ => "Name another folder with --state DIR if this one cannot be mended",
    };
    StoreError::Io {
        path: path.display().to_string(),
        what,
        error,
        remedy,
    }
}
/// The steps of a save, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SaveStep {
    Create,
    Write,
    Force,
    Rename,
    ForceFolder,
}

/// Replaces a file whole. `before` is called before each step; tests let it fail there.
pub(super) fn replace(
    path: &Path,
    text: &[u8],
    before: &mut dyn FnMut(SaveStep) -> io::Result<()>,
) -> io::Result<()> {
    let new = new_name(path);
    before(SaveStep::Create)?;
    let mut file = File::create(&new)?;
    before(SaveStep::Write)?;
    file.write_all(text)?;
    file.write_all(b"\n")?;
    before(SaveStep::Force)?;
    file.sync_all()?;
    drop(file);
    before(SaveStep::Rename)?;
    fs::rename(&new, path)?;
    before(SaveStep::ForceFolder)?;
    #[cfg(unix)]
    if let Some(folder) = path.parent() {
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

/// Where a file is written before it takes the place of the old one.
pub(super) fn new_name(path: &Path) -> PathBuf {
    path.with_extension("ron.new")
}
