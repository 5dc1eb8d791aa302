//! Readings as a person would give them, in text.

use proptest::prelude::*;
use straybelt::conveyor::facts::{FactKey, Facts};
use straybelt::conveyor::quantity;
use straybelt::gauge::{
    Amiss, Figure, Gauge, Given, Outcome, Piece, ReadingKey, Readings, Setting, Takes, Wanted,
    Words,
};
use straybelt::trade::{Side, Units};

/// Facts of a conveyor by their words.
pub fn known(facts: &[(&str, &str)]) -> Facts {
    let fact = |(key, value): &(&str, &str)| FactKey::named(key).unwrap().with(value).unwrap();
    facts.iter().map(fact).collect()
}

/// A reading's text as the command line would take it.
pub fn given(wanted: &Wanted, text: &str) -> Given {
    match wanted.takes {
        Takes::Positive(kind) | Takes::NotNegative(kind) | Takes::Signed(kind) => {
            Given::Quantity(quantity::read(text, kind, Units::Metric).unwrap())
        }
        Takes::Count => Given::Count(text.parse().unwrap()),
        Takes::Side => Given::Side(if text == "left" { Side::Left } else { Side::Right }),
        Takes::Choice(words) => {
            Given::Choice(words.iter().find(|(word, _)| *word == text).unwrap().0)
        }
        Takes::Label => Given::Label(text.to_owned()),
    }
}

fn keyed<C: FromIterator<(ReadingKey, Given)>>(
    wanted: &'static [Wanted],
    pairs: &[(&str, &str)],
) -> C {
    pairs
        .iter()
        .map(|(key, text)| {
            let wanted = wanted
                .iter()
                .find(|wanted| wanted.key.as_str() == *key)
                .unwrap_or_else(|| panic!("no {key}"));
            (wanted.key, given(wanted, text))
        })
        .collect()
}

/// Readings of a way of a gauge; each row of a table is its cells in the order of the columns, `""` for none.
pub fn readings(gauge: &Gauge, way: &str, single: &[(&str, &str)], rows: &[&[&str]]) -> Readings {
    let way = gauge.way(way).expect("a way");
    let columns = way.rows.as_ref().map_or(&[][..], |rows| rows.columns);
    Readings {
        way: way.id,
        single: keyed(way.wanted, single),
        rows: rows
            .iter()
            .map(|cells| {
                let pairs: Vec<(&str, &str)> = columns
                    .iter()
                    .zip(*cells)
                    .filter(|(_, cell)| !cell.is_empty())
                    .map(|(column, cell)| (column.key.as_str(), *cell))
                    .collect();
                keyed(columns, &pairs)
            })
            .collect(),
        seen: std::collections::BTreeMap::new(),
    }
}

/// What a gauge makes of readings, nothing known of the conveyor.
pub fn work(
    gauge: &Gauge,
    way: &str,
    single: &[(&str, &str)],
    rows: &[&[&str]],
) -> Result<Outcome, Amiss> {
    (gauge.work)(&readings(gauge, way, single, rows), &Setting::default())
}

/// The figure of that name.
pub fn figure<'o>(outcome: &'o Outcome, id: &str) -> &'o Figure {
    outcome
        .figures
        .iter()
        .find(|figure| figure.id == id)
        .unwrap_or_else(|| panic!("no figure {id}"))
}

/// What the outcome tells under that name.
pub fn tells(outcome: &Outcome, id: &str) -> Option<&'static str> {
    outcome.tells.iter().find(|(known, _)| *known == id).and_then(|(_, word)| *word)
}

/// Sizes that a person, a slip of the finger or a broken file may give: mostly sensible, some of them not.
pub fn any_size() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => 1e-3..1e3_f64,
        2 => -1e3..1e3_f64,
        1 => any::<f64>(),
        1 => prop_oneof![Just(0.0), Just(f64::NAN), Just(f64::INFINITY), Just(1e9), Just(1e-300), Just(1e300)],
    ]
}

/// That a number is as expected, within a tolerance.
pub fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} against {expected}");
}

/// A figure in SI.
pub fn si(outcome: &Outcome, id: &str) -> f64 {
    figure(outcome, id).size.si()
}

/// A sentence with its sides and quantities filled in.
pub fn text(words: &Words) -> String {
    let piece = |piece: &Piece| match piece {
        Piece::Text(text) => text.to_string(),
        Piece::Side(Side::Left) => "LEFT".to_owned(),
        Piece::Side(Side::Right) => "RIGHT".to_owned(),
        Piece::Quantity(quantity) => quantity.words(Units::Metric),
        Piece::Place(metres) => quantity::distance_words(*metres, Units::Metric),
    };
    words.0.iter().map(piece).collect()
}

/// Whether one of the sentences holds this text.
pub fn says(words: &[Words], part: &str) -> bool {
    words.iter().any(|words| text(words).contains(part))
}

/// The reading of that name.
pub fn key(name: &str) -> ReadingKey {
    straybelt::gauge::catalogue::reading_named(name).unwrap()
}
