//! Files as an earlier state of the program wrote them, and what was printed of them then: a visit, a run of a drill,
//! answers, a small book and one that is wrong. A change of the house changes none of it. Where an issue changes what
//! is printed, these pages are renewed with it and the difference is read.

use std::process::Command;

use crate::support::files::root;

/// What is printed of the files in `before/`, command by command.
const COMMANDS: [&str; 6] = [
    "diagnose --answers answers.ron --rules book",
    "rules check wrong",
    "visits --state state --rules book",
    "visits show 1 --state state --rules book",
    "drill debrief 1 --state state",
    "gauge side-load --side left --moved 0.5in --load 700lb --width 24in --bearing-centres 30in \
     --centres 30ft --modulus 15000lbf/in --state nowhere",
];

/// The command with all that it prints, and how it ends.
fn said(words: &str, columns: &str) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
    command.args(words.split(' ')).current_dir(root("tests/cli/before"));
    let ended = command.env("COLUMNS", columns).env("TZ", "UTC").output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let code = ended.status.code().unwrap();
    let (out, errors) = (text(ended.stdout), text(ended.stderr));
    format!("$ straybelt {words}\n{out}{errors}(exit code {code})\n\n")
}

fn kept(name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("before");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, text));
}

#[test]
fn pages_are_printed_as_before() {
    for columns in ["40", "80"] {
        let pages = COMMANDS.map(|words| said(words, columns)).concat();
        kept(&format!("pages-{columns}"), &pages);
    }
}

#[test]
fn a_finding_is_written_as_before() {
    kept("finding", &said(&format!("{} --format json", COMMANDS[0]), "80"));
}
