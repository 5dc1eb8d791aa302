//! What commonly brings a cause on: checked, shown, laid over.

use straybelt::problem::Code;
use straybelt::rulebook::find::{EntryAt, find};
use straybelt::rulebook::model::Book;
use straybelt::show::entries::{BookSheets, Detail};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;

use super::overlay::{book, over};

fn site(entry: &str) -> String {
    format!("(change: [Cause(id: \"crosswind\", brought_on_by: [{entry}])])")
}

const SOUND: &str = r#"(words: "A panel of the gallery is lost.", look_for: "Is a panel of the gallery missing there?",
    job: "Fit the panel again", cause: "supports-moved", source: Memory)"#;

fn page(book: &Book, id: &str) -> String {
    let at = find(book, id).into_iter().find(|at| matches!(at, EntryAt::Cause(_))).unwrap();
    let sheets = BookSheets::new(book);
    sheets.sheet(at, Detail::Whole, &[]).page(Screen::new(400, Paint::NONE))
}

#[test]
fn a_site_adds_to_it_and_the_sheet_says_all_of_it() {
    let book = book(&[("site.ron", &site(SOUND))]);
    let page = page(&book, "crosswind");
    for said in [
        "What brings it on",
        "panel of the gallery is lost",
        "missing there?",
        "Fit the panel again",
    ] {
        assert!(page.contains(said), "{said}:\n{page}");
    }
    let supports = book.causes.values().find(|cause| cause.id == "supports-moved").unwrap();
    assert!(page.contains(&supports.name), "{page}");
}

#[test]
fn the_default_book_has_it_of_three_causes() {
    let book = straybelt::rulebook::load::default_book().unwrap();
    for id in ["idler-build-up", "unequal-take-up-screws", "stuck-roll"] {
        let cause = book.causes.values().find(|cause| cause.id == id).unwrap();
        assert_eq!(cause.brought_on_by.len(), 1, "{id}");
        assert!(cause.brought_on_by[0].look_for.ends_with('?'), "{id}");
    }
}

#[test]
fn what_is_wrong_is_told() {
    let long = "x".repeat(91);
    for (entry, code) in [
        (SOUND.replace("supports-moved", "no-such-cause"), Code::UnknownId),
        (
            SOUND.replace("Is a panel of the gallery missing there?", "Wipe the belt: is it wet?"),
            Code::RunningFix,
        ),
        (SOUND.replace("Is a panel of the gallery missing there?", &long), Code::LongText),
        (SOUND.replace("Fit the panel again", ""), Code::EmptyText),
    ] {
        let checked = over(&[("site.ron", &site(&entry))]);
        assert!(
            checked.problems.iter().any(|p| p.code == code),
            "{code:?}: {:?}",
            checked.problems
        );
    }
}
