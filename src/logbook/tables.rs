//! Logbooks and visits as flat tables, to be asked by any engine that reads them. A row's `id` comes from what it is about and
//! the tablet, so that the exports of several tablets can be put together. People's names stay out unless they are asked for.

use serde::Serialize;
use serde_json::{Map, Value, json};

use super::entry::{Entry, Reading, What, day};
use super::ids::{TabletId, short_sum};
use super::record::{LogbookRecord, key};
use super::story::{Story, in_order};
use super::visit_mark::VisitMark;
use crate::visit::FoundReport;
use crate::visit::event::{Event, How, standing};
use crate::visit::store::Record;

/// The tables there are, with their columns in order.
pub const TABLES: [(&str, &[&str]); 8] = [
    ("visits", &["id", "tablet", "visit", "conveyor", "begun", "state", "minutes", "cured_else"]),
    ("looks", &["id", "visit_id", "at", "look"]),
    ("answers", &["id", "visit_id", "at", "symptom", "answer"]),
    ("chances", &["id", "visit_id", "at", "cause", "chance"]),
    ("findings", &["id", "visit_id", "cause", "report", "cured"]),
    ("jobs", &["id", "visit_id", "at", "fix", "how"]),
    (
        "readings",
        &[
            "id", "tablet", "conveyor", "on", "kind", "left_mm", "right_mm", "at_mm", "mass_kg",
            "pull_n", "why", "by",
        ],
    ),
    ("entries", &["id", "tablet", "conveyor", "on", "kind", "entry"]),
];

/// One row of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct TableRow {
    /// The table.
    pub table: &'static str,
    /// Its cells by column; those without anything are null.
    pub cells: Map<String, Value>,
}

impl TableRow {
    fn of(table: &'static str, cells: Value) -> Self {
        let cells = match cells {
            Value::Object(cells) => cells,
            _ => Map::new(),
        };
        Self { table, cells }
    }

    /// The row as one JSON object, its table among the keys.
    pub fn object(&self) -> Value {
        let mut all = Map::new();
        all.insert("table".to_owned(), self.table.into());
        all.extend(self.cells.clone());
        Value::Object(all)
    }
}

/// Whether people's names go along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Names {
    /// They do.
    With,
    /// They do not.
    Without,
}

/// What a visit is known by in all tables.
pub fn visit_id(tablet: &TabletId, visit: u32) -> String {
    short_sum(&[tablet.as_str(), "visit", &visit.to_string()])
}

fn row_id(visit: &str, place: usize, more: &str) -> String {
    short_sum(&[visit, &place.to_string(), more])
}

/// The rows of a visit of this tablet.
pub fn of_visit(tablet: &TabletId, record: &Record) -> Vec<TableRow> {
    let mark = VisitMark::of(record);
    let id = visit_id(tablet, record.visit);
    let mut rows = vec![visit_row(tablet, record.conveyor_name(), &mark)];
    for (place, stamped) in standing(&record.events).into_iter().enumerate() {
        let at = stamped.at;
        let mut add = |table, more: &str, mut cells: Value| {
            if let Value::Object(cells) = &mut cells {
                cells.insert("id".to_owned(), row_id(&id, place, more).into());
                cells.insert("visit_id".to_owned(), id.clone().into());
                cells.insert("at".to_owned(), json!(at));
            }
            rows.push(TableRow::of(table, cells));
        };
        match &stamped.what {
            Event::LookBegun { look, .. } => add("looks", "", json!({ "look": look })),
            Event::Answered { symptom, answer } => {
                add("answers", "", json!({ "symptom": symptom, "answer": answer }));
            }
            Event::Ticked { there, not_there, cant_tell } => {
                let yes = there.iter().map(|id| (id, Some("yes")));
                let no = not_there.iter().map(|id| (id, Some("no")));
                let untold = cant_tell.iter().map(|id| (id, None));
                for (symptom, answer) in yes.chain(no).chain(untold) {
                    add("answers", symptom, json!({ "symptom": symptom, "answer": answer }));
                }
            }
            Event::Measured(measured) => {
                for (symptom, answer) in &measured.answers {
                    add("answers", symptom, json!({ "symptom": symptom, "answer": answer }));
                }
            }
            Event::Believed { causes } => {
                for (cause, chance) in causes {
                    add("chances", cause, json!({ "cause": cause, "chance": chance }));
                }
            }
            Event::Worked { fix, how, .. } => {
                let how = match how {
                    How::Done => "done",
                    How::NotNeeded => "not-needed",
                    How::CouldNot => "could-not",
                };
                add("jobs", "", json!({ "fix": fix, "how": how }));
            }
            _ => {}
        }
    }
    rows.extend(findings(&id, record, &mark));
    rows
}

