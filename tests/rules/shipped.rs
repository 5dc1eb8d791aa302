//! The rules that are shipped: the default book, the examples, and what is written out of them.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;
use straybelt::conveyor;
use straybelt::rulebook::{export, load};

use crate::support::files::root;

fn document(book: &straybelt::rulebook::model::Book) -> Value {
    serde_json::to_value(export::document(book)).unwrap()
}

#[test]
fn nothing_at_all_is_to_be_said_of_the_shipped_rules() {
    for folder in [None, Some("examples/ostrel-quay/rules"), Some("examples/small-book")] {
        let folder = folder.map(root);
        let checked = load::read(folder.as_deref());
        let told: Vec<_> = checked.problems.iter().map(straybelt::show::problem::line).collect();
        assert_eq!(told, Vec::<String>::new(), "{folder:?}");
        assert!(checked.book.is_some());
    }
}

#[test]
fn every_example_conveyor_can_be_read() {
    let folder = root("examples/ostrel-quay/conveyors");
    let mut read = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let (_, warnings) = conveyor::read(&path).unwrap_or_else(|problems| panic!("{problems:?}"));
        assert_eq!(warnings, [], "{path:?}");
        read += 1;
    }
    assert!(read > 3);
}

/// Keys of the contract, in its order; ours may follow.
const CONTRACT: &[(&str, &[&str])] = &[
    ("", &["format", "book", "at_most", "causes", "symptoms", "fixes", "cautions", "minutes"]),
    ("causes", &["id", "name", "prior", "source", "only_if"]),
    (
        "symptoms",
        &["id", "ask", "answers", "minutes", "opening", "state", "group", "only_if", "kind"],
    ),
    (
        "fixes",
        &[
            "id", "title", "minutes", "people", "state", "cures", "after", "needs", "only_if",
            "cautions", "source",
        ],
    ),
    ("cautions", &["id", "text", "rule"]),
];

#[test]
fn the_exported_document_keeps_the_contract() {
    let text = exported(&[]);
    let mut at = 0;
    for key in CONTRACT[0].1 {
        let found = text
            .get(at..)
            .unwrap()
            .find(&format!("\n  \"{key}\":"))
            .unwrap_or_else(|| panic!("{key} in order"));
        at += found + 1;
    }
    let document: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(document["format"], 1);
    for (list, keys) in CONTRACT.iter().skip(1) {
        for entry in document[list].as_array().unwrap() {
            for key in *keys {
                assert!(entry.get(key).is_some(), "{list}: {key}");
            }
        }
    }
    let ids = |list: &str| -> BTreeSet<String> {
        document[list]
            .as_array()
            .unwrap()
            .iter()
            .map(|entry| entry["id"].as_str().unwrap().to_owned())
            .collect()
    };
    let (causes, fixes, cautions) = (ids("causes"), ids("fixes"), ids("cautions"));
    for symptom in document["symptoms"].as_array().unwrap() {
        let answers = symptom["answers"].as_array().unwrap().len();
        let sums = |row: &Value, id: &Value| {
            let row: Vec<f64> =
                row.as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect();
            assert_eq!(row.len(), answers, "{id}");
            assert!(row.iter().all(|n| (0.001..=0.999).contains(n)), "{id}");
            assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-12, "{id}");
        };
        let climbs = |row: &Value, id: &Value| {
            let row: Vec<f64> =
                row.as_array().unwrap().iter().map(|n| n.as_f64().unwrap()).collect();
            assert_eq!((row.len(), row.last()), (answers, Some(&1.0)), "{id}");
            assert!(row.windows(2).all(|pair| pair[1] - pair[0] >= 0.001 - 1e-12), "{id}");
        };
        let id = &symptom["id"];
        let linked = match symptom["kind"].as_str().unwrap() {
            "sign" => {
                assert_eq!(symptom["answers"], serde_json::json!(["no", "yes"]));
                assert!(symptom["leak"].as_f64().is_some());
                &symptom["links"]
            }
            "pattern" => {
                sums(&symptom["background"], id);
                for voice in symptom["voices"].as_object().unwrap().values() {
                    assert_eq!(voice["weight"], 1.0);
                    match voice.get("rows") {
                        None => sums(&voice["row"], id),
                        Some(rows) => {
                            assert!(voice["relative_to"].is_string());
                            let rows = rows.as_object().unwrap();
                            assert_eq!(rows.keys().collect::<Vec<_>>(), ["left", "right"]);
                            rows.values().for_each(|row| sums(row, id));
                        }
                    }
                }
                &symptom["voices"]
            }
            "grade" => {
                climbs(&symptom["base"], id);
                symptom["rows"].as_object().unwrap().values().for_each(|row| climbs(row, id));
                &symptom["rows"]
            }
            "marks" => {
                let chance = |p: &serde_json::Value, least: f64| {
                    assert!((least..=0.999).contains(&p.as_f64().unwrap()), "{id}");
                };
                let marks = symptom["answers"].as_array().unwrap().len();
                let leaks = symptom["leaks"].as_array().unwrap();
                assert_eq!(leaks.len(), marks);
                leaks.iter().for_each(|leak| chance(leak, 0.001));
                for links in symptom["links"].as_object().unwrap().values() {
                    let links = links.as_array().unwrap();
                    assert_eq!(links.len(), marks);
                    links.iter().for_each(|link| chance(link, 0.0));
                }
                &symptom["links"]
            }
            other => panic!("kind {other}"),
        };
        assert!(linked.as_object().unwrap().keys().all(|cause| causes.contains(cause)));
    }
    for fix in document["fixes"].as_array().unwrap() {
        let named = |key: &str, known: &BTreeSet<String>| {
            assert!(
                fix[key].as_array().unwrap().iter().all(|id| known.contains(id.as_str().unwrap()))
            );
        };
        named("after", &fixes);
        named("needs", &fixes);
        named("cautions", &cautions);
        assert!(fix["cures"].as_object().unwrap().keys().all(|cause| causes.contains(cause)));
        assert!(["running", "locked-out"].contains(&fix["state"].as_str().unwrap()));
    }
}

