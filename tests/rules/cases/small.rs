//! The small book of the examples in a folder of its own, with cases beside it, and the program run on it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::support::files::{copy, small_folder};

/// A folder with the small book and these cases.
pub(crate) struct Site(tempfile::TempDir);

/// What the program said.
pub(crate) struct Said {
    pub(crate) out: String,
    pub(crate) err: String,
    pub(crate) code: i32,
}

impl Site {
    pub(crate) fn with(cases: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        copy(&small_folder(), dir.path());
        let site = Self(dir);
        site.write("cases/small.ron", cases);
        site
    }

    pub(crate) fn path(&self) -> &Path {
        self.0.path()
    }

    pub(crate) fn file(&self, inside: &str) -> PathBuf {
        self.path().join(inside)
    }

    pub(crate) fn write(&self, inside: &str, text: &str) {
        let path = self.file(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub(crate) fn read(&self, inside: &str) -> String {
        fs::read_to_string(self.file(inside)).unwrap()
    }

    /// `straybelt rules WORD FOLDER more..`, at 76 columns.
    pub(crate) fn rules(&self, word: &str, more: &[&str]) -> Said {
        let ended = Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(["rules", word])
            .arg(self.path())
            .args(more)
            .env("COLUMNS", "76")
            .output()
            .unwrap();
        let text = |bytes: Vec<u8>| {
            String::from_utf8(bytes).unwrap().replace(&self.path().display().to_string(), "(site)")
        };
        Said {
            out: text(ended.stdout),
            err: text(ended.stderr),
            code: ended.status.code().unwrap(),
        }
    }
}
