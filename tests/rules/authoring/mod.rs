//! The supervisor's bench at the keyboard: entries written by `rules new`, cases from visits, and whatever can be
//! wrong with the files that people hand in.

mod as_data;
mod bad_input;
mod grammar;
mod json;
mod learn;
mod new;
mod places;
mod schema;
mod trace;

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Runs the program with these lines on its standard input.
pub(crate) fn run(arguments: &[&str], lines: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
    command
        .args(arguments)
        .env("NO_COLOR", "1")
        .env("COLUMNS", "100")
        .env_remove("STRAYBELT_STATE")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut input = child.stdin.take().unwrap();
    for line in lines {
        // Whoever has made up its mind no longer reads.
        let _ = writeln!(input, "{line}");
    }
    drop(input);
    child.wait_with_output().unwrap()
}

/// The exit code, and everything that was printed.
pub(crate) fn told(output: &Output) -> (i32, String) {
    let mut text = String::from_utf8(output.stdout.clone()).unwrap();
    text.push_str(std::str::from_utf8(&output.stderr).unwrap());
    (output.status.code().unwrap(), text)
}

pub(crate) fn shown(path: &Path) -> &str {
    path.to_str().unwrap()
}
