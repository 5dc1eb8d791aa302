//! Who signed a rule book off: signed.ron beside it, a list that `rules sign-off` adds to. An entry is bound to the
//! fingerprint of the texts, so that it speaks of no other book.

use serde::Deserialize;

use crate::problem::{Problem, Report};
use crate::source::parse::{self, Text};
use crate::source::{FileId, Texts};

/// The file's name.
pub const FILE: &str = "signed.ron";

/// An entry of the file; what else stands in it is for people.
#[derive(Debug, Clone, Deserialize)]
#[serde(rename = "signed")]
pub struct SignedEntry {
    /// SHA-256 in hex of the texts that were signed.
    pub fingerprint: Text,
    /// Who signed.
    pub by: Text,
    /// When: a date.
    pub on: Text,
}

/// That the book at hand was signed off.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signed {
    /// By whom.
    pub by: String,
    /// When: a date.
    pub on: String,
}

/// The entries of the file, oldest first.
pub fn read(texts: &Texts, file: FileId, report: &mut Report) -> Vec<SignedEntry> {
    let read = parse::list::<SignedEntry>(texts, file);
    read.slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
    let mut entries = Vec::new();
    for item in read.items {
        item.slips.iter().for_each(|slip| report.add(Problem::slip(texts, slip)));
        entries.extend(item.value.filter(|_| item.slips.is_empty()).map(|entry| entry.value));
    }
    entries
}

/// Who signed the book with this fingerprint last.
pub fn of(entries: &[SignedEntry], fingerprint: &str) -> Option<Signed> {
    let last = entries.iter().rev().find(|entry| entry.fingerprint.text == fingerprint)?;
    Some(Signed { by: last.by.text.clone(), on: last.on.text.clone() })
}
