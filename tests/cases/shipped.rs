//! The cases that come with the program.

use straybelt::problem::Report;
use straybelt::proof::case::{self, Cases};
use straybelt::proof::{coverage, run};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::proof;
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
    let verdicts: Vec<_> = cases
        .cases
        .iter()
        .map(|case| (case, run::run(&diagnosis, case)))
        .collect();
    let ran: Vec<_> = verdicts.iter().map(|(case, v)| (*case, v)).collect();
    let page = proof::run(Screen::new(100, Paint::NONE), &book, &ran, &[]);
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
