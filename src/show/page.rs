//! Pages: text wrapped at words to the width of the screen, with hanging indents.

use unicode_width::UnicodeWidthStr;

use crate::stream;
use crate::stream::paint::{Ink, Paint};
use crate::stream::terminal::Columns;

/// What a page is laid out for.
#[derive(Debug, Clone, Copy)]
pub struct Screen {
    columns: Columns,
    /// Whether it is painted.
    pub paint: Paint,
}

impl Screen {
    /// No page is laid out narrower than this.
    pub const NARROWEST: usize = 40;
    /// No page is laid out wider: long lines tire the eye.
    pub const WIDEST: usize = 120;

    /// A screen of this many columns.
    pub fn new(columns: usize, paint: Paint) -> Self {
        Self::with(Columns::Fixed(columns), paint)
    }

    /// A screen with these columns.
    pub fn with(columns: Columns, paint: Paint) -> Self {
        Self { columns, paint }
    }

    /// Columns now, [`Screen::NARROWEST`] to [`Screen::WIDEST`].
    pub fn width(self) -> usize {
        self.columns.now().clamp(Self::NARROWEST, Self::WIDEST)
    }
}

/// A page that grows from top to bottom.
#[derive(Debug, Clone)]
pub struct Page {
    width: usize,
    paint: Paint,
    text: String,
}

impl Page {
    /// An empty page.
    pub fn new(screen: Screen) -> Self {
        Self::column(screen.width(), screen.paint)
    }

    /// An empty column of a page, of this width.
    pub fn column(width: usize, paint: Paint) -> Self {
        Self { width, paint, text: String::new() }
    }

    /// The columns there are.
    pub fn width(&self) -> usize {
        self.width
    }

    /// A title in a rule across the page, so that it is found when scrolling back.
    pub fn title(&mut self, title: &str) -> &mut Self {
        // Before the first title too: a reply that came through a pipe leaves no line end behind.
        if !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
        let width = self.width.min(72);
        // A title that is too long for the screen goes on below itself; the rule ends it.
        let room = textwrap::Options::new(width.saturating_sub(3))
            .initial_indent("--- ")
            .subsequent_indent("    ")
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        let lines = textwrap::wrap(title, room);
        let last = lines.len().saturating_sub(1);
        for (place, line) in lines.iter().enumerate() {
            let rule = match place == last {
                true => format!(" {}", "-".repeat(width.saturating_sub(line.width() + 2).max(2))),
                false => String::new(),
            };
            self.line(Ink::Strong, &format!("{line}{rule}"));
        }
        self
    }

    /// A heading.
    pub fn head(&mut self, text: &str) -> &mut Self {
        self.wrapped(Ink::Strong, "", "", text)
    }

    /// A paragraph.
    pub fn para(&mut self, text: &str) -> &mut Self {
        self.wrapped(Ink::Plain, "", "", text)
    }

    /// A paragraph in some ink.
    pub fn para_in(&mut self, ink: Ink, text: &str) -> &mut Self {
        self.wrapped(ink, "", "", text)
    }

    /// A piece with something in front of it (a number, a bullet); its further lines hang below its first.
    pub fn item(&mut self, lead: &str, text: &str) -> &mut Self {
        self.item_in(Ink::Plain, lead, text)
    }

    /// The same in some ink.
    pub fn item_in(&mut self, ink: Ink, lead: &str, text: &str) -> &mut Self {
        let hang = match lead.width() {
            width if width > DEEPEST => SHALLOW,
            width => width,
        };
        let hang = " ".repeat(hang);
        self.wrapped(ink, lead, &hang, text)
    }

    /// A line as it is, never wrapped.
    pub fn line(&mut self, ink: Ink, line: &str) -> &mut Self {
        self.text.push_str(&self.paint.ink(ink, stream::clean(line).trim_end()));
        self.text.push('\n');
        self
    }

    /// A page that is laid out already.
    pub fn text(&mut self, page: &str) -> &mut Self {
        self.text.push_str(page);
        self
    }

    /// A drawing, line for line.
    pub fn art<'a>(&mut self, lines: impl IntoIterator<Item = &'a str>) -> &mut Self {
        for line in lines {
            self.line(Ink::Plain, line);
        }
        self
    }

    /// An empty line, unless there is one already.
    pub fn blank(&mut self) -> &mut Self {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
        self
    }

    /// An empty line even at the top of a page: what is printed in pieces may end there.
    pub fn start_with_blank(&mut self) -> &mut Self {
        if !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
        self
    }

    /// Short pieces side by side, as many to a line as fit, never torn apart.
    pub fn flow(&mut self, ink: Ink, pieces: &[String]) -> &mut Self {
        for line in flowing(self.width, pieces) {
            self.line(ink, &line);
        }
        self
    }

    /// How many lines short pieces take side by side on a page of this width.
    pub fn lines_of_flow(width: usize, pieces: &[String]) -> usize {
        flowing(width, pieces).len()
    }

    /// The text, every line ended.
    pub fn finish(&mut self) -> String {
        std::mem::take(&mut self.text)
    }

    fn wrapped(&mut self, ink: Ink, first: &str, rest: &str, text: &str) -> &mut Self {
        let options = textwrap::Options::new(self.width)
            .initial_indent(first)
            .subsequent_indent(rest)
            .word_separator(textwrap::WordSeparator::Custom(words))
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        let room = self.width.saturating_sub(rest.width());
        let text = jointed(&held_together(&stream::clean(text)), room);
        for line in textwrap::wrap(&text, options) {
            self.line(ink, &line.replace(HELD, " ").replace(JOINT, ""));
        }
        self
    }
}

