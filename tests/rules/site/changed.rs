//! What a site changed: on a page, in a document, and first in its handbook.

use straybelt::rulebook::cards::{Difference, counts, differences};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;

use super::{Folder, GULLS, SCARER, rules};

const SITE: &str = "(name: \"Quay\", minutes: (lock_out: 25.0), \
    change: [Cause(id: \"old-trims\", how_common: Everyday), Fix(id: \"clean-idler-rolls\", minutes: 90.0)], \
    switch_off: [Fix(\"turn-belt-over\"), Cause(\"crosswind\")])";

fn site() -> Folder {
    Folder::with(&[("site.ron", SITE), ("causes/a.ron", GULLS), ("fixes/a.ron", SCARER)])
}

fn book(folder: &Folder) -> Book {
    load::read(Some(folder.path())).book.unwrap()
}

#[test]
fn a_book_differs_from_itself_in_nothing() {
    let default = load::default_book().unwrap();
    assert_eq!(differences(&default, &default), []);
    let said = rules(&["diff", "default"]);
    assert_eq!(said.code, 0);
    assert!(said.out.contains("Nothing differs."), "{}", said.out);
}

#[test]
fn every_change_is_told_and_no_other() {
    let folder = site();
    let all = differences(&load::default_book().unwrap(), &book(&folder));
    let key = |d: &Difference| format!("{} {}", d.card().kind, d.card().id);
    let of = |is: fn(&Difference) -> bool| -> Vec<String> {
        all.iter().filter(|d| is(d)).map(key).collect()
    };
    assert_eq!(of(|d| matches!(d, Difference::Added(_))), ["cause gulls", "fix fit-a-scarer"]);
    let gone = of(|d| matches!(d, Difference::Gone(_)));
    assert!(
        gone.contains(&"cause crosswind".to_owned())
            && gone.contains(&"fix turn-belt-over".to_owned())
    );
    assert!(
        gone.iter().all(|gone| gone.starts_with("cause") || gone.starts_with("fix")),
        "{gone:?}"
    );
    let changed = of(|d| matches!(d, Difference::Changed { .. }));
    for expected in ["book book", "cause old-trims", "fix clean-idler-rolls"] {
        assert!(changed.contains(&expected.to_owned()), "{changed:?}");
    }
    let trims = all.iter().find(|d| key(d) == "cause old-trims").unwrap();
    let Difference::Changed { fields, .. } = trims else { panic!() };
    // A word of the site holds on all its conveyors, whatever the book said of some.
    assert!(fields[1..].iter().all(|field| field.name == "on"), "{:?}", fields.len());
    assert_eq!(
        (fields[0].name, fields[0].after.as_slice()),
        ("how_common", &["everyday (0.05)".to_owned()][..])
    );
    // Turned round, what was added is gone.
    let back = differences(&book(&folder), &load::default_book().unwrap());
    // What goes with a cause that is switched off is no change of its own; what comes with a new one is.
    let ((added, changed, gone), (a, c, g)) = (counts(&all), counts(&back));
    assert_eq!((added, gone), (g, a));
    assert!(c >= changed, "{changed} {c}");
}

#[test]
fn the_page_and_the_document_name_source_and_place() {
    let folder = site();
    let said = rules(&["diff", &folder.shown()]);
    assert_eq!((said.err.contains("error"), said.code), (false, 0), "{}", said.err);
    let out = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(out.contains("2 entries are added;"), "{out}");
    assert!(out.contains("derived from what the shift saw in spring"), "{out}");
    assert!(out.contains("-> now: everyday (0.05)"), "{out}");
    assert!(out.contains("site.ron:1:"), "{out}");
    let json = rules(&["diff", &folder.shown(), "--format", "json"]);
    let told: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let entry = told["entries"].as_array().unwrap().iter().find(|e| e["id"] == "gulls").unwrap();
    assert_eq!((entry["what"].as_str(), entry["kind"].as_str()), (Some("added"), Some("cause")));
    assert!(entry["place"].as_str().unwrap().contains("causes/a.ron:1:"), "{entry}");
}

#[test]
fn the_handbook_of_a_site_begins_with_what_it_changed_and_marks_it() {
    let folder = site();
    let said =
        rules(&["print", "--rules", &folder.shown(), "--format", "text", "--chapter", "changed"]);
    assert_eq!(said.code, 0, "{}", said.err);
    assert!(said.out.contains("What this site has changed"), "{}", said.out);
    assert!(
        said.out.contains("Gulls on the return strand") && said.out.contains("lock_out"),
        "{}",
        said.out
    );
    let said =
        rules(&["print", "--rules", &folder.shown(), "--format", "text", "--chapter", "causes"]);
    assert!(said.out.contains("Added by this site") && said.out.contains("Changed by this site"));
    assert!(!said.out.contains("What this site has changed"));
    let said = rules(&["print", "--rules", &folder.shown(), "--format", "html", "--whole"]);
    let first = said.out.find("What this site has changed").unwrap();
    assert!(first < said.out.find("Safety").unwrap());
}

#[test]
fn a_large_handbook_is_printed_by_chapter_or_when_asked_whole() {
    let said = rules(&["print", "--format", "text"]);
    assert_eq!((said.out.as_str(), said.code), ("", 2));
    assert!(
        said.err.contains("--chapter (safety, reading, causes,") && said.err.contains("--whole"),
        "{}",
        said.err
    );
    let said = rules(&["print", "--format", "text", "--chapter", "cuases"]);
    assert!(said.err.contains("no chapter cuases"), "{}", said.err);
    let html = rules(&["print", "--format", "html", "--chapter", "cautions"]).out;
    let options = roxmltree::ParsingOptions { allow_dtd: true, ..Default::default() };
    let document = roxmltree::Document::parse_with_options(&html, options).unwrap();
    let places: Vec<&str> =
        document.descendants().filter_map(|node| node.attribute("id")).collect();
    let links = document.descendants().filter_map(|node| node.attribute("href"));
    for link in links {
        assert!(places.contains(&link.trim_start_matches('#')), "{link} leads nowhere");
    }
}

#[test]
fn all_ids_are_listed_by_kind() {
    let folder = site();
    let said = rules(&["list", &folder.shown(), "--format", "json"]);
    let told: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    let has = |kind: &str, id: &str| {
        told["kinds"][kind].as_array().unwrap().iter().any(|entry| entry["id"] == id)
    };
    assert!(has("cause", "gulls") && has("fix", "fit-a-scarer") && has("look", "take-up-outside"));
    assert!(!has("cause", "crosswind"));
    assert!(told["kinds"]["case"].as_array().unwrap().len() > 200);
    let said = rules(&["list", "--kind", "gulls"]);
    assert!(said.code == 2 && said.err.contains("its kinds are"), "{}", said.err);
}
