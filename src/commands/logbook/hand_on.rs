//! `logbook export`, `logbook import`, `logbook check`.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;

use serde_json::Value;

use super::beginnings::{lost, open_or_begin, set_aside};
use super::gather::Occasion;
use super::{Desk, gather, sizes, which};
use crate::cli::{LogbookExportArgs, TablesFormat};
use crate::commands::output::deliver;
use crate::commands::{Failed, Streams, say_store};
use crate::disk::{self, Over, Sight};
use crate::exit::Exit;
use crate::kept::Begun;
use crate::logbook::tables::{self, Names, TABLES, TableRow};
use crate::logbook::{Entry, TabletId, checks, key};
use crate::show::chance::count;
use crate::show::logbook as pages;

/// No file that is imported is larger, in bytes.
const LARGEST: u64 = 256 * 1024 * 1024;
/// So many bad lines are told.
const TOLD: usize = 10;

/// Writes everything as flat tables.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn export(
    desk: &Desk,
    args: &LogbookExportArgs,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    match gather::gather(desk.visits, desk.books, desk.clock, Occasion::OnTheWay) {
        Ok(gathered) => {
            for why in &gathered.left_out {
                streams.complain(&format!("warning: {why}."))?;
            }
        }
        Err(error) => return say_store(&error, streams),
    }
    let tablet = desk.tablet(streams)?;
    let names = if args.names { Names::With } else { Names::Without };
    let (rows, bad) = match rows(desk, &tablet, names) {
        Ok(all) => all,
        Err(error) => return say_store(&error, streams),
    };
    for why in &bad {
        streams.complain(&format!("warning: left out: {why}."))?;
    }
    let over = if args.force { Over::PlainFile } else { Over::Nothing };
    let written = match args.format {
        TablesFormat::Ndjson => {
            let lines: String = rows.iter().map(|row| format!("{}\n", row.object())).collect();
            deliver(&lines, args.output.as_deref(), over, "the tables", streams)?
        }
        TablesFormat::Csv => match &args.output {
            Some(folder) => csv_files(&rows, folder, over, streams)?,
            None => {
                streams
                    .complain("error: a table is one file each: name a folder for them with -o.")?;
                return Ok(Exit::Usage);
            }
        },
    };
    Ok(if written == Exit::Done && !bad.is_empty() { Exit::Problems } else { written })
}

/// All rows, and what could not be read.
fn rows(
    desk: &Desk,
    tablet: &TabletId,
    names: Names,
) -> Result<(Vec<TableRow>, Vec<String>), crate::kept::StoreError> {
    let visits = desk.visits.look_at_all()?;
    let books = desk.books.look_at_all()?;
    let bad = visits.bad.iter().chain(&books.bad).map(ToString::to_string).collect();
    let own = visits.records.iter().rev().flat_map(|record| tables::of_visit(tablet, record));
    let of_books =
        books.records.iter().rev().flat_map(|record| tables::of_logbook(tablet, record, names));
    Ok((own.chain(of_books).collect(), bad))
}

fn csv_files(
    rows: &[TableRow],
    folder: &Path,
    over: Over,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    if let Err(error) = disk::make_folders(folder, Sight::Usual) {
        streams.complain(&format!("error: {} cannot be made: {error}.", folder.display()))?;
        return Ok(Exit::Usage);
    }
    for (table, columns) in TABLES {
        let mut writer = csv::Writer::from_writer(Vec::new());
        let cell = |row: &TableRow, column: &str| match row.cells.get(column) {
            None | Some(Value::Null) => String::new(),
            Some(Value::String(text)) => text.clone(),
            Some(other) => other.to_string(),
        };
        let heads = std::iter::once(columns.iter().map(|column| (*column).to_owned()).collect());
        let lines = rows.iter().filter(|row| row.table == table);
        let lines = lines.map(|row| columns.iter().map(|column| cell(row, column)).collect());
        for line in heads.chain::<Box<dyn Iterator<Item = Vec<String>>>>(Box::new(lines)) {
            writer.write_record(&line).map_err(std::io::Error::from)?;
        }
        let bytes =
            writer.into_inner().map_err(|error| std::io::Error::other(error.to_string()))?;
        let text = String::from_utf8_lossy(&bytes);
        let file = folder.join(format!("{table}.csv"));
        let exit = deliver(&text, Some(&file), over, "a table", streams)?;
        if exit != Exit::Done {
            return Ok(exit);
        }
    }
    Ok(Exit::Done)
}

