//! Exports of logbooks: whatever a line holds, it is read or refused, and what is read is put together in either order to
//! one story, watched over, checked and shown. The fuzzer cannot make checksums, so ids are made to fit.

#![no_main]

use std::sync::OnceLock;

use jiff::civil::date;
use libfuzzer_sys::fuzz_target;
use straybelt::gauge::Setting;
use straybelt::logbook::tables::{self, Names};
use straybelt::logbook::{
    ComesBack, Entry, EntryId, LogbookRecord, Story, TabletId, TakeUpSizes, Watch, checks,
};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::logbook::{Told, html, page};
use straybelt::show::page::Screen;
use straybelt::source::unprintable;
use straybelt::stream::paint::Paint;
use straybelt::trade::Units;

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/small-book");
        load::read(Some(std::path::Path::new(folder))).book.expect("the small book")
    })
}

/// An entry of a line, its id made to fit.
fn entry(line: &str) -> Option<Entry> {
    let row: serde_json::Value = serde_json::from_str(line).ok()?;
    let _ = tables::read_entry(&row);
    let entry: Entry = serde_json::from_value(row.get("entry")?.clone()).ok()?;
    let tablet = TabletId::named(entry.tablet.as_str())?;
    Some(Entry { id: EntryId::of(&tablet, &entry.what), ..entry })
}

fn told(record: &LogbookRecord) -> Vec<String> {
    let this = TabletId::named("none").expect("a name");
    let rows = tables::of_logbook(&this, record, Names::With);
    rows.iter().map(|row| row.object().to_string()).collect()
}

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let entries: Vec<Entry> = text.lines().take(40).filter_map(entry).collect();
    let sizes = TakeUpSizes::default();
    let (one, other) = entries.split_at(entries.len() / 2);
    let together = |parts: [&[Entry]; 2]| {
        let mut record = LogbookRecord::new(1, "OQ-04".to_owned());
        for part in parts {
            record.add(part.iter().cloned(), &sizes);
        }
        record
    };
    let (record, turned) = (together([one, other]), together([other, one]));
    assert_eq!(told(&record), told(&turned));
    assert_eq!(record.head, turned.head);
    let today = date(2026, 11, 30);
    let story = Story::of(&record.entries);
    let watch = Watch::over(&story, &sizes);
    ComesBack::of(&story, watch.as_ref(), today, &|_| true);
    assert_eq!(checks::problems(&record, &sizes, today), checks::problems(&turned, &sizes, today));
    let setting = Setting::default();
    let shown = |record| {
        let told = Told {
            book: book(),
            record,
            setting: &setting,
            sizes: &sizes,
            units: Units::Metric,
            tomorrow: date(2026, 12, 1),
        };
        (page(Screen::new(40, Paint::NONE), &told), html(&told))
    };
    let (text, browser) = shown(&record);
    // A page is cleaned on its way out; what steers a terminal never gets as far as a browser's page.
    let _ = text.chars().filter(|c| unprintable(*c)).count();
    assert!(!browser.contains("<script"));
    assert_eq!((text, browser), shown(&turned));
});
