//! Visits are taken into the logbooks of their conveyors: what a list and a story need of each.

use std::collections::BTreeMap;

use super::beginnings::{glances, lost, open_or_begin};
use super::{disk_error, sizes};
use crate::kept::{Begun, Keep, StoreError};
use crate::logbook::tablet::{self, TakenIn};
use crate::logbook::{Entry, LogbookStore, TabletId, VisitMark, What, key};
use crate::visit::clock::Clock;
use crate::visit::store::{Record, VisitStore};

/// What came of taking visits in.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Gathered {
    /// How many visits were entered, or entered anew.
    pub taken_in: usize,
    /// How many have a conveyor without a name, and so no logbook.
    pub nameless: usize,
    /// Why some were left out. They are tried again next time.
    pub left_out: Vec<String>,
    /// Where a logbook was begun although there may have been one.
    pub begun_beside: Vec<String>,
}

/// On which occasion visits are taken in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occasion {
    /// Somebody asked for it, and is told what comes of it.
    Asked,
    /// On the way to something else: no logbook is begun where there may have been one.
    OnTheWay,
}

/// How many visits are in no logbook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Waiting {
    /// Begun since visits were last taken in.
    pub(super) new: usize,
    /// Left out then.
    pub(super) left_out: usize,
}

/// How many visits are in no logbook.
///
/// # Errors
/// If the state folder cannot be read.
pub(super) fn waiting(visits: &VisitStore, books: &LogbookStore) -> Result<Waiting, StoreError> {
    let taken = tablet::taken_in(books);
    let new = visits.numbers()?.into_iter().filter(|number| *number > taken.up_to).count();
    Ok(Waiting { new, left_out: taken.left_out.len() })
}

