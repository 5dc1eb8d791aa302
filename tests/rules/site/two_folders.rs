//! The company's folder, and the plant's over it.

use std::fs;

use straybelt::problem::Code;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;

use super::{Folder, GULLS, SCARER, rules};

fn both(plant: &str) -> (Folder, String) {
    let company = "(name: \"Company\", minutes: (lock_out: 20.0), change: [Cause(id: \"old-trims\", how_common: Rare), \
                   Cause(id: \"crosswind\", how_common: Rare)])";
    let folder = Folder::with(&[
        ("company/site.ron", company),
        ("company/causes/a.ron", GULLS),
        ("company/fixes/a.ron", SCARER),
        ("plant/site.ron", plant),
    ]);
    let plant = folder.file("plant").display().to_string();
    (folder, plant)
}

#[test]
fn the_upper_one_wins_and_that_is_said() {
    let (folder, plant) = both(
        "(over: \"../company\", name: \"Plant\", change: [Cause(id: \"old-trims\", how_common: Everyday), \
         Cause(id: \"gulls\", how_common: Common)])",
    );
    let book = load::read(Some(&folder.file("plant"))).book.unwrap();
    let prior = |id: &str| book.causes.values().find(|cause| cause.id == id).unwrap().prior;
    assert_eq!((prior("old-trims"), prior("crosswind"), prior("gulls")), (0.05, 0.004, 0.025));
    assert_eq!((book.name.as_str(), book.minutes.lock_out), ("Plant", 20.0));
    let said = rules(&["check", &plant]).out;
    assert!(
        said.contains("Changed in two folders; the upper one wins: cause old-trims."),
        "{said}"
    );
}

#[test]
fn a_folder_that_is_not_there_or_stands_over_itself_is_told_of() {
    let (folder, _) = both("(over: \"../no-such\")");
    let told = load::read(Some(&folder.file("plant"))).problems;
    assert!(told.iter().any(|p| p.code == Code::Unreadable), "{told:?}");
    fs::write(folder.file("plant/site.ron"), "(over: \".\")").unwrap();
    let told = load::read(Some(&folder.file("plant"))).problems;
    assert!(told.iter().any(|p| p.code == Code::Circle), "{told:?}");
}

/// Field by field: what the plant says wins, what it leaves open is the company's, and what neither says is the book's.
#[test]
fn of_one_entry_each_field_comes_from_the_highest_folder_that_says_it() {
    let folder = Folder::with(&[
        (
            "company/site.ron",
            "(change: [Fix(id: \"clean-idler-rolls\", minutes: 90.0, people: 3, never: [\"Hurry.\"], drop_steps: [2]), \
             Cause(id: \"crosswind\", how_common: Rare)], switch_off: [Fix(\"turn-belt-over\")])",
        ),
        (
            "plant/site.ron",
            "(over: \"../company\", minutes: (lock_out: 30.0), change: [Fix(id: \"clean-idler-rolls\", minutes: 75.0), \
             Cause(id: \"crosswind\", drop_signs: [\"noise\"])])",
        ),
    ]);
    let default = load::default_book().unwrap();
    let book = load::read(Some(&folder.file("plant"))).book.unwrap();
    let fix = |book: &Book| {
        book.fixes.values().find(|fix| fix.id == "clean-idler-rolls").unwrap().clone()
    };
    let (before, now) = (fix(&default), fix(&book));
    assert_eq!((now.minutes, now.people, now.title), (75.0, 3, before.title));
    assert_eq!(now.never.last().map(String::as_str), Some("Hurry."));
    let cause = book.causes.values().find(|cause| cause.id == "crosswind").unwrap();
    assert_eq!(cause.prior, 0.004);
    assert!(book.fixes.values().all(|fix| fix.id != "turn-belt-over"));
    assert_eq!((book.minutes.lock_out, book.minutes.give_up), (30.0, default.minutes.give_up));
    let said = rules(&["check", &folder.file("plant").display().to_string()]).out;
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains("the upper one wins: cause crosswind, fix clean-idler-rolls.")
            || said.contains("the upper one wins: fix clean-idler-rolls, cause crosswind."),
        "{said}"
    );
}