/// Puts the entries of an export into the logbooks here: the union of both.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn import(desk: &Desk, file: &Path, streams: &mut Streams) -> Result<Exit, Failed> {
    let shown = file.display();
    let text = match disk::read_text(file, LARGEST) {
        Ok(text) => text,
        Err(error) => {
            streams.complain(&format!("error: {shown} cannot be read: {error}."))?;
            return Ok(Exit::Usage);
        }
    };
    let (by_name, bad) = entries(&text);
    for why in bad.iter().take(TOLD) {
        streams.complain(&format!("warning: {shown}: {why}; left out."))?;
    }
    if bad.len() > TOLD {
        streams
            .complain(&format!("warning: {shown}: {} more lines left out.", bad.len() - TOLD))?;
    }
    let (mut added, mut known) = (0, 0);
    for (name, entries) in by_name.into_values() {
        let (mut open, begun) = match open_or_begin(desk.books, &name, desk.now()) {
            Ok(opened) => opened,
            Err(error) => {
                streams.complain(&format!(
                    "error: the import stops at {name}; {} put into the logbooks until then. Import it again afterwards: what stands there already is not entered twice.",
                    count(added, "entry was", "entries were")
                ))?;
                return say_store(&error, streams);
            }
        };
        if begun == Begun::Now
            && let Ok(Some(lost)) = lost(desk.books, &name)
        {
            which::begun_beside(&lost, streams)?;
        }
        let of = entries.len();
        let mut here = 0;
        let changed = open.change(|record| {
            let (_, _, sizes) = sizes(record);
            here = record.add(entries, &sizes);
        });
        if let Err(error) = changed {
            return say_store(&error, streams);
        }
        added += here;
        known += of - here;
    }
    writeln!(
        streams.out,
        "{} put into the logbooks; {known} stood there already.",
        count(added, "entry was", "entries were")
    )?;
    Ok(if bad.is_empty() { Exit::Done } else { Exit::Problems })
}

type ByName = BTreeMap<String, (String, Vec<Entry>)>;

/// The entries of an export by the name of their conveyor, and what is wrong with the rest.
fn entries(text: &str) -> (ByName, Vec<String>) {
    let (mut by_name, mut bad) = (ByName::new(), Vec::new());
    for (place, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()) {
        let read = serde_json::from_str::<Value>(line).map_err(|error| error.to_string());
        let read = read.and_then(|row| match row.get("table").and_then(Value::as_str) {
            Some("entries") => tables::read_entry(&row).map(Some),
            Some(_) => Ok(None),
            None => Err("it names no table".to_owned()),
        });
        match read {
            Ok(Some((name, entry))) => {
                by_name.entry(key(&name)).or_insert((name, Vec::new())).1.push(entry);
            }
            Ok(None) => {}
            Err(why) => bad.push(format!("line {}: {why}", place + 1)),
        }
    }
    (by_name, bad)
}

/// Reads everything and says what is wrong.
///
/// # Errors
/// If the output cannot be written.
pub(super) fn check(desk: &Desk, streams: &mut Streams) -> Result<Exit, Failed> {
    let (visits, books) = match (desk.visits.look_at_all(), desk.books.look_at_all()) {
        (Ok(visits), Ok(books)) => (visits, books),
        (Err(error), _) | (_, Err(error)) => return say_store(&error, streams),
    };
    let today = desk.today();
    let mut wrong: Vec<String> =
        visits.bad.iter().chain(&books.bad).map(ToString::to_string).collect();
    match set_aside(desk.books) {
        Ok(aside) => wrong.extend(aside.iter().map(|(path, name)| {
            pages::aside(path, name.as_deref()).trim_end_matches('.').to_owned()
        })),
        Err(error) => return say_store(&error, streams),
    }
    let mut names: BTreeMap<String, u32> = BTreeMap::new();
    for record in books.records.iter().rev() {
        if let Some(other) = names.insert(key(&record.name), record.logbook) {
            wrong.push(format!(
                "logbooks {other} and {} are both of {}. To put them together: `straybelt logbook export -o all.ndjson{}`, move both files away, then `straybelt logbook import all.ndjson{}`",
                record.logbook, record.name, desk.again, desk.again
            ));
        }
        let (_, _, sizes) = sizes(record);
        let problems = checks::problems(record, &sizes, today);
        wrong.extend(problems.into_iter().map(|why| format!("{}: {why}", record.name)));
    }
    for why in &wrong {
        streams.complain(&format!("problem: {why}."))?;
    }
    writeln!(
        streams.out,
        "{} and {} were read: {}.",
        count(books.records.len(), "logbook", "logbooks"),
        count(visits.records.len(), "visit", "visits"),
        match wrong.len() {
            0 => "all in order".to_owned(),
            many => count(many, "problem", "problems"),
        }
    )?;
    Ok(if wrong.is_empty() { Exit::Done } else { Exit::Problems })
}
