//! The visit loader: a visit's file with anything in it is read, refused or set aside, and what is read can be
//! replayed and shown.

#![no_main]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use straybelt::commands::visits;
use straybelt::proof::learn;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::source::unprintable;
use straybelt::visit::clock::TestClock;
use straybelt::visit::store::{VisitStore, StoreError};

struct Here {
    book: Book,
    state: PathBuf,
    file: PathBuf,
}

fn here() -> &'static Here {
    static HERE: OnceLock<Here> = OnceLock::new();
    HERE.get_or_init(|| {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/small-book");
        let state = std::env::temp_dir().join(format!("straybelt-fuzz-{}", std::process::id()));
        fs::create_dir_all(state.join("visits/2026")).expect("a folder");
        Here {
            book: load::read(Some(Path::new(folder)))
                .book
                .expect("the small book"),
            file: state.join("visits/2026/0001.ron"),
            state,
        }
    })
}

fuzz_target!(|data: &[u8]| {
    let here = here();
    fs::write(&here.file, data).expect("written");
    let store = VisitStore::at(&here.state);
    match store.look(1) {
        Ok(record) => {
            let _ = learn::take(&here.book, &record);
            let screen = Screen::new(40, Paint::NONE);
            let clock = TestClock::from(jiff::Timestamp::UNIX_EPOCH);
            let page = visits::show(screen, &here.book, &store, 1, &clock)
                .expect("what was read is shown");
            assert!(!page.chars().any(|c| unprintable(c) && c != '\n'), "{page}");
        }
        Err(StoreError::Bad { .. } | StoreError::Newer { .. } | StoreError::Older { .. }) => {}
        Err(other) => panic!("{other}"),
    }
    // A look changes nothing.
    assert_eq!(fs::read(&here.file).expect("still there"), data);
});
