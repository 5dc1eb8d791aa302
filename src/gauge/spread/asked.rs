//! What the gauge `spread` asks for, and reading it.

use super::super::asked::{Asked, EDGE_OFFSET, error_of_one, must};
use super::super::two_way::Table;
use super::super::{Amiss, Kind, Rows, Takes, Wanted, Way, read_by};
use super::key;
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::MachineState;

pub(super) const ERROR: Wanted = error_of_one(&read_by::PHOTO);
const STATION: Wanted = must(key::STATION, "Station", Takes::Label);
const MARK: Wanted = must(key::MARK, "Mark on the belt", Takes::Label);

/// The way to measure.
pub(super) const EDGES: Way = Way {
    id: "edges",
    title: "where the edge runs, mark by mark, at several stations",
    state: MachineState::Running,
    tools: &["camera or phone", "paper", "torch"],
    how: &[
        "Pick 5 or more marks along the belt, evenly round it: splices, patches, scars. Number them. A belt without any is chalked while it is stopped and locked out, never while it moves.",
        "Pick 5 or more stations from tail to head. At each, the {left} edge must be seen from outside the guards against something fixed, such as roll ends.",
        "Run the belt. Stand at the first station, outside the guards. Touch nothing, reach for nothing.",
        "As each mark passes, take a photograph. Read from it how far the {left} edge is from its right place. To the {left} counts above nothing, to the {right} below.",
        "Do the same at every station, from tail to head. Give the stations in that order.",
    ],
    drawing: &[
        "tail                            head",
        "  |---A-----B-----C-----D-----E---|",
        "        marks 1 2 3 4 5 pass by",
        " L edge . . . . . . . . . . . . .",
        " R edge . . . . . . . . . . . . .",
    ],
    wanted: &[ERROR],
    rows: Some(Rows { one: "reading", least: 9, columns: &[STATION, MARK, EDGE_OFFSET] }),
};

/// No edge stands further off than this; more is a slip.
const FARTHEST_M: f64 = 5.0;
const MOST_CELLS: usize = 4_000_000;

/// The readings as a table.
pub(super) struct Read {
    pub(super) table: Table,
    pub(super) stations: Vec<String>,
    pub(super) marks: Vec<String>,
    /// Readings of a cell that had one already.
    pub(super) again: usize,
}

/// Reads the table.
///
/// # Errors
/// What is missing or cannot be.
pub(super) fn table(asked: &Asked) -> Result<Read, Amiss> {
    let (mut stations, mut marks) = (Names::default(), Names::default());
    let mut cells = Vec::with_capacity(asked.length());
    for row in asked.rows() {
        let (station, mark) = (row.name(&STATION)?, row.name(&MARK)?);
        let offset = row.must(&EDGE_OFFSET)?;
        if offset.abs() > FARTHEST_M {
            return Err(row.amiss(
                &EDGE_OFFSET,
                say!(
                    "No edge stands that far off: at most ",
                    Quantity::of(Kind::Distance, FARTHEST_M),
                    ". Check the number and its unit."
                ),
            ));
        }
        cells.push((stations.place(station), marks.place(mark), offset));
    }
    for (names, key, what) in [
        (&stations, key::STATION, "stations along the conveyor"),
        (&marks, key::MARK, "marks on the belt"),
    ] {
        if names.list.len() < 3 {
            return Err(Amiss::with(
                key,
                say!(format!(
                    "There are {} {what}. Read at least 3, or nothing can be told apart.",
                    names.list.len()
                )),
            ));
        }
    }
    if stations.list.len().saturating_mul(marks.list.len()) > MOST_CELLS {
        return Err(Amiss::all(say!(
            "So many stations and marks cannot be one table. Give each station and each mark one name and keep to it."
        )));
    }
    let (station_order, stations) = stations.ordered();
    let (mark_order, marks) = marks.ordered();
    for (place, order) in cells
        .iter_mut()
        .flat_map(|(station, mark, _)| [(station, &station_order), (mark, &mark_order)])
    {
        let new = order.get(*place).copied();
        debug_assert!(new.is_some(), "a cell of a station or mark without a name");
        *place = new.unwrap_or(*place);
    }
    let table = Table::of(stations.len(), marks.len(), &cells);
    Ok(Read { again: cells.len() - table.count(), table, stations, marks })
}

/// Names in the order in which they first came.
#[derive(Default)]
struct Names {
    list: Vec<String>,
    places: std::collections::HashMap<String, usize>,
}

impl Names {
    fn place(&mut self, name: &str) -> usize {
        let name = name.trim();
        if let Some(place) = self.places.get(name) {
            return *place;
        }
        let place = self.list.len();
        self.list.push(name.to_owned());
        self.places.insert(name.to_owned(), place);
        place
    }

    /// By number if all are numbers, else as they came: the new place of each, and the names.
    fn ordered(self) -> (Vec<usize>, Vec<String>) {
        let numbers: Option<Vec<f64>> = self
            .list
            .iter()
            .map(|name| name.parse().ok().filter(|number: &f64| number.is_finite()))
            .collect();
        let order: Vec<usize> = match numbers {
            Some(numbers) => {
                let mut numbered: Vec<(usize, f64)> = numbers.into_iter().enumerate().collect();
                numbered.sort_by(|(_, a), (_, b)| a.total_cmp(b));
                numbered.into_iter().map(|(place, _)| place).collect()
            }
            None => (0..self.list.len()).collect(),
        };
        let mut places = vec![0; order.len()];
        let mut names = Vec::with_capacity(order.len());
        for (new, old) in order.into_iter().enumerate() {
            if let Some(place) = places.get_mut(old) {
                *place = new;
            }
            names.extend(self.list.get(old).cloned());
        }
        (places, names)
    }
}
