//! A logbook's record: what its file holds. Its head stands first, so that a thousand logbooks are listed by their heads.

use std::collections::HashMap;

use jiff::Timestamp;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::entry::{Entry, What};
use super::ids::EntryId;
use super::ratchet::{Warning, Watch};
use super::story::Story;
use super::take_up_sizes::{TakeUpSizes, size};
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
    /// Whether when it began cannot be relied on: a clock was set back.
    #[serde(default)]
    pub unsure: bool,
}

impl LastVisit {
    fn of(story: &Story) -> Option<Self> {
        let (entry, mark) = story.visits().next_back()?;
        let VisitMark { visit, begun, state, .. } = *mark;
        Some(Self { visit, begun, state, unsure: story.day(entry).is_none() })
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

    /// Enters what is new here: each entry gets its turn after all that stand there. Tells how many were not there yet.
    pub fn enter(&mut self, new: impl IntoIterator<Item = Entry>, sizes: &TakeUpSizes) -> usize {
        let last = self.entries.iter().map(|entry| entry.turn).max().unwrap_or(0);
        let turns = last.saturating_add(1)..=u32::MAX;
        let new: Vec<Entry> =
            new.into_iter().zip(turns).map(|(entry, turn)| Entry { turn, ..entry }).collect();
        self.add(new, sizes)
    }

    /// Puts entries to those here, as they are: the union of both. Tells how many were not there yet. An entry with
    /// somebody's name stands for the same one without, and an earlier turn for a later one: whichever book comes first,
    /// the outcome is the same.
    pub fn add(&mut self, entries: impl IntoIterator<Item = Entry>, sizes: &TakeUpSizes) -> usize {
        let mut added = 0;
        let places = self.entries.iter().enumerate();
        let mut places: HashMap<EntryId, usize> =
            places.map(|(place, entry)| (entry.id.clone(), place)).collect();
        for entry in entries {
            let known = places.get(&entry.id).and_then(|place| self.entries.get_mut(*place));
            match known {
                Some(known) => {
                    known.by = [known.by.take(), entry.by].into_iter().flatten().min();
                    known.turn = known.turn.min(entry.turn);
                    known.written = known.written.min(entry.written);
                }
                None => {
                    places.insert(entry.id.clone(), self.entries.len());
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
            last_visit: LastVisit::of(&story),
            visits: story.visits().count(),
            open_jobs: story.open_jobs().len(),
            last_reading: readings.max(),
            warnings: Watch::over(&story, sizes).map(|w| w.warnings).unwrap_or_default(),
        }
    }

    /// Why a file cannot be of the conveyor of this logbook, if it cannot.
    pub fn other_conveyor(&self, facts: &ConveyorFacts) -> Option<String> {
        // A tape and a drawing differ; two conveyors differ by more.
        let differ = |path: &str| {
            let (known, told) = (size(&self.conveyor, path)?, size(facts, path)?);
            ((known - told).abs() > 0.1 * known.max(told)).then_some((known, told))
        };
        let long = differ("centres").map(|(known, told)| {
            format!("that conveyor is {known} m from pulley to pulley, this one {told} m")
        });
        long.or_else(|| {
            let (known, told) = differ("belt.width")?;
            Some(format!("the belt of that conveyor is {known} m wide, of this one {told} m"))
        })
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

/// The name of the conveyor at the beginning of a logbook's file, also where the rest of it is damaged.
pub fn name_at(beginning: &str) -> Option<String> {
    if let Some(glance) = Glance::at(beginning) {
        return Some(glance.name);
    }
    let written = beginning.lines().find_map(|line| line.trim_start().strip_prefix("name: "))?;
    ron::from_str(written.trim_end().trim_end_matches(',')).ok()
}

/// Names of conveyors that differ in capitals and blanks only are one: this is what they have in common.
pub fn key(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
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
    fn what_is_entered_has_its_turn_after_all_that_stand_there() {
        let mut record = LogbookRecord::new(1, "OQ-04".to_owned());
        let sizes = TakeUpSizes::default();
        record.enter([reading(3, 203.0, None), reading(1, 200.0, None)], &sizes);
        // Of another tablet, further on in its own book.
        record.add([Entry { turn: 40, ..reading(2, 201.0, None) }], &sizes);
        assert_eq!(record.enter([reading(3, 203.0, None), reading(4, 204.0, None)], &sizes), 1);
        let turns: Vec<u32> = record.entries.iter().map(|entry| entry.turn).collect();
        assert_eq!(turns, [1, 2, 40, 42], "an entry that stands there keeps its turn");
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
                unsure: true,
            });
        })
        .unwrap();
        let beginnings = store.beginnings().unwrap();
        let (number, text) = &beginnings[0];
        assert_eq!(*number, 1);
        assert_eq!(Glance::at(text.as_ref().unwrap()), Some(Glance::from(kept.record())));
        assert!(!kept.record().head.warnings.is_empty());
        assert_eq!(Glance::at("rubbish"), None);
        let text = text.as_ref().unwrap();
        let damaged = text.replace("format: 1", "format: x");
        assert_eq!(Glance::at(&damaged), None);
        assert_eq!(name_at(&damaged).as_ref(), Some(&kept.record().name));
        assert_eq!(name_at(text).as_ref(), Some(&kept.record().name));
        assert_eq!(name_at(&damaged.replace("name: ", "nane: ")), None);
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
        let wide = |width: &str| {
            let mut facts = of("38 m");
            facts.dimensions.insert("belt.width".to_owned(), width.to_owned());
            facts
        };
        record.conveyor = wide("800 mm");
        assert_eq!(record.other_conveyor(&wide("31.5 in")), None);
        assert!(record.other_conveyor(&wide("1200 mm")).unwrap().contains("1.2 m"));
    }
}
