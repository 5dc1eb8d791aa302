//! Books of several tablets put together: whichever comes first, they tell one story, with clocks set back too.

use std::fs;
use std::sync::LazyLock;

use jiff::civil::{Date, date};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan};
use proptest::collection::vec;
use proptest::prelude::*;
use straybelt::gauge::Setting;
use straybelt::logbook::size::Millimetres;
use straybelt::logbook::tables::{self, Names};
use straybelt::logbook::{
    ComesBack, Entry, Head, JobId, LogbookRecord, OpenJob, Reading, Story, TabletId, TakeUpSizes,
    VisitMark, Watch, What, Work, checks,
};
use straybelt::rulebook::model::Book;
use straybelt::show::logbook::{Told, html, page};
use straybelt::show::page::Screen;
use straybelt::stream::paint::Paint;
use straybelt::trade::Units;
use straybelt::visit::event::Ended;
use straybelt::visit::store::VisitStatus;

use super::logbook::Site;
use crate::support::files::small;

/// What a tablet does next. Days are counted from a first day; `clock` is what its clock shows then, which may be any day.
#[derive(Debug, Clone)]
struct Next {
    tablet: usize,
    day: i32,
    clock: i32,
    by: Option<&'static str>,
    does: Does,
}

#[derive(Debug, Clone)]
enum Does {
    Reads {
        left: u8,
        right: u8,
    },
    Works(Work),
    /// A visit of this number, as it stands after so many events.
    Visits {
        number: u32,
        events: usize,
        cured: bool,
    },
    /// The open job of a visit that stands in the book.
    JobDone(usize),
    /// Strikes out an entry that stands in the book.
    Strikes(usize),
    /// Takes in all that another tablet has.
    TakesIn(usize),
}

fn does() -> impl Strategy<Value = Does> {
    prop_oneof![
        4 => (0..9_u8, 0..9_u8).prop_map(|(left, right)| Does::Reads { left, right }),
        1 => prop_oneof![Just(Work::BeltNew), Just(Work::SpliceMade), Just(Work::Trimmed)]
            .prop_map(Does::Works),
        4 => (1..4_u32, 0..4_usize, any::<bool>())
            .prop_map(|(number, events, cured)| Does::Visits { number, events, cured }),
        1 => (0..9_usize).prop_map(Does::JobDone),
        1 => (0..9_usize).prop_map(Does::Strikes),
        2 => (0..3_usize).prop_map(Does::TakesIn),
    ]
}

fn next() -> impl Strategy<Value = Next> {
    let by = prop_oneof![Just(None), Just(Some("J")), Just(Some("M"))];
    (0..3_usize, 0..12_i32, 0..12_i32, by, does()).prop_map(|(tablet, day, clock, by, does)| Next {
        tablet,
        day,
        clock,
        by,
        does,
    })
}

fn on(day: i32) -> Date {
    date(2026, 3, 1).saturating_add(day.days())
}

fn at(day: i32) -> Timestamp {
    TimeZone::UTC.to_timestamp(on(day).at(0, 0, 0, 0)).unwrap()
}

fn tablet(number: usize) -> TabletId {
    TabletId::named(["aaaa", "bbbb", "cccc"][number]).unwrap()
}

fn visit(number: u32, begun: Timestamp, events: usize, cured: bool) -> VisitMark {
    VisitMark {
        visit: number,
        begun,
        state: if cured { VisitStatus::Over(Ended::True) } else { VisitStatus::Open },
        events,
        minutes: 40,
        cured: if cured { vec!["dirty-rolls".to_owned()] } else { Vec::new() },
        cured_else: None,
        likeliest: None,
        done: Vec::new(),
        ran: None,
        open_jobs: vec![OpenJob { cause: "dirty-rolls".to_owned(), job: format!("Job {events}") }],
    }
}

fn book() -> LogbookRecord {
    LogbookRecord::new(1, "OQ-04".to_owned())
}

