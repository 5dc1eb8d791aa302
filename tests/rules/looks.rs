//! Looks of a book: what they show, how long they take on a conveyor, and what becomes of a symptom that is in none.

use std::fs;
use std::process::Command;

use serde_json::{Value, json};
use straybelt::conveyor::ConveyorSize;
use straybelt::conveyor::facts::Facts;
use straybelt::problem::{Code, Problem};
use straybelt::rulebook::export;
use straybelt::rulebook::find::{EntryAt, find};
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, Symptom, Told, ToldBy, Walking};
use straybelt::show::entries::{BookSheets, Detail};
use straybelt::show::handbook::{self, Handbook};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::trade::LookPlace;

use crate::support::files::{copy, root};
use crate::support::pages::{fits, same_words};

const LOOKS: &str = r#"[
    (id: "walk", title: "One walk along", place: WholeLine, state: Running, stand: "On the walkway, outside the guards.",
        minutes: 0.5, per_50_m: 3.0, symptoms: ["runs-toward"], tools: ["torch"], source: CommonPractice),
    (id: "spot", title: "At the worst place", place: TroubleSpot, state: Running, stand: "Outside the guards, 1.5 m off.",
        minutes: 1.0, turns: 3.0, early_if: [Answer("runs-toward", ["left"]), Conveyor("reversing", ["yes"])],
        symptoms: ["cake", "squeal"], cautions: ["alone"], source: Memory),
]"#;

/// The little book with looks, and what it is warned of.
fn little(more: &[(&str, &str)]) -> (Book, Vec<Problem>) {
    let dir = folder(more);
    load::with_site(Some(dir.path())).unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// Its folder.
fn folder(more: &[(&str, &str)]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&root("tests/rules/bad_rules/base"), dir.path());
    for (path, text) in [("looks/looks.ron", LOOKS)].iter().chain(more) {
        let path = dir.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    dir
}

fn symptom<'b>(book: &'b Book, id: &str) -> &'b Symptom {
    book.symptoms.values().find(|symptom| symptom.id == id).unwrap()
}

#[test]
fn each_symptom_is_in_one_look_and_one_in_none_has_its_own() {
    let (book, warnings) = little(&[]);
    let ids: Vec<_> = book.looks.values().map(|look| look.id.as_str()).collect();
    assert_eq!(ids, ["walk", "spot", "low-side"]);
    for (at, symptom) in book.symptoms.iter() {
        let showing: Vec<_> =
            book.looks.iter().filter(|(_, look)| look.symptoms.contains(&at)).collect();
        assert_eq!(showing.len(), 1, "{}", symptom.id);
        assert_eq!((showing[0].0, showing[0].1.state), (symptom.look, symptom.state));
    }
    let own = &book.looks[symptom(&book, "low-side").look];
    assert_eq!((own.place, own.title.as_str()), (None, "Which side of the frame is low?"));
    assert_eq!(own.standing_minutes(ConveyorSize::default(), &book.walking), 0.0);
    let spot = &book.looks[symptom(&book, "squeal").look];
    assert_eq!((spot.place, spot.early_if.len()), (Some(LookPlace::TroubleSpot), 2));
    let in_order = spot.symptoms.iter().map(|at| book.symptoms[*at].id.as_str());
    assert_eq!(in_order.collect::<Vec<_>>(), ["cake", "squeal"]);
    let [warning] = &warnings[..] else { panic!("{warnings:?}") };
    assert_eq!(warning.code, Code::NoLook);
    assert!(warning.message.contains("`low-side`"));
}

#[test]
fn a_book_without_looks_has_one_for_each_symptom_and_is_not_warned() {
    let (book, warnings) = load::with_site(Some(&root("tests/rules/bad_rules/base"))).unwrap();
    assert_eq!(warnings, []);
    assert_eq!(book.looks.len(), book.symptoms.len());
    assert!(book.looks.values().all(|look| look.place.is_none()));
    assert!(book.symptoms.iter().all(|(at, symptom)| book.looks[symptom.look].symptoms == [at]));
    assert_eq!((book.walking, book.told), (Walking::default(), Told::default()));
}

#[test]
fn what_is_not_said_of_a_symptom_follows_from_what_is() {
    let more = r#"[
        (id: "memory", kind: Sign, ask: "Was it moved?", answers: [("no", "No"), ("yes", "Yes, moved")],
            look: "Ask.", why: "It tells.", minutes: 1.0, state: Anywhere, by_itself: Seldom,
            seen_with: [("caked-rolls", Often)], source: Memory),
        (id: "by-hand", kind: Sign, ask: "Does it turn?", answers: [("no", "No"), ("yes", "Yes")], tick: "It turns",
            look: "Turn it.", why: "It tells.", minutes: 1.0, state: LockedOut, told_by: Felt, by_itself: Seldom,
            seen_with: [("caked-rolls", Often)], source: Memory),
    ]"#;
    let (book, _) = little(&[("symptoms/more.ron", more)]);
    let said = |id: &str| (symptom(&book, id).told_by, symptom(&book, id).tick.as_str());
    assert_eq!(said("memory"), (ToldBy::History, "Yes, moved"));
    assert_eq!(said("by-hand"), (ToldBy::Felt, "It turns"));
    assert_eq!(said("squeal"), (ToldBy::Seen, "Yes"));
    assert_eq!(said("cake"), (ToldBy::Seen, ""), "nothing to tick");
    assert_eq!(book.told.chance(ToldBy::Felt), 0.9);
}

