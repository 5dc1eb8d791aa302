//! Visits on disk, `visits/2026/0007.ron` and so on: saved whole after every event.

use jiff::Timestamp;

use super::event::{Event, Stamped};
pub use super::record::{BookMark, Record, VisitStatus};
use crate::kept;
pub use crate::kept::StoreError;

/// The folder that visits are kept in.
pub type VisitStore = kept::RecordStore<Record>;

/// All visits, and those that could not be read.
pub type VisitListing = kept::Listing<Record>;

/// A visit that is open here: locked, and saved at every event.
pub type OpenVisit = kept::OpenRecord<Record>;

impl OpenVisit {
    /// Adds an event and saves. If saving fails the event is kept in memory all the same, and saved together
    /// with the next.
    ///
    /// # Errors
    /// If the file cannot be replaced.
    pub fn add(&mut self, what: Event, at: Timestamp) -> Result<(), StoreError> {
        self.add_all([what], at)
    }

    /// The same with several events: either all of them are on disk, or none is.
    ///
    /// # Errors
    /// If the file cannot be replaced.
    pub fn add_all(
        &mut self,
        all: impl IntoIterator<Item = Event>,
        at: Timestamp,
    ) -> Result<(), StoreError> {
        self.change(|record| {
            for what in all {
                match what {
                    Event::Ended { how } => record.state = VisitStatus::Over(how),
                    Event::Reopened => record.state = VisitStatus::Open,
                    _ => {}
                }
                record.events.push(Stamped { at, what });
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::visit::ConveyorFacts;
    use crate::visit::event::Ended;

    /// A visit's file as the first format has it. It stands here letter for letter, so that what was kept can
    /// be read as long as the format's number is the same.
    const FILE: &str = r#"(
    format: 1,
    visit: 1,
    state: Open,
    begun: "1970-01-01T00:00:00Z",
    book: (
        name: "book",
        version: "1",
        fingerprint: "f",
    ),
    conveyor: (
        name: Some("OQ-04"),
        facts: {},
        left: None,
        right: None,
    ),
    conveyor_file: true,
    events: [
        (at: "1970-01-01T00:00:00Z", what: Answered(symptom: "a", answer: Some("yes"))),
    ],
)
"#;

    fn store() -> (tempfile::TempDir, VisitStore) {
        let folder = tempfile::tempdir().expect("a folder");
        let store = VisitStore::at(folder.path());
        (folder, store)
    }

    fn begun(store: &VisitStore) -> OpenVisit {
        let book = BookMark {
            name: "book".to_owned(),
            version: "1".to_owned(),
            fingerprint: "f".to_owned(),
            signed: None,
        };
        let conveyor = ConveyorFacts { name: Some("OQ-04".to_owned()), ..ConveyorFacts::default() };
        let at = Timestamp::UNIX_EPOCH;
        store.begin(|visit| Record::begun(visit, book, conveyor, true, at), at).expect("a visit")
    }

    fn answer(id: &str) -> Event {
        Event::Answered { symptom: id.to_owned(), answer: Some("yes".to_owned()) }
    }

    #[test]
    fn what_was_added_is_read_back() {
        let (_folder, store) = store();
        let mut kept = begun(&store);
        kept.add(answer("a"), Timestamp::UNIX_EPOCH).expect("saved");
        assert_eq!(store.look(1).expect("visit 1"), *kept.record());
        assert_eq!(store.open_ones().expect("a list").len(), 1);
        kept.add(Event::Ended { how: Ended::True }, Timestamp::UNIX_EPOCH).expect("saved");
        assert!(store.open_ones().expect("a list").is_empty());
        assert_eq!(store.look_at_all().expect("a list").records.len(), 1);
    }

    #[test]
    fn a_visits_file_stays_as_it_is() {
        let (folder, store) = store();
        let mut kept = begun(&store);
        kept.add(answer("a"), Timestamp::UNIX_EPOCH).expect("saved");
        let path = folder.path().join("visits/1970/0001.ron");
        let text = fs::read_to_string(path).expect("readable");
        let (first, rest) = text.split_once('\n').expect("lines");
        assert!(first.starts_with("// The last line is a checksum."), "{first}");
        let (record, last) = rest.split_at(FILE.len());
        assert_eq!(record, FILE);
        assert!(last.starts_with("// SHA-256 of the lines above: "), "{last}");
        let years_later = folder.path().join("visits/2031");
        fs::create_dir_all(&years_later).expect("a folder");
        let text = FILE.replace("visit: 1,", "visit: 12,");
        fs::write(years_later.join("0012.ron"), text).expect("written");
        assert_eq!(store.look(12).expect("visit 12").events, kept.record().events);
    }

    #[test]
    fn what_is_wrong_is_said_of_a_visit() {
        let (folder, store) = store();
        let said = |tried: Result<OpenVisit, StoreError>| tried.expect_err("refused").to_string();
        assert_eq!(
            said(store.open_newest()),
            "no visit is open. Begin one with `straybelt diagnose`; `straybelt visits` lists those that ended"
        );
        assert_eq!(
            said(store.open(1)),
            "there is no visit 1 here. `straybelt visits` lists those there are"
        );
        let kept = begun(&store);
        assert_eq!(
            said(store.open(1)),
            "visit 1 is open in another terminal. Go on there, or close it there first"
        );
        drop(kept);
        let path = folder.path().join("visits/1970/0001.ron");
        fs::write(&path, FILE.replace("visit: 1,", "visit: 2,")).expect("written");
        let shown = path.display();
        assert_eq!(
            said(store.open(1)),
            format!(
                "visit 1: {shown} cannot be understood (it says that it is visit 2). It was kept as {shown}.bad; mend it with an editor and rename it back"
            )
        );
    }
}
