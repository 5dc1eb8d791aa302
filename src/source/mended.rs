//! A text in which slips are put right, so that reading goes on behind them, and the way back from its places to those
//! of the text that the author wrote.

/// A text with changes in it.
#[derive(Debug, Clone)]
pub(super) struct Mended {
    original: String,
    text: String,
    /// In order of place; none overlaps another.
    edits: Vec<Edit>,
}

/// Bytes of the original and what stands in their place.
#[derive(Debug, Clone)]
struct Edit {
    start: usize,
    end: usize,
    put: String,
}

impl Mended {
    pub(super) fn new(text: &str) -> Self {
        Self { original: text.to_owned(), text: text.to_owned(), edits: Vec::new() }
    }

    /// The text as it stands now.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Puts something in place of the bytes `at`, counted in the text as it stands now. Says whether it could: what was
    /// put in before is not changed again.
    pub(super) fn put(&mut self, at: (usize, usize), put: &str) -> bool {
        let (from, to) = at;
        let mut gained = 0_isize;
        let (mut before, mut floor) = (0, 0);
        for edit in &self.edits {
            let start = moved(edit.start, gained);
            let end = start + edit.put.len();
            if from < end && to > start {
                return false;
            }
            if end <= from {
                before += 1;
                floor = edit.end;
            }
            gained += edit.gains();
        }
        let start = self.back(from).max(floor);
        let edit = Edit { start, end: self.back(to).max(start), put: put.to_owned() };
        if self.original.get(edit.start..edit.end).is_none() {
            return false;
        }
        self.edits.insert(before, edit);
        self.rebuild()
    }

    /// The place in the original of a byte of the text as it stands now.
    pub(super) fn back(&self, at: usize) -> usize {
        let mut gained = 0_isize;
        for edit in &self.edits {
            let start = moved(edit.start, gained);
            if at <= start {
                break;
            }
            if at < start + edit.put.len() {
                return (edit.start + (at - start)).min(edit.end);
            }
            gained += edit.gains();
        }
        moved(at, -gained).min(self.original.len())
    }

    fn rebuild(&mut self) -> bool {
        let mut text = String::with_capacity(self.original.len() + 64);
        let mut done = 0;
        for edit in &self.edits {
            let Some(kept) = self.original.get(done..edit.start) else { return false };
            text.push_str(kept);
            text.push_str(&edit.put);
            done = edit.end;
        }
        text.push_str(self.original.get(done..).unwrap_or(""));
        self.text = text;
        true
    }
}

impl Edit {
    fn gains(&self) -> isize {
        self.put.len() as isize - (self.end - self.start) as isize
    }
}

fn moved(at: usize, by: isize) -> usize {
    at.saturating_add_signed(by)
}

#[cfg(test)]
mod tests {
    use super::Mended;

    #[test]
    fn places_lead_back_to_what_the_author_wrote() {
        let mut mended = Mended::new("(a: 1 b: often, c: \"x\")");
        assert!(mended.put((5, 5), ","));
        assert_eq!(mended.text(), "(a: 1, b: often, c: \"x\")");
        assert!(mended.put((10, 15), "Chance(1)"));
        assert_eq!(mended.text(), "(a: 1, b: Chance(1), c: \"x\")");
        let back: Vec<usize> = [0, 5, 6, 10, 19, 24].map(|at| mended.back(at)).into();
        assert_eq!(back, [0, 5, 5, 9, 14, 19]);
        assert!(!mended.put((9, 12), "x"), "what was put in is not changed again");
        // What is put where something was taken out stands behind it.
        let mut out = Mended::new("(a: 1, b: 2)");
        assert!(out.put((7, 11), "") && out.put((7, 7), "c: 3"));
        assert_eq!((out.text(), out.back(11)), ("(a: 1, c: 3)", 11));
        assert!(mended.put((2, 2), "bc"));
        assert_eq!(mended.text(), "(abc: 1, b: Chance(1), c: \"x\")");
        assert_eq!(mended.back(mended.text().len()), 23);
    }
}
