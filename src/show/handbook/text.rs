//! The handbook as plain text, for a printer or a pager that knows nothing else.

use super::{ABOVE, Handbook, OF_NUMBERS, SIGNED};
use crate::show::page::{Page, Screen};
use crate::stream::paint::Paint;

/// Columns of the text.
pub const COLUMNS: usize = 76;

/// The handbook, wrapped at [`COLUMNS`].
pub fn write(book: &Handbook) -> String {
    let screen = Screen::new(COLUMNS, Paint::NONE);
    let mut page = Page::new(screen);
    page.text(&"=".repeat(COLUMNS)).text("\n");
    page.head(&book.name);
    page.para(&format!("Version {}", book.version));
    page.para(&format!("Fingerprint {}", book.fingerprint));
    page.text(&"=".repeat(COLUMNS)).text("\n");
    page.blank().para(ABOVE).para(OF_NUMBERS);
    for what in SIGNED {
        page.blank();
        let line = COLUMNS.saturating_sub(what.len() + 2).min(44);
        page.para(&format!("{what}: {}", "_".repeat(line)));
    }
    page.title("Contents");
    for (number, chapter) in book.chapters.iter().enumerate() {
        page.blank().item(&format!("{}. ", number + 1), chapter.title);
        for leaf in &chapter.leaves {
            page.item("     ", &leaf.title);
        }
    }
    for (number, chapter) in book.chapters.iter().enumerate() {
        page.blank();
        page.text("\n").text(&"=".repeat(COLUMNS)).text("\n");
        page.head(&format!("{}. {}", number + 1, chapter.title));
        page.text(&"=".repeat(COLUMNS)).text("\n");
        page.text(&chapter.opening.page(screen));
        for leaf in &chapter.leaves {
            page.blank().text(&leaf.sheet.page(screen));
        }
    }
    page.finish()
}
