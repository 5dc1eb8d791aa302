//! A small record that tests of the store keep.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::{Keep, OpenRecord, RecordStore, StoreError, Wording};

#[derive(Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Slip {
    pub(super) format: u32,
    pub(super) slip: u32,
    pub(super) note: String,
    pub(super) open: bool,
}

impl Keep for Slip {
    const FORMAT: u32 = 2;
    const FOLDER: &'static str = "slips";
    const OPEN_MARK: &'static str = "open: true";
    const WORDING: &'static Wording = &Wording {
        one: "slip",
        many: "slips",
        listed_by: "straybelt slips",
        begun_by: "straybelt slip",
    };

    fn number(&self) -> u32 {
        self.slip
    }

    fn is_open(&self) -> bool {
        self.open
    }
}

pub(super) fn make(slip: u32) -> Slip {
    Slip { format: Slip::FORMAT, slip, note: String::new(), open: true }
}

pub(super) fn begun(store: &RecordStore<Slip>) -> OpenRecord<Slip> {
    store.begin(make, Timestamp::UNIX_EPOCH).expect("a slip")
}

pub(super) fn store() -> (tempfile::TempDir, RecordStore<Slip>) {
    let folder = tempfile::tempdir().expect("a folder");
    let store = RecordStore::at(folder.path());
    (folder, store)
}

pub(super) fn refused<T>(tried: Result<T, StoreError>) -> String {
    tried.err().expect("refused").to_string()
}
