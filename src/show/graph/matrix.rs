//! The whole book as one picture: a row for each cause, a column for each look, and in each square how strongly the best
//! answer of that look speaks for that cause. No line crosses another.

use maud::{Markup, PreEscaped, html};

use super::svg::{STYLE, text};
use crate::rulebook::index::{CauseAt, List, LookAt};
use crate::show::entries::BookSheets;
use crate::show::handbook::html::END;

/// A square, its room included.
const CELL: f64 = 17.0;
/// The room for names at the left and over the columns.
const LEFT: f64 = 300.0;
const TOP: f64 = 300.0;
/// Around the whole.
const EDGE: f64 = 24.0;
/// An answer that weighs so many decibans fills its square.
const FULL: f64 = 15.0;
/// Below this an answer says nothing.
const LEAST: f64 = 1.0;

/// The picture.
pub fn whole(sheets: &BookSheets) -> String {
    let book = sheets.book;
    let strengths = strengths(sheets);
    // What only lone questions show has no place to stand.
    let looks: Vec<LookAt> =
        (book.looks.iter()).filter(|(_, look)| look.place.is_some()).map(|(at, _)| at).collect();
    let (columns, rows) = (looks.len() as f64, book.causes.len() as f64);
    let width = LEFT + CELL * columns + 2.0 * EDGE;
    let height = TOP + CELL * rows + 3.0 * EDGE + 20.0;
    let title = format!("{} {}: what each look tells of each cause", book.name, book.version);
    let picture = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format_args!("0 0 {width:.0} {height:.0}"))
            width=(format_args!("{width:.0}")) height=(format_args!("{height:.0}")) role="img" { (END)
            title { (title) } (END)
            style { (PreEscaped(STYLE)) } (END)
            rect.paper width=(format_args!("{width:.0}")) height=(format_args!("{height:.0}")) {} (END)
            (text("big", EDGE, 30.0, &title))
            @for (column, look) in looks.iter().enumerate() {
                (head(column, &book.looks[*look].title))
            }
            @for (row, (at, cause)) in book.causes.iter().enumerate() {
                @let y = TOP + EDGE + CELL * row as f64;
                (text("", EDGE, y + 12.0, &short(&cause.name)))
                @for (column, look) in looks.iter().enumerate() {
                    (square(column, y, strengths[at][*look], &format!("{} / {}", cause.id, book.looks[*look].id)))
                }
            }
            (legend(height - 2.0 * EDGE))
        } (END)
    };
    picture.into_string()
}

/// The weight of the best answer of each look for each cause, in decibans.
fn strengths(sheets: &BookSheets) -> List<CauseAt, List<LookAt, f64>> {
    let book = sheets.book;
    let mut all = book.causes.map(|_| List::filled(0.0_f64, book.looks.len()));
    for link in &sheets.links {
        let look = book.symptoms[link.symptom].look;
        let best = &mut all[link.cause][look];
        *best = best.max(link.decibans());
    }
    all
}

fn short(name: &str) -> String {
    let fits = 44;
    if name.chars().count() <= fits {
        return name.to_owned();
    }
    let cut: String = name.chars().take(fits - 1).collect();
    format!("{}\u{2026}", cut.trim_end())
}

/// The title of a column, upright.
fn head(column: usize, title: &str) -> Markup {
    let x = EDGE + LEFT + CELL * column as f64 + 12.0;
    let y = TOP + EDGE - 6.0;
    html! {
        text.k x=(format_args!("{x:.0}")) y=(format_args!("{y:.0}"))
            transform=(format_args!("rotate(-90 {x:.0} {y:.0})")) { (title) } (END)
    }
}

/// A square whose filled part grows with the weight; what it stands for shows under the pointer.
fn square(column: usize, y: f64, decibans: f64, what: &str) -> Markup {
    let x = EDGE + LEFT + CELL * column as f64;
    let room = CELL - 3.0;
    let size = if decibans < LEAST { 0.0 } else { room * (decibans / FULL).min(1.0).sqrt() };
    let inset = (room - size) / 2.0;
    html! {
        rect.cell x=(format_args!("{x:.1}")) y=(format_args!("{y:.1}")) fill="none" stroke="#bbb" stroke-width="0.5"
            width=(format_args!("{room:.1}")) height=(format_args!("{room:.1}")) {
            title { (what) ": " (format_args!("{decibans:.1}")) " decibans" }
        } (END)
        @if size > 0.0 {
            rect.head x=(format_args!("{:.1}", x + inset)) y=(format_args!("{:.1}", y + inset))
                width=(format_args!("{size:.1}")) height=(format_args!("{size:.1}")) {} (END)
        }
    }
}

fn legend(y: f64) -> Markup {
    let words = format!(
        "A full square: the best answer of that look makes the cause some {:.0} times likelier ({FULL:.0} decibans or more). An empty one: it says nothing of it.",
        10.0_f64.powf(FULL / 10.0)
    );
    text("k", EDGE, y, &words)
}
