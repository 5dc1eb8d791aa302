//! A logbook's record: what its file holds. Its head stands first, so that a thousand logbooks are listed by their heads.

use jiff::Timestamp;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::entry::{Entry, What};
use super::ratchet::{TakeUpSizes, Warning, Watch, size};
use super::story::Story;
use super::visit_mark::VisitMark;
use crate::kept::{Keep, RecordStore, Wording};
use crate::visit::ConveyorFacts;
use crate::visit::store::VisitStatus;

/// The folder that logbooks are kept in.
pub type LogbookStore = RecordStore<LogbookRecord>;

/// A logbook as it stands in its file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LogbookRecord {
    /// The format of the file.
    pub format: u32,
    /// The logbook's number.
    pub logbook: u32,
    /// What its conveyor is called.
    pub name: String,
    /// What a list shows of it.
    pub head: Head,
    /// What is known of the conveyor.
    pub conveyor: ConveyorFacts,
    /// All that was entered, in the order in which it came.
    pub entries: Vec<Entry>,
}

/// What a list shows of a logbook: worked out from its entries at every change.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Head {
    /// The latest visit.
    pub last_visit: Option<LastVisit>,
    /// How many visits there are.
    pub visits: usize,
    /// How many jobs are open.
    pub open_jobs: usize,
    /// The day of the latest reading of the take-up.
    pub last_reading: Option<Date>,
    /// What there is to warn of.
    pub warnings: Vec<Warning>,
}

/// The latest visit, as a list shows it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LastVisit {
    /// Its number on its tablet.
    pub visit: u32,
    /// When it began.
    pub begun: Timestamp,
    /// Whether it goes on, or how it ended.
    pub state: VisitStatus,
}

impl From<&VisitMark> for LastVisit {
    fn from(mark: &VisitMark) -> Self {
        Self { visit: mark.visit, begun: mark.begun, state: mark.state }
    }
}

impl LogbookRecord {
    /// An empty logbook of a conveyor of this name.
    pub fn new(logbook: u32, name: String) -> Self {
        Self {
            format: Self::FORMAT,
            logbook,
            name,
            head: Head::default(),
            conveyor: ConveyorFacts::default(),
            entries: Vec::new(),
        }
    }

    /// Adds entries that are not there yet, and tells how many were. An entry with somebody's name stands for the same
    /// one without.
    pub fn add(&mut self, entries: impl IntoIterator<Item = Entry>, sizes: &TakeUpSizes) -> usize {
        let mut added = 0;
        for entry in entries {
            match self.entries.iter_mut().find(|known| known.id == entry.id) {
                Some(known) => known.by = known.by.take().or(entry.by),
                None => {
                    self.entries.push(entry);
                    added += 1;
                }
            }
        }
        self.renew_head(sizes);
        added
    }

    /// Works the head out anew.
    pub fn renew_head(&mut self, sizes: &TakeUpSizes) {
        self.head = self.head_now(sizes);
    }

    /// What the head should be.
    pub fn head_now(&self, sizes: &TakeUpSizes) -> Head {
        let story = Story::of(&self.entries);
        let readings = story.told.iter().rev().filter_map(|entry| match &entry.what {
            What::TakeUp { on, .. } => Some(*on),
            _ => None,
        });
        Head {
            last_visit: story.visits().next_back().map(|(_, mark)| LastVisit::from(mark)),
            visits: story.visits().count(),
            open_jobs: story.open_jobs().len(),
            last_reading: readings.max(),
            warnings: Watch::over(&story, sizes).map(|w| w.warnings).unwrap_or_default(),
        }
    }

    /// Why a file cannot be of the conveyor of this logbook, if it cannot.
    pub fn other_conveyor(&self, facts: &ConveyorFacts) -> Option<String> {
        let known = size(&self.conveyor, "centres")?;
        let told = size(facts, "centres")?;
        // A tape and a drawing differ; two conveyors differ by more.
        ((known - told).abs() > 0.1 * known.max(told))
            .then(|| format!("that conveyor is {known} m from pulley to pulley, this one {told} m"))
    }
}

impl Keep for LogbookRecord {
    const FORMAT: u32 = 1;
    const FOLDER: &'static str = "logbooks";
    const OPEN_MARK: &'static str = "format: 1";
    const WORDING: &'static Wording = &Wording {
        one: "logbook",
        many: "logbooks",
        listed_by: "straybelt logbook",
        begun_by: "straybelt logbook takeup",
    };

    fn number(&self) -> u32 {
        self.logbook
    }

    fn is_open(&self) -> bool {
        true
    }
}

