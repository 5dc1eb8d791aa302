//! The story of a conveyor: what of its entries stands, in order, and where two speak against each other.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::entry::{Entry, Reading, What, day};
use super::ids::{EntryId, TabletId};
use super::sure_days;
use super::visit_mark::{OpenJob, VisitMark};

/// What stands in a logbook.
#[derive(Debug, Default)]
pub struct Story<'e> {
    /// What counts, in the order of its days; of one day in the order of turns.
    pub told: Vec<&'e Entry>,
    /// What was struck out, with the reason.
    pub struck: Vec<(&'e Entry, &'e str)>,
    /// Two entries that cannot both be right. Both are told.
    pub conflicts: Vec<(&'e Entry, &'e Entry)>,
    /// Work on the belt and a reading of the same day by two tablets: which came first cannot be known.
    pub either_first: Vec<(&'e Entry, &'e Entry)>,
    /// Visits whose day cannot be known, because a clock was set back.
    unsure: BTreeSet<EntryId>,
}

impl<'e> Story<'e> {
    /// Of these entries, in whatever order they come.
    pub fn of(entries: &'e [Entry]) -> Self {
        let strikes = strikes(entries);
        let mut story = Self::default();
        let (superseded, conflicts) = visits(entries);
        for entry in in_order(entries) {
            if matches!(entry.what, What::Struck { .. }) || superseded.contains(&entry.id) {
                continue;
            }
            match strikes.get(&entry.id) {
                Some(why) => story.struck.push((entry, why)),
                None => story.told.push(entry),
            }
        }
        story.unsure = sure_days::unsure(&story.told);
        story.sort();
        story.conflicts = conflicts;
        let readings = two_readings(&story.told);
        story.conflicts.extend(readings);
        story.either_first = either_first(&story.told);
        story
    }

    /// By day, then by turn. A visit whose day cannot be known stands at the end of the day of the one that its tablet made
    /// before it.
    fn sort(&mut self) {
        let mut stands: BTreeMap<EntryId, (Date, u32)> = BTreeMap::new();
        let mut visits: Vec<(&Entry, &VisitMark)> = self.visits().collect();
        visits.sort_by_key(|(entry, mark)| (&entry.tablet, mark.visit, &entry.id));
        for same in visits.chunk_by(|one, other| one.0.tablet == other.0.tablet) {
            let mut before = same.iter().find_map(|(entry, _)| self.day(entry));
            for (entry, mark) in same {
                match self.day(entry) {
                    Some(day) => before = Some(day),
                    None => {
                        // Where no day is known, the first one's own: what counts is that they stay in order.
                        let day = before.unwrap_or_else(|| entry.on());
                        before = Some(day);
                        stands.insert(entry.id.clone(), (day, mark.visit));
                    }
                }
            }
        }
        self.told.sort_by_cached_key(|entry| {
            let day = stands.get(&entry.id).copied().unwrap_or_else(|| (entry.on(), 0));
            (day, entry.turn, entry.written, entry.id.clone())
        });
    }

    /// The day that an entry is about; nothing where that cannot be known.
    pub fn day(&self, entry: &Entry) -> Option<Date> {
        (!self.unsure.contains(&entry.id)).then(|| entry.on())
    }

    /// The latest day that an entry is about.
    pub fn latest_day(&self) -> Option<Date> {
        self.told.iter().filter_map(|entry| self.day(entry)).max()
    }

    /// The latest day that anything stands on, by what it is about or by the clock that it was written with.
    pub fn latest_written(&self) -> Option<Date> {
        let written = self.told.iter().map(|entry| day(entry.written));
        written.chain(self.latest_day()).max()
    }

    /// The visits, the earliest first.
    pub fn visits(&self) -> impl DoubleEndedIterator<Item = (&'e Entry, &'e VisitMark)> {
        self.told.iter().filter_map(|entry| match &entry.what {
            What::Visit(mark) => Some((*entry, mark)),
            _ => None,
        })
    }

