//! A sheet: headings, paragraphs, lists and tables with links between entries. Written once, it can be
//! laid out as a page of text or as HTML.

use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// A sheet, from top to bottom.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sheet {
    /// Its pieces.
    pub blocks: Vec<Block>,
}

/// One piece of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A heading; an anchor makes it a place that links lead to.
    Head {
        /// 1 for a title, 2 and 3 below it.
        level: u8,
        /// Where links lead to.
        anchor: Option<String>,
        /// The words.
        text: String,
        /// The id in the files, beside the words; may be empty.
        id: String,
    },
    /// A paragraph.
    Para(RichText),
    /// A warning, set apart.
    Warn(RichText),
    /// A list.
    List(ListMark, Vec<RichText>),
    /// Names with what belongs to them.
    Pairs(Vec<(&'static str, RichText)>),
    /// A table.
    Table {
        /// What stands over the columns.
        head: Vec<&'static str>,
        /// The rows; as text, each becomes one line of words.
        rows: Vec<Vec<RichText>>,
    },
    /// A line to be filled in by hand.
    FillIn(&'static str),
    /// What follows begins on a new page.
    NewPage,
}

/// What stands before the pieces of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ListMark {
    /// A dot.
    Dot,
    /// Their numbers.
    Number,
    /// A box to tick.
    Box,
}

/// Words with links and stress among them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RichText(pub Vec<Bit>);

/// A run of words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Bit {
    /// As they are.
    Text(String),
    /// Stressed.
    Strong(String),
    /// Beside the point.
    Faint(String),
    /// What a table's heading says already, so only needed where there is none: in text.
    Said(&'static str),
    /// An entry of the book.
    Entry {
        /// Its anchor.
        anchor: String,
        /// What it is called.
        text: String,
        /// Its id; shown in text, where nothing can be followed by a click.
        id: String,
    },
}

impl Bit {
    /// The same entry without its id in texts.
    #[must_use]
    pub fn without_id(self) -> Self {
        match self {
            Self::Entry { anchor, text, .. } => Self::Entry { anchor, text, id: String::new() },
            other => other,
        }
    }
}

impl RichText {
    /// Plain words.
    pub fn plain(text: impl Into<String>) -> Self {
        Self(vec![Bit::Text(text.into())])
    }

    /// Adds plain words.
    #[must_use]
    pub fn and(mut self, text: impl Into<String>) -> Self {
        self.0.push(Bit::Text(text.into()));
        self
    }

    /// Adds stressed words.
    #[must_use]
    pub fn strong(mut self, text: impl Into<String>) -> Self {
        self.0.push(Bit::Strong(text.into()));
        self
    }

    /// Adds words beside the point.
    #[must_use]
    pub fn faint(mut self, text: impl Into<String>) -> Self {
        self.0.push(Bit::Faint(text.into()));
        self
    }

    /// Adds what a table's heading says already.
    #[must_use]
    pub fn said(mut self, text: &'static str) -> Self {
        self.0.push(Bit::Said(text));
        self
    }

    /// Adds an entry.
    #[must_use]
    pub fn entry(mut self, entry: Bit) -> Self {
        self.0.push(entry);
        self
    }

    /// Adds several entries with commas between them.
    #[must_use]
    pub fn entries(mut self, entries: impl IntoIterator<Item = Bit>) -> Self {
        for (place, entry) in entries.into_iter().enumerate() {
            if place > 0 {
                self.0.push(Bit::Text(", ".into()));
            }
            self.0.push(entry);
        }
        self
    }

    /// The words alone; entries with their ids behind them.
    pub fn text(&self) -> String {
        let bits = self.0.iter().map(|bit| match bit {
            Bit::Text(text) | Bit::Strong(text) | Bit::Faint(text) => text.clone(),
            Bit::Said(text) => (*text).to_owned(),
            Bit::Entry { text, id, .. } if id.is_empty() => text.clone(),
            Bit::Entry { text, id, .. } => format!("{text} [{id}]"),
        });
        bits.collect()
    }
}

impl From<&str> for RichText {
    fn from(text: &str) -> Self {
        Self::plain(text)
    }
}

impl From<String> for RichText {
    fn from(text: String) -> Self {
        Self::plain(text)
    }
}

impl Sheet {
    /// All runs of words in it, to be changed.
    pub fn bits_mut(&mut self) -> impl Iterator<Item = &mut Bit> {
        fn texts(block: &mut Block) -> Vec<&mut RichText> {
            match block {
                Block::Para(text) | Block::Warn(text) => vec![text],
                Block::List(_, items) => items.iter_mut().collect(),
                Block::Pairs(pairs) => pairs.iter_mut().map(|(_, text)| text).collect(),
                Block::Table { rows, .. } => rows.iter_mut().flatten().collect(),
                Block::Head { .. } | Block::FillIn(_) | Block::NewPage => Vec::new(),
            }
        }
        self.blocks.iter_mut().flat_map(texts).flat_map(|text| text.0.iter_mut())
    }

    /// A title.
    pub fn title(&mut self, anchor: &str, text: &str, id: &str) -> &mut Self {
        self.head(1, Some(anchor), text, id)
    }

    /// A heading below the title.
    pub fn section(&mut self, text: &str) -> &mut Self {
        self.head(2, None, text, "")
    }

    /// A heading of any level.
    pub fn head(&mut self, level: u8, anchor: Option<&str>, text: &str, id: &str) -> &mut Self {
        self.add(Block::Head {
            level,
            anchor: anchor.map(str::to_owned),
            text: text.to_owned(),
            id: id.to_owned(),
        })
    }

    /// A paragraph; nothing if it is empty.
    pub fn para(&mut self, words: impl Into<RichText>) -> &mut Self {
        let words = words.into();
        if words.text().is_empty() {
            return self;
        }
        self.add(Block::Para(words))
    }

    /// A warning.
    pub fn warn(&mut self, words: impl Into<RichText>) -> &mut Self {
        self.add(Block::Warn(words.into()))
    }

    /// A list under a heading; neither if it is empty.
    pub fn list(&mut self, head: &str, lead: ListMark, items: Vec<RichText>) -> &mut Self {
        if items.is_empty() {
            return self;
        }
        if !head.is_empty() {
            self.section(head);
        }
        self.add(Block::List(lead, items))
    }

    /// Names with what belongs to them; those without anything are left out.
    pub fn pairs(&mut self, pairs: Vec<(&'static str, RichText)>) -> &mut Self {
        let pairs: Vec<_> =
            pairs.into_iter().filter(|(_, words)| !words.text().is_empty()).collect();
        self.add(Block::Pairs(pairs))
    }

    /// A piece.
    pub fn add(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }

    /// Laid out as a page of text.
    pub fn page(&self, screen: Screen) -> String {
        let mut page = Page::new(screen);
        let mut numbers_end = 0;
        for block in &self.blocks {
            if !matches!(block, Block::List(ListMark::Number, _)) {
                numbers_end = 0;
            }
            match block {
                Block::Head { level, text, id, .. } => head(&mut page, *level, text, id),
                Block::Para(words) => {
                    page.para(&words.text());
                }
                Block::Warn(words) => {
                    page.item_in(Ink::Warn, " ! ", &words.text());
                }
                Block::List(ListMark::Dot, items) => {
                    for item in items {
                        page.item(" * ", &item.text());
                    }
                }
                Block::List(ListMark::Box, items) => {
                    for item in items {
                        page.item(" [ ] ", &item.text());
                    }
                }
                Block::List(ListMark::Number, items) => {
                    for item in items {
                        numbers_end += 1;
                        page.item(&format!("{numbers_end:>2} "), &item.text());
                    }
                }
                Block::Pairs(pairs) => {
                    for (name, words) in pairs {
                        page.item("", &format!("{name}: {}", words.text()));
                    }
                }
                Block::Table { rows, .. } => {
                    for row in rows {
                        page.item(" * ", &in_words(row));
                    }
                }
                Block::FillIn(what) => {
                    page.blank();
                    let line = page.width().saturating_sub(what.len() + 2).clamp(8, 40);
                    page.item("", &format!("{what}: {}", "_".repeat(line)));
                }
                Block::NewPage => {
                    page.blank();
                }
            }
        }
        page.finish()
    }
}

/// A row of a table in one sentence.
fn in_words(row: &[RichText]) -> String {
    let cells = row.iter().map(RichText::text).filter(|cell| !cell.is_empty());
    let mut cells = cells.enumerate();
    let mut words = cells.next().map_or(String::new(), |(_, first)| first);
    for (place, cell) in cells {
        let between = match (place, words.ends_with(['?', '.'])) {
            (1, true) => " ",
            (1, false) => ": ",
            _ => ", ",
        };
        words.push_str(between);
        words.push_str(&cell);
    }
    words
}

fn head(page: &mut Page, level: u8, text: &str, id: &str) {
    let words = if id.is_empty() { text.to_owned() } else { format!("{text} [{id}]") };
    match level {
        1 if words.chars().count() + 7 <= page.width() => {
            page.title(&words);
        }
        1 => {
            page.title(if id.is_empty() { "Entry" } else { id }).head(text);
        }
        _ => {
            page.blank().head(&words);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stream::paint::Paint;

    #[test]
    fn a_row_becomes_a_sentence_and_empty_lists_leave_no_heading() {
        let mut sheet = Sheet::default();
        sheet.list("Nothing here", ListMark::Dot, Vec::new()).add(Block::Table {
            head: vec!["question", "answer", "word"],
            rows: vec![vec!["Does it jump?".into(), "yes".into(), "often".into()]],
        });
        let text = sheet.page(Screen::new(40, Paint::NONE));
        assert_eq!(text, " * Does it jump? yes, often\n");
    }
}
