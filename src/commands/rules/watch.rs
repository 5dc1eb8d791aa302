//! A folder of rules looked at again and again.

use std::collections::BTreeMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use crate::commands::{Failed, Streams};
use crate::exit::Exit;

/// A folder is looked at so often.
const LOOK_AGAIN: Duration = Duration::from_millis(400);

/// Does something now, and again whenever a file below the folder changes, until Ctrl-C.
pub(super) fn watch(
    dir: &Path,
    streams: &mut Streams,
    each: &mut dyn FnMut(&mut Streams) -> Result<Exit, Failed>,
) -> Result<Exit, Failed> {
    let mut seen = None;
    loop {
        let now = stamps(dir);
        if seen.as_ref() != Some(&now) {
            match each(streams) {
                // What does not load was told of; it is waited for.
                Ok(_) | Err(Failed::Told(_)) => {}
                Err(failed) => return Err(failed),
            }
            writeln!(streams.out, "Watching {}; Ctrl-C ends it.\n", dir.display())?;
            streams.out.flush()?;
            seen = Some(now);
        }
        std::thread::sleep(LOOK_AGAIN);
    }
}

/// When each file below a folder was last changed.
fn stamps(dir: &Path) -> BTreeMap<PathBuf, Option<SystemTime>> {
    let mut found = BTreeMap::new();
    let mut open = vec![(dir.to_owned(), 0)];
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
