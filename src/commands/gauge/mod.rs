//! `straybelt gauge`: a measurement by prompts, by flags or from a table.

mod flags;
pub(super) mod form;
mod keep;

use std::io::Write;
use std::path::Path;

use super::{Failed, Streams, asker, setting};
use crate::ask::Lost;
use crate::cli::{GaugeArgs, GaugeCall, GaugeFormat};
use crate::conveyor::quantity::Quantity;
use crate::conveyor::{self, Conveyor};
use crate::exit::Exit;
use crate::gauge::given::Gathered;
use crate::gauge::{self, Outcome, Readings, Setting, Way};
use crate::problem::{Problem, Problems};
use crate::rulebook::model::Book;
use crate::show::gauge as pages;
use crate::show::words::Sides;
use crate::stream;
use crate::trade::Units;
use crate::visit::answered;

/// Lists the gauges, or works one measurement out.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(args: &GaugeArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let Some(call) = &args.call else {
        let screen = streams.screen();
        let list = pages::list(screen, gauge::ALL);
        streams.out.page(&list)?;
        return Ok(Exit::Done);
    };
    let book = super::book(call.rules.as_deref(), streams)?;
    let conveyor = known(call.conveyor.as_deref(), streams)?;
    let (setting, said) = setting::of(&conveyor);
    if said.iter().any(Problem::is_error) {
        return super::refuse(&Problems(said), streams);
    }
    super::rules::tell(&said, streams)?;
    let setting = setting.with_rules(book.rule_sizes());
    let bench = Bench {
        book: &book,
        setting: &setting,
        sides: &sides(&conveyor),
        units: units(call, &conveyor),
        dimensions: &|path| conveyor.dimensions().get(path),
        repeat: call.repeat,
    };
    if call.readings.is_empty() && call.csv.is_none() {
        talk(call, &bench, streams)
    } else {
        flags::work(call, &bench, streams)
    }
}

/// Where a measurement is worked out.
#[derive(Clone, Copy)]
pub(super) struct Bench<'a> {
    pub(super) book: &'a Book,
    pub(super) setting: &'a Setting,
    pub(super) sides: &'a Sides,
    pub(super) units: Units,
    pub(super) dimensions: &'a dyn Fn(&str) -> Option<Quantity>,
    /// How often each reading is taken.
    pub(super) repeat: u32,
}

impl<'a> Bench<'a> {
    pub(super) fn told(&self) -> pages::GaugeWording<'a> {
        pages::GaugeWording { book: self.book, sides: self.sides, units: self.units, places: None }
    }
}

/// What the sides of a conveyor are called.
pub(super) fn sides(conveyor: &Conveyor) -> Sides {
    let sides = conveyor.sides();
    Sides::named(sides.left.as_deref(), sides.right.as_deref())
}

fn known(path: Option<&Path>, streams: &mut Streams) -> Result<Conveyor, Failed> {
    let Some(path) = path else {
        return Ok(Conveyor::default());
    };
    match conveyor::read(path) {
        Ok((conveyor, warnings)) => {
            super::rules::tell(&warnings, streams)?;
            Ok(conveyor)
        }
        Err(problems) => super::refuse(&problems, streams).and_then(Failed::told),
    }
}

/// The units to use: those named, else those of the conveyor. What was used last never counts: it would turn 900 mm into
/// 900 in without a word.
fn units(call: &GaugeCall, conveyor: &Conveyor) -> Units {
    call.units.or(conveyor.units()).unwrap_or_default()
}

/// Asks for the readings.
fn talk(call: &GaugeCall, bench: &Bench, streams: &mut Streams) -> Result<Exit, Failed> {
    let (mut ask, screen) = asker::somebody(call.plain.manner(), streams);
    let named = call.way.as_deref().and_then(|way| call.gauge.way(way));
    let way = match named {
        Some(way) => Ok(Some(way)),
        None => form::choose(ask.as_mut(), screen, bench, call.gauge),
    };
    let measured = way.and_then(|way| {
        let way = way.ok_or(Lost::EndOfInput)?;
        let measured = form::measure(ask.as_mut(), screen, bench, call.gauge, way)?;
        Ok((way, measured))
    });
    match measured {
        Ok((way, measured)) => {
            let exit = print(call, bench, (way, &measured.readings), &measured.outcome, streams)?;
            streams.out.flush()?;
            if let Some(path) = &call.conveyor {
                let taken = keep::TakenReadings { way, readings: &measured.readings, path };
                keep::offer(ask.as_mut(), screen, bench, &taken, streams)?;
            }
            Ok(exit)
        }
        Err(Lost::Interrupted) => Ok(Exit::Interrupted),
        Err(_) => {
            writeln!(
                streams.err,
                "error: the readings ended before all were given; nothing is worked out."
            )?;
            Ok(Exit::Usage)
        }
    }
}

fn print(
    call: &GaugeCall,
    bench: &Bench,
    (way, readings): (&Way, &Readings),
    outcome: &Outcome,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let answers = answered(bench.book, call.gauge, outcome);
    let told = bench.told().placed(way, readings);
    let text = match call.format {
        GaugeFormat::Text => {
            let screen = streams.screen();
            let page = pages::outcome(screen, told, call.gauge, outcome);
            page + &pages::understood(screen, told, way, readings)
                + &pages::errors_set(screen, told, way, readings)
                + &pages::answered(screen, told, &answers)
        }
        GaugeFormat::Json => {
            let document = pages::document(told, call.gauge, (way, readings), outcome, &answers);
            stream::json(&document)?
        }
    };
    streams.out.page(&text)?;
    Ok(Exit::Done)
}

/// Works out what was gathered; what the conveyor knows is filled in.
///
/// # Errors
/// What is amiss with the readings, in words.
pub(super) fn worked(
    bench: &Bench,
    gauge: &gauge::Gauge,
    way: &'static Way,
    gathered: Gathered,
) -> Result<(Readings, Outcome), String> {
    let mut gathered = gathered.averaged(way).map_err(|amiss| bench.told().amiss(&amiss, way))?;
    gathered.fill(way, bench.dimensions);
    let readings = gathered.complete(way).map_err(|amiss| bench.told().amiss(&amiss, way))?;
    let outcome =
        (gauge.work)(&readings, bench.setting).map_err(|amiss| bench.told().amiss(&amiss, way))?;
    Ok((readings, outcome))
}