/// The books of three tablets after all that.
fn books(all: &[Next]) -> Vec<LogbookRecord> {
    let sizes = TakeUpSizes::default();
    let mut books = vec![book(), book(), book()];
    for next in all {
        let mine = books[next.tablet].entries.clone();
        let here = tablet(next.tablet);
        let mm = |out: u8| Millimetres(400.0 + f64::from(out));
        let what = match next.does {
            Does::Reads { left, right } => {
                let reading = Reading::Screws { left: mm(left), right: mm(right) };
                What::TakeUp { on: on(next.day), reading, why: None }
            }
            Does::Works(work) => What::Done { on: on(next.day), work, note: None },
            Does::Visits { number, events, cured } => {
                // A visit begins once; that is by the clock, and stays so.
                let known = mine.iter().find_map(|entry| match &entry.what {
                    What::Visit(mark) if entry.tablet == here && mark.visit == number => {
                        Some(mark.begun)
                    }
                    _ => None,
                });
                What::Visit(visit(number, known.unwrap_or(at(next.clock)), events, cured))
            }
            Does::JobDone(place) => {
                let jobs = mine.iter().filter_map(|entry| match &entry.what {
                    What::Visit(mark) => Some((entry, mark)),
                    _ => None,
                });
                let jobs: Vec<JobId> = jobs
                    .flat_map(|(e, mark)| {
                        mark.open_jobs.iter().map(|j| j.id(&e.tablet, mark.visit))
                    })
                    .collect();
                let Some(job) = jobs.get(place) else { continue };
                What::JobDone { on: on(next.day), job: job.clone(), note: None }
            }
            Does::Strikes(place) => {
                let Some(entry) = mine.get(place) else { continue };
                What::Struck { entry: entry.id.clone(), why: format!("wrong on {}", next.day) }
            }
            Does::TakesIn(other) => {
                let theirs = books[other].entries.clone();
                books[next.tablet].add(theirs, &sizes);
                continue;
            }
        };
        let entry = Entry::new(&here, at(next.clock), next.by.map(str::to_owned), what);
        books[next.tablet].enter([entry], &sizes);
    }
    books
}

/// Exports taken in one after the other.
fn together(books: &[&LogbookRecord]) -> LogbookRecord {
    let mut all = book();
    for book in books {
        let entries: Vec<Entry> = tables::of_logbook(&tablet(0), book, Names::With)
            .iter()
            .filter(|row| row.table == "entries")
            .map(|row| tables::read_entry(&row.object()).unwrap().1)
            .collect();
        assert_eq!(entries.len(), book.entries.len());
        all.add(entries, &TakeUpSizes::default());
    }
    all
}

/// Everything that anybody is told of a book.
#[derive(Debug, PartialEq)]
struct Everything {
    rows: Vec<String>,
    head: Head,
    wrong: Vec<String>,
    comes_back: ComesBack,
    pages: [String; 2],
}

static SMALL: LazyLock<Book> = LazyLock::new(small);

fn everything(record: &LogbookRecord) -> Everything {
    let sizes = TakeUpSizes::default();
    let rows = tables::of_logbook(&tablet(1), record, Names::With);
    let story = Story::of(&record.entries);
    let watch = Watch::over(&story, &sizes);
    let setting = Setting::default();
    let told = Told {
        book: &SMALL,
        record,
        setting: &setting,
        sizes: &sizes,
        units: Units::Metric,
        tomorrow: on(13),
    };
    Everything {
        rows: rows.iter().map(|row| row.object().to_string()).collect(),
        head: record.head.clone(),
        wrong: checks::problems(record, &sizes, on(12)),
        comes_back: ComesBack::of(&story, watch.as_ref(), on(12), &|_| true),
        pages: [page(Screen::new(40, Paint::NONE), &told), html(&told)],
    }
}

