//! The readings as they were understood, under each result.

use super::GaugeWording;
use crate::conveyor::quantity::as_seen;
use crate::gauge::{Given, Keyed, Readings, Wanted, Way};
use crate::show::page::{Page, Screen};
use crate::stream::paint::Ink;

/// A longer table is told by its first and last rows.
const WHOLE: usize = 12;
/// How many rows of a longer table stand at its beginning.
const FIRST: usize = 3;

/// The readings with their units, as they were understood.
pub fn understood(screen: Screen, told: GaugeWording, way: &Way, readings: &Readings) -> String {
    let mut page = Page::new(screen);
    page.line(Ink::Plain, "").head("Readings as they were understood");
    for wanted in way.wanted {
        if let Some(given) = readings.given(wanted.key) {
            let filed = wanted.from.is_some() && !readings.seen.contains_key(&wanted.key);
            let from = if filed { " (conveyor's file)" } else { "" };
            let words = words(told, readings, wanted, given);
            page.item(" - ", &format!("{}: {words}{from}", told.sides.fill(wanted.ask)));
        }
    }
    if let Some(rows) = &way.rows {
        let count = readings.rows.len();
        for (at, row) in readings.rows.iter().enumerate() {
            if count > WHOLE && at == FIRST {
                page.item("   ", &format!("... {} more", count - FIRST - 1));
            }
            if count > WHOLE && (FIRST..count - 1).contains(&at) {
                continue;
            }
            let cells: Vec<String> = rows
                .columns
                .iter()
                .filter_map(|wanted| {
                    let words = words(told, readings, wanted, row.given(wanted.key)?);
                    Some(format!("{} {words}", wanted.key.as_str().replace('_', " ")))
                })
                .collect();
            page.item(&format!("{:>3}  ", at + 1), &cells.join(", "));
        }
    }
    page.finish()
}

fn words(told: GaugeWording, readings: &Readings, wanted: &Wanted, given: &Given) -> String {
    match (given, readings.seen.get(&wanted.key), wanted.takes.kind()) {
        (Given::Quantity(size), Some(seen), Some(kind)) => as_seen(*size, kind, seen),
        (Given::Quantity(size), _, _) => size.words(told.units),
        (Given::Count(count), _, _) => count.to_string(),
        (Given::Side(side), _, _) => told.sides.of(*side).to_owned(),
        (Given::Choice(word), _, _) => (*word).to_owned(),
        (Given::Label(name), _, _) => name.clone(),
    }
}
