//! The story of a conveyor: what of its entries stands, in order, and where two speak against each other.

use std::collections::{BTreeMap, BTreeSet};

use super::entry::{Entry, What};
use super::ids::{EntryId, TabletId};
use super::visit_mark::{OpenJob, VisitMark};

/// What stands in a logbook.
#[derive(Debug, Default)]
pub struct Story<'e> {
    /// What counts, in the order of its days; of one day in the order of writing.
    pub told: Vec<&'e Entry>,
    /// What was struck out, with the reason.
    pub struck: Vec<(&'e Entry, &'e str)>,
    /// Two entries that cannot both be right. Both are told.
    pub conflicts: Vec<(&'e Entry, &'e Entry)>,
}

impl<'e> Story<'e> {
    /// Of these entries, in whatever order they come.
    pub fn of(entries: &'e [Entry]) -> Self {
        let strikes = entries.iter().filter_map(|entry| match &entry.what {
            What::Struck { entry, why } => Some((entry, why.as_str())),
            _ => None,
        });
        let strikes: BTreeMap<&EntryId, &str> = strikes.collect();
        let mut story = Self::default();
        let (superseded, conflicts) = visits(entries);
        for entry in entries {
            if matches!(entry.what, What::Struck { .. }) || superseded.contains(&entry.id) {
                continue;
            }
            match strikes.get(&entry.id) {
                Some(why) => story.struck.push((entry, why)),
                None => story.told.push(entry),
            }
        }
        story.told.sort_by(|one, other| order(one).cmp(&order(other)));
        story.conflicts = conflicts;
        let readings = two_readings(&story.told);
        story.conflicts.extend(readings);
        story
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

fn order(entry: &Entry) -> impl Ord {
    (entry.on(), entry.written, entry.id.clone())
}

/// Entries of visits for which a later one stands, and those of which it cannot be said which is later.
fn visits(entries: &[Entry]) -> (BTreeSet<EntryId>, Vec<(&Entry, &Entry)>) {
    let mut latest: BTreeMap<(&TabletId, u32), (&Entry, &VisitMark)> = BTreeMap::new();
    let (mut superseded, mut conflicts) = (BTreeSet::new(), Vec::new());
    for entry in entries {
        let What::Visit(mark) = &entry.what else { continue };
        let key = (&entry.tablet, mark.visit);
        let Some((known, known_mark)) = latest.get(&key).copied() else {
            latest.insert(key, (entry, mark));
            continue;
        };
        if known.id == entry.id {
            continue;
        }
        // Events are only ever added to a visit: the more there are, the later it was, whatever the clock says.
        match (mark.begun == known_mark.begun, mark.events.cmp(&known_mark.events)) {
            (true, std::cmp::Ordering::Greater) => {
                superseded.insert(known.id.clone());
                latest.insert(key, (entry, mark));
            }
            (true, std::cmp::Ordering::Less) => {
                superseded.insert(entry.id.clone());
            }
            _ => conflicts.push((known, entry)),
        }
    }
    (superseded, conflicts)
}

/// Readings of one day from two tablets that differ.
fn two_readings<'e>(told: &[&'e Entry]) -> Vec<(&'e Entry, &'e Entry)> {
    let mut conflicts = Vec::new();
    for (place, one) in told.iter().enumerate() {
        let What::TakeUp { on, reading, .. } = &one.what else { continue };
        for other in told.iter().skip(place + 1).take_while(|other| other.on() == *on) {
            let What::TakeUp { reading: second, .. } = &other.what else { continue };
            if one.tablet != other.tablet && reading != second {
                conflicts.push((*one, *other));
            }
        }
    }
    conflicts
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use jiff::civil::date;

    use super::*;
    use crate::logbook::entry::{Reading, Work};
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

    #[test]
    fn it_goes_by_the_day_and_not_by_the_clock_of_the_tablet() {
        let entries = [
            written(reading("aaaa", 9, 209.0), 10),
            written(reading("aaaa", 2, 202.0), 99),
            written(reading("aaaa", 2, 201.0), 50),
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

    #[test]
    fn work_and_readings_of_one_day_stand_as_they_were_written() {
        let done = What::Done { on: date(2026, 3, 2), work: Work::SpliceMade, note: None };
        let splice = Entry::new(&tablet("aaaa"), Timestamp::UNIX_EPOCH, None, done);
        let entries = [written(reading("aaaa", 2, 180.0), 60), written(splice, 30)];
        let story = Story::of(&entries);
        assert!(matches!(story.told[0].what, What::Done { .. }));
    }
}