fn flowing(width: usize, pieces: &[String]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for piece in pieces {
        match lines.last_mut() {
            Some(line) if line.width() + 2 + piece.width() <= width => {
                line.push_str("  ");
                line.push_str(piece);
            }
            _ => lines.push(piece.clone()),
        }
    }
    lines
}

/// Further lines of a piece hang below its first no deeper than this; behind longer words they would have
/// no room on a small screen, and hang by [`SHALLOW`] columns.
const DEEPEST: usize = 10;
const SHALLOW: usize = 6;
/// Stands for a blank at which a line is never broken.
const HELD: char = '\u{a0}';
/// Stands where a word that is longer than a line may be broken; takes no room.
const JOINT: char = '\u{200b}';
/// What is never torn from the number before it.
const UNITS: [&str; 14] = [
    "%", "mm", "cm", "m", "min", "h", "s", "kN", "bits", "decibans", "person", "people", "steps",
    "cautions",
];

/// The text with each number held to the unit behind it: "45 min" stays on one line.
fn held_together(text: &str) -> String {
    let mut held = String::with_capacity(text.len());
    for (place, word) in text.split(' ').enumerate() {
        if place > 0 {
            let unit = word.trim_end_matches([',', '.', ';', ':', ')']);
            let after_number = held.ends_with(|c: char| c.is_ascii_digit());
            // "2 h 45 min"
            let after_hours = held.ends_with(&[HELD, 'h'].iter().collect::<String>())
                && word.starts_with(|c: char| c.is_ascii_digit());
            held.push(match after_number && UNITS.contains(&unit) || after_hours {
                true => HELD,
                false => ' ',
            });
        }
        held.push_str(word);
    }
    held
}

/// The text with joints in words that no line has room for: behind the strokes of a path, and if it has none,
/// behind the points and before the `=` of a name.
fn jointed(text: &str, room: usize) -> String {
    let word = |word: &str| {
        if word.width() <= room {
            word.to_owned()
        } else if word.contains('/') {
            word.replace('/', &format!("/{JOINT}"))
        } else {
            let word = word.replace('.', &format!(".{JOINT}"));
            word.replace('=', &format!("{JOINT}="))
        }
    };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

/// Words end at blanks and at joints.
fn words(line: &str) -> Box<dyn Iterator<Item = textwrap::core::Word<'_>> + '_> {
    let pieces = line.split_inclusive([' ', JOINT]);
    // Blanks at the same place belong to one word.
    let mut from = 0;
    let mut ends: Vec<usize> = Vec::new();
    for piece in pieces {
        from += piece.len();
        match ends.last_mut() {
            Some(end) if piece == " " => *end = from,
            _ => ends.push(from),
        }
    }
    let mut begin = 0;
    Box::new(ends.into_iter().filter_map(move |end| {
        let word = line.get(begin..end)?;
        begin = end;
        Some(textwrap::core::Word::from(word))
    }))
}

/// A bar that reads the same without colour: `[######....]`. `share` is 0..1.
pub fn bar(share: f64, cells: usize) -> String {
    let exact = share.clamp(0.0, 1.0) * cells as f64;
    // Something is never drawn as nothing, and less than all never as all.
    let full = if exact > 0.0 && exact < 1.0 { 1.0 } else { exact.floor() };
    let full = (full as usize).min(cells);
    format!("[{}{}]", "#".repeat(full), ".".repeat(cells - full))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_wraps_at_words_and_hangs() {
        let mut page = Page::new(Screen::new(40, Paint::NONE));
        page.item(" 1  ", "All of the belt runs off at one place and nowhere else on the conveyor");
        let text = page.finish();
        assert!(text.lines().all(|l| l.width() <= 40), "{text}");
        assert!(text.lines().skip(1).all(|l| l.starts_with("    ")), "{text}");
    }

    #[test]
    fn a_title_that_is_too_long_goes_on_below_itself() {
        let title = |text: &str| Page::new(Screen::new(40, Paint::NONE)).title(text).finish();
        let long = title("Look 2: one walk, tail to head and back");
        assert_eq!(
            long,
            "\n--- Look 2: one walk, tail to head\n    and back --------------------------\n"
        );
        for length in 1..60 {
            let text = title(&"x ".repeat(length));
            assert!(text.lines().all(|line| line.width() <= 40), "{text}");
            assert!(text.ends_with("--\n"), "{text}");
        }
    }

    #[test]
    fn a_number_keeps_its_unit_and_long_leads_hang_shallow() {
        let mut page = Page::new(Screen::new(40, Paint::NONE));
        page.para("Ten minutes to isolate, or rather say 45 min, with 2 people.");
        page.item("here because: ", "it alone would cure it in most of the cases met");
        assert_eq!(
            page.finish(),
            "Ten minutes to isolate, or rather say\n\
             45 min, with 2 people.\n\
             here because: it alone would cure it in\n      most of the cases met\n"
        );
    }

    #[test]
    fn what_no_line_has_room_for_breaks_at_its_strokes_and_points() {
        let mut page = Page::new(Screen::new(40, Paint::NONE));
        page.item("  ", "fix x (built-in/fixes/11-splice-and-belt-rest.ron:104:14)");
        page.para("with idler-build-up.ridges-on-rolls.thick=often, two  blanks");
        assert_eq!(
            page.finish(),
            "  fix x (built-in/fixes/\n  11-splice-and-belt-rest.ron:104:14)\n\
             with idler-build-up.ridges-on-rolls.\nthick=often, two  blanks\n"
        );
    }

    #[test]
    fn a_bar_shows_little_as_one_and_much_not_as_all() {
        assert_eq!(bar(0.0, 4), "[....]");
        assert_eq!(bar(0.001, 4), "[#...]");
        assert_eq!(bar(0.999, 4), "[###.]");
        assert_eq!(bar(1.0, 4), "[####]");
    }
}
