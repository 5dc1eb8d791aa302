//! A record that is open here.

use std::fs::{self, File};
use std::io;
use std::path::PathBuf;

use super::Keep;
use super::error::{StoreError, io_error};
use super::file::replace;

/// A record that is open here: locked, and saved at every change.
#[derive(Debug)]
pub struct Kept<R> {
    pub(super) record: R,
    pub(super) path: PathBuf,
    pub(super) lock_path: PathBuf,
    pub(super) _lock: File,
}

impl<R: Keep> Kept<R> {
    /// The record.
    pub fn record(&self) -> &R {
        &self.record
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

    /// Saves once more, after a save has failed.
    ///
    /// # Errors
    /// If the file cannot be replaced.
    pub fn save(&self) -> Result<(), StoreError> {
        let pretty = ron::ser::PrettyConfig::new().depth_limit(2).new_line("\n");
        let text = ron::ser::to_string_pretty(&self.record, pretty)
            .map_err(|e| io_error(&self.path, "cannot be written", io::Error::other(e)))?;
        replace(&self.path, text.as_bytes(), &mut |_| Ok(()))
            .map_err(|e| io_error(&self.path, "cannot be written", e))
    }
}
