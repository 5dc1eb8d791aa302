//! Tables of readings as comma-separated values: the first line names the columns.
//!
//! Columns are found by name in any order; `offset [mm]`, `offset (mm)` and `offset_mm` give the unit of the bare
//! numbers below. Cells are parted by commas, semicolons or tabs; with the last two a comma is a decimal one. Lines
//! that begin with `#` are passed over.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use super::given::MOST_ROWS;
use super::readings::{Given, ReadingKey, Row, Rows, Takes};
use crate::conveyor::quantity::{self, Bare, Kind, Quantity, Seen};
use crate::trade::Units;

/// No table has more columns: one with thousands is no table of readings.
const MOST_COLUMNS: usize = 100;

/// What is wrong with a table, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadTable {
    /// The line of the file, from 1.
    pub line: u64,
    /// The column's name, if it is about one.
    pub column: Option<String>,
    /// What is wrong, and what to do.
    pub words: String,
}

impl std::fmt::Display for BadTable {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match &self.column {
            Some(column) => write!(f, "line {}, column {column}: {}", self.line, self.words),
            None => write!(f, "line {}: {}", self.line, self.words),
        }
    }
}

/// A table that was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Its rows.
    pub rows: Vec<Row>,
    /// Columns of the file that nothing asks for.
    pub passed_over: Vec<String>,
    /// How the quantities of each column were written.
    pub seen: BTreeMap<ReadingKey, Seen>,
}

/// A column of the file that is asked for.
struct Found {
    /// Its place among the columns that are asked for.
    at: usize,
    /// The unit of its bare numbers, if its name says so.
    unit: Option<String>,
    /// What one of that unit is in SI, if nothing must be added to it; found out with the first number.
    one: OnceCell<Option<f64>>,
    /// How its bare numbers were written, found out with the first.
    seen: OnceCell<Option<Seen>>,
}

impl Found {
    fn seen(&self, kind: Kind, units: Units) -> Option<Seen> {
        if self.seen.get().is_some() {
            return None;
        }
        let bare = self.unit.as_deref().map_or(Bare::Of(units), Bare::Unit);
        self.seen
            .get_or_init(|| quantity::read_as("1", kind, bare).ok().map(|(_, seen)| seen))
            .clone()
    }
}

/// Reads a table of these rows; bare numbers of columns that name no unit are of these units.
///
/// # Errors
/// The first thing that is wrong, with its line and column.
pub fn read(text: &str, rows: &Rows, units: Units) -> Result<Table, BadTable> {
    let text = text.trim_start_matches('\u{feff}');
    let delimiter = delimiter(text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .comment(Some(b'#'))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let head = reader.headers().map_err(|error| bad_csv(&error))?.clone();
    let (found, passed_over) = columns(&head, rows)?;
    let reading = Reading { rows, found: &found, delimiter, units };
    let mut table = Table { rows: Vec::new(), passed_over, seen: BTreeMap::new() };
    let mut record = csv::StringRecord::new();
    while reader.read_record(&mut record).map_err(|error| bad_csv(&error))? {
        let line = record.position().map_or(0, csv::Position::line);
        if record.iter().all(str::is_empty) {
            continue;
        }
        let bad = |words: String| BadTable { line, column: None, words };
        if record.len() > head.len() {
            let (cells, columns) = (record.len(), head.len());
            return Err(bad(format!(
                "it has {cells} cells, the first line names {columns} columns"
            )));
        }
        if table.rows.len() >= MOST_ROWS {
            return Err(bad(format!("more than {MOST_ROWS} rows are not read: cut the file")));
        }
        let row = reading.row(&record, line, &mut table.seen)?;
        table.rows.push(row);
    }
    if table.rows.is_empty() {
        return Err(BadTable {
            line: 1,
            column: None,
            words: format!("the table has no rows: one line for each {}", rows.one),
        });
    }
    Ok(table)
}

/// How the lines of a table are read.
struct Reading<'t> {
    rows: &'t Rows,
    found: &'t [Option<Found>],
    delimiter: u8,
    units: Units,
}

