//! `rules new`: an entry, a case or a site's file, asked for line by line, written whole and checked at once.

mod case;
mod checks;
mod choices;
mod drill;
mod entries;
mod fix;
mod form;
mod look;
mod reading;
mod site;
mod steps;
mod visit;

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use self::choices::Choices;
use self::entries::NewFile;
use self::form::{Form, KEYS, NewLeft};
use self::reading::Choice;
use super::{beside, does_not_load, tell};
use crate::ask::{Ask, Farewell, Lost, hear_signals};
use crate::cli::{NewArgs, NewKind};
use crate::commands::new_file;
use crate::commands::{Failed, Streams, asker, say_store};
use crate::drill::World;
use crate::drill::read as drills;
use crate::exit::Exit;
use crate::problem::{Code, Problems, Report, count};
use crate::proof::case as cases;
use crate::rulebook::load::{self, Checked};
use crate::rulebook::model::Book;
use crate::show::drill::preview;
use crate::show::page::{Page, Screen};
use crate::source::Place;
use crate::stream::paint::Ink;
use crate::visit::Diagnosis;
use crate::visit::store::VisitStore;

const NOTHING_WRITTEN: &str = "\nNothing was written.\n";

/// Does what `rules new` was told.
///
/// # Errors
/// If the output cannot be written.
pub(in crate::commands) fn run(args: &NewArgs, streams: &mut Streams) -> Result<Exit, Failed> {
    if args.from.is_some() && args.kind != NewKind::Case {
        streams.complain("error: --from goes with `rules new case` alone.")?;
        return Ok(Exit::Usage);
    }
    let farewell = Farewell::default();
    farewell.set(NOTHING_WRITTEN.to_owned());
    hear_signals(&farewell);
    match args.from {
        Some(visit) => from_visit(args, visit, streams),
        None => {
            let (mut ask, screen) = asker::somebody(args.plain.manner(), streams);
            fill_in(args, ask.as_mut(), screen, streams)
        }
    }
}

/// Asks a person for an entry.
fn fill_in(
    args: &NewArgs,
    ask: &mut dyn Ask,
    screen: Screen,
    streams: &mut Streams,
) -> Result<Exit, Failed> {
    let dir = folder(args, ask, streams)?;
    let (book, checked) = book(&dir, streams)?;
    let used = case_ids(&book, &checked);
    let drills = drill_ids(&book, &checked);
    let choices = Choices::new(&book);
    if args.kind == NewKind::Site && dir.join("site.ron").exists() {
        return exists(&dir.join("site.ron"), "", streams);
    }
    let mut page = Page::new(screen);
    page.title(&format!("New {}", args.kind.word()));
    page.para_in(Ink::Faint, KEYS);
    ask.say(&page.finish());
    let sheet = Form::new(ask, screen, KEYS).fill(|form| match args.kind {
        NewKind::Symptom => entries::symptom(form, &choices, &dir),
        NewKind::Look => look::look(form, &choices, &dir),
        NewKind::Cause => entries::cause(form, &choices, &dir),
        NewKind::Fix => fix::fix(form, &choices, &dir),
        NewKind::Caution => site::caution(form, &choices, &dir),
        NewKind::Site => site::site(form, &choices),
        NewKind::Case => case::case(form, &choices, &used, &dir),
        NewKind::Drill => drill::drill(form, &choices, &drills, &dir),
    });
    match sheet {
        Ok(sheet) => write(&dir, &sheet, streams),
        Err(NewLeft::Stopped(path)) => exists(&path, ANOTHER_ID, streams),
        Err(NewLeft::Lost(lost)) => left(lost, streams),
    }
}

/// Turns a kept visit into a case file.
fn from_visit(args: &NewArgs, number: u32, streams: &mut Streams) -> Result<Exit, Failed> {
    let Some(dir) = &args.dir else {
        streams.complain(&format!("error: name the folder of the site's rules: straybelt rules new case --from {number} DIR"))?;
        return Ok(Exit::Usage);
    };
    let (book, _) = book(dir, streams)?;
    let record =
        VisitStore::usual(args.state.state.as_deref()).and_then(|store| store.look(number));
    let record = match record {
        Ok(record) => record,
        Err(error) => return say_store(&error, streams),
    };
    match visit::cases(&book, &record) {
        visit::FromVisit::Cases(sheet) => write(dir, &sheet, streams),
        visit::FromVisit::Nothing(why) => {
            streams.complain(&format!("error: visit {number} makes no case: {why}."))?;
            Ok(Exit::Usage)
        }
    }
}

/// The site's folder: as named, or as typed.
fn folder(args: &NewArgs, ask: &mut dyn Ask, streams: &mut Streams) -> Result<PathBuf, Failed> {
    const USUAL: &str = "site-rules";
    if let Some(dir) = &args.dir {
        return Ok(dir.clone());
    }
    ask.say(&format!(
        "Which folder holds the site's rules? It is made if it is not there. Press Enter for {USUAL}\n"
    ));
    match ask.words("folder") {
        Ok(line) if line.trim().is_empty() => Ok(PathBuf::from(USUAL)),
        Ok(line) => Ok(PathBuf::from(line.trim())),
        Err(lost) => left(lost, streams).and_then(Failed::told),
    }
}

