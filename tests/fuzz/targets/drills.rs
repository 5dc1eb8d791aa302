//! The drill loader over the default book, and the belt of a drill that it takes.

#![no_main]

use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use straybelt::drill::{World, read};
use straybelt::problem::Report;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::paint::Paint;
use straybelt::show::problem::page;
use straybelt::source::{Texts, unprintable};
use straybelt::visit::Diagnosis;

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| load::read(None).book.expect("the default book"))
}

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let book = book();
    let mut texts = Texts::default();
    let file = texts.add("drills/a.ron", text.to_owned());
    let mut report = Report::default();
    let drills = read::read_files(book, &texts, &[file], &mut report);
    for problem in report.sorted() {
        let shown = page(&problem, 40, Paint::NONE);
        assert!(!shown.chars().any(|c| unprintable(c) && c != '\n'), "{shown}");
    }
    // The belt costs some hundred times what reading costs: the first drill speaks for the others.
    if let Some(drill) = drills.first() {
        let diagnosis = Diagnosis::new(book);
        if let Some(world) = World::begin(drill, &diagnosis) {
            assert!(world.belt().worst_share(&drill.line).is_finite());
        }
    }
});
