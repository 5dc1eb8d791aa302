//! Readings of a take-up from a table: one row each, its columns known by their names.

use std::path::Path;

use super::measure::Measure;
use super::whence::{ToEnter, Whence};
use crate::cli::WhenceArgs;
use crate::disk;
use crate::logbook::bounds::Calendar;
use crate::logbook::{Reading, What};

/// No table is larger, in bytes.
const LARGEST: u64 = 16 * 1024 * 1024;
/// So many bad rows are told at once.
const TOLD: usize = 5;
/// The columns there may be.
const COLUMNS: [&str; 9] =
    ["date", "left", "right", "carriage", "weight", "pull", "at", "by", "why"];

/// All readings of a table, or what is wrong with it. One bad row and none is taken.
pub(super) fn read(
    path: &Path,
    measure: &Measure,
    calendar: &Calendar,
) -> Result<Vec<ToEnter>, String> {
    let shown = path.display();
    let text = disk::read_text(path, LARGEST).map_err(|error| format!("{shown}: {error}"))?;
    let rows = rows(&text, measure, calendar);
    rows.map_err(|why| format!("{shown}: {why}"))
}

fn rows(text: &str, measure: &Measure, calendar: &Calendar) -> Result<Vec<ToEnter>, String> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let first = text.lines().next().unwrap_or_default();
    // A spreadsheet writes semicolons where a comma stands in numbers.
    let between = if first.contains(';') { b';' } else { b',' };
    let mut table = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .delimiter(between)
        .flexible(true)
        .from_reader(text.as_bytes());
    let heads = table.headers().map_err(|error| error.to_string())?.clone();
    let heads: Vec<String> = heads.iter().map(str::to_lowercase).collect();
    if let Some(unknown) = heads.iter().find(|head| !COLUMNS.contains(&head.as_str())) {
        return Err(format!(
            "its first line names a column \"{}\"; known are: {}",
            unknown.escape_debug(),
            COLUMNS.join(", ")
        ));
    }
    if !heads.iter().any(|head| head == "date") {
        return Err("its first line names no column date".to_owned());
    }
    let (mut read, mut bad) = (Vec::new(), Vec::new());
    for row in table.records() {
        let row = row.map_err(|error| error.to_string())?;
        let line = row.position().map_or(0, csv::Position::line);
        let cell = |name: &str| {
            let place = heads.iter().position(|head| head == name)?;
            row.get(place).filter(|cell| !cell.is_empty())
        };
        match one(&cell, measure, calendar) {
            Ok(reading) => read.push(reading),
            Err(why) => bad.push(format!("line {line}: {why}")),
        }
    }
    if bad.is_empty() {
        return match read.is_empty() {
            true => Err("it holds no reading".to_owned()),
            false => Ok(read),
        };
    }
    let more = bad.len().saturating_sub(TOLD);
    bad.truncate(TOLD);
    if more > 0 {
        bad.push(format!("and {more} more"));
    }
    Err(bad.join("; "))
}

fn one<'r>(
    cell: &dyn Fn(&str) -> Option<&'r str>,
    measure: &Measure,
    calendar: &Calendar,
) -> Result<ToEnter, String> {
    let Some(on) = cell("date") else { return Err("the date is missing".to_owned()) };
    let length = |name: &str| cell(name).map(|text| measure.length(text)).transpose();
    let reading = match (length("left")?, length("right")?, length("carriage")?) {
        (Some(left), Some(right), None) => Reading::Screws { left, right },
        (Some(_), None, _) => return Err("the right side is missing".to_owned()),
        (None, Some(_), _) => return Err("the left side is missing".to_owned()),
        (None, None, Some(at)) => Reading::Carriage { at },
        (None, None, None) => match (cell("weight"), cell("pull")) {
            (Some(mass), None) => Reading::Weight { mass: measure.mass(mass)?, at: length("at")? },
            (None, Some(pull)) => Reading::Winch { pull: measure.pull(pull)?, at: length("at")? },
            (None, None) => return Err("there is no reading".to_owned()),
            _ => return Err("weight and pull are two kinds of take-up: give one".to_owned()),
        },
        _ => return Err("screws and carriage are two kinds of take-up: give one".to_owned()),
    };
    let said = |name: &str| cell(name).map(str::to_owned);
    let args = WhenceArgs { on: Some(on.to_owned()), by: said("by"), why: said("why") };
    let whence = Whence::of(&args, calendar)?;
    let reading = measure.sound(reading)?;
    Ok((whence.by, What::TakeUp { on: whence.on, reading, why: whence.why }))
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;
    use crate::logbook::TakeUpSizes;
    use crate::logbook::size::Millimetres;
    use crate::trade::Units;

    fn read(text: &str) -> Result<Vec<ToEnter>, String> {
        let travel = Some(Millimetres(500.0));
        let sizes = TakeUpSizes { travel, ..TakeUpSizes::default() };
        let measure = Measure { sizes, units: Units::Metric, take_up: None };
        rows(text, &measure, &Calendar { today: date(2026, 3, 1), latest: None })
    }

    #[test]
    fn rows_are_read_by_the_names_of_their_columns() {
        let rows = read(
            "Date,left,right,by,why\n2026-01-05,212,\"8 3/8 in\",J,slip\n2026-02-01,215 mm,213,,\n",
        )
        .unwrap();
        let (by, What::TakeUp { on, reading, why }) = &rows[0] else { panic!() };
        assert_eq!(
            (by.as_deref(), why.as_deref(), *on),
            (Some("J"), Some("slip"), date(2026, 1, 5))
        );
        let (left, right) = (Millimetres(212.0), Millimetres(212.725));
        assert_eq!(*reading, Reading::Screws { left, right });
        assert_eq!(rows[1].0, None);
        let rows = read("date;pull;at\n2026-01-05;12,5 kN;300\n").unwrap();
        let What::TakeUp { reading: Reading::Winch { pull, at }, .. } = rows[0].1 else { panic!() };
        assert_eq!((pull.0, at), (12_500.0, Some(Millimetres(300.0))));
    }

    #[test]
    fn what_is_wrong_is_told_with_its_line_and_nothing_is_taken() {
        let told = |text: &str| read(text).unwrap_err();
        let two = "date,left,right\n2026-01-05,212,210\n2027-01-05,212,210\n2026-01-06,612,210\n2026-01-06,212,\n";
        let words = told(two);
        for piece in [
            "line 3: 2027-01-05 is still to come",
            "line 4: the left screw",
            "line 5: the right side is missing",
        ] {
            assert!(words.contains(piece), "{words}");
        }
        assert!(told("date,links\n").contains("column \"links\""));
        assert!(told("left,right\n1,2\n").contains("no column date"));
        assert!(told("date,left,right\n").contains("no reading"));
        assert!(told("date,left,right\n2026-01-05,5 kg,6\n").contains("line 2"));
        assert!(told("date,carriage,weight,pull\n2026-01-05,,3,4\n").contains("two kinds"));
    }
}