/// What the company has switched off the plant cannot change, and is told so at its own line.
#[test]
fn what_the_lower_folder_has_switched_off_is_not_there_for_the_upper_one() {
    let folder = Folder::with(&[
        ("company/site.ron", "(switch_off: [Fix(\"turn-belt-over\")])"),
        (
            "plant/site.ron",
            "(over: \"../company\", change: [Fix(id: \"turn-belt-over\", minutes: 75.0)])",
        ),
    ]);
    let told = load::read(Some(&folder.file("plant"))).problems;
    let told: Vec<_> = told.iter().filter(|problem| problem.is_error()).collect();
    let [problem] = told.as_slice() else { panic!("{told:?}") };
    assert_eq!(problem.code, Code::UnknownId);
    assert!(problem.labels[0].place.file.ends_with("plant/site.ron"), "{problem:?}");
}

#[test]
fn a_case_of_the_plant_with_an_id_of_the_companys_is_told_of_at_both_places() {
    let case = |title: &str| {
        format!(
            "[(id: \"gulls-seen\", title: \"{title}\", source: Memory, answers: {{\"still-roll\": \"yes\"}}, \
             expect: [Leads([\"stuck-roll\"])])]"
        )
    };
    let folder = Folder::with(&[
        ("company/cases/a.ron", &case("Of the company")),
        ("company/site.ron", "(name: \"Company\")"),
        ("plant/cases/b.ron", &case("Of the plant")),
        ("plant/site.ron", "(over: \"../company\")"),
    ]);
    let said = rules(&["check", "--format", "json", &folder.file("plant").display().to_string()]);
    assert_eq!(said.code, 1, "{}", said.err);
    assert!(said.out.contains("plant/cases/b.ron") && said.out.contains("company/cases/a.ron"));
    assert!(said.out.contains("twice-id"), "{}", said.out);
}

/// Four folders at most, and one that stands over itself comes to an end too.
#[test]
fn three_folders_stand_over_each_other() {
    let folder = Folder::with(&[
        ("a/site.ron", "(name: \"A\", change: [Cause(id: \"crosswind\", how_common: Rare)])"),
        ("b/site.ron", "(over: \"../a\", change: [Cause(id: \"old-trims\", how_common: Rare)])"),
        ("c/site.ron", "(over: \"../b\", change: [Cause(id: \"crosswind\", how_common: Common)])"),
    ]);
    let book = load::read(Some(&folder.file("c"))).book.unwrap();
    let prior = |id: &str| book.causes.values().find(|cause| cause.id == id).unwrap().prior;
    assert_eq!((prior("crosswind"), prior("old-trims")), (0.025, 0.004));
    assert_eq!(book.name, "A");
    let layers = load::layers(&folder.file("c"));
    assert_eq!(layers.len(), 3);
}

/// The plant's change is written against the entry as the company leaves it.
#[test]
fn a_change_of_the_companys_change_is_told_to_the_plant() {
    let company =
        |minutes: &str| format!("(change: [Fix(id: \"clean-idler-rolls\", minutes: {minutes})])");
    let plant = |was: &str| {
        format!("(over: \"../company\", change: [Fix(id: \"clean-idler-rolls\", {was}people: 3)])")
    };
    let folder =
        Folder::with(&[("company/site.ron", &company("90.0")), ("plant/site.ron", &plant(""))]);
    let told = |code: Code| {
        let problems = load::read(Some(&folder.file("plant"))).problems;
        let own =
            problems.into_iter().filter(|p| p.labels[0].place.file.ends_with("plant/site.ron"));
        own.filter(|problem| problem.code == code).collect::<Vec<_>>()
    };
    let asked = told(Code::NoFingerprint);
    let help = asked[0].help.join(" ");
    let print = help.split('"').nth(1).unwrap().to_owned();
    fs::write(folder.file("plant/site.ron"), plant(&format!("was: \"{print}\", "))).unwrap();
    assert_eq!((told(Code::NoFingerprint), told(Code::Moved)), (Vec::new(), Vec::new()));
    // Comments and blanks are no change.
    fs::write(folder.file("company/site.ron"), company("/* by day */ 90.0")).unwrap();
    assert_eq!(told(Code::Moved), []);
    fs::write(folder.file("company/site.ron"), company("95.0")).unwrap();
    assert_eq!(told(Code::Moved).len(), 1);
}
