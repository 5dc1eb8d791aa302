//! The frame of a picture in letters: names of heights to the left of it, a foot, and what stands at its ends.

use unicode_width::UnicodeWidthStr;

use super::page::Page;
use crate::stream::paint::Ink;

/// No picture is wider than this: the eye loses its lines.
pub(super) const WIDE: usize = 100;

/// A frame.
pub(super) struct LetterFrame {
    /// The names of the highest line, the middle one and the lowest.
    pub(super) heights: [String; 3],
    /// What stands below its left end and its right end.
    pub(super) ends: (String, String),
}

impl LetterFrame {
    fn gutter(&self) -> usize {
        self.heights.iter().map(|name| name.width()).max().unwrap_or(0)
    }

    /// How many letters a line of the picture has on this page.
    pub(super) fn wide(&self, page: &Page) -> usize {
        page.width().min(WIDE).saturating_sub(self.gutter() + 2).max(10)
    }

    /// Puts the picture, line by line, within the frame.
    pub(super) fn put(&self, page: &mut Page, lines: &[String]) {
        let gutter = self.gutter();
        let [highest, middle, lowest] = &self.heights;
        for (number, line) in lines.iter().enumerate() {
            let name = match number {
                0 => highest,
                number if number == lines.len() / 2 => middle,
                number if number + 1 == lines.len() => lowest,
                _ => "",
            };
            let pad = " ".repeat(gutter.saturating_sub(name.width()));
            page.line(Ink::Plain, &format!("{pad}{name} |{line}"));
        }
        let wide = self.wide(page);
        let (from, to) = &self.ends;
        let between = wide.saturating_sub(from.width() + to.width());
        page.line(Ink::Plain, &format!("{} +{}", " ".repeat(gutter), "-".repeat(wide)));
        page.line(
            Ink::Plain,
            &format!("{}{from}{}{to}", " ".repeat(gutter + 2), " ".repeat(between)),
        );
    }
}
