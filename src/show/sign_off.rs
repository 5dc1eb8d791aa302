//! What was found before a rule book is signed off: one page.

use std::path::Path;

use super::page::{Page, Screen};
use crate::rulebook::model::Book;
use crate::rulebook::signed;
use crate::stream::paint::Ink;

/// What was signed, or not.
#[derive(Debug, Clone, Copy)]
pub struct Head<'h> {
    /// The book.
    pub book: &'h Book,
    /// Who signs.
    pub by: &'h str,
    /// When: a date.
    pub on: &'h str,
    /// Where its files are.
    pub dir: &'h Path,
}

/// One of the things that were looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The command that tells more of it.
    pub what: &'static str,
    /// What was found.
    pub found: String,
    /// Whether it speaks for signing.
    pub good: bool,
}

/// The page.
pub fn page(screen: Screen, head: Head<'_>, lines: &[Line]) -> String {
    let mut page = Page::new(screen);
    let good = lines.iter().all(|line| line.good);
    page.title("Sign-off of a rule book");
    let bad = lines.iter().filter(|line| !line.good).count();
    if good {
        page.para_in(Ink::Good, &format!("Signed off by {} on {}.", head.by, head.on));
    } else {
        page.para_in(
            Ink::Warn,
            &format!("Not signed off: {bad} of {} speak against it.", lines.len()),
        );
    }
    page.item("book: ", &format!("{}, version {}", head.book.name, head.book.version));
    page.item("fingerprint: ", &head.book.fingerprint);
    page.blank();
    for line in lines {
        let (ink, word) = if line.good { (Ink::Good, "good") } else { (Ink::Warn, "BAD ") };
        page.item_in(ink, &format!("{word}  "), &format!("{}: {}", line.what, line.found));
    }
    page.blank();
    if good {
        page.para(&format!(
            "The record stands in {}, and a copy of what was signed beside it in .signed. Visits with this very book name it. Any change of a rule file makes it another book, which nobody has signed.",
            head.dir.join(signed::FILE).display()
        ));
    } else {
        page.para("Nothing was written. Mend what is bad, or say in a case of your own why it should be so, and sign again.");
    }
    page.finish()
}
