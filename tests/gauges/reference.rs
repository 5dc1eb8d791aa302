//! Every gauge against `tests/oracle/gauges.jsonl`: three named and 200 drawn measurements of each, worked out in
//! Python by other means (`tests/oracle/gauge_models/`).

use std::collections::BTreeMap;

use serde_json::Value;
use straybelt::conveyor::quantity::Quantity;
use straybelt::gauge::periodogram::{Comb, fit};
use straybelt::gauge::{ALL, Given, ReadingKey, Readings, Setting, Takes, Wanted, Way, named};
use straybelt::trade::Side;

use crate::support::{known, text};

/// What is told once for all measurements of one way.
#[derive(serde::Deserialize)]
pub struct Block {
    gauge: String,
    way: String,
    facts: BTreeMap<String, String>,
    single: Vec<String>,
    columns: Vec<String>,
    figures: Vec<String>,
}

/// A measurement: readings, rows and the figures that come of it.
pub struct Measured {
    pub single: Vec<Value>,
    pub rows: Vec<Vec<Value>>,
    pub figures: Vec<Option<f64>>,
    line: usize,
}

pub fn blocks() -> Vec<(Block, Vec<Measured>)> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/oracle/gauges.jsonl");
    let mut blocks: Vec<(Block, Vec<Measured>)> = Vec::new();
    for (at, line) in std::fs::read_to_string(path).unwrap().lines().enumerate() {
        if line.starts_with('{') {
            blocks.push((serde_json::from_str(line).unwrap(), Vec::new()));
            continue;
        }
        let mut parts: Vec<Value> = serde_json::from_str(line).unwrap();
        if parts[0].is_string() {
            parts.remove(0);
        }
        let mut next = || parts.remove(0);
        let measured = Measured {
            single: serde_json::from_value(next()).unwrap(),
            rows: serde_json::from_value(next()).unwrap(),
            figures: serde_json::from_value(next()).unwrap(),
            line: at + 1,
        };
        blocks.last_mut().unwrap().1.push(measured);
    }
    blocks
}

/// A reading as it stands in the file.
fn given(takes: Takes, value: &Value) -> Given {
    match takes {
        Takes::Positive(kind) | Takes::NotNegative(kind) | Takes::Signed(kind) => {
            Given::Quantity(Quantity::of(kind, value.as_f64().unwrap()))
        }
        Takes::Count => Given::Count(u32::try_from(value.as_u64().unwrap()).unwrap()),
        Takes::Side => {
            Given::Side(if value.as_str() == Some("left") { Side::Left } else { Side::Right })
        }
        Takes::Choice(words) => Given::Choice(
            words.iter().find(|(word, _)| value.as_str() == Some(*word)).expect("a word").0,
        ),
        Takes::Label => Given::Label(value.to_string()),
    }
}

fn keyed<C: FromIterator<(ReadingKey, Given)>>(
    wanted: &'static [Wanted],
    names: &[String],
    values: &[Value],
) -> C {
    assert_eq!(names.len(), values.len());
    let there = names.iter().zip(values).filter(|(_, value)| !value.is_null());
    there
        .map(|(name, value)| {
            let wanted = wanted.iter().find(|wanted| wanted.key.as_str() == name);
            let wanted = wanted.unwrap_or_else(|| panic!("nobody asks for {name}"));
            (wanted.key, given(wanted.takes, value))
        })
        .collect()
}