impl Reading<'_> {
    /// A line as a row.
    fn row(
        &self,
        record: &csv::StringRecord,
        line: u64,
        seen: &mut BTreeMap<ReadingKey, Seen>,
    ) -> Result<Row, BadTable> {
        let mut row = Row::default();
        for (cell, column) in record.iter().zip(self.found) {
            let asked = column.as_ref().and_then(|column| {
                Some((column, self.rows.columns.get(column.at)?)).filter(|_| !cell.is_empty())
            });
            let Some((column, wanted)) = asked else { continue };
            let (given, written) =
                self.cell(cell, wanted.takes, column).map_err(|words| BadTable {
                    line,
                    column: Some(wanted.key.as_str().to_owned()),
                    words: format!(
                        "\"{}\": {words}; write it such as {}",
                        cell.chars().take(20).collect::<String>().escape_debug(),
                        wanted.takes.example(self.units)
                    ),
                })?;
            row.insert(wanted.key, given);
            if let Some(written) = written {
                seen.entry(wanted.key).or_insert(written);
            }
        }
        let missing = self.rows.columns.iter().find(|wanted| {
            use super::readings::Keyed;
            wanted.need == super::Need::Must && row.given(wanted.key).is_none()
        });
        match missing {
            Some(wanted) => Err(BadTable {
                line,
                column: Some(wanted.key.as_str().to_owned()),
                words: "the cell is empty: fill it in, or leave the line out".to_owned(),
            }),
            None => Ok(row),
        }
    }

    fn cell(
        &self,
        cell: &str,
        takes: Takes,
        column: &Found,
    ) -> Result<(Given, Option<Seen>), String> {
        // The column's unit holds for every way of writing a number: 2, 2-1/16, 2 1/16.
        let bare = column.unit.as_deref().map_or(Bare::Of(self.units), Bare::Unit);
        let words = |error: super::given::Unread| error.to_string();
        let Some(kind) = takes.kind() else {
            return takes.read_as(cell, bare).map_err(words);
        };
        let point;
        let cell = if self.delimiter != b',' && cell.contains(',') {
            point = cell.replace(',', ".");
            &point
        } else {
            cell
        };
        let plain = cell.bytes().all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte));
        match (plain, cell.parse::<f64>()) {
            (true, Ok(number)) => {
                let given = of_bare(number, takes, kind, column, self.units)?;
                Ok((given, column.seen(kind, self.units)))
            }
            _ => takes.read_as(cell, bare).map_err(words),
        }
    }
}

/// The sign that parts the cells: whichever of tab, semicolon and comma the first line has most of.
fn delimiter(text: &str) -> u8 {
    let first =
        text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#')).unwrap_or("");
    let count = |sign: u8| first.bytes().filter(|byte| *byte == sign).count();
    [b'\t', b';', b','].into_iter().max_by_key(|sign| (count(*sign), *sign == b',')).unwrap_or(b',')
}