#[test]
fn a_look_whose_symptoms_are_all_switched_off_goes_with_them() {
    let site = r#"(switch_off: [Symptom("crosswinds"), Symptom("noise")])"#;
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("site.ron"), site).unwrap();
    fs::create_dir(dir.path().join("looks")).unwrap();
    let own = r#"[(id: "by-ear", title: "By ear", place: TroubleSpot, state: Running, stand: "Outside the guards.",
        minutes: 1.0, symptoms: ["noise"], source: Memory)]"#;
    fs::write(dir.path().join("looks/own.ron"), own).unwrap();
    let checked = load::read(Some(dir.path()));
    let told = checked.problems.iter().filter(|problem| problem.is_error());
    assert_eq!(told.map(|problem| problem.code).collect::<Vec<_>>(), [Code::UnknownId]);
    fs::write(dir.path().join("site.ron"), site.replace("Symptom(\"crosswinds\"), ", "")).unwrap();
    let book = load::read(Some(dir.path())).book.unwrap();
    assert!(book.looks.values().all(|look| look.id != "by-ear"));
}

fn entry<'d>(document: &'d Value, list: &str, id: &str) -> &'d Value {
    document[list].as_array().unwrap().iter().find(|entry| entry["id"] == id).unwrap()
}

#[test]
fn the_document_has_looks_with_the_minutes_of_the_conveyor() {
    let (book, _) = little(&[]);
    let size =
        ConveyorSize { centres_m: Some(150.0), speed_m_s: Some(2.5), ..ConveyorSize::default() };
    let document =
        serde_json::to_value(export::document_for(&book, &Facts::default(), size)).unwrap();
    let walk = json!({
        "id": "walk", "title": "One walk along", "place": "whole-line", "state": "running", "minutes": 9.5,
        "symptoms": ["runs-toward"], "tools": ["torch"], "early_if": [],
    });
    assert_eq!(entry(&document, "looks", "walk"), &walk);
    // Three turns of 300 m at 2.5 m/s are 6 minutes.
    assert_eq!(entry(&document, "looks", "spot")["minutes"], 7.0);
    let own = entry(&document, "looks", "low-side");
    assert_eq!((&own["place"], &own["minutes"]), (&Value::Null, &json!(0.0)));
    let symptom = entry(&document, "symptoms", "squeal");
    assert_eq!((&symptom["look"], &symptom["told_by"]), (&json!("spot"), &json!("seen")));
    assert_eq!(document["walking"]["to_turn_to"], 0.3);
    assert_eq!(document["told"]["measured"], 0.7);
    let unknown = serde_json::to_value(export::document(&book)).unwrap();
    let minutes = entry(&unknown, "looks", "walk")["minutes"].as_f64().unwrap();
    assert!((minutes - (0.5 + 3.0 * 66.0 / 50.0)).abs() < 1e-9, "{minutes}");
}

#[test]
fn export_takes_a_conveyor_file_and_refuses_a_wrong_one() {
    let dir = folder(&[("line.txt", "(centres: \"150 m\", speed: \"2.5 m/s\")")]);
    let export = |conveyor: &str| {
        Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(["rules", "export", "--format", "json", "--rules"])
            .arg(dir.path())
            .arg("--conveyor")
            .arg(dir.path().join(conveyor))
            .output()
            .unwrap()
    };
    let document: Value = serde_json::from_slice(&export("line.txt").stdout).unwrap();
    assert_eq!(entry(&document, "looks", "spot")["minutes"], 7.0);
    let refused = export("no-such.txt");
    assert_eq!((refused.status.code(), refused.stdout.len()), (Some(2), 0));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("no-such.txt"));
}

#[test]
fn a_look_is_an_entry_of_its_own_and_reads_well() {
    let (book, _) = little(&[]);
    let sheets = BookSheets::new(&book);
    let [spot] = find(&book, "spot")[..] else { panic!("one entry is expected") };
    assert_eq!(spot.kind(), "look");
    let pages = [40, 80].map(|width| {
        let page = sheets.sheet(spot, Detail::Names, &[]).page(Screen::new(width, Paint::NONE));
        fits(&page, width);
        page
    });
    insta::assert_snapshot!("looks-spot-40", pages[0]);
    same_words(&pages[0], &pages[1]);
    // What a symptom has to itself is no second entry.
    assert!(matches!(find(&book, "low-side")[..], [EntryAt::Symptom(_)]));
    let [squeal] = find(&book, "squeal")[..] else { panic!("one entry is expected") };
    let page = sheets.sheet(squeal, Detail::Names, &[]).page(Screen::new(80, Paint::NONE));
    assert!(page.contains("Looked at in: At the worst place [spot]"), "{page}");
    let text = handbook::text::write(&Handbook::new(&book));
    assert!(text.contains("Looks: where to stand, and for what"), "{text}");
}
