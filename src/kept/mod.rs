//! Records on disk: one file each, replaced whole and safely.
//!
//! `visits/2026/0007.ron` is record 7 of the folder `visits`. A save writes a file beside it, forces that to disk,
//! renames it over the old one and forces the folder, so that at any moment the file is the record before the
//! change or after it. Its last line is a checksum. `0007.lock` is locked while a record is open in a terminal; the
//! lock vanishes with the process. Kinds of record stand in folders of their own, side by side in the state folder,
//! and count their numbers apart; `numbers.lock` is locked while one is taken. Nobody else may read any of it.

mod error;
mod file;
mod listing;
mod lock;
mod open_record;
mod record_file;
mod record_store;
mod seal;
mod sheet;
#[cfg(test)]
mod slip;

use serde::Serialize;
use serde::de::DeserializeOwned;

pub use error::StoreError;
pub(crate) use error::io_error;
pub use listing::{Beginning, Listing};
pub use open_record::OpenRecord;
pub use record_store::{Begun, RecordStore, Wanted};
pub(crate) use sheet::{read_sheet, write_sheet};

/// What can be kept: a record with a number, which is open until it is over.
///
/// Its text must begin with a field `format`, and with the one that tells whether it is open soon after.
pub trait Keep: Serialize + DeserializeOwned {
    /// The format this program writes, and the only one it reads.
    const FORMAT: u32;
    /// The folder of such records, below the state folder.
    const FOLDER: &'static str;
    /// What stands within the first 2048 bytes of the file of every open record, so that those that are over
    /// need not be read to be passed over.
    const OPEN_MARK: &'static str;
    /// How such records are spoken of.
    const WORDING: &'static Wording;

    /// Its number, as the file says.
    fn number(&self) -> u32;

    /// Whether it goes on.
    fn is_open(&self) -> bool;
}

/// How a kind of record is spoken of when something is wrong with one.
#[derive(Debug, PartialEq, Eq)]
pub struct Wording {
    /// One of them: "visit".
    pub one: &'static str,
    /// Several: "visits".
    pub many: &'static str,
    /// The command that lists them, whole.
    pub listed_by: &'static str,
    /// The command that begins one, whole.
    pub begun_by: &'static str,
}
