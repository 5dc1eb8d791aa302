//! Visits are taken into the logbooks of their conveyors: what a list and a story need of each.

use std::collections::BTreeMap;

use super::beginnings::{begins_as, new};
use super::{disk_error, sizes};
use crate::kept::{Keep, StoreError};
use crate::logbook::tablet::{self, TakenIn};
use crate::logbook::{Entry, LogbookStore, VisitMark, What};
use crate::visit::clock::Clock;
use crate::visit::store::{Record, VisitStore};

/// What came of taking visits in.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Gathered {
    /// How many visits were entered, or entered anew.
    pub taken_in: usize,
    /// How many have a conveyor without a name, and so no logbook.
    pub nameless: usize,
    /// Why some were left out.
    pub left_out: Vec<String>,
}

/// How many visits were begun since visits were last taken in.
///
/// # Errors
/// If the state folder cannot be read.
pub(super) fn waiting(visits: &VisitStore, books: &LogbookStore) -> Result<usize, StoreError> {
    let taken = tablet::taken_in(books);
    Ok(visits.numbers()?.into_iter().filter(|number| *number > taken.up_to).count())
}

/// Takes in the visits that are new, and those that went on since they were taken in.
///
/// # Errors
/// If the state folder cannot be read or written. What was taken in until then stays; the rest is taken in next time.
pub fn gather(
    visits: &VisitStore,
    books: &LogbookStore,
    clock: &dyn Clock,
) -> Result<Gathered, StoreError> {
    let taken = tablet::taken_in(books);
    let listing = visits.those(|number| number > taken.up_to || taken.open.contains(&number))?;
    if listing.from.is_none() {
        return Ok(Gathered::default());
    }
    let this = tablet::tablet(books).map_err(|error| disk_error(books, error))?;
    let newest = visits.numbers()?.into_iter().max().unwrap_or(0);
    let mut next = TakenIn { up_to: taken.up_to.max(newest), open: Vec::new() };
    let mut gathered = Gathered::default();
    // Whatever could not be read is tried again next time.
    for bad in &listing.bad {
        gathered.left_out.push(bad.to_string());
        next.open.extend(bad.number());
    }
    let mut by_name: BTreeMap<String, Vec<Record>> = BTreeMap::new();
    for record in listing.records {
        if record.is_open() {
            next.open.push(record.visit);
        }
        match record.conveyor_name().map(str::to_owned) {
            Some(name) => by_name.entry(name).or_default().push(record),
            None => gathered.nameless += 1,
        }
    }
    for (name, records) in by_name {
        let numbers: Vec<u32> = records.iter().map(|record| record.visit).collect();
        let make = |mark: VisitMark| Entry::new(&this, clock.now(), None, What::Visit(mark));
        match of_conveyor(books, &name, &records, clock, &make) {
            Ok(added) => gathered.taken_in += added,
            Err(LeftOut::Told(why)) => gathered.left_out.push(why),
            Err(LeftOut::Store(StoreError::Busy { .. })) => next.open.extend(numbers),
            Err(LeftOut::Store(error)) => {
                gathered.left_out.push(error.to_string());
                next.open.extend(numbers);
            }
        }
    }
    next.open.sort_unstable();
    next.open.dedup();
    tablet::keep_taken_in(books, &next).map_err(|error| disk_error(books, error))?;
    Ok(gathered)
}

enum LeftOut {
    Told(String),
    Store(StoreError),
}

impl From<StoreError> for LeftOut {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

/// Enters the visits to one conveyor.
fn of_conveyor(
    books: &LogbookStore,
    name: &str,
    records: &[Record],
    clock: &dyn Clock,
    make: &dyn Fn(VisitMark) -> Entry,
) -> Result<usize, LeftOut> {
    let mut open = books.open_or_begin(begins_as(name), new(name), clock.now())?;
    let filed = records.iter().filter(|record| record.conveyor_file);
    let facts = filed.max_by_key(|record| record.visit).map(|record| record.conveyor.clone());
    if let Some(why) = facts.as_ref().and_then(|facts| open.record().other_conveyor(facts)) {
        let numbers: Vec<String> = records.iter().map(|r| r.visit.to_string()).collect();
        return Err(LeftOut::Told(format!(
            "the logbook of {name} is of another conveyor: {why}. Left out: visit {}. Give each conveyor a name of its own in its file",
            numbers.join(", ")
        )));
    }
    let mut added = 0;
    open.change(|record| {
        if let Some(facts) = facts {
            record.conveyor = facts;
        }
        let (_, _, sizes) = sizes(record);
        added = record.add(records.iter().map(|visit| make(VisitMark::of(visit))), &sizes);
    })?;
    Ok(added)
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;

    use super::*;
    use crate::logbook::Story;
    use crate::visit::ConveyorFacts;
    use crate::visit::clock::TestClock;
    use crate::visit::event::{Ended, Event};
    use crate::visit::store::{BookMark, OpenVisit};

    struct Tablet {
        _folder: tempfile::TempDir,
        visits: VisitStore,
        books: LogbookStore,
        clock: TestClock,
    }

    impl Tablet {
        fn new() -> Self {
            let folder = tempfile::tempdir().unwrap();
            Self {
                visits: VisitStore::at(folder.path()),
                books: LogbookStore::at(folder.path()),
                clock: TestClock::from(Timestamp::UNIX_EPOCH),
                _folder: folder,
            }
        }

        fn visit(&self, name: Option<&str>) -> OpenVisit {
            let book = BookMark {
                name: "book".to_owned(),
                version: "1".to_owned(),
                fingerprint: "f".to_owned(),
                signed: None,
            };
            let facts = ConveyorFacts { name: name.map(str::to_owned), ..ConveyorFacts::default() };
            let at = self.clock.now();
            self.visits.begin(|n| Record::begun(n, book, facts, false, at), at).unwrap()
        }

        fn gather(&self) -> Gathered {
            gather(&self.visits, &self.books, &self.clock).unwrap()
        }
    }

    #[test]
    fn visits_are_taken_in_once_and_again_when_they_went_on() {
        let tablet = Tablet::new();
        let mut open = tablet.visit(Some("OQ-04"));
        drop(tablet.visit(Some("oq-04 ")));
        drop(tablet.visit(Some("OQ-07 / yard")));
        drop(tablet.visit(None));
        assert_eq!(waiting(&tablet.visits, &tablet.books).unwrap(), 4);
        let first = tablet.gather();
        assert_eq!((first.taken_in, first.nameless, first.left_out.len()), (3, 1, 0));
        assert_eq!(waiting(&tablet.visits, &tablet.books).unwrap(), 0);
        assert_eq!(tablet.gather().taken_in, 0);
        open.add(Event::Ended { how: Ended::True }, tablet.clock.now()).unwrap();
        assert_eq!(tablet.gather().taken_in, 1);
        let books = tablet.books.look_at_all().unwrap().records;
        assert_eq!(books.iter().map(|book| book.head.visits).collect::<Vec<_>>(), [1, 2]);
        let story = Story::of(&books[1].entries);
        assert!(story.visits().any(|(_, mark)| mark.is_over()));
        assert_eq!(books[1].entries.len(), 3, "what was entered before stays in the book");
    }

    #[test]
    fn a_logbook_that_is_open_elsewhere_is_tried_again() {
        let tablet = Tablet::new();
        drop(tablet.visit(Some("OQ-04")));
        tablet.gather();
        let held = tablet.books.open(1).unwrap();
        drop(tablet.visit(Some("OQ-04")));
        assert_eq!(tablet.gather().taken_in, 0);
        drop(held);
        assert_eq!(tablet.gather().taken_in, 1);
    }
}