/// The name and head at the beginning of a logbook's file, so far as they can be read.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Glance {
    /// The logbook's number.
    pub logbook: u32,
    /// What its conveyor is called.
    pub name: String,
    /// What a list shows of it.
    pub head: Head,
}

impl Glance {
    /// From the beginning of a file; nothing if that is not what a logbook begins with.
    pub fn at(beginning: &str) -> Option<Self> {
        #[derive(Deserialize)]
        struct Beginning {
            format: u32,
            logbook: u32,
            name: String,
            head: Head,
        }
        let (fields, _) = beginning.split_once("\n    conveyor: (")?;
        let begun: Beginning = ron::from_str(&format!("{fields}\n)")).ok()?;
        (begun.format == LogbookRecord::FORMAT).then_some(Self {
            logbook: begun.logbook,
            name: begun.name,
            head: begun.head,
        })
    }
}

impl From<&LogbookRecord> for Glance {
    fn from(record: &LogbookRecord) -> Self {
        let LogbookRecord { logbook, name, head, .. } = record.clone();
        Self { logbook, name, head }
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::logbook::size::Millimetres;
    use crate::logbook::{Reading, TabletId};

    fn reading(day: i8, left: f64, by: Option<&str>) -> Entry {
        let reading = Reading::Screws { left: Millimetres(left), right: Millimetres(left) };
        let what = What::TakeUp { on: date(2026, 3, day), reading, why: None };
        let tablet = TabletId::named("aaaa").unwrap();
        Entry::new(&tablet, Timestamp::UNIX_EPOCH, by.map(str::to_owned), what)
    }

    #[test]
    fn entries_are_added_once_and_a_name_is_kept() {
        let mut record = LogbookRecord::new(1, "OQ-04".to_owned());
        let sizes = TakeUpSizes::default();
        assert_eq!(record.add([reading(1, 200.0, None), reading(2, 203.0, None)], &sizes), 2);
        assert_eq!(record.add([reading(1, 200.0, Some("J")), reading(1, 200.0, None)], &sizes), 0);
        assert_eq!(record.entries[0].by.as_deref(), Some("J"));
        assert_eq!(record.head.last_reading, Some(date(2026, 3, 2)));
    }

    #[test]
    fn a_glance_sees_the_same_as_the_whole_file() {
        let folder = tempfile::tempdir().unwrap();
        let store = LogbookStore::at(folder.path());
        let name = "OQ-04 (\"conveyor: (\") / \u{e9}".repeat(6);
        let mut kept = store.begin(|n| LogbookRecord::new(n, name), Timestamp::UNIX_EPOCH).unwrap();
        let sizes = TakeUpSizes::default();
        kept.change(|record| {
            for day in 1..9 {
                record.add([reading(day, 200.0 + 3.0 * f64::from(day), None)], &sizes);
            }
            record.head.last_visit = Some(LastVisit {
                visit: u32::MAX,
                begun: Timestamp::MAX,
                state: VisitStatus::Over(crate::visit::event::Ended::StoppedNow),
            });
        })
        .unwrap();
        let beginnings = store.beginnings().unwrap();
        let (number, text) = &beginnings[0];
        assert_eq!(*number, 1);
        assert_eq!(Glance::at(text.as_ref().unwrap()), Some(Glance::from(kept.record())));
        assert!(!kept.record().head.warnings.is_empty());
        assert_eq!(Glance::at("rubbish"), None);
    }

    #[test]
    fn a_file_of_another_conveyor_is_known_by_its_length() {
        let mut record = LogbookRecord::new(1, "OQ-04".to_owned());
        let of = |centres: &str| {
            let mut facts = ConveyorFacts::default();
            facts.dimensions.insert("centres".to_owned(), centres.to_owned());
            facts
        };
        assert_eq!(record.other_conveyor(&of("38 m")), None);
        record.conveyor = of("38 m");
        assert_eq!(record.other_conveyor(&of("39 m")), None);
        assert!(record.other_conveyor(&of("120 m")).unwrap().contains("120 m"));
        assert_eq!(record.other_conveyor(&ConveyorFacts::default()), None);
    }
}