    /// The jobs that visits left open and nobody has done since, the latest last.
    pub fn open_jobs(&self) -> Vec<(&'e TabletId, &'e VisitMark, &'e OpenJob)> {
        let done: BTreeSet<_> = self
            .told
            .iter()
            .filter_map(|entry| match &entry.what {
                What::JobDone { job, .. } => Some(job.clone()),
                _ => None,
            })
            .collect();
        let left = self.visits().flat_map(|(entry, mark)| {
            mark.open_jobs.iter().map(move |job| (&entry.tablet, mark, job))
        });
        left.filter(|(tablet, mark, job)| !done.contains(&job.id(tablet, mark.visit))).collect()
    }
}

/// Entries in an order that hangs on nothing but themselves: by their turns, so that books put together in whatever order
/// tell the same.
pub fn in_order(entries: &[Entry]) -> Vec<&Entry> {
    let mut all: Vec<&Entry> = entries.iter().collect();
    all.sort_by_cached_key(|entry| (entry.turn, entry.written, entry.id.clone()));
    all
}

/// What was struck out, and why; of two reasons the one that was written first.
fn strikes(entries: &[Entry]) -> BTreeMap<&EntryId, &str> {
    let mut strikes = BTreeMap::new();
    for entry in in_order(entries) {
        if let What::Struck { entry, why } = &entry.what {
            strikes.entry(entry).or_insert(why.as_str());
        }
    }
    strikes
}

/// Entries of visits for which a later one stands, and those of which it cannot be said which is later.
fn visits(entries: &[Entry]) -> (BTreeSet<EntryId>, Vec<(&Entry, &Entry)>) {
    let mut same: BTreeMap<(&TabletId, u32), Vec<(&Entry, &VisitMark)>> = BTreeMap::new();
    let mut seen = BTreeSet::new();
    for entry in in_order(entries) {
        if let What::Visit(mark) = &entry.what
            && seen.insert(&entry.id)
        {
            same.entry((&entry.tablet, mark.visit)).or_default().push((entry, mark));
        }
    }
    let (mut superseded, mut conflicts) = (BTreeSet::new(), Vec::new());
    for marks in same.values() {
        // Events are only ever added to a visit: the more there are, the later it was, whatever the clock says.
        let later = |mark: &VisitMark| {
            marks.iter().any(|(_, other)| other.begun == mark.begun && other.events > mark.events)
        };
        let (old, left): (Vec<_>, Vec<_>) = marks.iter().partition(|(_, mark)| later(mark));
        superseded.extend(old.iter().map(|(entry, _)| entry.id.clone()));
        for (place, (one, _)) in left.iter().enumerate() {
            conflicts.extend(left.iter().skip(place + 1).map(|(other, _)| (*one, *other)));
        }
    }
    (superseded, conflicts)
}

/// Readings of one day from two tablets that differ.
fn two_readings<'e>(told: &[&'e Entry]) -> Vec<(&'e Entry, &'e Entry)> {
    let readings: Vec<(&Entry, &Reading)> = told
        .iter()
        .filter_map(|entry| match &entry.what {
            What::TakeUp { reading, .. } => Some((*entry, reading)),
            _ => None,
        })
        .collect();
    let mut conflicts = Vec::new();
    for (place, (one, reading)) in readings.iter().enumerate() {
        let after = readings.iter().skip(place + 1);
        for (other, second) in after.take_while(|(other, _)| other.on() == one.on()) {
            if one.tablet != other.tablet && reading != second {
                conflicts.push((*one, *other));
            }
        }
    }
    conflicts
}