const ORDERS: [[usize; 3]; 6] = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn three_tablets_tell_one_story_in_whatever_order_they_are_put_together(all in vec(next(), 1..28)) {
        let books = books(&all);
        let first = together(&[&books[0], &books[1], &books[2]]);
        let told = everything(&first);
        for order in ORDERS {
            let other = together(&order.map(|at| &books[at]));
            prop_assert_eq!(&everything(&other), &told, "{:?}", order);
        }
        // Two at a time, and all once more: nothing is new.
        let mut two = together(&[&books[2], &books[0]]);
        two.add(together(&[&books[1], &books[2]]).entries, &TakeUpSizes::default());
        prop_assert_eq!(two.add(first.entries.clone(), &TakeUpSizes::default()), 0);
        prop_assert_eq!(&everything(&two), &told);
    }
}

/// Two visits of one tablet whose days part: which is wrong cannot be told, in whatever order they come.
#[test]
fn of_two_visits_whose_days_part_neither_day_is_known_whichever_book_comes_first() {
    let entry = |number: u32, day: i32| {
        let what = What::Visit(visit(number, at(day), 3, true));
        Entry::new(&tablet(0), at(day), None, what)
    };
    let sizes = TakeUpSizes::default();
    let (mut early, mut late) = (book(), book());
    early.enter([entry(1, 9)], &sizes);
    late.enter([entry(2, 2)], &sizes);
    let (one, other) = (together(&[&early, &late]), together(&[&late, &early]));
    for record in [&one, &other] {
        let story = Story::of(&record.entries);
        let visits: Vec<(u32, Option<Date>)> =
            story.visits().map(|(entry, mark)| (mark.visit, story.day(entry))).collect();
        assert_eq!(visits, [(1, None), (2, None)]);
        assert_eq!(everything(record).comes_back.unsure_visits, 2);
    }
    assert_eq!(everything(&one), everything(&other));
}

/// A visit that was exported three times stands as it was last, though the first two cannot be told apart.
#[test]
fn the_latest_of_three_marks_of_a_visit_stands_in_every_order() {
    let mark = |events, cured| {
        Entry::new(&tablet(0), at(1), None, What::Visit(visit(1, at(1), events, cured)))
    };
    let marks = [mark(2, false), mark(2, true), mark(5, true)];
    for order in ORDERS {
        let entries = order.map(|at| marks[at].clone());
        let story = Story::of(&entries);
        let stands: Vec<usize> = story.visits().map(|(_, mark)| mark.events).collect();
        assert_eq!((stands, story.conflicts.len()), (vec![5], 0), "{order:?}");
    }
}

#[test]
fn exports_of_three_state_folders_imported_in_either_order_are_exported_alike() {
    let sites = [Site::new(), Site::new(), Site::new()];
    for (number, site) in sites.iter().enumerate() {
        for day in 1..4 {
            let on = format!("2026-03-0{}", day + number);
            let left = format!("{}", 210 + 2 * day + number);
            site.done(&[
                "takeup", "OQ-04", "--left", &left, "--right", "210", "--on", &on, "--by", "J",
            ]);
        }
        site.done(&["add", "OQ-04", "--done", "splice-made", "--on", "2026-03-03"]);
        site.done(&["export", "--names", "-o", &site.path("out.ndjson")]);
    }
    let said = |order: [usize; 3]| {
        let all = Site::new();
        for number in order {
            all.done(&["import", &sites[number].path("out.ndjson")]);
        }
        all.done(&["export", "--names", "-o", &all.path("all.ndjson")]);
        let rows = fs::read_to_string(all.path("all.ndjson")).unwrap();
        assert_eq!(rows.lines().filter(|row| row.contains("\"table\":\"entries\"")).count(), 12);
        let checked = super::logbook::text(&all.run(&["check"]));
        (rows, all.story("OQ-04"), all.done(&[]), checked)
    };
    let first = said([0, 1, 2]);
    assert!(!first.1["conflicts"].as_array().unwrap().is_empty());
    assert_eq!(said([2, 1, 0]), first);
    assert_eq!(said([1, 2, 0]), first);
}
