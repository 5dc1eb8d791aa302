//! Pictures of readings in plain letters, as wide as the screen.

use unicode_width::UnicodeWidthStr;

use super::{FLAT, GaugeWording, size_words};
use crate::gauge::Plot;
use crate::gauge::outcome::{Bars, Heat, Points};
use crate::show::letter_frame::{LetterFrame, WIDE};
use crate::show::page::Page;
use crate::stream::paint::Ink;

/// Lines of a picture of points.
const HIGH: usize = 13;

pub(super) fn draw(page: &mut Page, told: GaugeWording, plot: &Plot) {
    match plot {
        Plot::Points(points) => draw_points(page, told, points),
        Plot::Bars(bars) => draw_bars(page, told, bars),
        Plot::Heat(heat) => draw_heat(page, told, heat),
    }
}

/// The least and the most of some numbers; a little room round a single one.
fn span(numbers: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for number in numbers.filter(|number| number.is_finite()) {
        least = least.min(number);
        most = most.max(number);
    }
    if least > most {
        return None;
    }
    if most - least < FLAT {
        return Some((least - 0.5, most + 0.5));
    }
    Some((least, most))
}

/// A grid of letters.
struct Grid {
    wide: usize,
    cells: Vec<char>,
}

impl Grid {
    fn new(wide: usize) -> Self {
        Self { wide, cells: vec![' '; wide * HIGH] }
    }

    fn put(&mut self, column: usize, row: usize, letter: char) {
        if column < self.wide
            && let Some(cell) = self.cells.get_mut(row * self.wide + column)
        {
            *cell = letter;
        }
    }

    fn rows(&self) -> Vec<String> {
        self.cells.chunks(self.wide).map(|row| row.iter().collect()).collect()
    }
}

fn draw_points(page: &mut Page, told: GaugeWording, plot: &Points) {
    let ends = || plot.lines.iter().flat_map(|(_, ends)| ends.iter());
    let along = span(plot.points.iter().map(|p| p.along).chain(ends().map(|e| e.0)));
    let up = span(plot.points.iter().map(|p| p.up).chain(ends().map(|e| e.1)));
    let (Some(along), Some(up)) = (along, up) else {
        return;
    };
    let height = |up: f64| size_words(told, plot.up.kind, up);
    let end = |along: f64| size_words(told, plot.along.kind, along);
    let frame = LetterFrame {
        heights: [up.1, f64::midpoint(up.0, up.1), up.0].map(height),
        ends: (end(along.0), end(along.1)),
    };
    let wide = frame.wide(page);
    let mut grid = Grid::new(wide);
    let column = |x: f64| {
        (((x - along.0) / (along.1 - along.0)) * (wide - 1) as f64).round().max(0.0) as usize
    };
    let row = |y: f64| (((up.1 - y) / (up.1 - up.0)) * (HIGH - 1) as f64).round().max(0.0) as usize;
    for (_, [from, to]) in &plot.lines {
        for cell in 0..wide {
            let x = along.0 + (along.1 - along.0) * cell as f64 / (wide - 1) as f64;
            let run = to.0 - from.0;
            let inside = (x - from.0) * (x - to.0) <= FLAT;
            if run.abs() > FLAT && inside {
                grid.put(cell, row(from.1 + (to.1 - from.1) * (x - from.0) / run), '-');
            }
        }
    }
    // Those beyond a limit last, so that they are seen.
    for beyond in [false, true] {
        for point in plot.points.iter().filter(|point| point.beyond == beyond) {
            grid.put(column(point.along), row(point.up), if beyond { '#' } else { 'o' });
        }
    }
    page.para_in(Ink::Faint, &told.sides.fill(plot.up.what));
    frame.put(page, &grid.rows());
    let legend = if plot.points.iter().any(|point| point.beyond) {
        "o reading, # beyond the limit"
    } else {
        "o reading"
    };
    let lines: Vec<&str> = plot.lines.iter().map(|(name, _)| *name).collect();
    let lines = match lines.is_empty() {
        true => String::new(),
        false => format!(", - {}", lines.join(", ")),
    };
    page.para_in(Ink::Faint, &told.sides.fill(&format!("{}. {legend}{lines}", plot.along.what)));
}

fn draw_bars(page: &mut Page, told: GaugeWording, plot: &Bars) {
    let most = plot.bars.iter().map(|(_, size)| size.si().abs()).fold(FLAT, f64::max);
    let sizes: Vec<String> = plot.bars.iter().map(|(_, size)| size.words(told.units)).collect();
    let names: Vec<String> = plot.bars.iter().map(|(words, _)| told.words(words)).collect();
    let room = sizes.iter().map(|size| size.width()).max().unwrap_or(0);
    let wide = page.width().min(WIDE).saturating_sub(room + 5).max(8);
    page.para_in(Ink::Faint, &told.sides.fill(plot.what));
    for (((_, size), name), words) in plot.bars.iter().zip(&names).zip(&sizes) {
        let cells = (size.si().abs() / most * wide as f64).round() as usize;
        page.item(" ", name);
        page.line(
            Ink::Plain,
            &format!(
                "  {}{} {words}",
                "#".repeat(cells.min(wide)),
                ".".repeat(wide - cells.min(wide))
            ),
        );
    }
}

/// Letters for how far to a side: the more, the larger.
fn shade(size: f64, most: f64) -> char {
    let share = if most > FLAT { size / most } else { 0.0 };
    match share {
        s if s > 0.6 => 'L',
        s if s > 0.2 => 'l',
        s if s < -0.6 => 'R',
        s if s < -0.2 => 'r',
        _ => '.',
    }
}

fn draw_heat(page: &mut Page, told: GaugeWording, plot: &Heat) {
    let most =
        plot.sizes.iter().flatten().flatten().fold(0.0_f64, |most, size| most.max(size.abs()));
    let (rows, row_names) = &plot.rows;
    let (columns, column_names) = &plot.columns;
    let gutter = row_names.iter().map(|name| name.width()).max().unwrap_or(0).min(14);
    let fits = (page.width().min(WIDE).saturating_sub(gutter + 3)).max(4);
    let shown = column_names.len().min(fits);
    page.para_in(
        Ink::Faint,
        &format!("down: {rows}; across: {columns}. L and R: far to that side, l and r: a little, . about the middle, blank: no reading"),
    );
    for (name, sizes) in row_names.iter().zip(&plot.sizes) {
        let name: String = name.chars().take(gutter).collect();
        let pad = " ".repeat(gutter.saturating_sub(name.width()));
        let cells: String = sizes
            .iter()
            .take(shown)
            .map(|size| size.map_or(' ', |size| shade(size, most)))
            .collect();
        page.line(Ink::Plain, &format!("{pad}{name} |{cells}|"));
    }
    if let (Some(first), Some(last)) =
        (column_names.first(), column_names.get(shown.saturating_sub(1)))
    {
        page.item("   ", &format!("across: {first} to {last}"));
    }
    if shown < column_names.len() {
        page.para_in(
            Ink::Faint,
            &format!("{} more do not fit the screen", column_names.len() - shown),
        );
    }
    page.para_in(Ink::Faint, &format!("furthest: {}", size_words(told, plot.kind, most)));
}
