//! A state folder that cannot be written: said at once, with what to do, and what was answered is printed.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]

use std::path::{Path, PathBuf};

#[path = "support/sitting.rs"]
mod sitting;

use sitting::Sitting;

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

#[test]
fn a_folder_that_goes_away_gives_every_answer_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let mut sitting = begin(&state);
    for line in ["1", "no", "OQ-04", "1", "1"] {
        sitting.reply(line);
    }
    assert!(!sitting.seen.contains("NOT SAVED"), "{}", sitting.seen);
    std::fs::remove_dir_all(&state).expect("removed");
    for line in ["no", "2", "1", "walkway", "", "2"] {
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
        "Any smoke, glow or smell of burning? - No",
    ] {
        assert!(parting.contains(answer), "{answer:?} is missing in {parting}");
    }
}

#[test]
fn a_folder_that_comes_back_is_written_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let state = state(&folder);
    let away = folder.path().join("away");
    let mut sitting = begin(&state);
    for line in ["1", "no", "OQ-04"] {
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
