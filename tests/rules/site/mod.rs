//! A site's folder as a whole: what it may change, replace and take out, what it changed, and who signed it.

mod changed;
mod signed;
mod taken_out;
mod two_folders;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A folder of rules, and the program run on it.
struct Folder(tempfile::TempDir);

struct Said {
    out: String,
    err: String,
    code: i32,
}

impl Folder {
    fn with(files: &[(&str, &str)]) -> Self {
        let dir = tempfile::tempdir().unwrap();
        for (path, text) in files {
            let path = dir.path().join(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        Self(dir)
    }

    fn path(&self) -> &Path {
        self.0.path()
    }

    fn file(&self, inside: &str) -> PathBuf {
        self.path().join(inside)
    }

    fn shown(&self) -> String {
        self.path().display().to_string()
    }
}

/// `straybelt rules ...` at 120 columns.
fn rules(args: &[&str]) -> Said {
    let ended = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .arg("rules")
        .args(args)
        .env("COLUMNS", "120")
        .output()
        .unwrap();
    let said = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    Said { out: said(ended.stdout), err: said(ended.stderr), code: ended.status.code().unwrap() }
}

const GULLS: &str = r#"[(id: "gulls", name: "Gulls on the return strand", how_common: Rare,
    happens_because: "They sit on one edge.", signs: [Shows("where", [("return-run", Often)]), Sees("still-roll", Seldom)],
    source: Derived("what the shift saw in spring"))]"#;
const SCARER: &str = r#"[(id: "fit-a-scarer", title: "Fit a scarer", stage: Weather, cures: [("gulls", Usually)],
    state: LockedOut, minutes: 30.0, steps: [Do("Fit it.")], done_when: ("No gulls", Memory), source: Memory)]"#;
