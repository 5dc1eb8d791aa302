//! What stands in a folder of records: `2026/0007.ron` and so on, locks and leftovers beside them.

use std::cmp::Reverse;
use std::fs::{self, DirEntry, File};
use std::io;
use std::path::{Path, PathBuf};

use super::Wording;
use super::error::{StoreError, io_error};
use super::file::not_plain;
use super::lock;
use crate::disk::Odd;

/// A record's file as it was found, or what stands in its place.
pub(super) struct RecordFile {
    pub(super) number: u32,
    pub(super) path: PathBuf,
    pub(super) odd: Option<Odd>,
}

/// Every record's number and file, newest first.
pub(super) fn records(folder: &Path) -> Result<Vec<RecordFile>, StoreError> {
    let found = |file: DirEntry| {
        let name = file.file_name();
        let number = number(name.to_str()?.strip_suffix(".ron")?)?;
        Some(RecordFile { number, path: file.path(), odd: Odd::of(file.file_type().ok()?) })
    };
    let mut files: Vec<RecordFile> = all(folder)?.into_iter().filter_map(found).collect();
    files.sort_unstable_by(|one, other| {
        (Reverse(one.number), &one.path).cmp(&(Reverse(other.number), &other.path))
    });
    Ok(files)
}

/// Files of records that were set aside, by name.
pub(super) fn set_aside(folder: &Path) -> Result<Vec<PathBuf>, StoreError> {
    let aside = |file: &DirEntry| {
        let name = file.file_name();
        let (record, more) = name.to_str()?.split_once(".ron.bad")?;
        let plain = Odd::of(file.file_type().ok()?).is_none();
        (number(record).is_some() && (more.is_empty() || number(more).is_some()) && plain)
            .then(|| file.path())
    };
    let mut files: Vec<PathBuf> = all(folder)?.iter().filter_map(aside).collect();
    files.sort();
    Ok(files)
}

/// The one file of a number, if it is a plain one.
pub(super) fn only<'f>(
    of: &'static Wording,
    same: &'f [RecordFile],
) -> Result<&'f RecordFile, StoreError> {
    match same {
        [] => Err(StoreError::NoneOpen { of }),
        [found] => match found.odd {
            None => Ok(found),
            Some(odd) => Err(not_plain(of, found.number, &found.path, odd)),
        },
        [found, other, ..] => Err(StoreError::Twice {
            of,
            number: found.number,
            path: found.path.display().to_string(),
            other: other.path.display().to_string(),
        }),
    }
}

/// The highest number there is, of locks and of records set aside too, and a file that has it.
fn highest(folder: &Path) -> Result<(u32, PathBuf), StoreError> {
    let mut highest = (0, folder.to_owned());
    for file in all(folder)? {
        let name = file.file_name();
        let number = name.to_str().and_then(|name| number(name.split('.').next()?));
        if let Some(number) = number.filter(|number| *number > highest.0) {
            highest = (number, file.path());
        }
    }
    Ok(highest)
}

/// Takes the next number, and makes its lock file in the folder of a year: whoever makes that has the number.
pub(super) fn take_number(
    of: &'static Wording,
    folder: &Path,
    year: &Path,
) -> Result<(u32, PathBuf, File), StoreError> {
    let (mut number, mut last) = highest(folder)?;
    loop {
        number = number
            .checked_add(1)
            .ok_or_else(|| StoreError::NoNumber { of, path: last.display().to_string() })?;
        let lock_path = year.join(format!("{number:04}.lock"));
        match lock::take(&lock_path) {
            Ok(lock) => return Ok((number, lock_path, lock)),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => last = lock_path,
            Err(e) => return Err(io_error(&lock_path, "cannot be made", e)),
        }
    }
}

/// All that stands in the folders of the years.
fn all(folder: &Path) -> Result<Vec<DirEntry>, StoreError> {
    let mut files = Vec::new();
    for year in entries(folder)? {
        let year = year.path();
        if year.is_dir() {
            files.extend(entries(&year)?);
        }
    }
    Ok(files)
}

fn entries(folder: &Path) -> Result<Vec<DirEntry>, StoreError> {
    match fs::read_dir(folder) {
        Ok(entries) => Ok(entries.filter_map(Result::ok).collect()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(e) => Err(io_error(folder, "cannot be read", e)),
    }
}

/// A number as it stands in a file's name.
fn number(digits: &str) -> Option<u32> {
    digits.chars().all(|c| c.is_ascii_digit()).then(|| digits.parse().ok())?
}
