//! The book to be read: one entry, the decision graph, the handbook, and what the questions cannot tell apart.

mod apart;
mod drawn;
mod handbook;
mod read;

use std::process::{Command, Output};

use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;

use crate::support::files::small_folder;

fn shipped() -> Book {
    load::default_book().unwrap()
}

fn run(width: usize, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .arg("rules")
        .args(args)
        .env("COLUMNS", width.to_string())
        .output()
        .unwrap()
}

/// What `rules ... --rules examples/small-book` prints.
fn printed(width: usize, args: &[&str]) -> String {
    let folder = small_folder().display().to_string();
    let output = run(width, &[args, &["--rules", &folder]].concat());
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    String::from_utf8(output.stdout).unwrap()
}
