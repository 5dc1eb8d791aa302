//! `straybelt conveyor new`: asks what is known and writes a commented file.

use std::io::{self, Write};
use std::path::Path;

use crate::ask::{Lost, ticks};
use crate::cli::Manner;
use crate::commands::form::{Filled, Form, KEYS};
use crate::commands::new_file::write_new;
use crate::commands::sides::{self, LONGEST_NAME, LONGEST_SIDE};
use crate::commands::{Failed, Streams, asker};
use crate::conveyor::facts::{Fact, FactKey};
use crate::conveyor::quantity;
use crate::conveyor::writer::Sheet;
use crate::conveyor::{self, dimensions};
use crate::exit::Exit;
use crate::show::opening::{FACT_QUESTIONS, PARTS, PARTS_ASK, parts_told};
use crate::trade::Units;

/// What is asked for gauges' sake.
const FOR_GAUGES: [(FactKey, &str); 3] = [
    (FactKey::Bearings, "Which bearings do the end pulleys run in?"),
    (FactKey::Lagging, "Is the drive pulley bare steel or lagged?"),
    (
        FactKey::DustBurns,
        "Does dust that burns lie on it (coal, grain, wood, sulphur, sugar, rubber)? Not known counts as yes.",
    ),
];

/// Asks, then writes the file unless there is one.
pub(super) fn run(path: &Path, manner: Manner, streams: &mut Streams) -> Result<Exit, Failed> {
    if path.symlink_metadata().is_ok() {
        return exists(path, streams);
    }
    let (mut ask, screen) = asker::somebody(manner, streams);
    let sheet = Form::new(ask.as_mut(), screen, KEYS).fill(fill);
    drop(ask);
    let sheet = match sheet {
        Ok(sheet) => sheet,
        Err(lost) => {
            writeln!(streams.err, "error: left before the end; nothing is written.")?;
            return Ok(match Lost::from(lost) {
                Lost::Interrupted => Exit::Interrupted,
                Lost::EndOfInput => Exit::Usage,
            });
        }
    };
    let text = sheet.text();
    // What one size says against another shows only when all are there.
    if let Err(problems) = conveyor::parse(&path.display().to_string(), text.clone()) {
        super::super::rules::tell(&problems.0, streams)?;
        writeln!(streams.err, "warning: it is written all the same; put it right in the file.")?;
    }
    match write_new(path, &text) {
        Ok(()) => {
            writeln!(streams.out, "Written: {}", path.display())?;
            writeln!(streams.out, "straybelt conveyor show {} shows it.", path.display())?;
            Ok(Exit::Done)
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => exists(path, streams),
        Err(error) => {
            writeln!(
                streams.err,
                "error: {} cannot be written: {error}. Name another place.",
                path.display()
            )?;
            Ok(Exit::Usage)
        }
    }
}

fn exists(path: &Path, streams: &mut Streams) -> Result<Exit, Failed> {
    writeln!(
        streams.err,
        "error: {} is there already and is left as it is. Name another file, or change that one with an editor.",
        path.display()
    )?;
    Ok(Exit::Usage)
}

fn fill(form: &mut Form) -> Filled<Sheet> {
    form.show(|page| {
        page.title("A new conveyor file");
        page.para("Press Enter to leave out a line. What you give here is not asked again at the conveyor, and gauges use it.");
        page.para(KEYS);
    });
    let mut sheet =
        Sheet { name: text(form, "What is it called here?", LONGEST_NAME)?, ..Sheet::default() };
    for question in &FACT_QUESTIONS {
        form.say(question.ask);
        let says: Vec<&str> = question.values.iter().map(|(_, says)| *says).collect();
        if let Some(at) = one_of(form, &says)?
            && let Some((fact, _)) = question.values.get(at)
        {
            sheet.facts.set(*fact);
        }
    }
    for fact in parts(form)? {
        // What the class has settled is not written beside it.
        if sheet.facts.get(fact.key()).is_none() {
            sheet.facts.set(fact);
        }
    }
    for (key, ask) in FOR_GAUGES {
        form.say(ask);
        let values = key.values();
        let words: Vec<&str> = values.iter().map(|fact| fact.value()).collect();
        if let Some(at) = one_of(form, &words)?
            && let Some(fact) = values.get(at)
        {
            sheet.facts.set(*fact);
        }
    }
    sheet.sides.0 = side(form, "LEFT side, looking from tail to head, is called", "right")?;
    let left = sheet.sides.0.clone().unwrap_or_else(|| "left".to_owned());
    sheet.sides.1 = side(form, "RIGHT side is called", &left)?;
    form.say("In which units do people here measure?");
    let units: Vec<&str> = Units::ALL.iter().map(|units| units.word()).collect();
    if let Some(at) = one_of(form, &units)?
        && let Some(units) = Units::ALL.get(at)
    {
        sheet.units = *units;
    }
    let some = form.yes("Are any sizes at hand (drawing, plate, tape)?")?;
    if some {
        sizes(form, &mut sheet)?;
    }
    Ok(sheet)
}

/// The parts that it has, in one line; none where that is not known.
fn parts(form: &mut Form) -> Filled<Vec<Fact>> {
    form.say(&format!("{PARTS_ASK} Press Enter if not sure."));
    form.show(|page| {
        for (number, (_, says)) in PARTS.iter().enumerate() {
            page.item(&format!("{:>3}  ", number + 1), says);
        }
    });
    let says = "Type their numbers, such as 1 4, or 0 for none. Press Enter if not sure.";
    let help = |_: &str| vec![says.to_owned()];
    form.line("Numbers, 0 for none", &help, &|line| {
        if line.is_empty() {
            return Ok(Vec::new());
        }
        let ticks = ticks::read(line, PARTS.len()).unwrap_or_else(|| Err(says.to_owned()))?;
        Ok(parts_told(ticks))
    })
}

fn sizes(form: &mut Form, sheet: &mut Sheet) -> Filled<()> {
    let units = sheet.units;
    for dimension in dimensions::ALL {
        let unit = quantity::unit(dimension.kind, units);
        let help = |_: &str| {
            vec![format!(
                "Such as {}. Press Enter to leave it out.",
                quantity::example(dimension.kind, units)
            )]
        };
        let label = format!("[{unit}]");
        let label = if form.fits(dimension.ask, &label) {
            format!("{} {label}", dimension.ask)
        } else {
            form.say(dimension.ask);
            label
        };
        let size = form.line(&label, &help, &|line| {
            if line.is_empty() {
                return Ok(None);
            }
            let size = quantity::read(line, dimension.kind, units).map_err(|refused| {
                format!("{refused}. Such as {}.", quantity::example(dimension.kind, units))
            })?;
            dimensions::within(dimension, size, units)?;
            // A bare number gets its unit, so that the file is clear by itself.
            let bare = line.chars().all(|c| c.is_ascii_digit() || " /-.,".contains(c));
            Ok(Some(if bare { format!("{line} {unit}") } else { line.to_owned() }))
        })?;
        sheet.sizes.extend(size.map(|size| (dimension.path, size)));
    }
    Ok(())
}

fn text(form: &mut Form, label: &str, most: usize) -> Filled<Option<String>> {
    let help = |_: &str| {
        vec![format!("A name of at most {most} characters. Press Enter to leave it out.")]
    };
    form.line(label, &help, &|line| {
        if line.chars().count() > most {
            return Err(format!("At most {most} characters."));
        }
        Ok((!line.is_empty()).then(|| line.to_owned()))
    })
}

/// The name of a side, which is not that of the other one.
fn side(form: &mut Form, label: &str, other: &str) -> Filled<Option<String>> {
    let help = |_: &str| {
        vec![format!("A name of at most {LONGEST_SIDE} characters. Enter alone leaves it out.")]
    };
    form.line(label, &help, &|line| match sides::amiss(line, other) {
        Some(words) => Err(words),
        None => Ok((!line.is_empty()).then(|| line.to_owned())),
    })
}

/// One of some things, or none: Enter alone.
fn one_of(form: &mut Form, things: &[&str]) -> Filled<Option<usize>> {
    form.show(|page| {
        for (number, thing) in things.iter().enumerate() {
            page.item(&format!("{:>3}  ", number + 1), thing);
        }
    });
    let count = things.len();
    let says = format!("Type a number from 1 to {count}, or press Enter if it is not known.");
    let help = |_: &str| vec![says.clone()];
    form.line(&format!("1 to {count}"), &help, &|line| {
        if line.is_empty() {
            return Ok(None);
        }
        line.parse::<usize>()
            .ok()
            .and_then(|number| number.checked_sub(1))
            .filter(|at| *at < count)
            .map(Some)
            .ok_or_else(|| says.clone())
    })
}
