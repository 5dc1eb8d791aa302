//! The gauge `spread`: where the belt's edge runs, read at several stations for several marks on the belt, and split
//! into "this place on the conveyor", "this piece of belt" and neither.

mod asked;
pub(crate) mod key;
mod told;

use super::asked::{Asked, length, share};
use super::first_split::{Lead, Spread, split};
use super::limits::{Limit, shipped};
use super::{
    Amiss, Basis, CanTell, Figure, Gauge, Kind, Outcome, Readings, Setting, Tell, Verdict, Words,
    plots, read_by,
};
use crate::say;
use asked::table;

/// The gauge.
pub const GAUGE: Gauge = Gauge {
    id: "spread",
    title: "Place on the conveyor or piece of belt",
    about: "Splits edge readings into what belongs to a place on the conveyor and what to a piece of belt.",
    ways: &[asked::EDGES],
    tells: &[Tell { id: "first-split", words: &["place", "stretch", "part", "both", "neither"] }],
    limits: shipped::OF_SPREAD,
    foretell,
    work,
};

/// What readings by photograph show at all: an edge that stands still within twice their error is not split.
fn foretell(readings: &Readings, setting: &Setting) -> Option<CanTell> {
    let error_m = Asked::of(readings, setting).error(&asked::ERROR, &read_by::PHOTO).ok()?;
    Some(
        CanTell::least("a place or a piece of belt that is off by", Kind::Length, 2.0 * error_m)
            .better(say!(
                "Better: photographs from nearer, or the same marks for more belt turns."
            )),
    )
}

fn work(readings: &Readings, setting: &Setting) -> Result<Outcome, Amiss> {
    let asked = Asked::of(readings, setting);
    let read = table(&asked)?;
    let error_m = asked.error(&asked::ERROR, &read_by::PHOTO)?;
    let limit = setting.limit(&shipped::SPREAD_SHARE);
    let spread = split(&read.table, error_m, limit.size.si()).ok_or_else(|| {
        Amiss::all(say!(
            "Some stations share no mark with the others, so they cannot be compared. Read the same marks at every station."
        ))
    })?;
    let name = |names: &[String], place: usize| names.get(place).cloned().unwrap_or_default();
    let station = name(&read.stations, spread.worst_station.0);
    let mark = name(&read.marks, spread.worst_mark.0);
    let mut figures = shares(&spread, limit);
    figures.extend(worst(&spread, (&station, &mark), error_m));
    let (says, word, work) = told::speak(&spread, &station, &mark);
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
        notes: told::notes(&read, &spread),
        amount: None,
        plot: Some(plots::shades(
            ("station", &read.stations),
            ("mark", &read.marks),
            |station, mark| read.table.cell(station, mark),
        )),
    })
}

/// What belongs to the place, to the piece of belt and to neither.
fn shares(spread: &Spread, limit: Limit) -> Vec<Figure> {
    let leads: &[&str] = match spread.lead {
        Lead::Place | Lead::Stretch | Lead::PlaceOrStretch => &["place"],
        Lead::Part => &["piece"],
        Lead::Both => &["place", "piece"],
        Lead::Neither => &["neither"],
        Lead::Still | Lead::Unclear => &[],
    };
    let [place, piece, neither] = spread.shares;
    let [sure_place, sure_piece, sure_neither] = spread.sure;
    [
        ("place", say!("this place on the conveyor"), place, sure_place),
        ("piece", say!("this piece of belt"), piece, sure_piece),
        ("neither", say!("neither"), neither, sure_neither),
    ]
    .into_iter()
    .map(|(id, what, size, sure)| {
        let from = Basis::Derived("sums of squares of a table split by means");
        let verdict = if spread.lead == Lead::Still {
            Verdict::NoLimit
        } else if leads.contains(&id) {
            Verdict::Beyond
        } else if spread.lead == Lead::Both {
            Verdict::Within
        } else {
            Verdict::of(sure, limit.size.si(), spread.share_error)
        };
        let figure = Figure::of(id, what, Kind::Percent, size, from);
        Figure { error: Some(share(spread.share_error)), limit: Some(limit), verdict, ..figure }
    })
    .collect()
}

fn worst(spread: &Spread, (station, mark): (&str, &str), error_m: f64) -> [Figure; 2] {
    let from = Basis::Derived("the table split by medians");
    let of = |id, what: Words, size_m: f64| {
        let figure = Figure::of(id, what, Kind::Length, size_m, from);
        Figure { error: Some(length(error_m)), ..figure }
    };
    [
        of("worst-station", say!("worst station, ", station.to_owned()), spread.worst_station.1),
        of("worst-mark", say!("worst mark, ", mark.to_owned()), spread.worst_mark.1),
    ]
}
