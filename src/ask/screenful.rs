//! Pages that are taller than the screen stop at a screenful, so that nothing scrolls away unread.

use unicode_width::UnicodeWidthStr;

use crate::stream::terminal::Cells;

/// What has been printed since somebody last pressed a key.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Screenful {
    /// Rows of the screen that it took.
    used: usize,
}

impl Screenful {
    /// Somebody pressed a key: whatever stands there was read.
    pub(super) fn read(&mut self) {
        self.used = 0;
    }

    /// What of a text may be printed now, and what waits until somebody pressed a key. One row is left for the prompt.
    /// A text that fits one screen is not torn; a taller one stops at a blank line near the end of the screen.
    pub(super) fn take<'t>(&mut self, text: &'t str, screen: Cells) -> (&'t str, &'t str) {
        let whole = screen.rows.saturating_sub(1).max(1);
        let free = whole.saturating_sub(self.used);
        let heights: Vec<usize> = text.lines().map(|line| rows_of(line, screen.columns)).collect();
        let all: usize = heights.iter().sum();
        if all <= free {
            self.used += all;
            return (text, "");
        }
        if self.used > 0 && all <= whole {
            return ("", text);
        }
        let fitting = fitting(&heights, free);
        let tears_at =
            |lines: usize| text.lines().nth(lines).is_some_and(|line| line.trim().is_empty());
        let blank = (fitting / 2..=fitting).rev().find(|lines| *lines > 0 && tears_at(*lines));
        let lines = match blank {
            Some(lines) => lines,
            None if self.used > 0 => 0,
            None => fitting.max(1),
        };
        self.used += heights.iter().take(lines).sum::<usize>();
        let end: usize = text.split_inclusive('\n').take(lines).map(str::len).sum();
        text.split_at(end)
    }
}

/// How many lines from the first on take at most so many rows.
fn fitting(heights: &[usize], rows: usize) -> usize {
    let filled = heights.iter().scan(0, |sum, height| {
        *sum += height;
        Some(*sum)
    });
    filled.take_while(|sum| *sum <= rows).count()
}

/// The rows that a line takes, inks left out.
fn rows_of(line: &str, columns: usize) -> usize {
    let plain = dialoguer::console::strip_ansi_codes(line);
    plain.width().div_ceil(columns.max(1)).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SCREEN: Cells = Cells { rows: 6, columns: 10 };

    /// The pieces in which somebody reads it who presses a key after each.
    fn pieces<'t>(screenful: &mut Screenful, text: &'t str) -> Vec<&'t str> {
        let (mut pieces, mut rest) = (Vec::new(), text);
        while !rest.is_empty() {
            let (now, later) = screenful.take(rest, SCREEN);
            pieces.push(now);
            rest = later;
            if !rest.is_empty() {
                screenful.read();
            }
        }
        pieces
    }

    #[test]
    fn what_fits_is_printed_at_once() {
        let text = "1\n2\n3\n4\n5\n";
        assert_eq!(pieces(&mut Screenful::default(), text), [text]);
    }

    #[test]
    fn a_taller_page_stops_at_a_blank_line_near_the_end_of_the_screen() {
        let text = "1\n2\n3\n\n5\n6\n7\n";
        assert_eq!(pieces(&mut Screenful::default(), text), ["1\n2\n3\n", "\n5\n6\n7\n"]);
        let dense = "1\n2\n3\n4\n5\n6\n7\n";
        assert_eq!(pieces(&mut Screenful::default(), dense), ["1\n2\n3\n4\n5\n", "6\n7\n"]);
    }

    #[test]
    fn a_page_that_fits_one_screen_is_not_torn_by_what_stands_above_it() {
        let mut screenful = Screenful::default();
        assert_eq!(pieces(&mut screenful, "1\n2\n"), ["1\n2\n"]);
        assert_eq!(pieces(&mut screenful, "1\n2\n3\n4\n"), ["", "1\n2\n3\n4\n"]);
    }

    #[test]
    fn long_lines_take_the_rows_that_they_wrap_to_and_inks_take_none() {
        let wide = format!("{}\n\u{1b}[1m{}\u{1b}[0m\n", "x".repeat(41), "y".repeat(10));
        let parts = pieces(&mut Screenful::default(), &wide);
        assert_eq!(parts.len(), 2, "five rows and one: {parts:?}");
    }

    #[test]
    fn a_screen_of_no_height_still_shows_something() {
        let (now, later) = Screenful::default().take("1\n2\n", Cells { rows: 0, columns: 0 });
        assert_eq!((now, later), ("1\n", "2\n"));
    }

    proptest::proptest! {
        /// Whatever it is, all of it comes, in order, and no piece is taller than the screen.
        #[test]
        fn nothing_is_lost(text in "([a-z ]{0,8}\n){0,40}", before in 0usize..9) {
            let mut screenful = Screenful { used: before };
            let parts = pieces(&mut screenful, &text);
            proptest::prop_assert_eq!(parts.concat(), text.clone());
            for part in parts {
                proptest::prop_assert!(part.lines().count() < SCREEN.rows, "{:?}", part);
            }
        }
    }
}
