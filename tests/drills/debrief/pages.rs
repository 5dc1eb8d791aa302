//! Pages of text, at 40 and at 80 columns.

use straybelt::drill::record::Record;
use straybelt::show::drill::debrief::{class, text};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use unicode_width::UnicodeWidthStr;

use super::{bad, good, steered, unfinished, with};

/// Kept at 40 columns, where all is in lists; with its tables at 80 too.
fn both(name: &str, records: &[Record], tables: bool) {
    for width in [40, 80] {
        let screen = Screen::new(width, Paint::NONE);
        let page = with(records, |runs| match runs {
            [run] => text::write(screen, run),
            runs => class::text(screen, runs),
        });
        for line in page.lines() {
            assert!(line.width() <= width, "{width}: {line}");
        }
        if width == 40 || tables {
            insta::assert_snapshot!(format!("{name}_{width}"), page);
        }
    }
}

#[test]
fn a_good_run() {
    both("good", &[good()], true);
}

#[test]
fn a_bad_run() {
    both("bad", &[bad()], false);
}

/// The belt may run true and the cause still be there: that is told apart.
#[test]
fn a_steered_run() {
    both("steered", &[steered()], false);
}

#[test]
fn a_run_that_goes_on_tells_nothing_of_what_is_hidden() {
    both("unfinished", &[unfinished()], false);
}

#[test]
fn a_class() {
    both("class", &[good(), bad(), unfinished()], true);
}
