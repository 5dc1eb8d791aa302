//! `rules learn`: intervals against scipy, shares counted by hand on the small book, proposals that load, and
//! nothing proposed where there is too little.

use std::fs;
use std::path::Path;

use serde_json::Value;
use straybelt::problem::Code;
use straybelt::proof::credible::interval;
use straybelt::rulebook::load;
use straybelt::visit::event::{Ended, Event};

use super::new::{cured, kept};
use super::{run, shown, told};
use crate::support::files::root;

#[test]
fn intervals_are_those_of_scipy() {
    let text = fs::read_to_string(root("tests/oracle/intervals.json")).unwrap();
    let shares: Vec<Value> = serde_json::from_str(&text).unwrap();
    assert!(shares.len() > 50);
    for share in shares {
        let number = |key: &str| usize::try_from(share[key].as_u64().unwrap()).unwrap();
        let (low, high) = interval(number("hits"), number("of"));
        for (got, key) in [(low, 0), (high, 1)] {
            let expected = share["between"][key].as_f64().unwrap();
            let apart = (got - expected).abs();
            assert!(apart <= 1e-8 * expected, "{share}: {got}");
        }
    }
}

fn learn(state: &Path, rules: &Path, format: &str) -> (i32, String) {
    told(&run(
        &[
            "rules",
            "learn",
            "--all",
            "--state",
            shown(state),
            "--rules",
            shown(rules),
            "--format",
            format,
        ],
        &[],
    ))
}

/// Nine low frames, the belt on the low side in four of them; three crooked splices.
fn small(state: &Path) {
    for visit in 0..9 {
        let side = if visit < 4 { "left" } else { "right" };
        let answers = [("what-is-off", "one-place"), ("low-side", "left"), ("runs-toward", side)];
        kept(state, &answers, cured("level-frame", "low-frame"));
    }
    for _ in 0..3 {
        let answers = [("what-is-off", "one-part"), ("jumps", "yes")];
        kept(state, &answers, cured("re-splice", "crooked-splice"));
    }
}

fn find<'v>(list: &'v Value, wanted: &[(&str, &str)]) -> &'v Value {
    let fits = |item: &&Value| wanted.iter().all(|(key, value)| item[*key] == **value);
    list.as_array().unwrap().iter().find(fits).unwrap()
}

#[test]
fn shares_are_as_counted_by_hand() {
    let state = tempfile::tempdir().unwrap();
    small(state.path());
    let (code, text) = learn(state.path(), &root("examples/small-book"), "json");
    assert_eq!(code, 0, "{text}");
    let learnt: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(learnt["visits"], 12);
    // Before any answer, of the six sets of the guide: 11.16 + 0.59 + 0.29.
    let frame = find(&learnt["causes"], &[("id", "low-frame")]);
    assert_eq!((&frame["hits"], &frame["of"]), (&9.into(), &12.into()));
    assert!((frame["book"].as_f64().unwrap() - 0.1204).abs() < 1e-4, "{frame}");
    assert_eq!(frame["outside"], true);
    // 9.5 of 13, as the prior 0.01 stands to 0.1204, is 0.061: nearest to Everyday.
    assert_eq!(frame["propose"], "Everyday");
    let rolls = find(&learnt["causes"], &[("id", "dirty-rolls")]);
    assert_eq!((&rolls["hits"], &rolls["propose"]), (&0.into(), &"Rare".into()));
    let splice = find(&learnt["causes"], &[("id", "crooked-splice")]);
    assert_eq!((&splice["hits"], &splice["propose"]), (&3.into(), &Value::Null));

    let side = find(&learnt["links"], &[("cause", "low-frame"), ("symptom", "runs-toward")]);
    let share = &side["answers"][0];
    assert_eq!(share["answer"], "as predicted");
    assert_eq!(
        (&share["hits"], &share["of"], &share["outside"]),
        (&4.into(), &9.into(), &true.into())
    );
    assert!((share["book"].as_f64().unwrap() - 0.8).abs() < 1e-9);
    assert_eq!(side["propose"], "SameSideAs(\"runs-toward\", \"low-side\", Often)");
    // Three visits propose nothing, whatever they say.
    let jumps = find(&learnt["links"], &[("cause", "crooked-splice"), ("symptom", "jumps")]);
    assert_eq!((&jumps["answers"][0]["of"], &jumps["propose"]), (&3.into(), &Value::Null));
    // No link, no line: the book says nothing of jumps with a low frame.
    let links = learnt["links"].as_array().unwrap();
    assert!(links.iter().all(|l| l["cause"] != "low-frame" || l["symptom"] != "jumps"));

    // A whole book is changed in its own files.
    let (code, text) = learn(state.path(), &root("examples/small-book"), "text");
    assert_eq!(code, 0, "{text}");
    assert!(text.contains("causes/small.ron:") && !text.contains("In site.ron"), "{text}");
    assert!(text.contains("how_common: Everyday,"), "{text}");
}

