//! A state folder that cannot be written: said at once, with what to do, and what was answered is printed.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]

use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

/// The program at plain lines, answered one question at a time.
struct Sitting {
    child: Child,
    input: ChildStdin,
    output: ChildStdout,
    seen: String,
}

impl Sitting {
    fn begin(state: &Path) -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(["diagnose", "--plain", "--rules"])
            .arg(root.join("examples/small-book"))
            .arg("--state")
            .arg(state)
            .env("COLUMNS", "200")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let input = child.stdin.take().expect("its input");
        let output = child.stdout.take().expect("its output");
        let mut sitting = Self {
            child,
            input,
            output,
            seen: String::new(),
        };
        sitting.read_to_prompt();
        sitting
    }

    fn reply(&mut self, line: &str) {
        writeln!(self.input, "{line}").expect("typed");
        self.read_to_prompt();
    }

    /// Reads on until a reply is waited for, or it ends.
    fn read_to_prompt(&mut self) {
        let mut piece = [0; 4096];
        loop {
            let n = self.output.read(&mut piece).expect("output");
            self.seen.push_str(&String::from_utf8_lossy(&piece[..n]));
            let prompts = ["letter: ", "\nName: ", "\nSide: "];
            if n == 0 || prompts.iter().any(|prompt| self.seen.ends_with(prompt)) {
                return;
            }
        }
    }

    /// Closes the input, and says what was seen, what stands on standard error, and the exit code.
    fn end(mut self) -> (String, String, Option<i32>) {
        drop(self.input);
        self.output.read_to_string(&mut self.seen).expect("output");
        let ended = self.child.wait_with_output().expect("it ends");
        let errors = String::from_utf8_lossy(&ended.stderr);
        // Where lines are broken does not matter here.
        let on_one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        (
            on_one_line(&self.seen),
            on_one_line(&errors),
            ended.status.code(),
        )
    }
}

/// A state folder below a temporary one, not made yet.
fn state(folder: &tempfile::TempDir) -> PathBuf {
    folder.path().join("kept")
}

#[test]
fn a_file_in_the_place_of_the_folder_is_said_before_anything_is_asked() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    std::fs::write(&state, "not a folder").expect("written");
    let (seen, errors, code) = Sitting::begin(&state.join("below")).end();
    assert_eq!(code, Some(4), "{seen}{errors}");
    assert_eq!(seen, "");
    assert!(errors.contains("kept/below/visits"), "{errors}");
    assert!(
        errors.contains("A file stands where a folder should be"),
        "{errors}"
    );
    assert!(errors.contains("--state DIR"), "{errors}");
}

#[test]
fn a_folder_that_cannot_be_made_gives_the_first_answer_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let mut sitting = Sitting::begin(&state);
    sitting.reply("1");
    // Only now does something stand in its way.
    std::fs::write(&state, "not a folder").expect("written");
    sitting.reply("OQ-04, salt side");
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(4), "{seen}{errors}");
    let parting = seen.split("NOT SAVED").nth(1).expect("it is said");
    assert!(parting.contains("kept"), "{seen}");
    assert!(parting.contains("--state DIR"), "{seen}");
    assert!(parting.contains(" - Conveyor: OQ-04, salt side"), "{seen}");
    assert!(!parting.contains("Saved as visit"), "{seen}");
}

#[test]
fn a_folder_that_goes_away_gives_every_answer_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let mut sitting = Sitting::begin(&state);
    for line in ["1", "OQ-04", "1", "1"] {
        sitting.reply(line);
    }
    assert!(!sitting.seen.contains("NOT SAVED"), "{}", sitting.seen);
    std::fs::remove_dir_all(&state).expect("removed");
    for line in ["no", "2", "1", "walkway", "", "no"] {
        sitting.reply(line);
    }
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(4), "{seen}{errors}");
    // Said once in full at the answer, then in short, then in full at the end.
    assert_eq!(seen.matches("The folder has gone").count(), 2, "{seen}");
    let parting = seen.rsplit("NOT SAVED").next().expect("it is said");
    for answer in [
        "Conveyor: OQ-04",
        "Conveyor, class: troughed-bulk",
        "Conveyor, reversing: no",
        "The left side is called: walkway",
        "Any smoke, glow or smell of burning? - no",
    ] {
        assert!(
            parting.contains(answer),
            "{answer:?} is missing in {parting}"
        );
    }
}

#[test]
fn a_folder_that_comes_back_is_written_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let away = folder.path().join("away");
    let mut sitting = Sitting::begin(&state);
    for line in ["1", "OQ-04"] {
        sitting.reply(line);
    }
    std::fs::rename(&state, &away).expect("moved away");
    sitting.reply("1");
    assert!(sitting.seen.contains("NOT SAVED"), "{}", sitting.seen);
    std::fs::rename(&away, &state).expect("moved back");
    sitting.reply("1");
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(0), "{seen}{errors}");
    assert!(seen.contains("Saved as visit 1"), "{seen}");
    let year = std::fs::read_dir(state.join("visits")).expect("a folder");
    let year = year.flatten().next().expect("a year");
    let text = std::fs::read_to_string(year.path().join("0001.ron")).expect("a visit");
    for answer in ["OQ-04", "troughed-bulk", "screw"] {
        assert!(text.contains(answer), "{answer:?} is missing in {text}");
    }
}
