//! A site's folder laid over the default book changes what it says it changes, and nothing else.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;
use straybelt::problem::Code;
use straybelt::rulebook::export;
use straybelt::rulebook::load::{self, Checked, Laid};
use straybelt::rulebook::model::{Book, Shown, Verdict};

pub(super) fn over(files: &[(&str, &str)]) -> Checked {
    let dir = tempfile::tempdir().unwrap();
    for (path, text) in files {
        let path = dir.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    load::read(Some(dir.path()))
}

pub(super) fn book(files: &[(&str, &str)]) -> Book {
    let checked = over(files);
    assert_eq!(checked.laid, Laid::Over);
    checked.book.unwrap_or_else(|| panic!("{:?}", checked.problems))
}

fn document(book: &Book) -> Value {
    serde_json::to_value(export::document(book)).unwrap()
}

pub(super) fn entry<'d>(document: &'d Value, list: &str, id: &str) -> Option<&'d Value> {
    document[list].as_array().unwrap().iter().find(|entry| entry["id"] == id)
}

const CAUSE: &str = r#"[(id: "gulls", name: "Gulls on the return strand", how_common: Rare,
    happens_because: "They sit on one edge.", signs: [Sees("gull-feathers", Usually), Sees("noise-of-gulls", Often)],
    source: Memory)]"#;
const FIX: &str = r#"[(id: "fit-a-scarer", title: "Fit a scarer", stage: Weather, cures: [("gulls", Usually)],
    state: LockedOut, minutes: 30.0, steps: [Do("Fit it.")], done_when: ("No gulls", Memory), cautions: ["lockout"],
    source: Memory)]"#;
const SYMPTOMS: &str = r#"[
    (id: "gull-feathers", kind: Sign, ask: "Feathers under the belt?", answers: [("no", "No"), ("yes", "Yes")],
        look: "From the walkway.", why: "Gulls.", minutes: 1.0, state: Running, by_itself: Seldom, source: Memory),
    (id: "noise-of-gulls", kind: Sign, ask: "Gulls heard?", answers: [("no", "No"), ("yes", "Yes")],
        look: "Listen.", why: "Gulls.", minutes: 1.0, state: Anywhere, by_itself: Seldom,
        seen_with: [("crosswind", Sometimes)], source: Memory)]"#;

#[test]
fn new_entries_are_added_and_link_both_ways() {
    let site = book(&[("causes/a.ron", CAUSE), ("fixes/a.ron", FIX), ("symptoms/a.ron", SYMPTOMS)]);
    let default = load::default_book().unwrap();
    assert_eq!(site.causes.len(), default.causes.len() + 1);
    assert_ne!(site.fingerprint, default.fingerprint);
    let (site, default) = (document(&site), document(&default));
    let links = &entry(&site, "symptoms", "noise-of-gulls").unwrap()["links"];
    assert_eq!(links, &serde_json::json!({"crosswind": 0.25, "gulls": 0.55}));
    // The stage puts the new fix in its place among the others.
    let after = entry(&site, "fixes", "clean-idler-rolls").unwrap()["after"].as_array().unwrap();
    assert!(after.contains(&Value::from("fit-a-scarer")));
    // Everything else is as it was.
    for symptom in default["symptoms"].as_array().unwrap() {
        assert_eq!(entry(&site, "symptoms", symptom["id"].as_str().unwrap()), Some(symptom));
    }
}

#[test]
fn a_change_replaces_what_it_names_and_adds_the_rest() {
    let site = r#"(
        name: "Ours", at_most: 2, minutes: (lock_out: 25.0), reports: (same_again: 0.7),
        change: [
            Cause(id: "old-trims", how_common: Rare, name: "Trims of years", signs: [Sees("trimmed-for-years", Often), Sees("hub-dust", Seldom)]),
            Symptom(id: "still-roll", minutes: 7.0, ask: "Is a roll still?", says: [("yes", "It is")], by_itself: Sometimes,
                seen_with: [("old-trims", Seldom)]),
            Fix(id: "clean-idler-rolls", minutes: 90.0, people: 3, cures: [("old-trims", Never)], steps: [Do("Sweep up.")],
                begins_with: [(symptom: "heaps-under-return", needs: "Heaps lie there", go_on: ["much"])], never: ["Hurry."]),
            Caution(id: "manual-handling", text: "Two to lift."),
        ],
    )"#;
    let changed = book(&[("site.ron", site)]);
    let default = document(&load::default_book().unwrap());
    let site = document(&changed);
    assert_eq!(site["book"]["name"], "Ours");
    assert_eq!(
        (site["at_most"].as_u64(), site["minutes"]["lock_out"].as_f64()),
        (Some(2), Some(25.0))
    );
    assert_eq!(site["minutes"]["give_up"], default["minutes"]["give_up"]);
    let same_again = |book: &Value| book["reports"]["same_again"].as_f64();
    assert_eq!((same_again(&default), same_again(&site)), (Some(0.9), Some(0.7)));
    assert_eq!(site["reports"]["was_fine"], default["reports"]["was_fine"]);
    let cause = entry(&site, "causes", "old-trims").unwrap();
    assert_eq!(
        (cause["prior"].as_f64(), cause["name"].as_str()),
        (Some(0.004), Some("Trims of years"))
    );
    let link = |document: &Value, symptom: &str, cause: &str| {
        entry(document, "symptoms", symptom).unwrap()["links"][cause].as_f64()
    };
    assert_eq!(
        link(&site, "trimmed-for-years", "old-trims"),
        Some(0.55),
        "instead of the book's own"
    );
    assert_eq!(link(&site, "hub-dust", "old-trims"), Some(0.08));
    assert_eq!(link(&site, "still-roll", "old-trims"), Some(0.08), "from the symptom's side");
    let symptom = entry(&site, "symptoms", "still-roll").unwrap();
    assert_eq!((symptom["minutes"].as_f64(), symptom["leak"].as_f64()), (Some(7.0), Some(0.25)));
    let fix = entry(&site, "fixes", "clean-idler-rolls").unwrap();
    assert_eq!((fix["minutes"].as_f64(), fix["people"].as_u64()), (Some(90.0), Some(3)));
    assert_eq!(fix["cures"]["old-trims"], 0.01);
    let own = changed.fixes.values().find(|fix| fix.id == "clean-idler-rolls").unwrap();
    assert!(own.steps().len() > 1, "steps are added, none is lost");
    let before = load::default_book().unwrap();
    let before = before.fixes.values().find(|fix| fix.id == "clean-idler-rolls").unwrap();
    assert_eq!(own.begins_with.len(), before.begins_with.len() + 1);
    assert_eq!(own.never.len(), before.never.len() + 1);
    assert_eq!(fix["begins_with"].as_array().unwrap().last().unwrap()["go_on"][0], "much");
    assert_eq!(entry(&site, "cautions", "manual-handling").unwrap()["text"], "Two to lift.");
}