fn columns(
    head: &csv::StringRecord,
    rows: &Rows,
) -> Result<(Vec<Option<Found>>, Vec<String>), BadTable> {
    let bad = |words: String| BadTable { line: 1, column: None, words };
    if head.len() > MOST_COLUMNS {
        return Err(bad(format!(
            "{} columns are not read, at most {MOST_COLUMNS}: is a table turned on its side, or the wrong sign between cells?",
            head.len()
        )));
    }
    let mut found: Vec<Option<Found>> = Vec::new();
    let mut passed_over = Vec::new();
    for name in head {
        let (key, unit) = named(name, rows);
        let at = rows.columns.iter().position(|wanted| wanted.key.as_str() == key);
        if let Some(at) = at {
            if found.iter().flatten().any(|before| before.at == at) {
                return Err(bad(format!("the column {key} stands here twice: keep one")));
            }
            let kind = rows.columns.get(at).and_then(|wanted| wanted.takes.kind());
            if let (Some(unit), Some(kind)) = (&unit, kind)
                && quantity::of_unit(1.0, unit, kind).is_err()
            {
                return Err(bad(format!(
                    "the unit of column {key}, \"{unit}\", is not understood here"
                )));
            }
        } else {
            passed_over.push(name.chars().take(30).collect());
        }
        found.push(at.map(|at| Found { at, unit, one: OnceCell::new(), seen: OnceCell::new() }));
    }
    let missing: Vec<&str> = rows
        .columns
        .iter()
        .enumerate()
        .filter(|(at, wanted)| {
            wanted.need == super::Need::Must
                && !found.iter().flatten().any(|column| column.at == *at)
        })
        .map(|(_, wanted)| wanted.key.as_str())
        .collect();
    if !missing.is_empty() {
        let all: Vec<&str> = rows.columns.iter().map(|wanted| wanted.key.as_str()).collect();
        return Err(bad(format!(
            "the first line must name the columns; missing: {}. Known: {}",
            missing.join(", "),
            all.join(", ")
        )));
    }
    Ok((found, passed_over))
}

/// A column's key and the unit that its name gives.
fn named(name: &str, rows: &Rows) -> (String, Option<String>) {
    let name = name.trim().to_lowercase();
    let split = name
        .split_once(['[', '('])
        .map(|(key, unit)| (key.trim(), unit.trim_end_matches([']', ')']).trim()));
    let split = split.or_else(|| {
        // offset_mm, unless the whole is a key itself.
        let known = rows.columns.iter().any(|wanted| wanted.key.as_str() == name);
        if known { None } else { name.rsplit_once('_') }
    });
    match split {
        Some((key, unit)) if rows.columns.iter().any(|wanted| wanted.key.as_str() == key) => {
            (key.to_owned(), (!unit.is_empty()).then(|| unit.to_owned()))
        }
        _ => (name, None),
    }
}

/// A bare number, without the detour over text: a table may have a million.
fn of_bare(
    number: f64,
    takes: Takes,
    kind: Kind,
    column: &Found,
    units: Units,
) -> Result<Given, String> {
    let of_unit = |number| {
        let unit = column.unit.as_deref().unwrap_or_else(|| quantity::unit(kind, units));
        quantity::of_unit(number, &unit.to_lowercase(), kind)
    };
    let one = column.one.get_or_init(|| {
        let si = |number| of_unit(number).ok().map(Quantity::si);
        si(1.0).filter(|_| si(0.0) == Some(0.0))
    });
    let size = match one {
        Some(one) => Quantity::of(kind, number * one),
        None => of_unit(number).map_err(|error| error.to_string())?,
    };
    takes.holds(size).map_err(|error| error.to_string())
}