/// What was found of each cause last, and whether that cured it.
fn findings(visit: &str, record: &Record, mark: &VisitMark) -> Vec<TableRow> {
    let mut last: std::collections::BTreeMap<&str, Option<FoundReport>> =
        mark.cured.iter().map(|cause| (cause.as_str(), None)).collect();
    for event in standing(&record.events) {
        if let Event::Found { cause, report: Some(report) } = &event.what {
            last.insert(cause, Some((*report).into()));
        }
    }
    let rows = last.into_iter().map(|(cause, report)| {
        TableRow::of(
            "findings",
            json!({
                "id": short_sum(&[visit, "finding", cause]),
                "visit_id": visit,
                "cause": cause,
                "report": report,
                "cured": mark.cured.iter().any(|cured| cured == cause),
            }),
        )
    });
    rows.collect()
}

fn visit_row(tablet: &TabletId, conveyor: Option<&str>, mark: &VisitMark) -> TableRow {
    let state = match mark.state {
        crate::visit::store::VisitStatus::Open => "open".to_owned(),
        crate::visit::store::VisitStatus::Over(how) => word(&how),
    };
    TableRow::of(
        "visits",
        json!({
            "id": visit_id(tablet, mark.visit),
            "tablet": tablet,
            "visit": mark.visit,
            "conveyor": conveyor,
            "begun": mark.begun,
            "state": state,
            "minutes": mark.minutes,
            "cured_else": mark.cured_else,
        }),
    )
}