/// A site may switch off any question that a fix of the book begins with: the book still loads, and a fix of which no
/// check can call for the work any more is done unless one ends it.
#[test]
fn a_check_whose_question_is_switched_off_takes_no_fix_with_it() {
    let default = load::default_book().unwrap();
    let asked: BTreeSet<&str> = (default.fixes.values())
        .flat_map(|fix| &fix.begins_with)
        .filter_map(|check| Some(default.symptoms[check.symptom()?].id.as_str()))
        .collect();
    let mut left_alone = 0;
    // A question with a role stays.
    let roles: BTreeSet<&str> =
        default.roles.all().into_iter().map(|at| default.symptoms[at].id.as_str()).collect();
    for id in asked.into_iter().filter(|id| !roles.contains(id)) {
        let checked = over(&[("site.ron", &format!("(switch_off: [Symptom(\"{id}\")])"))]);
        let Some(book) = checked.book else { panic!("{id}: {:?}", checked.problems) };
        for fix in
            book.fixes.values().filter(|fix| !fix.begins_with.is_empty() && !fix.checks_call())
        {
            left_alone += 1;
            let sound = fix.verdict(|_, _| Shown::Sound);
            let ends = fix.verdict(|_, _| Shown::Ends);
            assert_eq!((sound, ends), (Verdict::NeedsWork, Verdict::Sound), "{}", fix.id);
        }
    }
    assert!(left_alone > 0, "no fix of the book has only one check that calls");
}

#[test]
fn what_is_switched_off_is_gone_and_nothing_trips_over_it() {
    let site = r#"(switch_off: [Cause("old-trims"), Cause("crosswind"), Symptom("lumps-or-swing"), Symptom("how-it-moves"), Fix("clean-idler-rolls")])"#;
    let checked = over(&[("site.ron", site)]);
    assert!(
        !checked.problems.iter().any(straybelt::problem::Problem::is_error),
        "{:?}",
        checked.problems
    );
    let book = checked.book.unwrap();
    let site = document(&book);
    for (list, id) in
        [("causes", "old-trims"), ("symptoms", "lumps-or-swing"), ("fixes", "clean-idler-rolls")]
    {
        assert!(entry(&site, list, id).is_none(), "{id}");
    }
    let text = site.to_string();
    for id in ["\"old-trims\"", "\"lumps-or-swing\"", "\"how-it-moves\"", "\"clean-idler-rolls\""] {
        assert!(!text.contains(id), "{id} is still named");
    }
}

#[test]
fn a_symptom_that_waits_for_one_that_is_switched_off_is_told_of() {
    let checked = over(&[("site.ron", r#"(switch_off: [Symptom("how-it-moves")])"#)]);
    let told: Vec<_> =
        checked.problems.iter().filter(|problem| problem.code == Code::Unreachable).collect();
    assert!(
        told.iter().any(|problem| problem.message.contains("follows-splice")),
        "{:?}",
        checked.problems
    );
}

#[test]
fn the_order_of_files_does_not_matter() {
    let one = book(&[("causes/a.ron", CAUSE), ("fixes/a.ron", FIX), ("symptoms/a.ron", SYMPTOMS)]);
    let two =
        book(&[("causes/z/deep.ron", CAUSE), ("fixes/q.ron", FIX), ("symptoms/0.ron", SYMPTOMS)]);
    let (mut one, mut two) = (document(&one), document(&two));
    for document in [&mut one, &mut two] {
        document["book"]["fingerprint"] = Value::Null;
    }
    assert_eq!(one, two);
}
