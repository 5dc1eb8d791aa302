//! The rule files are compiled in: a new or deleted one must lead to a new build. The limits of gauges and the errors of
//! readings (`rules/gauges/`) become constants, so that none can be named that is not there.

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

use serde::Deserialize;

/// A file of a gauge's limits.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Limits {
    gauge: String,
    limits: Vec<Limit>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Limit {
    id: String,
    what: String,
    kind: Kind,
    size: String,
    source: Source,
    /// Whether the number is printed damaged in its source.
    #[serde(default)]
    damaged: bool,
}

/// The file of reading errors.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Errors {
    errors: Vec<ReadingError>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ReadingError {
    id: String,
    how: String,
    kind: Kind,
    size: String,
    source: Source,
}

#[derive(Deserialize, Clone, Copy, Debug, PartialEq)]
enum Kind {
    Length,
    Distance,
    Temperature,
    Rise,
    Angle,
    Percent,
    Number,
    Time,
}

#[derive(Deserialize)]
enum Source {
    Published(String, String),
    CommonPractice,
    Memory,
    Derived(String),
}

/// An entry of `rules/sources.ron`, as far as it is needed here.
#[derive(Deserialize)]
struct Cited {
    id: String,
    grade: Grade,
}

#[derive(Deserialize, Clone, Copy, Debug)]
enum Grade {
    A,
    B,
    C,
    D,
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut out = io::stdout();
    io::Write::write_all(&mut out, b"cargo::rerun-if-changed=rules\n")?;
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let cited: Vec<Cited> = read(&root.join("rules/sources.ron"))?;
    let grades: BTreeMap<String, Grade> =
        cited.into_iter().map(|source| (source.id, source.grade)).collect();
    let mut files: Vec<PathBuf> = Vec::new();
    for entry in fs::read_dir(root.join("rules/gauges"))? {
        files.push(entry?.path());
    }
    files.sort();
    let (mut limits, mut errors) = (String::new(), String::new());
    for file in files {
        if file.ends_with("reading-errors.ron") {
            errors = of_errors(&read(&file)?)?;
        } else {
            limits.push_str(&of_limits(&read(&file)?, &grades)?);
        }
    }
    let to = PathBuf::from(env::var("OUT_DIR")?);
    fs::write(to.join("gauge_limits.rs"), limits)?;
    fs::write(to.join("gauge_errors.rs"), errors)?;
    Ok(())
}

fn read<T: for<'de> Deserialize<'de>>(path: &Path) -> Result<T, Box<dyn Error>> {
    let text = fs::read_to_string(path)?;
    ron::from_str(&text).map_err(|error| format!("{}: {error}", path.display()).into())
}

fn of_limits(file: &Limits, grades: &BTreeMap<String, Grade>) -> Result<String, Box<dyn Error>> {
    let mut code = String::new();
    let mut names = Vec::new();
    for limit in &file.limits {
        let grade = match &limit.source {
            Source::Published(id, _) => {
                let grade =
                    grades.get(id).ok_or_else(|| format!("{}: no source {id}", limit.id))?;
                format!("Some(Grade::{grade:?})")
            }
            _ => "None".to_owned(),
        };
        let name = constant(&limit.id);
        writeln!(
            code,
            "/// {what}.\npub(crate) const {name}: Shipped = Shipped {{ id: {id:?}, what: {what:?}, kind: Kind::{kind:?}, \
             si: {si:?}, mark: {mark}, grade: {grade}, damaged: {damaged} }};",
            what = limit.what,
            id = limit.id,
            kind = limit.kind,
            si = si(&limit.size, limit.kind)?,
            mark = mark(&limit.source),
            damaged = limit.damaged,
        )?;
        names.push(format!("&{name}"));
    }
    writeln!(
        code,
        "/// The limits of the gauge `{gauge}`.\npub(crate) const OF_{list}: &[&Shipped] = &[{names}];",
        gauge = file.gauge,
        list = constant(&file.gauge),
        names = names.join(", ")
    )?;
    Ok(code)
}

fn of_errors(file: &Errors) -> Result<String, Box<dyn Error>> {
    let mut code = String::new();
    let mut names = Vec::new();
    for error in &file.errors {
        let name = constant(&error.id);
        writeln!(
            code,
            "/// {how}.\npub(crate) const {name}: ReadingError = ReadingError {{ id: {id:?}, how: {how:?}, \
             kind: Kind::{kind:?}, si: {si:?}, mark: {mark}, taken: {taken:?} }};",
            how = error.how,
            id = error.id,
            kind = error.kind,
            si = si(&error.size, error.kind)?,
            mark = mark(&error.source),
            taken = format!("taken as {}: {}", error.size.replace(" C", " °C"), error.how),
        )?;
        names.push(format!("&{name}"));
    }
    writeln!(code, "/// All of them.\npub const ALL: &[&ReadingError] = &[{}];", names.join(", "))?;
    Ok(code)
}

fn constant(id: &str) -> String {
    id.to_uppercase().replace(['-', '.'], "_")
}

fn mark(source: &Source) -> String {
    match source {
        Source::Published(id, place) => format!("Basis::Published({id:?}, {place:?})"),
        Source::CommonPractice => "Basis::CommonPractice".to_owned(),
        Source::Memory => "Basis::Memory".to_owned(),
        Source::Derived(from) => format!("Basis::Derived({from:?})"),
    }
}

/// A size in SI: a number or a fraction, and its unit.
fn si(text: &str, kind: Kind) -> Result<f64, Box<dyn Error>> {
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let number: f64 = match number.split_once('/') {
        Some((over, under)) => over.parse::<f64>()? / under.parse::<f64>()?,
        None => number.parse()?,
    };
    let size = match (kind, unit) {
        (Kind::Length | Kind::Distance, "mm") => number / 1000.0,
        (Kind::Length | Kind::Distance, "m") => number,
        (Kind::Length | Kind::Distance, "in") => number * 0.0254,
        (Kind::Percent, "%") => number / 100.0,
        (Kind::Percent | Kind::Number, "") | (Kind::Rise, "C") => number,
        (Kind::Temperature, "C") => number + 273.15,
        (Kind::Angle, "deg") => number.to_radians(),
        (Kind::Time, "s") => number,
        _ => return Err(format!("\"{text}\" is no {kind:?}").into()),
    };
    if size > 0.0 && size.is_finite() {
        Ok(size)
    } else {
        Err(format!("\"{text}\" is not more than nothing").into())
    }
}