fn bad_csv(error: &csv::Error) -> BadTable {
    BadTable {
        line: error.position().map_or(1, csv::Position::line),
        column: None,
        words: match error.kind() {
            csv::ErrorKind::Utf8 { .. } => {
                "it is no text in UTF-8: save it as CSV in UTF-8".to_owned()
            }
            _ => "it cannot be read as comma-separated values".to_owned(),
        },
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that cannot go on fails loudly")]
mod tests {
    use super::super::readings::{Keyed, Need, Wanted};
    use super::*;

    const COLUMNS: &[Wanted] = &[
        Wanted {
            key: super::super::ReadingKey::new("station"),
            ask: "",
            takes: Takes::Positive(Kind::Distance),
            from: None,
            need: Need::Must,
        },
        Wanted {
            key: super::super::ReadingKey::new("offset"),
            ask: "",
            takes: Takes::Signed(Kind::Length),
            from: None,
            need: Need::Must,
        },
        Wanted {
            key: super::super::ReadingKey::new("mark"),
            ask: "",
            takes: Takes::Label,
            from: None,
            need: Need::May("none"),
        },
    ];
    const ROWS: Rows = Rows { one: "station", least: 2, columns: COLUMNS };

    fn offsets(text: &str) -> Vec<f64> {
        let table = read(text, &ROWS, Units::Metric).unwrap();
        table
            .rows
            .iter()
            .map(|row| row.si(super::super::ReadingKey::new("offset")).unwrap())
            .collect()
    }

    fn refused(text: &str) -> String {
        read(text, &ROWS, Units::Metric).unwrap_err().to_string()
    }

    #[test]
    fn columns_are_found_by_name_in_any_order_and_unit() {
        assert_eq!(offsets("station,offset\n1,5\n2,-3\n"), [0.005, -0.003]);
        assert_eq!(offsets("offset;station\n5,5;1\n-3;2\n"), [0.0055, -0.003]);
        assert_eq!(offsets("Station\tOffset [cm]\n1\t5\n"), [0.05]);
        assert_eq!(offsets("station,offset_in\n1,1\n"), [0.0254]);
        assert_eq!(
            offsets("# by hand\nstation,offset,who\n1,1/2 in,me\n\n2,4,you"),
            [0.0127, 0.004]
        );
        assert_eq!(offsets("\u{feff}station,offset\r\n1,5\r\n"), [0.005]);
    }

    #[test]
    fn what_is_wrong_is_named_with_line_and_column() {
        assert_eq!(
            refused(""),
            "line 1: the first line must name the columns; missing: station, offset. Known: station, offset, mark"
        );
        assert_eq!(
            refused("station,offset\n"),
            "line 1: the table has no rows: one line for each station"
        );
        assert!(
            refused("station,offset\n1,5\n2,NaN\n")
                .starts_with("line 3, column offset: \"NaN\": no number")
        );
        assert!(
            refused("station,offset\n-1,5\n")
                .starts_with("line 2, column station: \"-1\": it must be more")
        );
        assert!(refused("station,offset\n1,5,7\n").starts_with("line 2: it has 3 cells"));
        assert!(
            refused("station,offset\n1,\n").starts_with("line 2, column offset: the cell is empty")
        );
        assert!(refused("station|offset\n1|5\n").contains("missing: station, offset"));
        assert!(refused("station,offset,offset\n1,5,6\n").contains("twice"));
        assert!(refused("station,offset [lb]\n1,5\n").contains("the unit of column offset"));
        let wide = format!("{}station,offset\n", "x,".repeat(5000));
        assert!(refused(&wide).contains("5002 columns"));
        assert!(refused("station,offset\n1,1e300\n").contains("line 2, column offset"));
        assert!(
            refused(&format!("station,offset\n1,{}\n", "9".repeat(400)))
                .contains("line 2, column offset")
        );
    }

    #[test]
    fn numbers_of_a_column_have_its_unit_row_after_row() {
        use super::super::{Keyed, Need, Wanted};
        const ROWS: Rows = Rows {
            one: "bearing",
            least: 1,
            columns: &[
                Wanted {
                    key: super::super::ReadingKey::new("heat"),
                    ask: "",
                    takes: Takes::Signed(Kind::Temperature),
                    from: None,
                    need: Need::Must,
                },
                Wanted {
                    key: super::super::ReadingKey::new("offset"),
                    ask: "",
                    takes: Takes::Signed(Kind::Length),
                    from: None,
                    need: Need::Must,
                },
            ],
        };
        let table = read("heat [C],offset [in]\n0,1\n45,-2\n45 F,3 mm\n", &ROWS, Units::Metric);
        let rows = table.unwrap().rows;
        for (row, (heat_k, offset_m)) in
            rows.iter().zip([(273.15, 0.0254), (318.15, -0.0508), (280.372_222_222_222_2, 0.003)])
        {
            assert!((row.si(super::super::ReadingKey::new("heat")).unwrap() - heat_k).abs() < 1e-9);
            assert!(
                (row.si(super::super::ReadingKey::new("offset")).unwrap() - offset_m).abs() < 1e-12
            );
        }
        assert_eq!(rows.len(), 3);
    }
}
