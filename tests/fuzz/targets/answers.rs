//! The answers loader over the small book, and the finding that follows.

#![no_main]

use std::path::Path;
use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::paint::Paint;
use straybelt::show::problem::page;
use straybelt::source::unprintable;
use straybelt::visit::{ConveyorFacts, Depth, Diagnosis, answers};

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
    match answers::parse(book, "answers", text.to_owned()) {
        Err(problems) => {
            for problem in &problems.0 {
                let shown = page(problem, 40, Paint::NONE);
                assert!(
                    !shown.chars().any(|c| unprintable(c) && c != '\n'),
                    "{shown}"
                );
            }
        }
        Ok(answers) => {
            let facts = ConveyorFacts::default();
            let finding = Diagnosis::new(book).finding_to(&facts, &answers.observed, Depth::All);
            for ranked in &finding.ranked {
                assert!((0.0..=1.0).contains(&ranked.probability), "{ranked:?}");
            }
        }
    }
});
