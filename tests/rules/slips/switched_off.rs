//! A site may switch off any cause, any fix, any look, and any question without a role: the book can still be used, and
//! what goes with the default book rests instead of failing at places that the site cannot edit.

use std::collections::BTreeSet;

use straybelt::drill::read;
use straybelt::problem::{Code, Problem, Report};
use straybelt::proof::case;
use straybelt::rulebook::load::{self, Checked};

use super::super::overlay::over;
use crate::support::long;

/// What is told of the rules, the cases and the drills with this switched off.
fn without(entry: &str) -> (Checked, Vec<Problem>, usize) {
    let checked = over(&[("site.ron", &format!("(switch_off: [{entry}])"))]);
    let mut report = Report::default();
    let mut rest = 0;
    if let Some(book) = &checked.book {
        rest += case::read(book, &checked, &mut report).aside.len();
        rest += read::read(book, &checked, &mut report).aside.len();
    }
    let beside = report.sorted();
    (checked, beside, rest)
}

/// The problems whose first place a site cannot edit.
fn out_of_reach<'p>(problems: impl Iterator<Item = &'p Problem>) -> Vec<&'p Problem> {
    problems.filter(|p| p.labels[0].place.file.starts_with(load::BUILT_IN)).collect()
}

#[test]
fn each_cause_can_be_switched_off_and_nothing_is_said_of_it() {
    let default = load::default_book().unwrap();
    let mut rested = 0;
    for cause in default.causes.values() {
        let (checked, beside, rest) = without(&format!("Cause(\"{}\")", cause.id));
        assert!(checked.book.is_some(), "{}: {:?}", cause.id, checked.problems);
        assert_eq!(checked.problems, [], "{}", cause.id);
        assert_eq!(beside, [], "{}", cause.id);
        rested += usize::from(rest > 0);
    }
    // Nearly every cause of the default book has a case that needs it.
    assert!(rested * 10 >= default.causes.len() * 9, "{rested} of {}", default.causes.len());
}

#[test]
fn each_look_fix_and_question_without_a_role_can_be_switched_off() {
    let default = load::default_book().unwrap();
    let roles: BTreeSet<_> = default.roles.all().into_iter().collect();
    let looks = default.looks.values().filter(|look| look.place.is_some());
    let symptoms = default.symptoms.iter().filter(|(at, _)| !roles.contains(at));
    let all = (looks.map(|look| format!("Look(\"{}\")", look.id)))
        .chain(symptoms.map(|(_, symptom)| format!("Symptom(\"{}\")", symptom.id)))
        .chain(default.fixes.values().map(|fix| format!("Fix(\"{}\")", fix.id)));
    // Each of them in turn, or every fifth where somebody waits.
    for entry in all.step_by(if long() { 1 } else { 5 }) {
        let (checked, beside, _) = without(&entry);
        assert!(checked.book.is_some(), "{entry}: {:?}", checked.problems);
        assert!(!beside.iter().any(Problem::is_error), "{entry}: {beside:?}");
        let all = checked.problems.iter().chain(&beside);
        assert_eq!(out_of_reach(all), Vec::<&Problem>::new(), "{entry}");
    }
}

#[test]
fn a_question_with_a_role_stays_and_the_place_is_the_sites() {
    let default = load::default_book().unwrap();
    for at in default.roles.all() {
        let id = &default.symptoms[at].id;
        let (checked, ..) = without(&format!("Symptom(\"{id}\")"));
        let [problem] = checked.problems.as_slice() else { panic!("{id}: {:?}", checked.problems) };
        assert_eq!(problem.code, Code::Needed, "{id}");
        assert!(problem.labels[0].place.to_string().ends_with("site.ron:1:24"), "{id}");
    }
}

fn test(site: &str, more: &[&str]) -> (String, String, i32) {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("site.ron"), site).unwrap();
    let ended = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["rules", "test"])
        .args(more)
        .arg(dir.path())
        .env("COLUMNS", "200")
        .output()
        .unwrap();
    let said = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (said(ended.stdout), said(ended.stderr), ended.status.code().unwrap())
}

#[test]
fn the_summary_counts_what_rests_and_fails_when_that_is_much() {
    let site = "(switch_off: [Cause(\"crosswind\")])";
    let (out, err, code) = test(site, &[]);
    assert_eq!((err.as_str(), code), ("", 0), "{out}");
    let last = out.lines().last().unwrap();
    assert!(last.contains("cases and 1 drill rest: what they need is switched off."), "{last}");
    let (_, err, code) = test(site, &["--most-at-rest", "1"]);
    assert_eq!(code, 1);
    assert!(err.contains("per cent of the cases rest, more than 1."), "{err}");
}
