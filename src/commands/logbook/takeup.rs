//! `logbook takeup`: how the take-up stands, by flags, in words or from a table.

use super::measure::Measure;
use super::whence::{ToEnter, Whence, enter, sentence};
use super::which::{self, Named};
use super::{Desk, sizes, table};
use crate::ask::Lost;
use crate::cli::TakeupArgs;
use crate::commands::form::{Filled, Form, KEYS};
use crate::commands::{Failed, Streams, asker};
use crate::conveyor::quantity::{self, Kind};
use crate::exit::Exit;
use crate::logbook::size::Millimetres;
use crate::logbook::{LogbookRecord, Reading, What};
use crate::show::words::Sides;
use crate::trade::TakeUp;

/// Enters readings.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn run(desk: &Desk, args: &TakeupArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    let named = which::named(desk, &args.conveyor, streams)?;
    let record = which::known(desk, &named, streams)?;
    let (_, units, sizes) = sizes(&record);
    let measure = Measure {
        sizes,
        units: args.units.or(units).unwrap_or_default(),
        take_up: record.conveyor.facts.take_up(),
    };
    let calendar = desk.calendar(&record);
    let flags = by_flags(args, &measure);
    let new = match (&args.csv, flags) {
        (Some(path), _) => table::read(path, &measure, &calendar),
        (None, Ok(Some(reading))) => {
            Whence::of(&args.whence, &calendar).map(|whence| vec![one(reading, whence)])
        }
        (None, Ok(None)) => return talk(desk, args, (&named, &record), &measure, streams),
        (None, Err(why)) => Err(why),
    };
    match new {
        Ok(new) => enter(desk, &named, new, streams),
        Err(why) => {
            streams.complain(&format!(
                "error: {why}.\ndo: put it right and try again; nothing was entered."
            ))?;
            Ok(Exit::Usage)
        }
    }
}

fn one(reading: Reading, whence: Whence) -> ToEnter {
    (whence.by, What::TakeUp { on: whence.on, reading, why: whence.why })
}

/// The reading that the flags give, if they give one.
fn by_flags(args: &TakeupArgs, measure: &Measure) -> Result<Option<Reading>, String> {
    let at = args.at.as_deref().map(|text| measure.length(text)).transpose()?;
    let reading = match (&args.left, &args.right, &args.carriage, &args.weight, &args.pull) {
        (Some(left), Some(right), ..) => {
            Reading::Screws { left: measure.length(left)?, right: measure.length(right)? }
        }
        (_, _, Some(carriage), ..) => Reading::Carriage { at: measure.length(carriage)? },
        (_, _, _, Some(weight), _) => Reading::Weight { mass: measure.mass(weight)?, at },
        (.., Some(pull)) => Reading::Winch { pull: measure.pull(pull)?, at },
        _ => return Ok(None),
    };
    if at.is_some() && matches!(reading, Reading::Screws { .. } | Reading::Carriage { .. }) {
        return Err("--at goes with --weight or --pull only".to_owned());
    }
    measure.sound(reading).map(Some)
}

/// Asks for the reading.
fn talk(
    desk: &Desk,
    args: &TakeupArgs,
    (named, record): (&Named, &LogbookRecord),
    measure: &Measure,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let calendar = desk.calendar(record);
    if let Some(why) = Whence::wrong(&args.whence, &calendar) {
        streams.complain(&format!("error: {why}."))?;
        return Ok(Exit::Usage);
    }
    let facts = &record.conveyor;
    let sides = Sides::named(facts.left.as_deref(), facts.right.as_deref());
    let (mut ask, screen) = asker::somebody(args.plain.manner(), streams);
    let filled = Form::new(ask.as_mut(), screen, KEYS).fill(|form| {
        form.show(|page| {
            page.title(&format!("Take-up of {}", named.name)).para(
                "Read it with the machine stopped, isolated, locked out and tried. Stand beside the take-up, not in line with it. Turn nothing to read it.",
            );
        });
        let kind = match facts.facts.take_up() {
            Some(kind) if kind != TakeUp::None => kind,
            _ => ask_kind(form)?,
        };
        let reading = ask_reading(form, kind, &sides, measure)?;
        let why = "Why was it set or read? Press Enter to leave it out.";
        let whence = Whence::ask(form, &args.whence, &calendar, why)?;
        Ok(one(reading, whence))
    });
    drop(ask);
    match filled {
        Ok(new) => enter(desk, named, vec![new], streams),
        Err(left) => super::left(Lost::from(left), streams),
    }
}

