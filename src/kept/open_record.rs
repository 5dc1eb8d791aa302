//! A record that is open here.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use super::Keep;
use super::error::{StoreError, io_error};
use super::file::save;
use super::lock;
use crate::disk::{self, Sight};

/// A record that is open here: locked, and saved at every change.
#[derive(Debug)]
pub struct OpenRecord<R> {
    pub(super) record: R,
    pub(super) path: PathBuf,
    pub(super) lock_path: PathBuf,
    pub(super) lock: File,
}

impl<R: Keep> OpenRecord<R> {
    /// The record.
    pub fn record(&self) -> &R {
        &self.record
    }

    /// A folder or file that belongs to this record, beside its file.
    pub fn beside(&self, ending: &str) -> PathBuf {
        self.path.with_extension(ending)
    }

    /// Whether anything of it is still on disk: its folder may have been removed, or taken by another.
    pub fn is_on_disk(&self) -> bool {
        self.path.is_file() && !matches!(lock::still_there(&self.lock, &self.lock_path), Ok(false))
    }

    /// Changes the record and saves it. If saving fails the change is kept in memory all the same, and saved
    /// together with the next.
    ///
    /// # Errors
    /// If the file cannot be replaced.
    pub fn change(&mut self, change: impl FnOnce(&mut R)) -> Result<(), StoreError> {
        change(&mut self.record);
        self.save()?;
        if !self.record.is_open() {
            // A record that is over is never written again.
            let _ = fs::remove_file(&self.lock_path);
        }
        Ok(())
    }

    /// Saves once more, after a save has failed. A folder that was removed is made again.
    ///
    /// # Errors
    /// If the file cannot be replaced.
    pub fn save(&mut self) -> Result<(), StoreError> {
        match lock::still_there(&self.lock, &self.lock_path) {
            Ok(true) => {}
            Ok(false) => return Err(self.displaced()),
            Err(error) if error.kind() == io::ErrorKind::NotFound => self.lock_again()?,
            Err(error) => return Err(io_error(&self.lock_path, "cannot be read", error)),
        }
        save(&self.path, &self.record).map_err(|e| io_error(&self.path, "cannot be written", e))
    }

    /// Makes the folder and the lock file again.
    fn lock_again(&mut self) -> Result<(), StoreError> {
        let folder = self.path.parent().unwrap_or(Path::new("."));
        disk::make_folders(folder, Sight::Private)
            .map_err(|e| io_error(folder, "cannot be made", e))?;
        self.lock = match lock::take(&self.lock_path) {
            Ok(lock) => lock,
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                return Err(self.displaced());
            }
            Err(error) => return Err(io_error(&self.lock_path, "cannot be made", error)),
        };
        Ok(())
    }

    fn displaced(&self) -> StoreError {
        let path = self.path.display().to_string();
        StoreError::Displaced { of: R::WORDING, number: self.record.number(), path }
    }
}
