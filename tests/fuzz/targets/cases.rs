//! The case loader over the small book, and the cases that it takes.

#![no_main]

use std::path::Path;
use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use straybelt::problem::Report;
use straybelt::proof::{case, run};
use straybelt::rulebook::load::{self, Checked};
use straybelt::rulebook::model::Book;
use straybelt::show::paint::Paint;
use straybelt::show::problem::page;
use straybelt::show::proof::WORDING;
use straybelt::source::{Texts, unprintable};
use straybelt::visit::Diagnosis;

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/small-book");
        load::read(Some(Path::new(folder)))
            .book
            .expect("the small book")
    })
}

fuzz_target!(|data: &[u8]| {
    let Ok(text) = std::str::from_utf8(data) else {
        return;
    };
    let book = book();
    let mut texts = Texts::default();
    let file = texts.add("cases/a.ron", text.to_owned());
    let checked = Checked {
        book: None,
        problems: Vec::new(),
        counts: load::Counts::default(),
        laid: load::Laid::Whole,
        texts,
        cases: vec![file],
        courses: Vec::new(),
        drills: Vec::new(),
        places: Default::default(),
        off: Default::default(),
        own: Vec::new(),
        signed: Vec::new(),
        top: String::new(),
        layers: 1,
        followers: 0,
    };
    let mut report = Report::default();
    let read = case::read(book, &checked, &mut report);
    for problem in report.sorted() {
        let shown = page(&problem, 40, Paint::NONE);
        assert!(
            !shown.chars().any(|c| unprintable(c) && c != '\n'),
            "{shown}"
        );
    }
    let diagnosis = Diagnosis::new(book);
    for case in read.cases.iter().take(3) {
        run::run(&diagnosis, case, WORDING);
    }
});
