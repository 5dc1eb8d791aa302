//! Readings from flags and tables.

use std::io::{self, Read, Write};
use std::path::Path;

use super::{Bench, print, worked};
use crate::cli::{GaugeCall, flag};
use crate::commands::{Failed, Streams};
use crate::conveyor::quantity::Bare;
use crate::exit::Exit;
use crate::gauge::given::Gathered;
use crate::gauge::{Gauge, Need, Way, table};

/// No table is larger, in bytes.
const LARGEST: u64 = 256 * 1024 * 1024;

/// Works out what the flags and the table give.
pub(super) fn work(call: &GaugeCall, bench: &Bench, streams: &mut Streams) -> Result<Exit, Failed> {
    match gathered(call, bench) {
        Ok((way, gathered, passed_over)) => {
            for column in passed_over {
                writeln!(
                    streams.err,
                    "warning: the column {column} is passed over: nothing asks for it"
                )?;
            }
            match worked(bench, call.gauge, way, gathered) {
                Ok((readings, outcome)) => print(call, bench, (way, &readings), &outcome, streams),
                Err(amiss) => refuse(&amiss, call.gauge, way, bench, streams),
            }
        }
        Err(words) => {
            writeln!(streams.err, "error: {words}")?;
            Ok(Exit::Usage)
        }
    }
}

fn refuse(
    amiss: &str,
    gauge: &Gauge,
    way: &Way,
    bench: &Bench,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    writeln!(streams.err, "error: {}, {}: {amiss}.", gauge.id, bench.sides.fill(way.title))?;
    let must: Vec<String> = way
        .wanted
        .iter()
        .filter(|wanted| wanted.need == Need::Must)
        .map(|wanted| format!("--{}", flag(wanted.key.as_str())))
        .collect();
    if !must.is_empty() {
        writeln!(streams.err, "do: needed: {}", must.join(" "))?;
    }
    writeln!(streams.err, "do: `straybelt gauge {} --help` says what each is", gauge.id)?;
    Ok(Exit::Usage)
}

type Had = (&'static Way, Gathered, Vec<String>);

fn gathered(call: &GaugeCall, bench: &Bench) -> Result<Had, String> {
    let way = way(call)?;
    let mut gathered = Gathered::repeated(call.repeat);
    for (key, typed) in &call.readings {
        let wanted = way.wanted.iter().find(|wanted| wanted.key.as_str() == *key).ok_or_else(|| {
            format!(
                "--{} is not read when measured by {}; leave it out, or name another way with --by",
                flag(key),
                way.id
            )
        })?;
        let given = wanted.takes.read_as(typed, Bare::Of(bench.units)).map_err(|error| {
            format!(
                "--{} \"{}\": {error}. Write it such as {}",
                flag(key),
                typed.escape_debug(),
                wanted.takes.example(bench.units)
            )
        })?;
        gathered.take(wanted.key, given);
    }
    let mut passed_over = Vec::new();
    match (&call.csv, &way.rows) {
        (Some(path), Some(rows)) => {
            let text = text(path)?;
            let table = table::read(&text, rows, bench.units)
                .map_err(|bad| format!("{}: {bad}", path.display()))?;
            gathered.rows = table.rows;
            gathered.seen.extend(table.seen);
            passed_over = table.passed_over;
        }
        (Some(_), None) => return Err(format!("no table is read when measured by {}", way.id)),
        (None, _) => {}
    }
    Ok((way, gathered, passed_over))
}

/// The way that is named, or the first that reads all that is given.
fn way(call: &GaugeCall) -> Result<&'static Way, String> {
    if let Some(named) = &call.way {
        return call
            .gauge
            .way(named)
            .ok_or_else(|| format!("there is no way {named} to measure this"));
    }
    let reads = |way: &&Way| {
        let all = call
            .readings
            .iter()
            .all(|(key, _)| way.wanted.iter().any(|wanted| wanted.key.as_str() == *key));
        all && (call.csv.is_none() || way.rows.is_some())
    };
    let fitting: Vec<&'static Way> = call.gauge.ways.iter().filter(reads).collect();
    match fitting.as_slice() {
        [only] => Ok(only),
        [first, ..] if call.gauge.ways.len() == 1 => Ok(first),
        _ => {
            let ways: Vec<&str> = call.gauge.ways.iter().map(|way| way.id).collect();
            Err(format!("say with --by how it was measured: {}", ways.join(", ")))
        }
    }
}

fn text(path: &Path) -> Result<String, String> {
    let mut bytes = Vec::new();
    let read = if path.as_os_str() == "-" {
        io::stdin().lock().take(LARGEST + 1).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
    };
    read.map_err(|error| format!("{} cannot be read: {error}", path.display()))?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!("{} is larger than 256 MB: cut it", path.display()));
    }
    String::from_utf8(bytes)
        .map_err(|_| format!("{} is no text in UTF-8: save it as CSV in UTF-8", path.display()))
}
