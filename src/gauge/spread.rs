//! The gauge `spread`: where the belt's edge runs, read at several stations for several marks on the belt, and split
//! into "this place on the conveyor", "this piece of belt" and neither.

use super::asked::EDGE_OFFSET;
use super::first_split::{Lead, Spread, split};
use super::limits::Shipped;
use super::outcome::{Figure, Heat, Outcome, Plot, Verdict};
use super::readings::{Amiss, Keyed, Kind, Need, Readings, Rows, Takes, Wanted};
use super::two_way::Table;
use super::words::Words;
use super::{Basis, Gauge, Setting, Tell, Way};
use crate::conveyor::quantity::Quantity;
use crate::say;
use crate::trade::MachineState;
use crate::trade::Side;

/// The names of its readings.
pub(crate) mod key {
    pub(crate) use crate::gauge::key::{ERROR, OFFSET};
    use crate::gauge::readings::ReadingKey;

    pub(crate) const MARK: ReadingKey = ReadingKey::new("mark");
    pub(crate) const STATION: ReadingKey = ReadingKey::new("station");
}

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "spread",
    title: "Place on the conveyor or piece of belt",
    about: "Splits edge readings into what belongs to a place on the conveyor and what to a piece of belt.",
    ways: &[Way {
        id: "edges",
        title: "where the edge runs, mark by mark, at several stations",
        state: MachineState::Running,
        tools: &["camera or phone", "paper", "torch"],
        how: &[
            "Pick 5 or more marks along the belt, evenly round it: splices, patches, scars. Number them. A belt without any is chalked while it is stopped and locked out, never while it moves.",
            "Pick 5 or more stations from tail to head. From outside the guards the {left} edge is seen there against something fixed, such as roll ends.",
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
        wanted: &[Wanted {
            key: key::ERROR,
            ask: "How far may one reading be off?",
            takes: Takes::NotNegative(Kind::Length),
            from: None,
            need: Need::May("taken as 3 mm"),
        }],
        rows: Some(Rows {
            one: "reading",
            least: 9,
            columns: &[
                Wanted {
                    key: key::STATION,
                    ask: "Station",
                    takes: Takes::Label,
                    from: None,
                    need: Need::Must,
                },
                Wanted {
                    key: key::MARK,
                    ask: "Mark on the belt",
                    takes: Takes::Label,
                    from: None,
                    need: Need::Must,
                },
                EDGE_OFFSET,
            ],
        }),
    }],
    tells: &[Tell { id: "first-split", words: &["place", "stretch", "part", "neither"] }],
    limits: LIMITS,
    work,
};

pub(super) const SPREAD_SHARE: Shipped = Shipped {
    id: "spread.share",
    what: "share that leads clearly",
    kind: Kind::Percent,
    si: 0.5,
    mark: Basis::Derived("what makes more than half outweighs all the rest"),
};

/// The limits that its readings are held against.
pub(super) const LIMITS: &[&Shipped] = &[&SPREAD_SHARE];

const ERROR_M: f64 = 0.003;
/// No edge stands further off than this; more is a slip.
const FARTHEST_M: f64 = 5.0;
const MOST_CELLS: usize = 4_000_000;

struct Read {
    table: Table,
    stations: Vec<String>,
    marks: Vec<String>,
    again: usize,
}