/// Work on the belt and readings of the same day by two tablets.
fn either_first<'e>(told: &[&'e Entry]) -> Vec<(&'e Entry, &'e Entry)> {
    let renewed = told.iter().filter_map(|entry| match &entry.what {
        What::Done { on, work, .. } if work.renews_the_belt() => Some((*entry, *on)),
        _ => None,
    });
    let readings = |work: &'e Entry, day: Date| {
        let read = told.iter().filter(move |entry| match &entry.what {
            What::TakeUp { on, .. } => *on == day && entry.tablet != work.tablet,
            _ => false,
        });
        read.map(move |reading| (work, *reading))
    };
    renewed.flat_map(|(work, day)| readings(work, day)).collect()
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use jiff::civil::date;

    use super::*;
    use crate::logbook::entry::Work;
    use crate::logbook::size::Millimetres;
    use crate::visit::store::VisitStatus;

    fn tablet(name: &str) -> TabletId {
        TabletId::named(name).unwrap()
    }

    fn reading(by: &str, day: i8, left: f64) -> Entry {
        let reading = Reading::Screws { left: Millimetres(left), right: Millimetres(200.0) };
        let what = What::TakeUp { on: date(2026, 3, day), reading, why: None };
        Entry::new(&tablet(by), Timestamp::UNIX_EPOCH, None, what)
    }

    fn visit(by: &str, events: usize, jobs: &[&str]) -> Entry {
        let mark = VisitMark {
            visit: 7,
            begun: Timestamp::UNIX_EPOCH,
            state: VisitStatus::Open,
            events,
            minutes: 0,
            cured: Vec::new(),
            cured_else: None,
            likeliest: None,
            done: Vec::new(),
            ran: None,
            open_jobs: jobs
                .iter()
                .map(|job| OpenJob { cause: "cake".to_owned(), job: (*job).to_owned() })
                .collect(),
        };
        Entry::new(&tablet(by), Timestamp::UNIX_EPOCH, None, What::Visit(mark))
    }

    fn written(entry: Entry, second: i64) -> Entry {
        Entry { written: Timestamp::from_second(second).unwrap(), ..entry }
    }

    fn turn(entry: Entry, turn: u32) -> Entry {
        Entry { turn, ..entry }
    }

    #[test]
    fn it_goes_by_days_and_turns_and_not_by_the_clock_of_the_tablet() {
        let entries = [
            turn(written(reading("aaaa", 9, 209.0), 10), 1),
            // The clock was set back between these two.
            turn(written(reading("aaaa", 2, 202.0), 50), 3),
            turn(written(reading("aaaa", 2, 201.0), 99), 2),
        ];
        let story = Story::of(&entries);
        let lefts = story.told.iter().map(|entry| match &entry.what {
            What::TakeUp { reading, .. } => reading.lead().unwrap().0,
            _ => f64::NAN,
        });
        assert_eq!(lefts.collect::<Vec<_>>(), [1.0, 2.0, 9.0]);
    }

    #[test]
    fn what_was_struck_out_is_told_apart() {
        let wrong = reading("aaaa", 2, 902.0);
        let what = What::Struck { entry: wrong.id.clone(), why: "mistyped".to_owned() };
        let entries = [Entry::new(&tablet("aaaa"), Timestamp::UNIX_EPOCH, None, what), wrong];
        let story = Story::of(&entries);
        assert!(story.told.is_empty());
        assert_eq!(story.struck, [(&entries[1], "mistyped")]);
    }

    #[test]
    fn the_visit_with_more_events_stands_whatever_the_order() {
        let entries = [visit("aaaa", 9, &["b"]), visit("aaaa", 4, &["a"])];
        let turned = [entries[1].clone(), entries[0].clone()];
        for entries in [&entries, &turned] {
            let story = Story::of(entries);
            assert_eq!(story.visits().map(|(_, mark)| mark.events).collect::<Vec<_>>(), [9]);
            assert_eq!(story.open_jobs().len(), 1);
            assert!(story.conflicts.is_empty());
        }
    }

    #[test]
    fn visits_of_two_tablets_with_one_number_are_two() {
        let entries = [visit("aaaa", 9, &[]), visit("bbbb", 4, &[])];
        let story = Story::of(&entries);
        assert_eq!((story.visits().count(), story.conflicts.len()), (2, 0));
    }

    #[test]
    fn readings_of_two_tablets_that_differ_on_one_day_are_both_shown() {
        let entries =
            [reading("aaaa", 2, 202.0), reading("bbbb", 2, 208.0), reading("aaaa", 2, 203.0)];
        let story = Story::of(&entries);
        assert_eq!(story.told.len(), 3);
        let pairs: Vec<_> = story.conflicts.iter().map(|(a, b)| (&a.tablet, &b.tablet)).collect();
        assert_eq!(pairs.len(), 2, "{pairs:?}");
        assert!(pairs.iter().all(|(one, other)| one != other));
    }

    #[test]
    fn a_job_that_was_done_is_open_no_longer() {
        let left = visit("aaaa", 9, &["Set the scraper", "Mend the spray"]);
        let job = JobDone::of(&left);
        let entries = [left, job];
        let story = Story::of(&entries);
        let open: Vec<_> = story.open_jobs().iter().map(|(_, _, job)| job.job.as_str()).collect();
        assert_eq!(open, ["Mend the spray"]);
    }

    struct JobDone;
    impl JobDone {
        fn of(left: &Entry) -> Entry {
            let job = crate::logbook::JobId::of(&left.tablet, 7, "Set the scraper");
            let what = What::JobDone { on: date(2026, 4, 1), job, note: None };
            Entry::new(&tablet("bbbb"), Timestamp::UNIX_EPOCH, None, what)
        }
    }

    fn splice(by: &str, day: i8) -> Entry {
        let what = What::Done { on: date(2026, 3, day), work: Work::SpliceMade, note: None };
        Entry::new(&tablet(by), Timestamp::UNIX_EPOCH, None, what)
    }

    #[test]
    fn work_and_readings_of_one_day_stand_as_they_were_entered_whatever_the_clock_says() {
        for (clock_of_splice, clock_of_reading) in [(30, 60), (60, 30)] {
            let entries = [
                turn(written(reading("aaaa", 2, 180.0), clock_of_reading), 8),
                turn(written(splice("aaaa", 2), clock_of_splice), 7),
            ];
            let story = Story::of(&entries);
            assert!(matches!(story.told[0].what, What::Done { .. }));
            assert!(story.either_first.is_empty());
        }
        // Written before there were turns: then the clock has to do.
        let entries = [written(reading("aaaa", 2, 180.0), 60), written(splice("aaaa", 2), 30)];
        assert!(matches!(Story::of(&entries).told[0].what, What::Done { .. }));
    }

    #[test]
    fn of_one_day_and_two_tablets_it_is_told_that_the_order_is_not_known() {
        let entries = [splice("aaaa", 2), reading("bbbb", 2, 180.0), reading("bbbb", 3, 181.0)];
        let story = Story::of(&entries);
        assert_eq!(story.either_first, [(&entries[0], &entries[1])]);
    }

    fn numbered(number: u32, begun: &str) -> Entry {
        let Entry { what: What::Visit(mark), .. } = visit("aaaa", 3, &[]) else { unreachable!() };
        let begun = begun.parse().unwrap();
        let what = What::Visit(VisitMark { visit: number, begun, ..mark });
        Entry::new(&tablet("aaaa"), Timestamp::UNIX_EPOCH, None, what)
    }

    #[test]
    fn a_visit_with_a_clock_set_back_stays_after_the_one_before_it_and_its_day_is_not_known() {
        let entries = [
            numbered(1, "2026-03-01T08:00:00Z"),
            reading("aaaa", 4, 180.0),
            numbered(2, "2026-03-05T08:00:00Z"),
            numbered(3, "2020-01-01T00:04:00Z"),
            numbered(4, "2026-03-09T08:00:00Z"),
            reading("aaaa", 8, 181.0),
        ];
        let mut turned = entries.clone();
        turned.reverse();
        for entries in [&entries, &turned] {
            let story = Story::of(entries);
            let numbers: Vec<u32> = story.visits().map(|(_, mark)| mark.visit).collect();
            assert_eq!(numbers, [1, 2, 3, 4]);
            let days: Vec<Option<Date>> =
                story.visits().map(|(entry, _)| story.day(entry)).collect();
            let march = |day| Some(date(2026, 3, day));
            assert_eq!(days, [march(1), march(5), None, march(9)]);
            assert!(matches!(story.told[1].what, What::TakeUp { .. }));
            assert!(matches!(story.told[4].what, What::TakeUp { .. }));
            assert_eq!(story.latest_day(), march(9));
        }
    }
}
