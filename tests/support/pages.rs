//! Pages at two widths. A page is kept as a snapshot at 40 columns; at 80 it has to say the same.

use std::collections::HashSet;

use unicode_width::UnicodeWidthStr;

/// A page at 40 columns, after it was held against itself at 80.
#[track_caller]
pub fn held(page: impl Fn(usize) -> String) -> String {
    let (narrow, wide) = (page(40), page(80));
    fits(&narrow, 40);
    fits(&wide, 80);
    same_words(&narrow, &wide);
    narrow
}

/// Fails if a line is wider than the screen.
#[track_caller]
pub fn fits(page: &str, width: usize) {
    for line in page.lines() {
        assert!(line.width() <= width, "wider than {width}: {line:?}");
    }
}

/// Fails unless two pages have the same words in the same order, wherever their lines break.
#[track_caller]
pub fn same_words(narrow: &str, wide: &str) {
    let (narrow, wide) = (words(narrow), words(wide));
    let same = narrow.iter().zip(&wide).take_while(|(n, w)| n == w).count();
    let near = |words: &[&str]| {
        let from = same.saturating_sub(8).min(words.len());
        words[from..(same + 8).min(words.len())].join(" ")
    };
    assert!(
        narrow == wide,
        "after {same} words that are the same\n40 columns: {}\n80 columns: {}",
        near(&narrow),
        near(&wide)
    );
}

/// What was seen, with every page that is among the known ones, or came before, named by its title alone: a page is
/// kept once. What was typed stands as it is.
pub fn once(seen: &str, known: &HashSet<String>) -> String {
    let (mut before, mut kept) = (HashSet::new(), String::new());
    for page in pages(seen) {
        let (body, typed) = parted(page);
        let title = body.lines().next().unwrap_or_default();
        if body.lines().count() > 2 && (known.contains(body) || !before.insert(body.to_owned())) {
            kept.push_str(&format!(
                "{} (as elsewhere)\n{typed}",
                title.trim_end_matches(['-', ' '])
            ));
        } else {
            kept.push_str(page);
        }
    }
    kept
}

/// The pages of a sitting, without what was typed at their ends.
pub fn bodies(seen: &str) -> HashSet<String> {
    pages(seen).map(|page| parted(page).0.to_owned()).collect()
}

/// What was seen, cut before each title.
fn pages(seen: &str) -> impl Iterator<Item = &str> {
    let title = "\n--- ";
    let mut rest = seen;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let end = rest.get(1..).and_then(|more| more.find(title)).map_or(rest.len(), |at| at + 2);
        let (page, more) = rest.split_at(end);
        rest = more;
        Some(page)
    })
}

/// A page without its last line, and that line: the reply.
fn parted(page: &str) -> (&str, &str) {
    let lines = page.trim_end_matches('\n');
    page.split_at(lines.rfind('\n').map_or(0, |at| at + 1))
}

/// The words of a page, without what is drawn: rules, bars, arrows, the strands of a conveyor.
fn words(page: &str) -> Vec<&str> {
    let drawn = |word: &str| word.len() > 1 && word.chars().all(|c| "-=#.+|<>[]".contains(c));
    page.split_whitespace().filter(|word| !drawn(word)).collect()
}
