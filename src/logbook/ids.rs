//! What entries, tablets and jobs are known by: names that stay the same wherever they are read.

use std::fmt;
use std::fmt::Write as _;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Letters of an id.
const LETTERS: usize = 16;

/// What an entry is known by.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct EntryId(String);

impl EntryId {
    /// Of an entry with this content, written on this tablet.
    pub fn of(tablet: &TabletId, content: &impl Serialize) -> Self {
        // A struct of plain fields always has a text.
        let content = serde_json::to_string(content).unwrap_or_default();
        Self(short_sum(&[tablet.as_str(), &content]))
    }

    /// As text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, into: &mut fmt::Formatter<'_>) -> fmt::Result {
        into.write_str(&self.0)
    }
}

/// Which tablet an entry was written on: a name drawn once, that says nothing of its owner.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TabletId(String);

impl TabletId {
    /// From its text: letters and digits.
    pub fn named(text: &str) -> Option<Self> {
        let plain =
            text.chars().all(|c| c.is_ascii_alphanumeric()) && (4..=32).contains(&text.len());
        plain.then(|| Self(text.to_owned()))
    }

    /// As text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// What a job that a visit left open is known by.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct JobId(String);

impl JobId {
    /// Of a job that this visit of this tablet left open.
    pub fn of(tablet: &TabletId, visit: u32, job: &str) -> Self {
        Self(short_sum(&[tablet.as_str(), &visit.to_string(), job]))
    }

    /// As text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// The first letters of a checksum of some texts.
pub(super) fn short_sum(texts: &[&str]) -> String {
    let sum = Sha256::digest(texts.join("\n").as_bytes());
    let mut hex = sum.iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    });
    hex.truncate(LETTERS);
    hex
}