/// Takes in the visits that are new, and those that went on since they were taken in.
///
/// # Errors
/// If the state folder cannot be read or written. What was taken in until then stays; the rest is taken in next time.
pub fn gather(
    visits: &VisitStore,
    books: &LogbookStore,
    clock: &dyn Clock,
    occasion: Occasion,
) -> Result<Gathered, StoreError> {
    let taken = tablet::taken_in(books);
    let listing = visits.those(|number| {
        number > taken.up_to || taken.open.contains(&number) || taken.left_out.contains(&number)
    })?;
    if listing.from.is_none() {
        return Ok(Gathered::default());
    }
    let this = tablet::tablet(books).map_err(|error| disk_error(books, error))?;
    let newest = visits.numbers()?.into_iter().max().unwrap_or(0);
    let mut next = TakenIn { up_to: taken.up_to.max(newest), ..TakenIn::default() };
    let mut gathered = Gathered::default();
    // Whatever could not be read is tried again next time.
    for bad in &listing.bad {
        gathered.left_out.push(bad.to_string());
        next.left_out.extend(bad.number());
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
    let desk = Desk { books, clock, occasion, tablet: &this };
    for (name, records) in by_name {
        match desk.of_conveyor(&name, &records) {
            Ok((added, beside)) => {
                gathered.taken_in += added;
                gathered.begun_beside.extend(beside);
            }
            Err(why) => {
                // What stands in the book already is only to be looked at again.
                let known = |visit| taken.open.contains(&visit) && !taken.left_out.contains(&visit);
                let (known, out): (Vec<u32>, Vec<u32>) =
                    records.iter().map(|record| record.visit).partition(|visit| known(*visit));
                next.open.extend(known);
                next.left_out.extend(out);
                gathered.left_out.extend(why.words());
            }
        }
    }
    for numbers in [&mut next.open, &mut next.left_out] {
        numbers.sort_unstable();
        numbers.dedup();
    }
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

impl LeftOut {
    /// Why, in words; nothing to be said where somebody else is just writing.
    fn words(self) -> Option<String> {
        match self {
            Self::Told(why) => Some(why),
            Self::Store(StoreError::Busy { .. }) => None,
            Self::Store(error) => Some(error.to_string()),
        }
    }
}

/// What visits are taken in with.
struct Desk<'a> {
    books: &'a LogbookStore,
    clock: &'a dyn Clock,
    occasion: Occasion,
    tablet: &'a TabletId,
}

impl Desk<'_> {
    /// Enters the visits to one conveyor. Tells how many, and of a logbook that was begun beside one that may have been.
    fn of_conveyor(
        &self,
        name: &str,
        records: &[Record],
    ) -> Result<(usize, Option<String>), LeftOut> {
        let out = || {
            let numbers: Vec<String> = records.iter().map(|r| r.visit.to_string()).collect();
            format!("Left out: visit {}", numbers.join(", "))
        };
        let lost = lost(self.books, name)?;
        if let Some(lost) = lost.as_ref().filter(|_| self.occasion == Occasion::OnTheWay) {
            let (glances, _) = glances(self.books)?;
            if !glances.iter().any(|glance| key(&glance.name) == key(name)) {
                return Err(LeftOut::Told(format!("{lost}. {}", out())));
            }
        }
        let (mut open, begun) = open_or_begin(self.books, name, self.clock.now())?;
        let filed = records.iter().filter(|record| record.conveyor_file);
        let facts = filed.max_by_key(|record| record.visit).map(|record| record.conveyor.clone());
        if let Some(why) = facts.as_ref().and_then(|facts| open.record().other_conveyor(facts)) {
            return Err(LeftOut::Told(format!(
                "the logbook of {name} is of another conveyor: {why}. {}. Give each conveyor a name of its own in its file",
                out()
            )));
        }
        let mut added = 0;
        open.change(|record| {
            if let Some(facts) = facts {
                record.conveyor = facts;
            }
            let (_, _, sizes) = sizes(record);
            let marks = records.iter().map(|visit| What::Visit(VisitMark::of(visit)));
            let new = marks.map(|mark| Entry::new(self.tablet, self.clock.now(), None, mark));
            added = record.enter(new, &sizes);
        })?;
        Ok((added, lost.filter(|_| begun == Begun::Now)))
    }
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

        fn waits(&self) -> (usize, usize) {
            let waiting = waiting(&self.visits, &self.books).unwrap();
            (waiting.new, waiting.left_out)
        }

        fn gather(&self) -> Gathered {
            gather(&self.visits, &self.books, &self.clock, Occasion::Asked).unwrap()
        }
    }

    #[test]
    fn visits_are_taken_in_once_and_again_when_they_went_on() {
        let tablet = Tablet::new();
        let mut open = tablet.visit(Some("OQ-04"));
        drop(tablet.visit(Some("oq-04 ")));
        drop(tablet.visit(Some("OQ-07 / yard")));
        drop(tablet.visit(None));
        assert_eq!(waiting(&tablet.visits, &tablet.books).unwrap().new, 4);
        let first = tablet.gather();
        assert_eq!((first.taken_in, first.nameless, first.left_out.len()), (3, 1, 0));
        assert_eq!(tablet.waits(), (0, 0));
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
        assert_eq!(tablet.gather(), Gathered::default(), "nothing to be said of it");
        assert_eq!(tablet.waits(), (0, 1));
        drop(held);
        assert_eq!(tablet.gather().taken_in, 1);
        assert_eq!(tablet.waits(), (0, 0));
    }

    #[test]
    fn in_the_stead_of_a_damaged_logbook_none_is_begun_in_silence() {
        let tablet = Tablet::new();
        drop(tablet.visit(Some("OQ-04")));
        tablet.gather();
        let file = tablet.books.beside("logbooks/1970/0001.ron");
        let whole = std::fs::read_to_string(&file).unwrap();
        // Its head cannot be read any more, but for the name.
        std::fs::write(&file, whole.replace("format: 1", "format: one")).unwrap();
        drop(tablet.visit(Some("OQ-04")));
        let left_out = tablet.gather().left_out;
        assert!(left_out[0].contains("0001.ron.bad"), "{left_out:?}");
        assert_eq!((tablet.books.numbers().unwrap(), tablet.waits()), (vec![], (0, 1)));
        // On the way to a belt it stays so; another conveyor has nothing to do with it.
        drop(tablet.visit(Some("OQ-07")));
        let on_the_way =
            gather(&tablet.visits, &tablet.books, &tablet.clock, Occasion::OnTheWay).unwrap();
        assert!(on_the_way.left_out[0].contains("may be the earlier logbook of OQ-04"));
        assert_eq!(on_the_way.taken_in, 1);
        let told = tablet.gather();
        assert_eq!((told.taken_in, told.begun_beside.len()), (2, 1), "both stand in the new one");
        assert!(told.begun_beside[0].contains("0001.ron.bad"), "{told:?}");
        // It was begun by now.
        drop(tablet.visit(Some("OQ-04")));
        assert_eq!(tablet.gather(), Gathered { taken_in: 1, ..Gathered::default() });
    }

    #[test]
    fn a_head_of_which_nothing_can_be_read_may_be_any_conveyors() {
        let tablet = Tablet::new();
        drop(tablet.visit(Some("OQ-04")));
        tablet.gather();
        std::fs::write(tablet.books.beside("logbooks/1970/0001.ron"), "rubbish").unwrap();
        drop(tablet.visit(Some("OQ-07")));
        let first = tablet.gather();
        assert!(first.left_out[0].contains("0001.ron.bad"), "{first:?}");
        assert!(first.begun_beside[0].contains("logbook of OQ-07"), "{first:?}");
        let next = tablet.gather();
        assert!(next.begun_beside[0].contains("logbook of OQ-04"), "{next:?}");
        assert_eq!(tablet.books.numbers().unwrap(), [3, 2]);
    }
}
