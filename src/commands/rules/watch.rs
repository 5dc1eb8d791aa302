//! A folder of rules looked at again and again.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use crate::commands::{Failed, Streams};
use crate::exit::Exit;
use crate::rulebook::load;

/// A folder is looked at so often.
const LOOK_AGAIN: Duration = Duration::from_millis(400);

/// Where it is said that a round begins or is over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Notices {
    /// Among what is printed, for people and for editors that wait for these lines.
    Among,
    /// On standard error: what is printed is read by a program.
    Apart,
}

/// Does something now, and again whenever a file changes below the folder or below one that it stands over, until Ctrl-C.
pub(super) fn watch(
    dir: &Path,
    notices: Notices,
    streams: &mut Streams,
    each: &mut dyn FnMut(&mut Streams) -> Result<Exit, Failed>,
) -> Result<Exit, Failed> {
    let mut seen = None;
    loop {
        let now = stamps(&load::layers(dir));
        if seen.as_ref() != Some(&now) {
            if seen.is_some() {
                tell("A file has changed.\n", notices, streams)?;
            }
            match each(streams) {
                // What does not load was told of; it is waited for.
                Ok(_) | Err(Failed::Told(_)) => {}
                Err(failed) => return Err(failed),
            }
            tell(&format!("Watching {}; Ctrl-C ends it.\n\n", dir.display()), notices, streams)?;
            seen = Some(now);
        }
        std::thread::sleep(LOOK_AGAIN);
    }
}

fn tell(line: &str, notices: Notices, streams: &mut Streams) -> Result<(), Failed> {
    match notices {
        Notices::Among => streams.out.page(line)?,
        Notices::Apart => streams.err.page(line)?,
    }
    streams.out.flush()?;
    Ok(())
}

/// When each file below the folders was last changed.
fn stamps(dirs: &[PathBuf]) -> BTreeMap<PathBuf, Option<SystemTime>> {
    let mut found = BTreeMap::new();
    let mut open: Vec<(PathBuf, u32)> = dirs.iter().map(|dir| (dir.clone(), 0)).collect();
    while let Some((dir, depth)) = open.pop() {
        for entry in fs::read_dir(dir).into_iter().flatten().flatten() {
            let path = entry.path();
            match entry.file_type() {
                Ok(kind) if kind.is_dir() && depth < 4 => open.push((path, depth + 1)),
                Ok(kind) if kind.is_file() => {
                    let changed = entry.metadata().and_then(|m| m.modified()).ok();
                    found.insert(path, changed);
                }
                _ => {}
            }
        }
    }
    found
}
