//! Builders of pictures, the same for all gauges.

use super::fit::Line;
use super::outcome::{Axis, Bars, Heat, Plot, Point, Points};
use super::words::Words;
use crate::conveyor::quantity::{Kind, Quantity};

/// Points over an axis of one kind, up an axis of another.
pub(super) fn along(along: (&'static str, Kind), up: (&'static str, Kind)) -> Drawn {
    drawn(Axis { what: along.0, kind: Some(along.1) }, Axis { what: up.0, kind: Some(up.1) })
}

/// Points by a plain number, or one beside the other: 1, 2, 3.
pub(super) fn in_order(what: &'static str, up: (&'static str, Kind)) -> Drawn {
    drawn(Axis { what, kind: None }, Axis { what: up.0, kind: Some(up.1) })
}

fn drawn(along: Axis, up: Axis) -> Drawn {
    Drawn(Points { along, up, ..Points::default() })
}

/// A picture of points that is being drawn.
pub(super) struct Drawn(Points);

impl Drawn {
    /// With these points, and whether each is beyond a limit.
    pub(super) fn points(mut self, points: impl Iterator<Item = ((f64, f64), bool)>) -> Self {
        self.0.points.extend(points.map(|((along, up), beyond)| Point {
            along,
            up,
            beyond,
            label: None,
        }));
        self
    }

    /// With points by name, one beside the other.
    pub(super) fn named(mut self, points: impl Iterator<Item = (String, f64, bool)>) -> Self {
        self.0.points.extend(points.enumerate().map(|(at, (label, up, beyond))| Point {
            along: (at + 1) as f64,
            up,
            beyond,
            label: Some(label),
        }));
        self
    }

    /// With points that have each its place and its name.
    pub(super) fn labelled(
        mut self,
        points: impl Iterator<Item = ((f64, f64), bool, String)>,
    ) -> Self {
        self.0.points.extend(points.map(|((along, up), beyond, label)| Point {
            along,
            up,
            beyond,
            label: Some(label),
        }));
        self
    }

    /// With straight lines from the first point to the last.
    pub(super) fn lines(mut self, lines: &[(&'static str, Line)]) -> Self {
        if let (Some(first), Some(last)) = (self.0.points.first(), self.0.points.last()) {
            let (from, to) = (first.along, last.along);
            let ends = |line: &Line| [(from, line.at(from)), (to, line.at(to))];
            self.0.lines.extend(lines.iter().map(|(name, line)| (*name, ends(line))));
        }
        self
    }

    /// The picture.
    pub(super) fn plot(self) -> Plot {
        Plot::Points(self.0)
    }
}

/// Bars of sizes, each with its words.
pub(super) fn bars(what: &'static str, bars: Vec<(Words, Quantity)>) -> Plot {
    Plot::Bars(Bars { what, bars })
}

/// A table of lengths as shades: what a row and a column are and what each is called, and the lengths row by row.
pub(super) fn shades(
    rows: (&'static str, &[String]),
    columns: (&'static str, &[String]),
    cell_m: impl Fn(usize, usize) -> Option<f64>,
) -> Plot {
    let row = |row| (0..columns.1.len()).map(|column| cell_m(row, column)).collect();
    Plot::Heat(Heat {
        sizes: (0..rows.1.len()).map(row).collect(),
        rows: (rows.0, rows.1.to_vec()),
        columns: (columns.0, columns.1.to_vec()),
        kind: Some(Kind::Length),
    })
}

/// The level line.
pub(super) const ZERO: Line = Line { at_zero: 0.0, slope: 0.0 };
