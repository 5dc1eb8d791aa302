//! An entry of a logbook: something that was read or done at a conveyor. Entries are only ever added. Each has an id from
//! what it holds and the tablet that wrote it, so that books of several tablets are merged by putting them together.

use jiff::Timestamp;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::ids::{EntryId, JobId, TabletId};
use super::size::{Kilograms, Millimetres, Newtons};
use super::visit_mark::VisitMark;

/// An entry.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its id.
    pub id: EntryId,
    /// The tablet it was written on.
    pub tablet: TabletId,
    /// When it was written, by that tablet's clock.
    pub written: Timestamp,
    /// Its turn in the book: one more than any that stood there when it was written, whatever the clock said. It is no part
    /// of the id. Nothing where an earlier version wrote it.
    #[serde(default, skip_serializing_if = "has_none")]
    pub turn: u32,
    /// Who read or did it. It is no part of the id, so that it can be left out of an export.
    pub by: Option<String>,
    /// What it holds.
    pub what: What,
}

impl Entry {
    /// A new entry; its turn comes when it is entered.
    pub fn new(tablet: &TabletId, written: Timestamp, by: Option<String>, what: What) -> Self {
        Self { id: EntryId::of(tablet, &what), tablet: tablet.clone(), written, turn: 0, by, what }
    }

    /// Whether its id fits what it holds.
    pub fn is_sound(&self) -> bool {
        self.id == EntryId::of(&self.tablet, &self.what)
    }

    /// The day that it is about.
    pub fn on(&self) -> Date {
        match &self.what {
            What::TakeUp { on, .. } | What::Done { on, .. } | What::JobDone { on, .. } => *on,
            What::Visit(mark) => day(mark.begun),
            What::Struck { .. } => day(self.written),
        }
    }
}

fn has_none(turn: &u32) -> bool {
    *turn == 0
}

/// The day of a time at Greenwich, so that it is the same everywhere.
pub fn day(at: Timestamp) -> Date {
    at.to_zoned_datetime(jiff::tz::TimeZone::UTC).date()
}

/// What an entry holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum What {
    /// How the take-up stood.
    TakeUp {
        /// On which day.
        on: Date,
        /// What was read.
        reading: Reading,
        /// Why it was set or read.
        why: Option<String>,
    },
    /// Something that was done outside a visit.
    Done {
        /// On which day.
        on: Date,
        /// What.
        work: Work,
        /// More of it, in the person's words.
        note: Option<String>,
    },
    /// A visit, as it stood when this was written.
    Visit(VisitMark),
    /// A job that a visit left open was done.
    JobDone {
        /// On which day.
        on: Date,
        /// Which.
        job: JobId,
        /// More of it, in the person's words.
        note: Option<String>,
    },
    /// An entry that was wrong. It stays in the book, and counts for nothing.
    Struck {
        /// Which.
        entry: EntryId,
        /// Why.
        why: String,
    },
}

/// How a take-up stood. Positions count how far out a bearing or carriage stands: more is tighter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Reading {
    /// Both screws, from marks that lie alike on both sides.
    Screws {
        /// How far out the left bearing stands.
        left: Millimetres,
        /// How far out the right bearing stands.
        right: Millimetres,
    },
    /// A carriage on rails.
    Carriage {
        /// How far out it stands.
        at: Millimetres,
    },
    /// A hanging weight.
    Weight {
        /// What hangs there, its frame included.
        mass: Kilograms,
        /// How far it has gone down, if that was read.
        at: Option<Millimetres>,
    },
    /// A winch with a rope.
    Winch {
        /// The pull of the rope.
        pull: Newtons,
        /// How far out the carriage stands, if that was read.
        at: Option<Millimetres>,
    },
}

impl Reading {
    /// The word for its kind, in files and flags.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Screws { .. } => "screws",
            Self::Carriage { .. } => "carriage",
            Self::Weight { .. } => "weight",
            Self::Winch { .. } => "winch",
        }
    }

    /// How far out it stands: the mean of both screws.
    pub fn out(&self) -> Option<Millimetres> {
        match *self {
            Self::Screws { left, right } => Some(Millimetres(f64::midpoint(left.0, right.0))),
            Self::Carriage { at } => Some(at),
            Self::Weight { at, .. } | Self::Winch { at, .. } => at,
        }
    }

    /// How much further out the left screw stands; below nothing when it is the right one.
    pub fn lead(&self) -> Option<Millimetres> {
        match *self {
            Self::Screws { left, right } => Some(Millimetres(left.0 - right.0)),
            _ => None,
        }
    }
}

