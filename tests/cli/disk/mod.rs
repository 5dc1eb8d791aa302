//! What is kept on disk and what is written there: damage is noticed, nothing but a plain file is touched, nobody else
//! may read it, and a kill leaves the old file or the new one.

mod damage;
#[cfg(unix)]
mod killed;
mod many;
#[cfg(unix)]
mod odd;
#[cfg(unix)]
mod output;
#[cfg(unix)]
mod private;
mod unwritable;

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::support::sitting::Sitting;

/// Whoever has not answered by then waits for ever.
const PATIENCE: Duration = Duration::from_secs(60);

/// What a command said.
struct Said {
    out: String,
    err: String,
    code: Option<i32>,
}

/// What a command says that gets nothing to read.
fn say(words: &[&str]) -> Said {
    say_in(Path::new("."), "true", words)
}

/// The same in a folder, after this was said to the shell.
fn say_in(folder: &Path, first: &str, words: &[&str]) -> Said {
    typed_in(folder, first, words, "")
}

/// The same, with something typed.
fn typed_in(folder: &Path, first: &str, words: &[&str], typed: &str) -> Said {
    let streams = tempfile::tempdir().unwrap();
    let stream = |name: &str| File::create(streams.path().join(name)).unwrap();
    let mut child = Command::new("sh")
        .args(["-c", &format!("{first}; exec \"$@\""), "sh", env!("CARGO_BIN_EXE_straybelt")])
        .args(words)
        .current_dir(folder)
        .env("COLUMNS", "200")
        .stdin(Stdio::piped())
        .stdout(stream("out"))
        .stderr(stream("err"))
        .spawn()
        .unwrap();
    // Who has gone already reads nothing.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("{words:?} hangs");
        }
        std::thread::sleep(Duration::from_millis(2));
    };
    let text = |name: &str| fs::read_to_string(streams.path().join(name)).unwrap();
    Said { out: text("out"), err: text("err"), code: status.code() }
}

/// The rules of the small book.
fn small_book() -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/small-book").display().to_string()
}

/// A state folder with one visit, one run and chosen units in it.
struct State {
    folder: tempfile::TempDir,
}

impl State {
    fn new() -> Self {
        let state = Self { folder: tempfile::tempdir().unwrap() };
        let mut sitting = Sitting::begin(
            200,
            &["diagnose", "--plain", "--rules", &small_book(), "--state", &state.shown()],
        );
        for line in ["1", "OQ-04", "1", "1", "no", "c", "1", "walkway", "", "no", "2", "1", "s"] {
            sitting.reply(line);
        }
        sitting.close();
        let mut sitting = Sitting::begin(
            200,
            &["drill", "run", "crooked-splice", "--plain", "--state", &state.shown()],
        );
        for line in ["", "", "", "7", "s"] {
            sitting.reply(line);
        }
        sitting.close();
        state
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn shown(&self) -> String {
        self.path().display().to_string()
    }

    /// What a command says of this folder.
    fn say(&self, words: &[&str]) -> Said {
        let shown = self.shown();
        say(&[words, &["--state", &shown]].concat())
    }

    /// The file of the first visit.
    fn visit(&self) -> PathBuf {
        find(&self.path().join("visits"), "0001.ron").pop().expect("a visit")
    }

    /// The file of the first run.
    fn run(&self) -> PathBuf {
        find(&self.path().join("runs"), "0001.ron").pop().expect("a run")
    }
}

/// Everything below a folder whose name ends so.
fn find(folder: &Path, end: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        if entry.file_type().unwrap().is_dir() {
            found.extend(find(&entry.path(), end));
        }
        if entry.file_name().to_string_lossy().ends_with(end) {
            found.push(entry.path());
        }
    }
    found
}

/// The names in a folder, in order.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().map(Result::unwrap);
    let mut names: Vec<String> =
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
