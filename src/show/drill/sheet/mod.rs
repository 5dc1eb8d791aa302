//! A drill on paper: the learners' sheet with blank boxes, and the trainer's with the answers, kept apart.
//!
//! Both are rows of pieces, laid out as text and as one page for a browser.

pub mod answers;
mod drawing;
pub mod learners;

use maud::{Markup, html};

use crate::mechanics::Line;
use crate::show::entries::sheet::Sheet;
use crate::show::handbook::html::{self as handbook, END};
use crate::show::page::{Page, Screen};
use crate::show::words::Sides;
use crate::stream::paint::Ink;

/// Styles besides the handbook's own.
const STYLE: &str = include_str!("sheet.css");

/// One piece of a sheet.
#[derive(Debug)]
pub enum Piece {
    /// Words.
    Words(Sheet),
    /// The conveyor from above, for drawing on.
    Conveyor(Box<Line>, Sides),
    /// A table to be filled in by hand: what stands over its columns, each with its share of the width, and how many rows.
    Blank(&'static [(&'static str, usize)], usize),
    /// Boxes to tick.
    Tick(&'static [&'static str]),
    /// What follows begins on a new page.
    NewPage,
}

/// As text.
pub fn text(screen: Screen, pieces: &[Piece]) -> String {
    let mut out = String::new();
    for piece in pieces {
        let mut page = Page::new(screen);
        match piece {
            Piece::Words(sheet) => {
                if !out.is_empty() {
                    out.push('\n');
                }
                out += &sheet.page(screen);
                continue;
            }
            Piece::Conveyor(line, sides) => drawing::text_page(&mut page, line, sides),
            Piece::Blank(columns, rows) => blank(&mut page, columns, *rows),
            Piece::Tick(points) => {
                let pieces: Vec<String> =
                    points.iter().map(|point| format!("[ ] {point}")).collect();
                page.flow(Ink::Plain, &pieces);
            }
            Piece::NewPage => {
                page.blank();
            }
        }
        out += &page.finish();
    }
    out
}

/// Rows of lines to write on, a table where there is room for one.
fn blank(page: &mut Page, columns: &[(&str, usize)], rows: usize) {
    let all: usize = columns.iter().map(|(_, share)| share).sum();
    let room = page.width().saturating_sub(4 + columns.len());
    let widths: Vec<usize> =
        columns.iter().map(|(_, share)| (room * share / all.max(1)).max(3)).collect();
    let fits = columns.iter().zip(&widths).all(|((head, _), width)| head.chars().count() <= *width);
    if fits {
        let heads = columns.iter().zip(&widths).map(|((head, _), width)| format!("{head:<width$}"));
        page.line(Ink::Strong, &format!("    {}", heads.collect::<Vec<_>>().join(" ")));
        for row in 1..=rows {
            let cells: Vec<String> = widths.iter().map(|width| "_".repeat(*width)).collect();
            page.line(Ink::Plain, &format!("{row:>2}  {}", cells.join(" ")));
        }
        return;
    }
    let width = page.width();
    for row in 1..=rows {
        for (nth, (head, _)) in columns.iter().enumerate() {
            let lead = if nth == 0 { format!("{row:>2} ") } else { "   ".to_owned() };
            let line = width.saturating_sub(lead.len() + head.len() + 2).max(3);
            page.line(Ink::Plain, &format!("{lead}{head}: {}", "_".repeat(line)));
        }
    }
}

/// As one page for a browser, to print.
pub fn html(title: &str, pieces: &[Piece]) -> String {
    let body = html! { @for piece in pieces { (one(piece)) } };
    handbook::page(title, &[STYLE], &body)
}

fn one(piece: &Piece) -> Markup {
    match piece {
        Piece::Words(sheet) => handbook::sheet(sheet),
        Piece::Conveyor(line, sides) => drawing::svg(line, sides),
        Piece::Blank(columns, rows) => {
            let all: usize = columns.iter().map(|(_, share)| share).sum();
            let width = |share: usize| format!("width: {}%", 94 * share / all.max(1));
            html! {
                table.blank { (END)
                    thead { tr {
                        th {}
                        @for (head, share) in *columns { th style=(width(*share)) { (head) } }
                    } } (END)
                    tbody { (END)
                        @for row in 1..=*rows {
                            tr { td { (row) } @for _ in *columns { td {} } } (END)
                        }
                    } (END)
                } (END)
            }
        }
        Piece::Tick(points) => html! {
            p.tick { @for point in *points { span { (point) } " " } } (END)
        },
        Piece::NewPage => html! { div.new-page {} (END) },
    }
}