/// The word of a kind in files, its parts joined by dashes.
fn word(kind: &impl Serialize) -> String {
    let written = serde_json::to_value(kind).ok();
    let word = written.as_ref().and_then(Value::as_str).unwrap_or_default();
    let mut words = String::new();
    for letter in word.chars() {
        if letter.is_uppercase() && !words.is_empty() {
            words.push('-');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

/// The rows of a logbook: its readings, all entries whole, and the visits of other tablets, whose own tables they bring.
pub fn of_logbook(this: &TabletId, record: &LogbookRecord, names: Names) -> Vec<TableRow> {
    let mut rows = Vec::new();
    let story = Story::of(&record.entries);
    for (entry, mark) in story.visits().filter(|(entry, _)| entry.tablet != *this) {
        rows.push(visit_row(&entry.tablet, Some(&record.name), mark));
    }
    for entry in &story.told {
        if let What::TakeUp { on, reading, why } = &entry.what {
            let mut cells = json!({
                "id": id_at(record, entry),
                "tablet": entry.tablet,
                "conveyor": record.name,
                "on": on,
                "kind": reading.word(),
                "why": why,
                "by": entry.by.as_ref().filter(|_| names == Names::With),
            });
            if let Value::Object(cells) = &mut cells {
                cells.extend(sizes(reading));
            }
            rows.push(TableRow::of("readings", cells));
        }
    }
    let entries = in_order(&record.entries).into_iter();
    rows.extend(entries.map(|entry| entry_row(record, entry, names)));
    rows
}

fn sizes(reading: &Reading) -> Map<String, Value> {
    let cells = match reading {
        Reading::Screws { left, right } => json!({ "left_mm": left, "right_mm": right }),
        Reading::Carriage { at } => json!({ "at_mm": at }),
        Reading::Weight { mass, at } => json!({ "mass_kg": mass, "at_mm": at }),
        Reading::Winch { pull, at } => json!({ "pull_n": pull, "at_mm": at }),
    };
    match cells {
        Value::Object(cells) => cells,
        _ => Map::new(),
    }
}

/// What a row of an entry is known by: the same may be read at two conveyors.
fn id_at(record: &LogbookRecord, entry: &Entry) -> String {
    short_sum(&[&key(&record.name), entry.id.as_str()])
}

fn entry_row(record: &LogbookRecord, entry: &Entry, names: Names) -> TableRow {
    let kind = match entry.what {
        What::TakeUp { .. } => "takeup",
        What::Done { .. } => "done",
        What::Visit(_) => "visit",
        What::JobDone { .. } => "job-done",
        What::Struck { .. } => "struck",
    };
    let by = entry.by.clone().filter(|_| names == Names::With);
    let whole = Entry { by, ..entry.clone() };
    TableRow::of(
        "entries",
        json!({
            "id": id_at(record, entry),
            "tablet": entry.tablet,
            "conveyor": record.name,
            "on": match &entry.what { What::Struck { .. } => day(entry.written), _ => entry.on() },
            "kind": kind,
            "entry": whole,
        }),
    )
}

/// An entry with the conveyor that it is of, from a row of the table of entries.
///
/// # Errors
/// What is wrong with it, in words.
pub fn read_entry(row: &Value) -> Result<(String, Entry), String> {
    let conveyor = row.get("conveyor").and_then(Value::as_str);
    let Some(conveyor) = conveyor else { return Err("it names no conveyor".to_owned()) };
    let conveyor =
        super::bounds::words(conveyor, "the name of the conveyor", super::bounds::LONGEST_NAME)?;
    let entry = row.get("entry").cloned().ok_or("it holds no entry")?;
    let entry: Entry = serde_json::from_value(entry).map_err(|error| error.to_string())?;
    match entry.is_sound() {
        true => Ok((conveyor, entry)),
        false => Err(format!("entry {}: its id does not fit what it holds", entry.id)),
    }
}

#[cfg(test)]
mod tests {
    use jiff::Timestamp;
    use jiff::civil::date;

    use super::*;
    use crate::logbook::size::Millimetres;

    fn logbook() -> (TabletId, LogbookRecord) {
        let tablet = TabletId::named("aaaa").unwrap();
        let mut record = LogbookRecord::new(1, "OQ-04".to_owned());
        let reading = Reading::Screws { left: Millimetres(212.5), right: Millimetres(210.0) };
        let what = What::TakeUp { on: date(2026, 3, 1), reading, why: Some("slip".to_owned()) };
        let by = Some("Mara".to_owned());
        let entry = Entry::new(&tablet, Timestamp::UNIX_EPOCH, by, what);
        record.add([entry], &super::super::TakeUpSizes::default());
        (tablet, record)
    }

    #[test]
    fn names_of_people_stay_out_unless_they_are_asked_for() {
        let (tablet, record) = logbook();
        let written = |names| {
            let rows = of_logbook(&tablet, &record, names);
            rows.iter().map(|row| row.object().to_string()).collect::<String>()
        };
        assert!(!written(Names::Without).contains("Mara"));
        assert_eq!(written(Names::With).matches("Mara").count(), 2);
    }

    #[test]
    fn an_entry_comes_back_from_its_row_with_or_without_the_name() {
        let (tablet, record) = logbook();
        for names in [Names::With, Names::Without] {
            let rows = of_logbook(&tablet, &record, names);
            let row = rows.iter().find(|row| row.table == "entries").unwrap().object();
            let (conveyor, entry) = read_entry(&row).unwrap();
            assert_eq!((conveyor.as_str(), &entry.id), ("OQ-04", &record.entries[0].id));
            let mut changed = row.clone();
            changed["entry"]["what"]["TakeUp"]["reading"]["Screws"]["left"] = json!(300.0);
            assert!(read_entry(&changed).unwrap_err().contains("does not fit"));
        }
        assert!(read_entry(&json!({ "table": "entries" })).is_err());
    }

    #[test]
    fn the_same_reading_at_two_conveyors_is_two_rows() {
        let (tablet, record) = logbook();
        let other = LogbookRecord { name: "OQ-07".to_owned(), ..record.clone() };
        let again = LogbookRecord { name: "oq-04 ".to_owned(), ..record.clone() };
        let ids = |record: &LogbookRecord| -> Vec<Value> {
            let rows = of_logbook(&tablet, record, Names::Without);
            rows.iter().map(|row| row.cells["id"].clone()).collect()
        };
        assert_ne!(ids(&record), ids(&other));
        assert_eq!(ids(&record), ids(&again));
    }

    #[test]
    fn every_cell_has_a_column() {
        let (tablet, record) = logbook();
        let columns = |table: &str| TABLES.iter().find(|(name, _)| *name == table).unwrap().1;
        for row in of_logbook(&tablet, &record, Names::With) {
            for key in row.cells.keys() {
                assert!(columns(row.table).contains(&key.as_str()), "{}: {key}", row.table);
            }
        }
    }
}
