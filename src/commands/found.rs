//! What is found without a flag: a site's rules and its conveyors.
//!
//! Rules are those of `STRAYBELT_RULES`, else of the folder `rules` in the state folder; conveyors are the files of the
//! folder `conveyors` there. One line says what was taken.

use std::io;
use std::path::{Path, PathBuf};

use super::Streams;
use crate::cli::Command;
use crate::visit::store::VisitStore;

/// Names a site's rules where the command has none named and there are some.
///
/// # Errors
/// If the line that says so cannot be written.
pub(super) fn rules(command: &mut Command, streams: &mut Streams) -> io::Result<()> {
    let (named, state) = match command {
        Command::Diagnose(args) => (&mut args.book.rules, args.state.state.as_deref()),
        Command::Visits(args) => (&mut args.book.rules, args.state.state.as_deref()),
        Command::Logbook(args) => (&mut args.book.rules, args.state.state.as_deref()),
        Command::Drill(args) => (&mut args.book.rules, args.state.state.as_deref()),
        Command::Gauge(args) => match &mut args.call {
            Some(call) => (&mut call.rules, call.state.as_deref()),
            None => return Ok(()),
        },
        // Whoever works on rules names them.
        _ => return Ok(()),
    };
    if named.is_some() {
        return Ok(());
    }
    let set = std::env::var_os("STRAYBELT_RULES").filter(|value| !value.is_empty());
    let (path, from) = match set {
        Some(path) => (PathBuf::from(path), "from STRAYBELT_RULES"),
        None => match in_state_folder(state, "rules").filter(|path| path.is_dir()) {
            Some(path) => (path, "from the state folder"),
            None => return Ok(()),
        },
    };
    streams.complain(&format!("Rules: {} ({from})", path.display()))?;
    *named = Some(path);
    Ok(())
}

/// The conveyor files in the state folder, by name.
pub(super) fn conveyors(state: Option<&Path>) -> Vec<PathBuf> {
    in_state_folder(state, "conveyors").map(|folder| in_folder(&folder)).unwrap_or_default()
}

/// The conveyor files beside these visits, by name.
pub(super) fn conveyors_in(visits: &VisitStore) -> Vec<PathBuf> {
    in_folder(&visits.beside("conveyors"))
}

fn in_folder(folder: &Path) -> Vec<PathBuf> {
    let files = std::fs::read_dir(folder).into_iter().flatten().flatten().map(|file| file.path());
    let known = |path: &PathBuf| {
        path.extension().is_some_and(|end| end == "ron" || end == "json") && path.is_file()
    };
    let mut files: Vec<PathBuf> = files.filter(known).collect();
    files.sort();
    files
}

/// The file that is meant by `--conveyor`: a path, or the name of a conveyor in the state folder.
///
/// # Errors
/// If the line that says which was taken cannot be written.
pub(super) fn conveyor(
    named: &Path,
    state: Option<&Path>,
    streams: &mut Streams,
) -> io::Result<PathBuf> {
    if named.exists() {
        return Ok(named.to_path_buf());
    }
    let found =
        conveyors(state).into_iter().find(|path| path.file_stem() == Some(named.as_os_str()));
    let Some(path) = found else { return Ok(named.to_path_buf()) };
    taken(&path, streams)?;
    Ok(path)
}

/// Says which conveyor's file was taken.
pub(super) fn taken(path: &Path, streams: &mut Streams) -> io::Result<()> {
    streams.complain(&format!("Conveyor: {} (from the state folder)", path.display()))
}

fn in_state_folder(state: Option<&Path>, name: &str) -> Option<PathBuf> {
    Some(VisitStore::usual(state).ok()?.beside(name))
}
