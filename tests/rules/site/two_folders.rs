//! The company's folder, and the plant's over it.

use std::fs;

use straybelt::problem::Code;
use straybelt::rulebook::load;

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
