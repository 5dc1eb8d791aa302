//! A visit's record: what its file holds.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::conveyor_facts::ConveyorFacts;
use super::event::{Ended, Event, Stamped, standing};
use super::means::Means;
use crate::kept::{Keep, Wording};
use crate::rulebook::model::Book;

/// A visit as it stands in its file; what identifies it comes first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// The format of the file.
    pub format: u32,
    /// The visit's number.
    pub visit: u32,
    /// Whether it goes on, or how it ended.
    pub state: VisitStatus,
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
    /// Who signed these texts off, and when, if anybody did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed: Option<String>,
}

impl BookMark {
    /// Of this book.
    pub fn new(book: &Book) -> Self {
        Self {
            name: book.name.clone(),
            version: book.version.clone(),
            fingerprint: book.fingerprint.clone(),
            signed: book.signed.as_ref().map(|signed| format!("{}, {}", signed.by, signed.on)),
        }
    }

    /// The book as people know it, and who signed it off.
    pub fn words(&self) -> String {
        let signed = self.signed.as_ref().map_or(String::new(), |by| {
            let print = self.fingerprint.get(..8).unwrap_or("");
            format!(" ({print}), signed off by {by}")
        });
        format!("{} {}{signed}", self.name, self.version)
    }
}

/// Whether a visit goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum VisitStatus {
    /// It goes on.
    Open,
    /// It ended.
    Over(Ended),
}

impl Record {
    /// A visit that begins, with this number.
    pub fn begun(
        visit: u32,
        book: BookMark,
        conveyor: ConveyorFacts,
        conveyor_file: bool,
        begun: Timestamp,
    ) -> Self {
        Self {
            format: Self::FORMAT,
            visit,
            state: VisitStatus::Open,
            begun,
            book,
            conveyor,
            conveyor_file,
            events: Vec::new(),
        }
    }
}

impl Record {
    /// What the conveyor is called, by what was told last or by its file.
    pub fn conveyor_name(&self) -> Option<&str> {
        let told = standing(&self.events).into_iter().rev().find_map(|event| match &event.what {
            Event::Named { name } => Some(name.as_deref()),
            _ => None,
        });
        told.unwrap_or(self.conveyor.name.as_deref())
    }

    /// What was at hand, if that was told. Who may lock out is a matter of each day.
    pub fn means(&self) -> Option<Means> {
        standing(&self.events).into_iter().rev().find_map(|event| match &event.what {
            Event::MeansTold { tools, history } => {
                Some(Means { tools: tools.clone(), history: *history, lock_out: None })
            }
            _ => None,
        })
    }
}

impl Keep for Record {
    const FORMAT: u32 = 1;
    const FOLDER: &'static str = "visits";
    const OPEN_MARK: &'static str = "state: Open";
    const WORDING: &'static Wording = &Wording {
        one: "visit",
        many: "visits",
        listed_by: "straybelt visits",
        begun_by: "straybelt diagnose",
    };

    fn number(&self) -> u32 {
        self.visit
    }

    fn is_open(&self) -> bool {
        self.state == VisitStatus::Open
    }
}