/// The book with the folder over it; the default one while the folder holds nothing yet.
fn book(dir: &Path, streams: &mut Streams) -> Result<(Book, Checked), Failed> {
    let here = Place::file(dir.display().to_string());
    let mut checked = load::read(Some(dir).filter(|dir| dir.exists()));
    let empty = |problem: &crate::problem::Problem| {
        problem.code == Code::NoEntries && problem.labels.iter().any(|label| label.place == here)
    };
    if checked.problems.iter().all(empty) && !checked.problems.is_empty() {
        checked = load::read(None);
    }
    match checked.book.take() {
        Some(book) => Ok((book, checked)),
        None => does_not_load(&Problems(checked.problems), streams).and_then(Failed::told),
    }
}

/// The ids of the cases that are there.
fn case_ids(book: &Book, checked: &Checked) -> Vec<Choice> {
    let mut report = Report::default();
    let read = cases::read(book, checked, &mut report);
    let ids = read.cases.into_iter().map(|case| Choice { id: case.id, name: case.title });
    ids.collect()
}

/// The ids of the drills that are there.
fn drill_ids(book: &Book, checked: &Checked) -> Vec<Choice> {
    let read = drills::read(book, checked, &mut Report::default());
    let ids = read.drills.into_iter().map(|drill| Choice { id: drill.id, name: drill.title });
    ids.collect()
}

/// Writes a file that is not there yet, and checks the folder with it.
fn write(dir: &Path, sheet: &NewFile, streams: &mut Streams) -> Result<Exit, Failed> {
    let path = dir.join(&sheet.inside);
    if let Err(error) = new_file::write_new(&path, &sheet.text) {
        if error.kind() == io::ErrorKind::AlreadyExists {
            return exists(&path, "", streams);
        }
        streams.complain(&format!("error: {} cannot be written: {error}. Nothing of it is left. Name another folder, or give yourself \
             the right to write there.",
            path.display()))?;
        return Ok(Exit::Usage);
    }
    writeln!(streams.out, "Wrote {}.", path.display())?;
    check(dir, &path, streams)
}

/// Reads the folder as `rules check` does. The new file stays, whatever is wrong with it.
fn check(dir: &Path, path: &Path, streams: &mut Streams) -> Result<Exit, Failed> {
    let checked = load::read(Some(dir));
    let mut problems = checked.problems.clone();
    problems.extend(beside(&checked));
    streams.out.flush()?;
    tell(&problems, streams)?;
    let errors = problems.iter().filter(|problem| problem.is_error()).count();
    let warnings = problems.len() - errors;
    let mut page = Page::new(streams.screen());
    page.para(&match (errors, warnings) {
        (0, 0) => "Checked: no problems.".to_owned(),
        (0, _) => format!("Checked: it can be used, with {}.", count(warnings, "warning")),
        _ => format!(
            "Checked: {}. Mend {} with an editor, then check it again:",
            count(errors, "error"),
            path.display()
        ),
    });
    let shown = dir.display();
    if errors > 0 {
        page.line(Ink::Plain, &format!("  straybelt rules check {shown}"));
        streams.out.page(&page.finish())?;
        return Ok(Exit::Problems);
    }
    if problems.iter().any(|problem| problem.code == Code::NoFix) {
        page.para("A cause without a fix helps nobody. Write the fix:");
        page.line(Ink::Plain, &format!("  straybelt rules new fix {shown}"));
    }
    let drill = path.parent().is_some_and(|folder| folder.ends_with("drills"));
    if let Some(id) = path.file_stem().filter(|_| drill) {
        let id = id.to_string_lossy();
        page.text(&preview(&checked, &id, streams.screen()));
        page.blank().para("Run it:");
        page.line(Ink::Plain, &format!("  straybelt drill run {id} \\"));
        page.line(Ink::Plain, &format!("    --rules {shown}"));
    } else {
        page.para("See what it does to the cases:");
        page.line(Ink::Plain, &format!("  straybelt rules test {shown}"));
    }
    streams.out.page(&page.finish())?;
    Ok(Exit::Done)
}

/// How the belt of a new drill runs before anybody does anything, as its learners will see it; empty if it cannot run.
fn preview(checked: &Checked, id: &str, screen: Screen) -> String {
    let Some(book) = &checked.book else {
        return String::new();
    };
    let drills = drills::read(book, checked, &mut Report::default()).drills;
    let diagnosis = Diagnosis::new(book);
    let drill = drills.iter().find(|drill| drill.id == id);
    let world = drill.and_then(|drill| World::begin(drill, &diagnosis));
    world.map_or_else(String::new, |world| preview::page(screen, &world))
}

const ANOTHER_ID: &str = ", or take another id";

fn exists(path: &Path, or: &str, streams: &mut Streams) -> Result<Exit, Failed> {
    streams.complain(&format!(
        "error: {} is there already and was left as it is. Change it with an editor{or}.",
        path.display()
    ))?;
    Ok(Exit::Usage)
}

fn left(lost: Lost, streams: &mut Streams) -> Result<Exit, Failed> {
    match lost {
        Lost::Interrupted => {
            streams.err.write_all(NOTHING_WRITTEN.as_bytes())?;
            Ok(Exit::Interrupted)
        }
        Lost::EndOfInput => {
            streams.complain(
                "\nerror: the input ended before the last line of the form. Nothing was written.",
            )?;
            Ok(Exit::Usage)
        }
    }
}