#[test]
fn what_is_proposed_for_site_ron_loads_and_names_what_it_was_written_against() {
    let folder = tempfile::tempdir().unwrap();
    let (state, rules) = (folder.path().join("state"), folder.path().join("rules"));
    fs::create_dir_all(&rules).unwrap();
    fs::write(rules.join("site.ron"), "(version: \"1\")\n").unwrap();
    for _ in 0..12 {
        let answers = [
            ("first-split", "one-part"),
            ("strand", "carry"),
            ("how-it-moves", "jumps-each-turn"),
            ("follows-splice", "no"),
            ("edge-fray", "frayed"),
        ];
        kept(&state, &answers, cured("re-splice-mechanical", "crooked-splice"));
    }
    let before = fs::read_to_string(rules.join("site.ron")).unwrap();
    let (code, text) = learn(&state, &rules, "text");
    assert_eq!(code, 0, "{text}");
    assert_eq!(fs::read_to_string(rules.join("site.ron")).unwrap(), before);
    let (_, rest) = text.split_once("In site.ron:\n").unwrap_or_else(|| panic!("{text}"));
    assert!(rest.contains("how_common: Leading,"), "{text}");
    assert!(rest.contains("Shows(\"strand\", [(\"carry\", "), "{text}");
    assert!(rest.contains("Sees(\"follows-splice\", "), "{text}");
    assert!(rest.contains("Reaches(\"edge-fray\", [(\"frayed\", "), "{text}");
    assert!(rest.contains("// was Common: 12 of 12, book "), "{text}");
    fs::write(rules.join("site.ron"), format!("(\n{rest})\n")).unwrap();
    let checked = load::read(Some(&rules));
    let own: Vec<_> = checked
        .problems
        .iter()
        .filter(|problem| {
            problem.is_error() || matches!(problem.code, Code::NoFingerprint | Code::Moved)
        })
        .map(|problem| (problem.labels[0].place.to_string(), &problem.message))
        .collect();
    assert!(own.is_empty(), "{own:#?}\n{rest}");
    let prior = |book: &straybelt::rulebook::model::Book| {
        book.causes.values().find(|c| c.id == "crooked-splice").unwrap().prior
    };
    let book = checked.book.unwrap();
    assert!(prior(&book) > prior(&load::default_book().unwrap()));
}

#[test]
fn too_little_is_said_to_be_too_little() {
    let state = tempfile::tempdir().unwrap();
    let state = state.path();
    let cure = || cured("re-splice-mechanical", "crooked-splice");
    for _ in 0..3 {
        kept(state, &[("first-split", "one-place")], cure());
    }
    kept(state, &[("first-split", "one-place")], Vec::new());
    kept(state, &[], vec![Event::Ended { how: Ended::NothingLeft }]);
    kept(state, &[], vec![Event::Ended { how: Ended::True }]);
    let (code, text) = told(&run(&["rules", "learn", "--all", "--state", shown(state)], &[]));
    assert_eq!(code, 0, "{text}");
    for says in [
        "3 visits with a confirmed cause",
        "Visit 4 left aside: it is still open.",
        "Visit 5 left aside: it did not end with a belt that runs true.",
        "Visit 6 left aside: no cause was reported as suspected.",
        "too little to change anything",
        "no change is proposed",
    ] {
        assert!(text.contains(says), "{says}\n{text}");
    }
    let (code, text) = told(&run(&["rules", "learn", "9", "--state", shown(state)], &[]));
    assert_eq!(code, 2, "{text}");
    assert!(text.contains("there is no visit 9 here"), "{text}");
    let (code, text) = told(&run(&["rules", "learn", "--state", shown(state)], &[]));
    assert_eq!(code, 2, "{text}");
}
