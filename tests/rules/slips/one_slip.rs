//! One slip is one error, wherever it stands; what only follows from it is counted.

use std::fs;
use std::path::Path;

use straybelt::problem::Problem;
use straybelt::rulebook::load;

use super::super::overlay::over;
use crate::support::files::{copy, root};

/// The default book as files, with one of them changed.
fn whole_with(file: &str, change: impl FnOnce(String) -> Vec<u8>) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&root("rules"), dir.path());
    let path = dir.path().join(file);
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, change(text)).unwrap();
    dir
}

fn told(dir: &Path) -> Vec<String> {
    let checked = load::read(Some(dir));
    let prefix = format!("{}/", dir.display());
    let short = |problem: &Problem| {
        let place = problem.labels[0].place.to_string();
        format!("{} {}", place.strip_prefix(&prefix).unwrap_or(&place), problem.code.word())
    };
    checked.problems.iter().map(short).collect()
}

/// The line and column of some words of a file of the default book.
fn place(file: &str, words: &str) -> String {
    let text = fs::read_to_string(root("rules").join(file)).unwrap();
    let at = text.find(words).unwrap();
    let line = text[..at].matches('\n').count() + 1;
    let column = text[..at].rsplit('\n').next().unwrap().chars().count() + 1;
    format!("{file}:{line}:{column}")
}

const ROLLS: &str = "causes/01-rolls.ron";

#[test]
fn an_entry_that_does_not_load_still_stands_as_a_name() {
    let dir = whole_with(ROLLS, |text| text.replacen("how_common:", "how_comon:", 1).into());
    assert_eq!(told(dir.path()), [format!("{} unknown-field", place(ROLLS, "how_common:"))]);
    // A question that others speak of in a hundred places.
    let file = "symptoms/10-rolls-and-frame.ron";
    let dir = whole_with(file, |text| text.replacen("kind: Grade", "kind: \"Many\"", 1).into());
    assert_eq!(told(dir.path()), [format!("{} shape", place(file, "Grade"))]);
    assert!(load::read(Some(dir.path())).followers > 0);
}

#[test]
fn a_comma_a_bracket_and_a_quote_are_one_error_each() {
    for (find, put, code) in [
        ("how_common: Everyday,", "how_common: Everyday", "syntax"),
        ("signs: [", "signs: ", "syntax"),
        ("        ],\n        brought_on_by", "        brought_on_by", "syntax"),
        ("source: ", "source= ", "syntax"),
    ] {
        let text = fs::read_to_string(root("rules").join(ROLLS)).unwrap();
        assert!(text.contains(find), "{find}");
        let dir = whole_with(ROLLS, |text| text.replacen(find, put, 1).into());
        let told = told(dir.path());
        assert_eq!(told.len(), 1, "{find}: {told:?}");
        assert!(told[0].starts_with(ROLLS) && told[0].ends_with(code), "{told:?}");
    }
}

#[test]
fn a_file_in_utf_16_is_one_error() {
    for file in [ROLLS, "symptoms/02-movement.ron", "looks/02-trouble-spot.ron", "tools.ron"] {
        for mark in [true, false] {
            let dir = whole_with(file, |text| {
                let mark: &[u8] = if mark { b"\xff\xfe" } else { b"" };
                let units = text.encode_utf16().flat_map(u16::to_le_bytes);
                mark.iter().copied().chain(units).collect()
            });
            assert_eq!(told(dir.path()), [format!("{file}:1:1 encoding")]);
        }
    }
}

#[test]
fn a_file_that_cannot_be_read_is_one_error() {
    let dir = whole_with(ROLLS, std::convert::Into::into);
    fs::remove_file(dir.path().join(ROLLS)).unwrap();
    fs::create_dir(dir.path().join(ROLLS)).unwrap();
    assert_eq!(told(dir.path()), [format!("{ROLLS} unreadable")]);
}

#[test]
fn a_book_without_its_book_ron_is_one_error() {
    let dir = whole_with("book.ron", std::convert::Into::into);
    let book = dir.path().join("book.ron");
    let text = fs::read_to_string(&book).unwrap();
    fs::remove_file(&book).unwrap();
    let missing = load::read(Some(dir.path())).problems;
    assert_eq!(missing.len(), 1, "{missing:?}");
    assert!(missing[0].message.contains("holds no book.ron"), "{}", missing[0].message);
    fs::create_dir(&book).unwrap();
    assert_eq!(told(dir.path()), ["book.ron unreadable"]);
    fs::remove_dir(&book).unwrap();
    fs::write(dir.path().join("Book.ron"), text).unwrap();
    let named = told(dir.path());
    assert_eq!(named.iter().filter(|told| told.ends_with("no-entries")).count(), 1, "{named:?}");
    assert!(named.len() <= 2, "{named:?}");
}

#[test]
fn four_slips_in_one_entry_are_four_errors() {
    let cause = r#"[(id: "gulls", nmae: "Gulls on the return strand", how_common: Rar,
    happens_because: "They sit on one edge.", signs: [Sees("noyse", Offen), Shows("where", [("nowhere", Often)])], sauce: Memory)]"#;
    let fix = r#"[(id: "scare", title: "Scare them", stage: Weather, cures: [("gulls", Usually)], state: LockedOut, minutes: 30.0,
    steps: [Do("Fit it.")], done_when: ("No gulls", Memory), source: Memory)]"#;
    let checked = over(&[("causes/a.ron", cause), ("fixes/a.ron", fix)]);
    let told: Vec<String> = checked
        .problems
        .iter()
        .filter(|p| p.is_error())
        .map(|p| {
            let at = p.labels[0].place.at.as_ref().unwrap();
            format!("{}:{} {}", at.line, at.column, p.code.word())
        })
        .collect();
    assert_eq!(
        told,
        [
            "1:16 unknown-field",
            "1:64 unknown-word",
            "2:69 unknown-word",
            "2:116 unknown-field",
            "2:61 unknown-id",
            "2:95 unknown-id",
        ]
    );
}

#[test]
fn the_same_unknown_name_in_many_places_is_told_of_once() {
    let site = r#"(change: [
        Cause(id: "old-trims", was: "e36558f5", mistaken_for: ["gulls"]),
        Cause(id: "crosswind", mistaken_for: ["gulls"]), Cause(id: "crooked-frame", mistaken_for: ["gulls"])])"#;
    let checked = over(&[("site.ron", site)]);
    let unknown = checked.problems.iter().filter(|p| p.code.word() == "unknown-id").count();
    assert_eq!((unknown, checked.followers), (1, 2));
}
