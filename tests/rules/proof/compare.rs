//! Two books side by side.

use straybelt::proof::compare::{
    BookWithCases, CompareSettings, Compared, Row, Totals, Turn, What, compare,
};
use straybelt::proof::what_if;
use straybelt::rulebook::load::read_changed;
use straybelt::rulebook::model::Book;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::proof::WORDING;
use straybelt::show::proof_compare::{ComparisonHead, ComparisonJson, page};

use crate::support::files::{small, small_folder};
use crate::support::pages::held;

fn changed(change: &str) -> Book {
    let checked = read_changed(Some(&small_folder()), |rules, texts, report| {
        what_if::apply(rules, &[change.to_owned()], texts, report);
    });
    checked.book.unwrap()
}

fn compared(old: &Book, new: &Book, visits: usize) -> Compared {
    let side = |book| BookWithCases { book, cases: &[] };
    compare(side(old), side(new), CompareSettings { visits, seed: 4 }, WORDING, &mut |_| {})
}

#[test]
fn a_book_and_itself_differ_in_nothing() {
    let book = small();
    let compared = compared(&book, &small(), 50);
    assert_eq!(compared.visits.len(), 50);
    assert!(compared.visits.iter().all(|row| row.turn() == Turn::Same));
    assert!(compared.visits.iter().all(|row| row.largest().is_none()));
    let text = page(Screen::new(80, Paint::NONE), head(&book, &book), &compared);
    assert!(text.contains("Nothing changes in 0 cases and 50 visits."), "{text}");
}

#[test]
fn a_changed_likelihood_is_seen_worst_first() {
    let old = small();
    let compared = compared(&old, &changed("crooked-splice.jumps=never"), 200);
    let turns: Vec<Turn> = compared.visits.iter().map(Row::turn).collect();
    assert!(turns.is_sorted(), "{turns:?}");
    // A conveyor that does not jump no longer speaks against the splice.
    assert_eq!(turns[0], Turn::Lost);
    let lost = |row: &&Row| row.turn() == Turn::Lost;
    let lost: Vec<&Row> = compared.visits.iter().filter(lost).collect();
    assert!(lost.iter().all(|row| row.largest().unwrap().by() > 0.1));
    let totals = Totals::from_rows(&compared.visits);
    assert_eq!(totals.turns.iter().sum::<usize>(), 200);
    let [before, after] = totals.right;
    assert!(before.hits > after.hits, "{totals:?}");
}

#[test]
fn a_question_that_one_book_does_not_have_cannot_be_answered() {
    let (old, mut new) = (small(), small());
    let jumps = new.symptoms.places().nth(1).unwrap();
    assert_eq!(new.symptoms[jumps].id, "jumps");
    new.symptoms[jumps].id = "leaps".to_owned();
    let compared = compared(&old, &new, 60);
    // The splice is found worse without its jump; the dirt hangs on other questions.
    let lost = |id: &str| {
        let of: Vec<&Row> = compared.visits.iter().filter(|row| has(row, id)).collect();
        let lost = of.iter().filter(|row| row.turn() == Turn::Lost).count();
        lost as f64 / of.len() as f64
    };
    let (splice, dirt) = (lost("crooked-splice"), lost("dirty-rolls"));
    assert!(splice > 0.1 && dirt < 0.1, "{splice} and {dirt}");
}

/// Whether this cause was really present.
fn has(row: &Row, id: &str) -> bool {
    matches!(&row.what, What::Visit { present, .. } if present.iter().any(|p| p == id))
}

#[test]
fn the_pages() {
    let (mut old, mut new) = (small(), changed("dirty-rolls.ridges.thick=seldom"));
    // With less than that one look is enough, and that is not at the ridges.
    (old.thresholds.enough, new.thresholds.enough) = (0.9, 0.9);
    let compared = compared(&old, &new, 30);
    let text = held(|width| page(Screen::new(width, Paint::NONE), head(&old, &new), &compared));
    insta::assert_snapshot!("compare-40", text);
    let json = serde_json::to_value(ComparisonJson::new(head(&old, &new), &compared)).unwrap();
    assert_eq!(json["visits"]["of"], 30);
    let changed = json["visits"]["changed"].as_array().unwrap().len();
    assert_eq!(json["visits"]["unchanged"], 30 - changed);
}

fn head<'b>(old: &'b Book, new: &'b Book) -> ComparisonHead<'b> {
    ComparisonHead { old: (old, "small-book"), new: (new, "small-book with a change"), seed: 4 }
}