/// What can be done outside a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Work {
    /// A new belt was put on.
    BeltNew,
    /// A splice was made, or the belt shortened.
    SpliceMade,
    /// One or more rolls were swapped.
    RollSwapped,
    /// Rolls or pulleys were cleaned.
    Cleaned,
    /// Idlers were trimmed.
    Trimmed,
    /// Something was set square, level or to the line.
    Squared,
    /// Something else.
    Other,
}

impl Work {
    /// All of it, in the order in which it is offered.
    pub const ALL: [Self; 7] = [
        Self::BeltNew,
        Self::SpliceMade,
        Self::RollSwapped,
        Self::Cleaned,
        Self::Trimmed,
        Self::Squared,
        Self::Other,
    ];

    /// The word for it, in files and flags.
    pub fn word(self) -> &'static str {
        match self {
            Self::BeltNew => "belt-new",
            Self::SpliceMade => "splice-made",
            Self::RollSwapped => "roll-swapped",
            Self::Cleaned => "cleaned",
            Self::Trimmed => "trimmed",
            Self::Squared => "squared",
            Self::Other => "other",
        }
    }

    /// In words.
    pub fn says(self) -> &'static str {
        match self {
            Self::BeltNew => "New belt put on",
            Self::SpliceMade => "Splice made or belt shortened",
            Self::RollSwapped => "Roll swapped",
            Self::Cleaned => "Rolls or pulleys cleaned",
            Self::Trimmed => "Idlers trimmed",
            Self::Squared => "Set square, level or to the line",
            Self::Other => "Something else",
        }
    }

    /// The one of that word.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|work| work.word() == word)
    }

    /// Whether stretch is counted anew from here on.
    pub fn renews_the_belt(self) -> bool {
        matches!(self, Self::BeltNew | Self::SpliceMade)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn what(left: f64) -> What {
        let reading = Reading::Screws { left: Millimetres(left), right: Millimetres(210.0) };
        What::TakeUp { on: jiff::civil::date(2026, 3, 1), reading, why: None }
    }

    #[test]
    fn an_id_hangs_on_content_and_tablet_and_on_nothing_else() {
        let (one, other) = (TabletId::named("aaaa").unwrap(), TabletId::named("bbbb").unwrap());
        let entry = Entry::new(&one, Timestamp::UNIX_EPOCH, None, what(212.0));
        let later = Entry::new(&one, Timestamp::MAX, Some("J".to_owned()), what(212.0));
        assert_eq!(entry.id, later.id);
        assert_ne!(entry.id, EntryId::of(&other, &what(212.0)));
        assert_ne!(entry.id, EntryId::of(&one, &what(212.5)));
        assert!(entry.is_sound());
        assert!(!Entry { what: what(213.0), ..entry }.is_sound());
    }

    #[test]
    fn entries_stand_in_files_as_they_always_did() {
        let entry =
            Entry::new(&TabletId::named("aaaa").unwrap(), Timestamp::UNIX_EPOCH, None, what(212.0));
        let text = ron::to_string(&entry).unwrap();
        assert_eq!(
            text,
            format!(
                "(id:\"{}\",tablet:\"aaaa\",written:\"1970-01-01T00:00:00Z\",by:None,what:TakeUp(on:\"2026-03-01\",reading:Screws(left:212.0,right:210.0),why:None))",
                entry.id
            )
        );
        assert_eq!(ron::from_str::<Entry>(&text).unwrap(), entry);
        let entered = Entry { turn: 7, ..entry.clone() };
        let text = ron::to_string(&entered).unwrap();
        assert!(text.contains("turn:7") && entered.is_sound(), "{text}");
        assert_eq!(ron::from_str::<Entry>(&text).unwrap(), entered);
        // The sum of the letters, worked out with `sha256sum`.
        assert_eq!(entry.id.as_str(), "e15c642412afb99a");
    }

    #[test]
    fn words_of_work_are_known_again() {
        for work in Work::ALL {
            assert_eq!(Work::named(work.word()), Some(work));
        }
        assert_eq!(Work::named("painted"), None);
        assert_eq!(TabletId::named("../x"), None);
    }
}