#[test]
fn the_book_written_out_and_read_again_is_the_same() {
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("book");
    let export = || {
        Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(["rules", "export"])
            .arg(&to)
            .output()
            .unwrap()
    };
    assert_eq!(export().status.code(), Some(0));
    let again = load::with_site(Some(&to)).unwrap().0;
    assert_eq!(document(&again), document(&load::default_book().unwrap()));
    // A second time nothing is touched.
    fs::write(to.join("book.ron"), "mine").unwrap();
    fs::remove_file(to.join("cautions.ron")).unwrap();
    let output = export();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("exists; nothing was written"));
    assert_eq!(fs::read_to_string(to.join("book.ron")).unwrap(), "mine");
    assert!(!to.join("cautions.ron").exists());
}

#[test]
fn a_book_that_does_not_load_is_exit_three_but_one_for_the_check() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("site.ron"), "(minuts: ())").unwrap();
    let run = |args: &[&str]| {
        Command::new(env!("CARGO_BIN_EXE_straybelt")).args(args).arg(dir.path()).output().unwrap()
    };
    let export = run(&["rules", "export", "--format", "json", "--rules"]);
    assert_eq!((export.status.code(), export.stdout.as_slice()), (Some(3), b"".as_slice()));
    assert!(String::from_utf8_lossy(&export.stderr).contains("did you mean `minutes`?"));
    let check = run(&["rules", "check", "--format", "json"]);
    assert_eq!(check.status.code(), Some(1));
    let report: Value = serde_json::from_slice(&check.stdout).unwrap();
    assert_eq!(report["problems"][0]["code"], "unknown-field");
    assert_eq!(report["problems"][0]["labels"][0]["line"], 1);
    assert_eq!(report["problems"][0]["labels"][0]["column"], 2);
}

fn exported(args: &[PathBuf]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["rules", "export", "--format", "json"])
        .args(args)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0));
    String::from_utf8(output.stdout).unwrap()
}
