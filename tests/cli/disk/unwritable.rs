//! A state folder that cannot be written: said at once, with what to do, and what was answered is printed.

use std::path::{Path, PathBuf};

use crate::support::sitting::Sitting;

/// A visit with the small book.
fn begin(state: &Path) -> Sitting {
    let rules = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/small-book");
    let (rules, state) = (rules.display().to_string(), state.display().to_string());
    Sitting::begin(200, &["diagnose", "--plain", "--rules", &rules, "--state", &state])
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
    let (seen, errors, code) = begin(&state.join("below")).end();
    assert_eq!(code, Some(4), "{seen}{errors}");
    assert_eq!(seen, "");
    assert!(errors.contains("kept/below/visits"), "{errors}");
    assert!(errors.contains("A file stands where a folder should be"), "{errors}");
    assert!(errors.contains("--state DIR"), "{errors}");
}

#[test]
fn a_folder_that_cannot_be_made_gives_the_first_answer_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let mut sitting = begin(&state);
    sitting.reply("1");
    // Only now does something stand in its way.
    std::fs::write(&state, "not a folder").expect("written");
    sitting.reply("no");
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(4), "{seen}{errors}");
    let parting = seen.split("NOT SAVED").nth(1).expect("it is said");
    assert!(parting.contains("kept"), "{seen}");
    assert!(parting.contains("--state DIR"), "{seen}");
    assert!(parting.contains(" - Any smoke, glow or smell of burning? - No"), "{seen}");
    assert!(!parting.contains("Saved as visit"), "{seen}");
}

/// Puts a file in the place of the state folder, which goes away.
fn taken_away(state: &Path) -> PathBuf {
    let away = state.with_file_name("away");
    std::fs::rename(state, &away).expect("moved away");
    std::fs::write(state, "not a folder").expect("written");
    away
}

#[test]
fn a_folder_that_goes_away_gives_every_answer_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let mut sitting = begin(&state);
    for line in ["1", "no", "OQ-04", "1", "1"] {
        sitting.reply(line);
    }
    assert!(!sitting.seen.contains("NOT SAVED"), "{}", sitting.seen);
    taken_away(&state);
    for line in ["no", "2", "1", "5", "walkway", "", "2"] {
        sitting.reply(line);
    }
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(4), "{seen}{errors}");
    // Said once in full at the answer, then in short, then in full at the end.
    assert_eq!(seen.matches("A file stands where a folder should be").count(), 2, "{seen}");
    let parting = seen.rsplit("NOT SAVED").next().expect("it is said");
    assert!(parting.contains("Nothing of this visit is kept on disk"), "{seen}");
    assert!(!parting.contains("--resume"), "{seen}");
    for answer in [
        "Conveyor: OQ-04",
        "Conveyor, class: troughed-bulk",
        "Conveyor, reversing: no",
        "Conveyor, parts: impact-bed",
        "The left side is called: walkway",
        "Any smoke, glow or smell of burning? - No",
    ] {
        assert!(parting.contains(answer), "{answer:?} is missing in {parting}");
    }
}

#[test]
fn a_folder_that_was_removed_is_made_again_with_every_answer() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let mut sitting = begin(&state);
    for line in ["1", "no", "OQ-04", "1", "1"] {
        sitting.reply(line);
    }
    std::fs::remove_dir_all(&state).expect("removed");
    for line in ["no", "2", "1", "5", "walkway", "", "2"] {
        sitting.reply(line);
    }
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(0), "{seen}{errors}");
    assert!(!seen.contains("NOT SAVED"), "{seen}");
    let text = the_visit(&state);
    for answer in ["OQ-04", "troughed-bulk", "screw", "walkway", "StopAnswered"] {
        assert!(text.contains(answer), "{answer:?} is missing in {text}");
    }
}

#[test]
fn a_folder_that_comes_back_is_written_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let mut sitting = begin(&state);
    for line in ["1", "no", "OQ-04"] {
        sitting.reply(line);
    }
    let away = taken_away(&state);
    sitting.reply("1");
    assert!(sitting.seen.contains("NOT SAVED"), "{}", sitting.seen);
    std::fs::remove_file(&state).expect("removed");
    std::fs::rename(&away, &state).expect("moved back");
    sitting.reply("1");
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(0), "{seen}{errors}");
    assert!(seen.contains("Saved as visit 1"), "{seen}");
    let text = the_visit(&state);
    for answer in ["OQ-04", "troughed-bulk", "screw"] {
        assert!(text.contains(answer), "{answer:?} is missing in {text}");
    }
}

/// The text of the first visit.
fn the_visit(state: &Path) -> String {
    let found = super::find(state, "0001.ron").pop().expect("a visit");
    std::fs::read_to_string(found).expect("readable")
}

#[cfg(unix)]
#[test]
fn a_limit_on_the_size_of_files_is_an_error_with_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let said = super::say_in(
        folder.path(),
        "ulimit -f 1",
        &["rules", "print", "--whole", "--format", "text", "-o", "book.txt"],
    );
    assert_eq!(said.code, Some(2), "{}", said.err);
    assert!(said.err.contains("book.txt cannot be written: File too large"), "{}", said.err);
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 0);

    // Not with its output in a file, which the limit is on as well.
    let limited = ["-c", "ulimit -f 1; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_straybelt")];
    let mut child = std::process::Command::new("sh")
        .args(limited)
        .args(["diagnose", "--plain", "--rules", &super::small_book(), "--state", "kept"])
        .current_dir(folder.path())
        .env("COLUMNS", "200")
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("it starts");
    let typed = "1\nno\nOQ-04\n1\n1\nno\n2\n1\nwalkway\n";
    std::io::Write::write_all(&mut child.stdin.take().expect("its input"), typed.as_bytes())
        .expect("typed");
    let ended = child.wait_with_output().expect("it ends");
    let seen = String::from_utf8_lossy(&ended.stdout);
    let seen = seen.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(ended.status.code(), Some(4), "{seen}");
    assert!(seen.contains("No file may grow so large here"), "{seen}");
    // Whatever was answered is printed, saved or not.
    let parting = seen.rsplit("NOT SAVED").next().expect("it is said");
    assert!(parting.contains("Any smoke"), "{seen}");
    assert!(super::find(&folder.path().join("kept"), ".new").is_empty());
}
