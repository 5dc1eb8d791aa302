//! A measurement as a visit keeps it: the readings in words that read back the same.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::gauge::given::Gathered;
use crate::gauge::{self, Gauge, Given, Outcome, ReadingKey, Readings, Row, Wanted, Way};
use crate::rulebook::index::{AnswerAt, SymptomAt};
use crate::rulebook::model::{Book, GaugeMeasure};
use crate::trade::Units;

/// A measurement, and the answers it gave.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measured {
    /// The gauge.
    pub gauge: String,
    /// How it was measured.
    pub way: String,
    /// The single readings, SI with the unit.
    pub single: BTreeMap<String, String>,
    /// The table.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rows: Vec<BTreeMap<String, String>>,
    /// The answers it gave, by symptom; nothing when it was too close to call.
    #[serde(default)]
    pub answers: Vec<(String, Option<String>)>,
}

impl Measured {
    /// Readings of a gauge, with the answers they gave.
    pub fn new(gauge: &Gauge, readings: &Readings, answers: Vec<(String, Option<String>)>) -> Self {
        let written =
            |(key, given): (ReadingKey, &Given)| (key.as_str().to_owned(), given.written());
        Self {
            gauge: gauge.id.to_owned(),
            way: readings.way.to_owned(),
            single: readings.single.iter().map(|(key, given)| written((*key, given))).collect(),
            rows: readings.rows.iter().map(|row| row.iter().map(written).collect()).collect(),
            answers,
        }
    }

    /// The readings; nothing if this program does not know the gauge, the way or a reading any more.
    pub fn readings(&self) -> Option<(&'static Gauge, &'static Way, Readings)> {
        let gauge = gauge::named(&self.gauge)?;
        let way = gauge.way(&self.way)?;
        let read = |wanted: &'static [Wanted], texts: &BTreeMap<String, String>| -> Option<Row> {
            texts
                .iter()
                .map(|(key, text)| {
                    let wanted = wanted.iter().find(|wanted| wanted.key.as_str() == key)?;
                    let given = wanted.takes.read(text, Units::Metric).ok()?;
                    Some((wanted.key, given))
                })
                .collect()
        };
        let columns = way.rows.as_ref().map_or(&[][..], |rows| rows.columns);
        let single = read(way.wanted, &self.single)?;
        let gathered = Gathered {
            single: single.iter().map(|(key, given)| (key, given.clone())).collect(),
            rows: self.rows.iter().map(|row| read(columns, row)).collect::<Option<_>>()?,
            ..Gathered::default()
        };
        let readings = gathered.complete(way).ok()?;
        Some((gauge, way, readings))
    }
}

/// What the outcome of a gauge answers by the rule book: each symptom that names the gauge and of which the
/// readings speak; nothing when it is too close to call. A word that means no answer leaves its symptom out.
pub fn answered(
    book: &Book,
    gauge: &Gauge,
    outcome: &Outcome,
) -> Vec<(SymptomAt, Option<AnswerAt>)> {
    let spoken_of = |tell: &str| outcome.tells.iter().find(|(known, _)| *known == tell);
    let told = |by: &GaugeMeasure| {
        let (_, word) = spoken_of(by.tell.id)?;
        let Some(word) = word else {
            return Some(None);
        };
        let (_, answer) = by.means.iter().find(|(known, _)| known == word)?;
        Some(Some(*answer))
    };
    book.symptoms
        .iter()
        .filter_map(|(at, symptom)| {
            let mut by = symptom.measured.iter().chain(&symptom.also_measured);
            let told = by.find_map(|by| (by.gauge.id == gauge.id).then(|| told(by)).flatten())?;
            Some((at, told))
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on fails loudly")]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::conveyor::quantity::{Kind, Quantity};
    use crate::gauge::Takes;

    proptest! {
        #[test]
        fn a_reading_reads_back_to_the_last_digit(size in -1e6..1e6_f64, kind in 0..10_usize) {
            let kind = [
                Kind::Length, Kind::Distance, Kind::Force, Kind::Modulus, Kind::Speed, Kind::LineMass,
                Kind::Temperature, Kind::Angle, Kind::Time, Kind::Percent,
            ][kind];
            let given = Given::Quantity(Quantity::of(kind, size));
            let again = Takes::Signed(kind).read(&given.written(), Units::Metric).unwrap();
            let Given::Quantity(again) = again else { panic!("no quantity") };
            // uom converts through its base unit, so the last bit may move.
            prop_assert!((again.si() - size).abs() <= 1e-12 * size.abs(), "{} {}", again.si(), size);
        }
    }

    #[test]
    fn every_gauge_and_way_is_found_again() {
        for gauge in gauge::ALL {
            for way in gauge.ways {
                assert!(gauge::named(gauge.id).and_then(|gauge| gauge.way(way.id)).is_some());
            }
        }
    }
}