fn table(readings: &Readings) -> Result<Read, Amiss> {
    let (mut stations, mut marks) = (Names::default(), Names::default());
    let mut cells = Vec::with_capacity(readings.rows.len());
    for (row, reading) in readings.rows.iter().enumerate() {
        let missing =
            |key| Amiss::at(row, key, say!("This is missing: give it, or leave the row out."));
        let station = reading.label(key::STATION).ok_or_else(|| missing(key::STATION))?;
        let mark = reading.label(key::MARK).ok_or_else(|| missing(key::MARK))?;
        let offset = reading.si(key::OFFSET).ok_or_else(|| missing(key::OFFSET))?;
        if !offset.is_finite() || offset.abs() > FARTHEST_M {
            return Err(Amiss::at(
                row,
                key::OFFSET,
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
            return Err(Amiss {
                row: None,
                key: Some(key),
                words: say!(format!(
                    "There are {} {what}. Read at least 3, or nothing can be told apart.",
                    names.list.len()
                )),
            });
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

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let read = table(readings)?;
    let error_m = readings.si(key::ERROR).unwrap_or(ERROR_M);
    let limit = setting.limit(&SPREAD_SHARE);
    let clear = limit.size.si();
    let spread = split(&read.table, error_m, clear).ok_or_else(|| {
        Amiss::all(say!(
            "Some stations share no mark with the others, so they cannot be compared. Read the same marks at every station."
        ))
    })?;
    let name = |names: &[String], place: usize| names.get(place).cloned().unwrap_or_default();
    let station = name(&read.stations, spread.worst_station.0);
    let mark = name(&read.marks, spread.worst_mark.0);
    let length = |size: f64| Quantity::of(Kind::Length, size);
    let [place, piece, neither] = spread.sure;
    let leading = match spread.lead {
        Lead::Place | Lead::Stretch | Lead::PlaceOrStretch => Some("place"),
        Lead::Part => Some("piece"),
        Lead::Neither => Some("neither"),
        Lead::Still | Lead::Unclear => None,
    };
    let share = |id, what: Words, size: f64, sure: f64| Figure {
        id,
        what,
        size: Quantity::of(Kind::Percent, size),
        error: Some(Quantity::of(Kind::Percent, spread.share_error)),
        limit: Some(limit),
        verdict: if spread.lead == Lead::Still {
            Verdict::NoLimit
        } else if leading == Some(id) {
            Verdict::Beyond
        } else {
            Verdict::of(sure, clear, spread.share_error)
        },
        mark: Basis::Derived("sums of squares of a table split by means").into(),
    };
    let off = |id, what: Words, size: f64, error: f64| Figure {
        id,
        what,
        size: length(size),
        error: Some(length(error)),
        limit: None,
        verdict: Verdict::NoLimit,
        mark: Basis::Derived("the table split by medians").into(),
    };
    let [raw_place, raw_piece, raw_neither] = spread.shares;
    let figures = vec![
        share("place", say!("this place on the conveyor"), raw_place, place),
        share("piece", say!("this piece of belt"), raw_piece, piece),
        share("neither", say!("neither"), raw_neither, neither),
        off(
            "worst-station",
            say!("worst station, ", station.clone()),
            spread.worst_station.1,
            error_m,
        ),
        off("worst-mark", say!("worst mark, ", mark.clone()), spread.worst_mark.1, error_m),
    ];
    let (says, word, work) = speak(&spread, &station, &mark);
    Ok(Outcome {
        says,
        verdict: match spread.lead {
            Lead::Still => Verdict::NoLimit,
            Lead::Unclear | Lead::PlaceOrStretch => Verdict::TooClose,
            _ => Verdict::Beyond,
        },
        figures,
        tells: vec![("first-split", word)],
        work,
        notes: notes(&read, &spread),
        amount: None,
        plot: Some(Plot::Heat(Heat {
            rows: ("station", read.stations.clone()),
            columns: ("mark", read.marks.clone()),
            sizes: (0..read.table.rows())
                .map(|row| {
                    (0..read.table.columns()).map(|column| read.table.cell(row, column)).collect()
                })
                .collect(),
            kind: Some(Kind::Length),
        })),
    })
}

fn toward(off_m: f64) -> (Quantity, Side) {
    (Quantity::of(Kind::Length, off_m.abs()), Side::of_sign(off_m).unwrap_or(Side::Left))
}

/// The sentence, the word for the symptom, and what to do.
fn speak(spread: &Spread, station: &str, mark: &str) -> (Words, Option<&'static str>, Vec<Words>) {
    let (far, side) = toward(spread.worst_station.1);
    let (mark_far, mark_side) = toward(spread.worst_mark.1);
    let look = say!(
        "Look at rolls, pulleys and frame at station ",
        station.to_owned(),
        " and just before it, the way the belt comes."
    );
    match spread.lead {
        Lead::Place => (
            say!(
                "It is the place: all of the belt is off at station ",
                station.to_owned(),
                ", by ",
                far,
                " to the ",
                side,
                "."
            ),
            Some("place"),
            vec![look],
        ),
        Lead::Stretch => (
            say!(
                "It is a long stretch: all of the belt is off at several neighbouring stations. Worst at ",
                station.to_owned(),
                ": ",
                far,
                " to the ",
                side,
                "."
            ),
            Some("stretch"),
            vec![say!(
                "Look at how the belt comes round the tail, and at the loading. Then look at level and line of the frame along the stretch."
            )],
        ),
        Lead::PlaceOrStretch => (
            say!(
                "It is the place, not the belt. One place or a stretch round station ",
                station.to_owned(),
                " is too close to call: measure again with stations closer together."
            ),
            None,
            vec![look],
        ),
        Lead::Part => (
            say!(
                "It is the belt: the piece at mark ",
                mark.to_owned(),
                " runs ",
                mark_far,
                " to the ",
                mark_side,
                " of the rest, wherever it goes."
            ),
            Some("part"),
            vec![say!(
                "Look at the belt at mark ",
                mark.to_owned(),
                ": the splice first, then bow and torn edges."
            )],
        ),
        Lead::Neither => (
            say!(
                "It is neither a place nor a piece of belt: the edge is never in the same place twice."
            ),
            Some("neither"),
            vec![say!(
                "Look at whether the empty belt lies on all rolls of the trough. Look at whether the load lands in the middle all the time."
            )],
        ),
        Lead::Still => (
            say!("The edge stands still within the reading error: there is nothing to split."),
            None,
            Vec::new(),
        ),
        Lead::Unclear => (
            say!(
                "Too close to call: measure again, the same marks for 2 more belt turns. Put the further readings in the same table."
            ),
            None,
            Vec::new(),
        ),
    }
}

fn notes(read: &Read, spread: &Spread) -> Vec<Words> {
    let mut notes = Vec::new();
    let missing = read.table.rows() * read.table.columns() - read.table.count();
    if missing > 0 {
        notes.push(say!(format!(
            "{missing} of {} cells have no reading. The split is the best fit to those that have; its shares are less sure.",
            read.table.rows() * read.table.columns()
        )));
    }
    if read.again > 0 {
        notes.push(say!(format!(
            "{} readings are of a station and mark that had one already: taken as further belt turns, and the mean used.",
            read.again
        )));
    }
    let [place, piece, _] = spread.sure;
    if spread.lead != Lead::Still && place.min(piece) > 0.1 {
        notes.push(say!(
            "Both have a share: there is likely more than one cause. Put the larger right first, then read again."
        ));
    }
    notes.push(say!(
        "The shares add up as if place and belt did not act on each other. A belt that slips sideways can break that."
    ));
    notes
}
