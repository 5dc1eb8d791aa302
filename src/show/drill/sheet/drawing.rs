//! The conveyor from above, empty: for drawing where the belt runs, and for marking where hands go.

use maud::{Markup, html};

use crate::mechanics::Line;
use crate::show::handbook::html::END;
use crate::show::page::Page;
use crate::show::words::Sides;
use crate::stream::paint::Ink;
use crate::trade::Strand;

/// A phone's width without its margins is about this many pixels.
const WIDTH: f64 = 380.0;
const ALONG: (f64, f64) = (38.0, 338.0);
/// From one strand to the next, where its middle is below its beginning, half the width of the belt.
const STRIP: f64 = 112.0;
const MIDDLE: f64 = 60.0;
const HALF: f64 = 26.0;
/// Columns of the belt drawn in letters.
const COLUMNS: usize = 34;
/// A mark with a number stands at every so many idlers.
const EVERY: usize = 5;

const STRANDS: [(Strand, &str); 2] =
    [(Strand::Carry, "carry strand, above"), (Strand::Return, "return strand, below")];

pub(super) fn svg(line: &Line, sides: &Sides) -> Markup {
    let x = |at_m: f64| ALONG.0 + (ALONG.1 - ALONG.0) * (at_m / line.centres_m).clamp(0.0, 1.0);
    html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format_args!("0 0 {WIDTH:.0} {:.0}", 2.0 * STRIP)) role="img" { (END)
            title { "The conveyor from above, to draw on" } (END)
            @for (nth, (strand, name)) in STRANDS.iter().enumerate() {
                @let top = STRIP * nth as f64;
                @let middle = top + MIDDLE;
                (text("start", 2.0, top + 14.0, &format!("{name}. Upper edge: {}", sides.left)))
                (text("end", ALONG.0 - 5.0, middle + 4.0, "tail"))
                (text("start", ALONG.1 + 5.0, middle + 4.0, "head"))
                rect.strand x=(format_args!("{:.0}", ALONG.0)) y=(format_args!("{:.0}", middle - HALF))
                    width=(format_args!("{:.0}", ALONG.1 - ALONG.0)) height=(format_args!("{:.0}", 2.0 * HALF)) {} (END)
                path.middle d=(format_args!("M{:.0} {middle:.0}H{:.0}", ALONG.0, ALONG.1)) {} (END)
                @for (station, at_m) in line.idlers(*strand).stations_m.iter().enumerate() {
                    @if numbered(line, *strand, station) {
                        path.idler d=(format_args!("M{:.1} {:.0}v{:.0}", x(*at_m), middle - HALF - 3.0, 2.0 * HALF + 6.0)) {} (END)
                        (text("mid", x(*at_m), middle + HALF + 16.0, &(station + 1).to_string()))
                    }
                }
            }
        } (END)
    }
}

/// Whether an idler has a mark with its number: so many that they can be read, and the first.
fn numbered(line: &Line, strand: Strand, station: usize) -> bool {
    let stations = line.idlers(strand).stations_m.len();
    // On a long conveyor fewer have one, so that the numbers keep apart.
    let every = EVERY * (1 + stations / (8 * EVERY));
    station == 0 || (station + 1).is_multiple_of(every)
}

pub(super) fn text_page(page: &mut Page, line: &Line, sides: &Sides) {
    for (strand, name) in STRANDS {
        page.head(name);
        let blank = format!(" |{}|", " ".repeat(COLUMNS));
        page.line(Ink::Plain, &blank);
        page.line(Ink::Plain, &format!(" |{}|", "- ".repeat(COLUMNS / 2)));
        page.line(Ink::Plain, &blank);
        page.line(Ink::Faint, &numbers(line, strand));
    }
    page.line(Ink::Faint, &format!("  tail{:>width$}", "head", width = COLUMNS - 2));
    page.para_in(
        Ink::Faint,
        &format!(
            "Upper edge: {}. Lower edge: {}. Numbers: idlers, counted from the tail.",
            sides.left, sides.right
        ),
    );
}

/// The numbers of some idlers below their places.
fn numbers(line: &Line, strand: Strand) -> String {
    let mut row = vec![' '; COLUMNS + 4];
    let mut free = 0;
    for (station, at_m) in line.idlers(strand).stations_m.iter().enumerate() {
        let at = 2 + (COLUMNS as f64 * (at_m / line.centres_m).clamp(0.0, 0.99)) as usize;
        if !numbered(line, strand, station) || at < free {
            continue;
        }
        let number = (station + 1).to_string();
        for (cell, digit) in row.iter_mut().skip(at).zip(number.chars()) {
            *cell = digit;
        }
        free = at + number.len() + 1;
    }
    row.into_iter().collect::<String>().trim_end().to_owned()
}

fn text(anchor: &str, x: f64, y: f64, words: &str) -> Markup {
    html! {
        text class=(anchor) x=(format_args!("{x:.1}")) y=(format_args!("{y:.1}")) { (words) } (END)
    }
}
