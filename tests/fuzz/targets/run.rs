//! The loader of drill runs: a run's file with anything in it is read, refused or set aside, and what is read can
//! be made again, as far as its first moves.

#![no_main]

use std::fs;
use std::path::PathBuf;
use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use straybelt::drill::record::Store;
use straybelt::kept::StoreError;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::visit::Diagnosis;

struct Here {
    book: Book,
    state: PathBuf,
    file: PathBuf,
}

fn here() -> &'static Here {
    static HERE: OnceLock<Here> = OnceLock::new();
    HERE.get_or_init(|| {
        let state = std::env::temp_dir().join(format!("straybelt-fuzz-{}", std::process::id()));
        fs::create_dir_all(state.join("runs/2026")).expect("a folder");
        let book = load::read(None).book.expect("the default book");
        Here { book, file: state.join("runs/2026/0001.ron"), state }
    })
}

fuzz_target!(|data: &[u8]| {
    let here = here();
    fs::write(&here.file, data).expect("written");
    match Store::at(&here.state).look(1) {
        Ok(mut record) => {
            for made in &record.moves {
                let _ = made.what.in_book(&here.book);
            }
            // Each move costs some hundred times what reading costs.
            record.moves.truncate(2);
            if let Ok(drill) = record.drill(&here.book) {
                let diagnosis = Diagnosis::new(&here.book);
                if let Some(world) = record.replay(&drill, &diagnosis) {
                    assert!(world.minutes().is_finite());
                }
            }
        }
        Err(StoreError::Bad { .. } | StoreError::Newer { .. } | StoreError::Older { .. }) => {}
        Err(other) => panic!("{other}"),
    }
    // A look changes nothing.
    assert_eq!(fs::read(&here.file).expect("still there"), data);
});