impl Block {
    fn way(&self) -> &'static Way {
        named(&self.gauge).unwrap().way(&self.way).unwrap()
    }

    /// The conveyor that is measured.
    pub fn setting(&self) -> Setting {
        let facts: Vec<(&str, &str)> =
            self.facts.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
        Setting { facts: known(&facts), ..Setting::default() }
    }

    /// The readings as a person would have given them.
    pub fn readings(&self, measured: &Measured) -> Readings {
        let way = self.way();
        let columns = way.rows.as_ref().map_or(&[][..], |rows| rows.columns);
        let row = |row: &Vec<Value>| keyed(columns, &self.columns, row);
        Readings {
            way: way.id,
            single: keyed(way.wanted, &self.single, &measured.single),
            rows: measured.rows.iter().map(row).collect(),
            seen: BTreeMap::new(),
        }
    }

    /// Where a figure of ours is not theirs.
    fn apart(&self, measured: &Measured, ours: impl Fn(&str) -> Option<f64>) -> Vec<String> {
        let mut apart = Vec::new();
        for (name, theirs) in self.figures.iter().zip(&measured.figures) {
            let ours = ours(name);
            let close = match (ours, theirs) {
                (Some(ours), Some(theirs)) => (ours - theirs).abs() <= 1e-6 * theirs.abs() + 1e-10,
                (None, None) => true,
                _ => false,
            };
            if !close {
                let (gauge, line) = (&self.gauge, measured.line);
                apart.push(format!("{gauge} {name}, line {line}: {ours:?} against {theirs:?}"));
            }
        }
        apart
    }

    /// What the program makes of a measurement, where it is not what the reference makes of it.
    fn apart_from_program(&self, measured: &Measured) -> Vec<String> {
        if self.way == "comb" {
            let (times, offsets) = record(self, measured);
            let base_hz = number(self, measured, "base");
            let found = fit(&times, &offsets, &[Comb { base_hz, count: 3 }]).unwrap();
            return self.apart(measured, |name| {
                let wave =
                    name.strip_prefix("amplitude ").map(|wave| wave.parse::<usize>().unwrap());
                Some(wave.map_or_else(|| found.share(), |wave| found.waves[wave - 1].amplitude()))
            });
        }
        let readings =
            if self.gauge == "trace" { traced(self, measured) } else { self.readings(measured) };
        match (named(&self.gauge).unwrap().work)(&readings, &self.setting()) {
            Ok(outcome) => self.apart(measured, |name| {
                let figure = outcome.figures.iter().find(|figure| figure.id == name);
                figure.map(|figure| figure.size.si())
            }),
            Err(amiss) => vec![format!(
                "{}, line {}: {} {:?}",
                self.gauge,
                measured.line,
                text(&amiss.words),
                amiss.key
            )],
        }
    }
}

/// A number of a measurement that is a record: its readings are what it is made of.
fn number(block: &Block, measured: &Measured, name: &str) -> f64 {
    let place = block.single.iter().position(|it| it == name).unwrap();
    measured.single[place].as_f64().unwrap()
}

/// The record that a measurement's waves make: times and offsets.
fn record(block: &Block, measured: &Measured) -> (Vec<f64>, Vec<f64>) {
    let get = |name| number(block, measured, name);
    let times: Vec<f64> = (0..get("count") as u32).map(|at| f64::from(at) * get("every")).collect();
    let offset = |time: f64| {
        let wave = |wave: &Vec<Value>| {
            let [frequency, amplitude, phase] = [0, 1, 2].map(|at| wave[at].as_f64().unwrap());
            amplitude * (std::f64::consts::TAU * frequency * time - phase).cos()
        };
        get("mean") + measured.rows.iter().map(wave).sum::<f64>()
    };
    let offsets = times.iter().map(|time| offset(*time)).collect();
    (times, offsets)
}

/// A record as readings of the gauge `trace`.
fn traced(block: &Block, measured: &Measured) -> Readings {
    let way = named("trace").unwrap().way("edge").unwrap();
    let columns = way.rows.as_ref().unwrap().columns;
    let names = ["time", "offset"].map(str::to_owned);
    let (times, offsets) = record(block, measured);
    let row = |(time, offset): (&f64, &f64)| {
        keyed(columns, &names, &[Value::from(*time), Value::from(*offset)])
    };
    let turn = [Value::from(number(block, measured, "turn"))];
    Readings {
        way: way.id,
        single: keyed(way.wanted, &["turn".to_owned()], &turn),
        rows: times.iter().zip(&offsets).map(row).collect(),
        seen: BTreeMap::new(),
    }
}

#[test]
fn every_gauge_agrees_with_the_reference_to_a_millionth() {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let mut apart = Vec::new();
    for (block, all) in blocks() {
        *counts.entry(block.gauge.clone()).or_default() += all.len();
        apart.extend(all.iter().flat_map(|measured| block.apart_from_program(measured)));
    }
    assert!(apart.is_empty(), "{} figures are apart:\n{}", apart.len(), apart.join("\n"));
    for gauge in ALL {
        let count = counts.get(gauge.id).copied().unwrap_or_default();
        assert!(count >= 203, "{}: {count} measurements", gauge.id);
    }
}