fn ask_kind(form: &mut Form) -> Filled<TakeUp> {
    const KINDS: [(TakeUp, &str); 4] = [
        (TakeUp::Screw, "Two screws"),
        (TakeUp::Carriage, "A carriage on rails"),
        (TakeUp::Gravity, "A hanging weight"),
        (TakeUp::Winch, "A winch with a rope"),
    ];
    form.ask("What keeps the belt tight?");
    let says = KINDS.map(|(_, says)| says.to_owned());
    let at = form.one_of("Number", &says)?;
    Ok(KINDS.get(at).map_or(TakeUp::Screw, |(kind, _)| *kind))
}

fn ask_reading(form: &mut Form, kind: TakeUp, sides: &Sides, measure: &Measure) -> Filled<Reading> {
    let length = |line: &str| measure.length(line);
    match kind {
        TakeUp::Screw | TakeUp::None => {
            form.say("How far out does each bearing stand? Measure from its slack end, both sides from marks that lie alike. More is tighter.");
            let left = position(form, &sides.fill("{left} side"), measure)?;
            let label = sides.fill("{right} side");
            let help = |_: &str| vec![example(Kind::Length, measure)];
            form.line(&label, &help, &|line| {
                let right = length(line).map_err(|why| sentence(&why))?;
                measure.sound(Reading::Screws { left, right }).map_err(|why| sentence(&why))
            })
        }
        TakeUp::Carriage => {
            form.say("How far out does the carriage stand, from its slack end?");
            let at = position(form, "Carriage", measure)?;
            Ok(Reading::Carriage { at })
        }
        TakeUp::Gravity => {
            form.say("What is the mass of the weight, its frame included?");
            let help = |_: &str| vec!["Such as 350 kg or 770 lb.".to_owned()];
            let mass =
                form.line("Mass", &help, &|line| measure.mass(line).map_err(|why| sentence(&why)))?;
            Ok(Reading::Weight { mass, at: gone(form, measure)? })
        }
        TakeUp::Winch => {
            form.say("What is the pull of the rope?");
            let help = |_: &str| vec![example(Kind::Force, measure)];
            let pull =
                form.line("Pull", &help, &|line| measure.pull(line).map_err(|why| sentence(&why)))?;
            Ok(Reading::Winch { pull, at: gone(form, measure)? })
        }
    }
}

fn example(kind: Kind, measure: &Measure) -> String {
    format!("Such as {}.", quantity::example(kind, measure.units))
}

/// One position, held against the travel by itself.
fn position(form: &mut Form, label: &str, measure: &Measure) -> Filled<Millimetres> {
    let help = |_: &str| vec![example(Kind::Length, measure)];
    form.line(label, &help, &|line| {
        let at = measure.length(line).map_err(|why| sentence(&why))?;
        measure.reachable(at).map_err(|why| sentence(&why))
    })
}

fn gone(form: &mut Form, measure: &Measure) -> Filled<Option<Millimetres>> {
    form.ask("How far has the take-up gone? Press Enter if it was not read.");
    let help = |_: &str| vec![example(Kind::Length, measure)];
    form.line("Gone", &help, &|line| match line.trim().is_empty() {
        true => Ok(None),
        false => {
            let at = measure.length(line).map_err(|why| sentence(&why))?;
            measure.reachable(at).map(Some).map_err(|why| sentence(&why))
        }
    })
}
