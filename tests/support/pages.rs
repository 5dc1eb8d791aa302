//! Pages at two widths. A page is kept as a snapshot at 40 columns; at 80 it has to say the same.

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

/// The words of a page, without what is drawn: rules, bars, arrows, the strands of a conveyor.
fn words(page: &str) -> Vec<&str> {
    let drawn = |word: &str| word.len() > 1 && word.chars().all(|c| "-=#.+|<>[]".contains(c));
    page.split_whitespace().filter(|word| !drawn(word)).collect()
}
