//! The cases that come with the program.

use straybelt::problem::Report;
use straybelt::proof::case::{self, Cases};
use straybelt::proof::{coverage, run};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::proof::{self, Besides};
use straybelt::visit::Diagnosis;

fn shipped() -> (Book, Cases) {
    let mut checked = load::read(None);
    let book = checked.book.take().unwrap();
    let mut report = Report::default();
    let cases = case::read(&book, &checked, &mut report);
    let problems = report.sorted();
    assert!(problems.is_empty(), "{problems:#?}");
    (book, cases)
}

#[test]
fn all_of_them_hold_and_they_reach_most_of_the_book() {
    let (book, cases) = shipped();
    assert!(cases.cases.len() >= 80, "{}", cases.cases.len());
    let diagnosis = Diagnosis::new(&book);
    let verdicts: Vec<_> =
        cases.cases.iter().map(|case| (case, run::run(&diagnosis, case, proof::WORDING))).collect();
    let ran: Vec<_> = verdicts.iter().map(|(case, v)| (*case, v)).collect();
    let page = proof::run(Screen::new(100, Paint::NONE), &book, &ran, Besides::default());
    let wrong = ran.iter().filter(|(c, v)| c.todo == v.holds()).count();
    assert_eq!(wrong, 0, "{page}");
    let covered = coverage::of(&book, ran.iter().copied());
    assert!(covered.per_cent() >= 95.0, "{}", covered.per_cent());
    assert!(covered.never_first.is_empty(), "{:?}", covered.never_first);
}

#[test]
fn ten_of_them_end_in_not_clear_yet() {
    let (_, cases) = shipped();
    let unclear = |c: &&case::Case| {
        let mut expects = c.expect.iter();
        expects.any(|e| matches!(e.what, case::Expect::Unclear(_)))
    };
    assert!(cases.cases.iter().filter(unclear).count() >= 10);
}

/// What the README of the examples says: all hold, and the one that this site moves is named.
#[test]
fn the_demo_sites_cases_hold_and_the_one_that_it_moves_is_named() {
    let ended = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["rules", "test", "examples/ostrel-quay/rules"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("COLUMNS", "200")
        .output()
        .unwrap();
    let said = String::from_utf8(ended.stdout).unwrap();
    assert_eq!(ended.status.code(), Some(0), "{said}");
    assert!(
        said.contains("The site's own unclear-comes-and-goes (examples/ostrel-quay/rules/cases/"),
        "{said}"
    );
    assert!(said.contains(" 0 fail"), "{said}");
}
