//! The program itself, run from the root of the repository with a state folder of its own.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// A state folder, and room beside it.
pub(super) struct Site(tempfile::TempDir);

impl Site {
    pub(super) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    /// In memory, for whoever writes much.
    pub(super) fn quick() -> Self {
        Self(crate::support::files::quick_folder())
    }

    pub(super) fn at(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(super) fn path(&self, name: &str) -> String {
        self.at(name).display().to_string()
    }

    /// The program with these arguments, not yet started.
    pub(super) fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
        command
            .args(args)
            .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
            .env("STRAYBELT_STATE", self.at("state"))
            .env("COLUMNS", "80");
        command
    }

    pub(super) fn typed(&self, args: &[&str], typed: &str) -> Output {
        let mut child = self
            .command(args)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // It may end before all is read.
        let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
        child.wait_with_output().unwrap()
    }

    pub(super) fn run(&self, args: &[&str]) -> Output {
        self.typed(args, "")
    }

    /// What it says when nothing is wrong.
    #[track_caller]
    pub(super) fn done(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert!(output.status.success(), "{args:?}: {output:?}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// What it complains of when it was used wrongly.
    #[track_caller]
    pub(super) fn refused(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {output:?}");
        assert!(output.stdout.is_empty(), "{output:?}");
        String::from_utf8(output.stderr).unwrap()
    }
}

/// All that was said.
pub(super) fn text(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// On one line, so that wrapping does not count.
pub(super) fn on_one_line(said: &str) -> String {
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}
