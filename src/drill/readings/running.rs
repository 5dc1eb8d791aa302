//! Film and watch at the running belt, from outside the guards.

use super::hand::{EYE, WATCH};
use super::sheet::{Cell, Sheet};
use super::{STRANDS, Site};
use crate::gauge::Gauge;
use crate::gauge::{spread, trace};
use crate::mechanics::mean_and_swing;
use crate::trade::Strand;

/// Most stations and marks that are looked at.
const STATIONS: usize = 10;
const MARKS: usize = 8;
/// Turns of the belt that are filmed.
const TURNS: usize = 8;
/// Times on a film are read to so many parts of a second.
const FILM: f64 = 100.0;

/// Where the belt runs at one place as each mark goes by, m to the left.
type Row<'r> = &'r Vec<f64>;

impl<'w> Site<'w> {
    /// The places of one strand from tail to head, both pulleys included.
    fn rows(&self, strand: Strand) -> Vec<(String, Row<'w>)> {
        let watched = self.stand.belt.fed();
        let rows = match strand {
            Strand::Carry => &watched.carry,
            Strand::Return => &watched.ret,
        };
        let stands = rows.iter().enumerate();
        let stands = stands.map(|(nth, row)| ((nth + 1).to_string(), row));
        [("tail".to_owned(), &watched.tail)]
            .into_iter()
            .chain(stands)
            .chain([("head".to_owned(), &watched.head)])
            .collect()
    }

    /// The station of a strand at which the belt runs furthest off.
    pub(super) fn furthest_off(&self, strand: Strand) -> usize {
        let watched = self.stand.belt.fed();
        let rows = match strand {
            Strand::Carry => &watched.carry,
            Strand::Return => &watched.ret,
        };
        largest(rows.iter().map(|row| peak_m(row)))
    }

    /// A table of stations and marks on the strand where the belt runs furthest off: evenly spread, the station and
    /// the mark that catch the eye among them.
    pub(super) fn spread(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let strands = STRANDS.map(|strand| self.rows(strand));
        let furthest = |rows: &[(String, Row<'_>)]| {
            rows.iter().map(|(_, row)| peak_m(row)).fold(0.0, f64::max)
        };
        let rows =
            strands.into_iter().reduce(|a, b| if furthest(&b) > furthest(&a) { b } else { a })?;
        let station = largest(rows.iter().map(|(_, row)| peak_m(row)));
        let mark = odd_mark(&rows);
        let mut sheet = Sheet::of(gauge, "edges")?.size(spread::key::ERROR, EYE.off);
        for (name, row) in sample(&rows, station, STATIONS) {
            let marks: Vec<(usize, f64)> = row.iter().copied().enumerate().collect();
            for (nth, off_m) in sample(&marks, mark, MARKS) {
                sheet.row([
                    (spread::key::STATION, Cell::Name(name.clone())),
                    (spread::key::MARK, Cell::Name((nth + 1).to_string())),
                    (spread::key::OFFSET, Cell::Size(self.hand.reads(EYE, *off_m))),
                ]);
            }
        }
        Some(sheet)
    }

    /// The edge at the place where it moves most, turn after turn.
    pub(super) fn trace(&mut self, gauge: &'static Gauge) -> Option<Sheet> {
        let places = STRANDS.map(|strand| self.rows(strand)).concat();
        let swings = places.iter().map(|(_, row)| mean_and_swing(row).1);
        let (_, row) = places.get(largest(swings))?;
        let turn_s = self.line.belt_m() / self.line.speed_m_s;
        let between_s = turn_s / row.len() as f64;
        let mut sheet = Sheet::of(gauge, "edge")?
            .size(trace::key::TURN, self.hand.reads(WATCH, turn_s))
            .size(trace::key::ERROR, EYE.off)
            .known(trace::key::BELT_LENGTH, self.line.belt_m())
            .known(trace::key::SPEED, self.line.speed_m_s);
        // The turn before the first reading and the one after the last bound the record: it spans them all.
        let readings = (0..TURNS).flat_map(|_| row.iter()).chain(row.first());
        for (nth, off_m) in readings.enumerate() {
            let time_s = (nth as f64 * between_s * FILM).round() / FILM;
            sheet.row([
                (trace::key::TIME, Cell::Size(time_s)),
                (trace::key::OFFSET, Cell::Size(self.hand.reads(EYE, *off_m))),
            ]);
        }
        Some(sheet)
    }
}

fn peak_m(row: &[f64]) -> f64 {
    row.iter().fold(0.0, |most, off| most.max(off.abs()))
}

/// The place of the largest; the first of several.
fn largest(sizes: impl Iterator<Item = f64>) -> usize {
    let larger = |best: (usize, f64), it: (usize, f64)| if it.1 > best.1 { it } else { best };
    sizes.enumerate().fold((0, 0.0), larger).0
}

/// The mark that runs furthest from where the rest of the belt runs.
fn odd_mark(rows: &[(String, Row<'_>)]) -> usize {
    debug_assert!(!rows.is_empty(), "both end pulleys are always watched");
    let marks = rows.first().map_or(0, |(_, row)| row.len());
    let off = |mark: usize| {
        let departures = rows.iter().filter_map(|(_, row)| {
            let (mean_m, _) = mean_and_swing(row);
            Some((row.get(mark)? - mean_m).abs())
        });
        departures.fold(0.0, f64::max)
    };
    largest((0..marks).map(off))
}

/// At most so many of a list, evenly spread, the one of this place among them.
fn sample<T>(list: &[T], with: usize, most: usize) -> impl Iterator<Item = &T> {
    let step = list.len().div_ceil(most).max(1);
    list.iter().skip(with % step).step_by(step)
}
