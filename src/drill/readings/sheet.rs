//! The sheet that readings are written on: keys and rows as the gauge asks for them.

use crate::conveyor::Conveyor;
use crate::conveyor::quantity::Quantity;
use crate::gauge::given::Gathered;
use crate::gauge::{Gauge, Given, ReadingKey, Readings, Row, Takes, Wanted, Way};
use crate::trade::Side;

/// Readings of one way of a gauge.
#[derive(Debug)]
pub(super) struct Sheet {
    way: &'static Way,
    gathered: Gathered,
    /// Sizes for what the conveyor's file may have, used where it has not.
    else_: Vec<(&'static Wanted, Given)>,
}

/// A cell of a row.
#[derive(Debug)]
pub(super) enum Cell {
    /// A size, SI.
    Size(f64),
    /// A name.
    Name(String),
}

impl Sheet {
    /// An empty one; nothing if the gauge has no such way.
    pub(super) fn of(gauge: &'static Gauge, way: &str) -> Option<Self> {
        Some(Self { way: gauge.way(way)?, gathered: Gathered::default(), else_: Vec::new() })
    }

    /// With a size in SI, of the kind that the gauge asks for. What cannot be below nothing is nothing then; what makes
    /// no sense or is not asked for is left out.
    pub(super) fn size(mut self, key: ReadingKey, si: f64) -> Self {
        if let Some((wanted, given)) = read(self.way.wanted, key, si) {
            self.gathered.single.insert(wanted.key, given);
        }
        self
    }

    /// With a size in SI that holds unless the conveyor's file has another.
    pub(super) fn known(mut self, key: ReadingKey, si: f64) -> Self {
        self.else_.extend(read(self.way.wanted, key, si));
        self
    }

    /// With one of the words on offer.
    pub(super) fn word(mut self, key: ReadingKey, word: &'static str) -> Self {
        if let Some(wanted) = find(self.way.wanted, key) {
            self.gathered.single.insert(wanted.key, Given::Choice(word));
        }
        self
    }

    /// With a side.
    pub(super) fn side(mut self, key: ReadingKey, side: Side) -> Self {
        if let Some(wanted) = find(self.way.wanted, key) {
            self.gathered.single.insert(wanted.key, Given::Side(side));
        }
        self
    }

    /// With one more row.
    pub(super) fn row<const N: usize>(&mut self, cells: [(ReadingKey, Cell); N]) {
        let Some(rows) = &self.way.rows else { return };
        let mut row = Row::default();
        for (key, cell) in cells {
            let read = match cell {
                Cell::Size(si) => read(rows.columns, key, si),
                Cell::Name(name) => {
                    find(rows.columns, key).map(|wanted| (wanted, Given::Label(name)))
                }
            };
            if let Some((wanted, given)) = read {
                row.insert(wanted.key, given);
            }
        }
        self.gathered.rows.push(row);
    }

    /// The readings, with what the conveyor's file has; nothing if one is missing that must be there.
    pub(super) fn readings(mut self, conveyor: &Conveyor) -> Option<Readings> {
        self.gathered.fill(self.way, |path| conveyor.dimensions().get(path));
        for (wanted, given) in self.else_ {
            self.gathered.single.entry(wanted.key).or_insert(given);
        }
        self.gathered.complete(self.way).ok()
    }
}

fn find(wanted: &'static [Wanted], key: ReadingKey) -> Option<&'static Wanted> {
    wanted.iter().find(|wanted| wanted.key == key)
}

fn read(wanted: &'static [Wanted], key: ReadingKey, si: f64) -> Option<(&'static Wanted, Given)> {
    let wanted = find(wanted, key)?;
    let si = match wanted.takes {
        Takes::NotNegative(_) => si.max(0.0),
        _ => si,
    };
    let size = Quantity::of(wanted.takes.kind()?, si);
    Some((wanted, wanted.takes.holds(size).ok()?))
}
