//! Why a record could not be kept or had, in words for the person at the terminal.

use std::io;
use std::path::Path;

use super::Wording;
use crate::disk::NotPlain;

/// Why a record could not be kept or had. `of` is how its kind is spoken of.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No folder to keep records in.
    #[error(
        "there is no place to keep {}: neither HOME nor XDG_STATE_HOME is set. Name a folder with --state DIR",
        .of.many
    )]
    NoHome {
        /// Of which kind.
        of: &'static Wording,
    },
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
    /// There is no such record.
    #[error("there is no {} {number} here. `{}` lists those there are", .of.one, .of.listed_by)]
    Missing {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
    },
    /// No record is open.
    #[error(
        "no {} is open. Begin one with `{}`; `{}` lists those that ended",
        .of.one, .of.begun_by, .of.listed_by
    )]
    NoneOpen {
        /// Of which kind.
        of: &'static Wording,
    },
    /// Another process has it open.
    #[error(
        "{} {number} is open in another terminal. Go on there, or close it there first",
        .of.one
    )]
    Busy {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
    },
    /// Its file cannot be understood.
    #[error(
        "{} {number}: {path} cannot be understood ({why}). {}",
        .of.one, remedy(.kept.as_deref())
    )]
    Bad {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
        /// Its file.
        path: String,
        /// Why.
        why: String,
        /// Where it was put, if it was.
        kept: Option<String>,
    },
    /// In the place of its file stands something else, which is not opened.
    #[error(
        "{} {number}: {path} is {what}, no plain file. It is left alone; move it away",
        .of.one
    )]
    NotPlain {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
        /// Where.
        path: String,
        /// What it is.
        what: &'static str,
    },
    /// Two files have its number.
    #[error(
        "{} {number} stands twice: {path} and {other}. Nothing is opened while it is so; move one of them away",
        .of.one
    )]
    Twice {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
        /// One of them.
        path: String,
        /// Another one.
        other: String,
    },
    /// The last number there is has been taken.
    #[error(
        "no number is left for another {}: {path} has the last one. Move it away, or name another folder with --state DIR",
        .of.one
    )]
    NoNumber {
        /// Of which kind.
        of: &'static Wording,
        /// The file with the last number.
        path: String,
    },
    /// Its folder was removed, and its number taken by another.
    #[error(
        "{path}: the folder of {} {number} was removed and another one begun there. Name another folder with --state DIR",
        .of.one
    )]
    Displaced {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
        /// Its file.
        path: String,
    },
    /// Written by an older program, in a format that is no longer read.
    #[error(
        "{} {number} was written by an older straybelt (format {format}, this one reads {reads}). Its file is left as it is; use the one that wrote it",
        .of.one
    )]
    Older {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
        /// Its format.
        format: u32,
        /// The format that is read.
        reads: u32,
    },
    /// Written by a newer program.
    #[error(
        "{} {number} was written by a newer straybelt (format {format}, this one reads {reads}). Use that one",
        .of.one
    )]
    Newer {
        /// Of which kind.
        of: &'static Wording,
        /// Which.
        number: u32,
        /// Its format.
        format: u32,
        /// The format that is read.
        reads: u32,
    },
}

impl StoreError {
    /// The record that it is about, if it is about one.
    pub fn number(&self) -> Option<u32> {
        match self {
            Self::Missing { number, .. }
            | Self::Busy { number, .. }
            | Self::Bad { number, .. }
            | Self::NotPlain { number, .. }
            | Self::Twice { number, .. }
            | Self::Displaced { number, .. }
            | Self::Older { number, .. }
            | Self::Newer { number, .. } => Some(*number),
            Self::NoHome { .. }
            | Self::Io { .. }
            | Self::NoneOpen { .. }
            | Self::NoNumber { .. } => None,
        }
    }
}

/// What can be done about a file that cannot be understood.
fn remedy(kept: Option<&str>) -> String {
    match kept {
        Some(kept) => format!("It was kept as {kept}; mend it with an editor and rename it back"),
        None => "It is left as it is; mend it with an editor".to_owned(),
    }
}

/// An error of the disk, with what to do about it.
pub(crate) fn io_error(path: &Path, what: &'static str, error: io::Error) -> StoreError {
    let remedy = match error.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "The disk is full: free some space"
        }
        io::ErrorKind::FileTooLarge => {
            "No file may grow so large here: raise that limit (ulimit -f), or name another folder with --state DIR"
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
        _ if NotPlain::within(&error).is_some() => "It is left alone; move it away",
        _ => "Name another folder with --state DIR if this one cannot be mended",
    };
    StoreError::Io { path: path.display().to_string(), what, error, remedy }
}
