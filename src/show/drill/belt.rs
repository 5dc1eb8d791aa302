//! The running belt seen from above, drawn in letters: where it lies, how far it swings, where it rubs. No scale:
//! the model gives shapes and sides, never millimetres.

use crate::mechanics::{Line, Watched};
use crate::show::page::Page;
use crate::show::words::Sides;
use crate::stream::paint::Ink;

/// Columns of the belt in the drawing.
const COLUMNS: usize = 34;
/// Rows from the left edge to the right one.
const ROWS: usize = 5;
/// The middle row, and how many shares of the edge room one row is wide.
const MIDDLE: f64 = 2.0;
const ROW: f64 = 0.45;

/// One place: where the belt's middle is at least, at most, and mostly, as shares of the edge room, left positive.
#[derive(Debug, Clone, Copy)]
struct Spot {
    least: f64,
    most: f64,
    mean: f64,
}

/// Adds both strands to a page, tail on the left of the drawing.
pub fn draw(page: &mut Page, watched: &Watched, line: &Line, sides: &Sides) {
    let room_m = line.edge_room_m().max(0.005);
    let ends = |row: &[f64]| row.to_vec();
    // The belt enters the head on the carry strand and the tail on the return strand.
    let mut carry: Vec<(f64, Vec<f64>)> = places(&line.carry.stations_m, &watched.carry);
    carry.push((line.centres_m, ends(&watched.head)));
    let mut ret = vec![(0.0, ends(&watched.tail))];
    ret.extend(places(&line.ret.stations_m, &watched.ret));
    for (name, rows) in [("Carry strand, on top", carry), ("Return strand, below", ret)] {
        page.head(name);
        for text in strand(&rows, line.centres_m, room_m) {
            page.line(Ink::Plain, &text);
        }
    }
    page.line(Ink::Faint, &format!("  tail{:>width$}", "head", width = COLUMNS - 2));
    page.para_in(
        Ink::Faint,
        &format!(
            "Upper edge: {}. Lower edge: {}. = runs here, : swings so far, # rubs.",
            sides.left, sides.right
        ),
    );
}

fn places(stations_m: &[f64], rows: &[Vec<f64>]) -> Vec<(f64, Vec<f64>)> {
    stations_m.iter().copied().zip(rows.iter().cloned()).collect()
}

fn strand(places: &[(f64, Vec<f64>)], centres_m: f64, room_m: f64) -> Vec<String> {
    let mut grid = vec![vec![' '; COLUMNS]; ROWS];
    for column in 0..COLUMNS {
        let x_m = centres_m * (column as f64 + 0.5) / COLUMNS as f64;
        let nearest = places.iter().min_by(|a, b| (a.0 - x_m).abs().total_cmp(&(b.0 - x_m).abs()));
        let Some(spot) = nearest.and_then(|(_, off_m)| spot(off_m, room_m)) else {
            continue;
        };
        let (top, bottom) = (row(spot.most), row(spot.least));
        for (at, cells) in grid.iter_mut().enumerate() {
            let Some(cell) = cells.get_mut(column) else {
                continue;
            };
            if (top..=bottom).contains(&at) {
                *cell = ':';
            }
            if at == row(spot.mean) {
                *cell = '=';
            }
            let rubs = (at == 0 && spot.most >= 1.0) || (at == ROWS - 1 && spot.least <= -1.0);
            if rubs {
                *cell = '#';
            }
        }
    }
    grid.iter().map(|cells| format!(" |{}|", cells.iter().collect::<String>())).collect()
}

fn spot(off_m: &[f64], room_m: f64) -> Option<Spot> {
    let first = *off_m.first()? / room_m;
    let (least, most, sum) = off_m.iter().fold((first, first, 0.0), |(least, most, sum), off| {
        let share = off / room_m;
        (share.min(least), share.max(most), sum + share)
    });
    Some(Spot { least, most, mean: sum / off_m.len() as f64 })
}

/// The row of an offset; the left side is on top.
fn row(share: f64) -> usize {
    (MIDDLE - share / ROW).round().clamp(0.0, (ROWS - 1) as f64) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn left_is_on_top_and_the_edge_is_marked() {
        let rows = strand(&[(5.0, vec![0.06, 0.06])], 10.0, 0.05);
        assert!(rows.first().is_some_and(|row| row.contains('#')), "{rows:?}");
        let rows = strand(&[(5.0, vec![-0.02, -0.02])], 10.0, 0.05);
        assert!(rows.get(3).is_some_and(|row| row.contains('=')), "{rows:?}");
        assert!(rows.iter().all(|row| row.len() == COLUMNS + 3));
    }

    #[test]
    fn a_swing_is_drawn_from_one_extreme_to_the_other() {
        let rows = strand(&[(5.0, vec![0.025, -0.025, 0.0, 0.0])], 10.0, 0.05);
        let column: String = rows.iter().filter_map(|row| row.chars().nth(10)).collect();
        assert_eq!(column, " :=: ");
    }
}
