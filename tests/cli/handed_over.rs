//! What leaves the tablet: a visit as a page, its job sheet, exports that other tablets and engines read.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use jiff::{SignedDuration, Timestamp};
use serde_json::Value;
use straybelt::conveyor;
use straybelt::logbook::tables::TABLES;
use straybelt::visit::ConveyorFacts;
use straybelt::visit::event::{CauseFound, Ended, Event, How, NotedPlace, Ran, Stamped};
use straybelt::visit::store::{BookMark, Record, VisitStatus, VisitStore};

use super::program::Site;
use crate::support::Random;
use crate::support::files::root;

struct Tablet(Site);

impl Tablet {
    fn new() -> Self {
        Self(Site::quick())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.at(name)
    }

    fn run(&self, args: &[&str]) -> Output {
        self.0.run(args)
    }

    #[track_caller]
    fn done(&self, args: &[&str]) -> String {
        self.0.done(args)
    }

    fn rows(&self) -> Vec<Value> {
        let lines = self.done(&["logbook", "export"]);
        lines.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
    }

    /// A visit to OQ-04 with these events, seven minutes apart. It is written once, whole.
    fn visit(&self, events: Vec<Event>) -> u32 {
        let (oq_04, _) = conveyor::read(&root("examples/ostrel-quay/conveyors/OQ-04.ron")).unwrap();
        self.visits_to(&ConveyorFacts::from(&oq_04), vec![events])
    }

    /// Visits to this conveyor, one a day; the number of the last.
    fn visits_to(&self, facts: &ConveyorFacts, visits: Vec<Vec<Event>>) -> u32 {
        let store = VisitStore::at(self.path("state"));
        let mut last = 0;
        for (day, events) in visits.into_iter().enumerate() {
            let book = BookMark {
                name: "default".to_owned(),
                version: "1".to_owned(),
                fingerprint: "f".to_owned(),
                signed: None,
            };
            let first: Timestamp = "2023-05-08T06:55:00Z".parse().unwrap();
            let begun = first + SignedDuration::from_hours(24 * i64::try_from(day).unwrap());
            let mut at = begun;
            let stamped = events.into_iter().map(|what| {
                at += SignedDuration::from_mins(7);
                Stamped { at, what }
            });
            let stamped: Vec<Stamped> = stamped.collect();
            let make = |visit| {
                let mut record = Record::begun(visit, book, facts.clone(), true, begun);
                if let Some(Event::Ended { how }) = stamped.last().map(|event| &event.what) {
                    record.state = VisitStatus::Over(*how);
                }
                record.events = stamped;
                record
            };
            last = store.begin(make, begun).unwrap().record().visit;
        }
        last
    }
}

fn answered(symptom: &str, answer: &str) -> Event {
    Event::Answered { symptom: symptom.to_owned(), answer: Some(answer.to_owned()) }
}

fn caked() -> Vec<Event> {
    vec![
        answered("first-split", "long-stretch"),
        answered("where", "return-run"),
        answered("strand", "return"),
        answered("runs-toward", "left"),
        answered("ridges-on-rolls", "thick"),
    ]
}

/// Cured, with something moved and a job left open.
fn cured(cause: &str, fix: &str, believed: &[(&str, f64)]) -> Vec<Event> {
    let noted = |mark, place: &str| Event::Noted {
        what: "the belt cleaner".to_owned(),
        mark,
        place: Some(place.to_owned()),
    };
    vec![
        Event::Believed {
            causes: believed.iter().map(|(cause, chance)| ((*cause).to_owned(), *chance)).collect(),
        },
        Event::Enough,
        Event::BatchBegun { locked_out: true, fixes: vec![fix.to_owned()] },
        Event::FixBegun { fix: fix.to_owned() },
        Event::Worked { fix: fix.to_owned(), how: How::Done, causes: vec![cause.to_owned()] },
        noted(NotedPlace::From, "12 mm off the shell"),
        noted(NotedPlace::To, "on the shell"),
        Event::Found { cause: cause.to_owned(), report: Some(CauseFound::AsSuspected) },
        Event::GivenBack,
        Event::Ran { outcome: Ran::True },
        Event::Cured { causes: vec![(cause.to_owned(), 0.97)] },
        Event::BroughtOn {
            cause: cause.to_owned(),
            look_for: "cleaner".to_owned(),
            job: "Renew the cleaner blade".to_owned(),
            there: Some(true),
        },
        Event::Ended { how: Ended::True },
    ]
}

/// A whole visit: seen, believed with these chances, cured.
fn whole(cause: &str, fix: &str, believed: &[(&str, f64)]) -> Vec<Event> {
    caked().into_iter().chain(cured(cause, fix, believed)).collect()
}

/// At caked idler rolls.
fn at_caked_rolls() -> Vec<Event> {
    whole("idler-build-up", "clean-idler-rolls", &[("idler-build-up", 0.87)])
}

/// The words of a page for a browser; it is well-formed and needs nothing from outside.
fn words(path: &Path) -> String {
    let page = fs::read_to_string(path).unwrap();
    let options =
        roxmltree::ParsingOptions { allow_dtd: true, ..roxmltree::ParsingOptions::default() };
    let tree = roxmltree::Document::parse_with_options(&page, options).unwrap();
    let rest = page.replace("http://www.w3.org/", "");
    for outside in ["http:", "https:", "src=", "@import", "<script"] {
        assert!(!rest.contains(outside), "{outside}");
    }
    let texts = tree.descendants().filter(roxmltree::Node::is_text).filter_map(|node| node.text());
    texts.collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_visit_is_handed_over_as_one_page_in_the_names_of_the_site() {
    let tablet = Tablet::new();
    let visit = tablet.visit(at_caked_rolls()).to_string();
    let path = tablet.path("visit.html");
    let file = path.to_str().unwrap();
    let show = ["visits", "show", &visit, "--format", "html", "-o", file];
    tablet.done(&show);
    let page = words(&path);
    for piece in [
        "Visit 1: OQ-04 salt reclaim",
        "Looking from tail to head, WALKWAY is on the left, WALL on the right.",
        "Off: return strand, to the WALKWAY side",
        "What was believed, and why",
        "Material caked on idler rolls : ",
        "What was done and found, step by step",
        "Clean the idler rolls down to the bare shell: done",
        "the belt cleaner 12 mm off the shell on the shell",
        "What cured it",
        "found as suspected",
        "Renew the cleaner blade",
        "What to watch, from outside the guards",
        "Cautions that stay",
    ] {
        assert!(page.contains(piece), "{piece}: {page}");
    }
    assert_eq!(tablet.run(&show).status.code(), Some(2), "it is not written over");
    let json: Value =
        serde_json::from_str(&tablet.done(&["visits", "show", &visit, "--format", "json"]))
            .unwrap();
    assert_eq!(json["cured"], serde_json::json!(["idler-build-up"]));
    assert_eq!(json["moved"][0]["from"], "12 mm off the shell");
    assert_eq!(json["open_jobs"][0], "Renew the cleaner blade");
    let text = tablet.path("visit.txt");
    tablet.done(&["visits", "show", &visit, "-o", text.to_str().unwrap()]);
    assert!(fs::read_to_string(text).unwrap().contains("Asked, found and done"));
}

/// Whatever paper is in the printer, A4 or Letter: the page names none, and keeps a margin.
#[test]
fn pages_to_print_name_no_size_of_paper() {
    let tablet = Tablet::new();
    let visit = tablet.visit(at_caked_rolls()).to_string();
    tablet.done(&["logbook", "gather"]);
    for page in
        [["visits", "show", &visit], ["visits", "sheet", &visit], ["logbook", "show", "OQ-04"]]
    {
        let page = tablet.done(&[&page[..], &["--format", "html"]].concat());
        let rules: Vec<&str> = page.split("@page").skip(1).collect();
        assert_eq!(rules.len(), 1);
        assert!(rules[0].trim_start().starts_with("{ size: auto; margin: 14mm"), "{}", rules[0]);
    }
}

#[test]
fn a_place_is_drawn_where_nobody_could_tell_the_side() {
    let tablet = Tablet::new();
    let seen = caked().into_iter().filter(|event| *event != answered("runs-toward", "left"));
    let visit = tablet.visit(seen.collect()).to_string();
    let path = tablet.path("visit.html");
    tablet.done(&["visits", "show", &visit, "--format", "html", "-o", path.to_str().unwrap()]);
    let page = words(&path);
    assert!(page.contains("side not known. The place is marked on both sides."), "{page}");
    assert_eq!(fs::read_to_string(&path).unwrap().matches("class=\"off\"").count(), 2);
}

#[test]
fn a_job_sheet_has_every_tool_once_boxes_signatures_and_room_to_write() {
    let tablet = Tablet::new();
    let visit = tablet.visit(caked()).to_string();
    let text = tablet.done(&["visits", "sheet", &visit]);
    let (_, tools) = text.split_once("Tools and parts for batch 1\n").unwrap();
    let tools: Vec<&str> = tools.lines().take_while(|line| line.starts_with(" [ ] ")).collect();
    let once: BTreeSet<&&str> = tools.iter().collect();
    assert!(tools.len() > 5, "{text}");
    assert_eq!(once.len(), tools.len(), "{tools:?}");
    let on_one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for piece in [
        "Batch 1: LOCKED OUT",
        "[ ] STOPPED: was the belt stopped",
        "[ ] TRIED: reset cords and interlocks",
        "Signature: ____",
        "1.1 Clean the idler rolls down to the bare shell",
        "Done when: ",
        "Readings: ____",
        "Found: ____",
        "Give the machine back, point by point",
        "This sheet is no permit.",
        "The plan is made anew after each batch.",
    ] {
        assert!(on_one_line.contains(piece), "{piece}: {text}");
    }
    assert!(on_one_line.find("[ ] STORED ENERGY") < on_one_line.find("[ ] TRIED"));
    let path = tablet.path("sheet.html");
    tablet.done(&["visits", "sheet", &visit, "--format", "html", "-o", path.to_str().unwrap()]);
    let page = words(&path);
    assert!(
        page.contains("Job sheet: OQ-04 salt reclaim") && page.contains("Done when:"),
        "{page}"
    );
}

#[test]
fn a_name_that_would_be_markup_stays_text() {
    let tablet = Tablet::new();
    let mut events = vec![Event::Named { name: Some("<script>OQ & \"04\"</script>".to_owned()) }];
    events.push(Event::Remarked { text: "</p><b>bold".to_owned() });
    let visit = tablet.visit(events).to_string();
    for command in ["show", "sheet"] {
        let path = tablet.path(&format!("{command}.html"));
        tablet.done(&["visits", command, &visit, "--format", "html", "-o", path.to_str().unwrap()]);
        assert!(words(&path).contains("<script>OQ & \"04\"</script>"));
    }
}

/// The tables of an export by name.
fn tables(rows: &[Value]) -> BTreeMap<&str, Vec<&Value>> {
    let mut tables: BTreeMap<&str, Vec<&Value>> = BTreeMap::new();
    for row in rows {
        tables.entry(row["table"].as_str().unwrap()).or_default().push(row);
    }
    tables
}

#[test]
fn an_export_has_the_tables_that_are_told_and_ids_that_stay() {
    let tablet = Tablet::new();
    let mut events = at_caked_rolls();
    events.insert(0, Event::LookBegun { look: "walk".to_owned(), symptoms: Vec::new() });
    tablet.visit(events);
    let reading = ["logbook", "takeup", "OQ-04", "--left", "212", "--right", "210", "--by", "Mara"];
    tablet.done(&["logbook", "gather"]);
    tablet.done(&reading);
    let rows = tablet.rows();
    let by_table = tables(&rows);
    let page = fs::read_to_string(root("rules/JSON.md")).unwrap();
    let (_, page) = page.split_once("## `logbook export`").unwrap();
    for (table, columns) in TABLES {
        let told: Vec<&Value> = by_table.get(table).cloned().unwrap_or_default();
        assert!(!told.is_empty(), "{table} has no row");
        let section = page.split(&format!("| `{table}` |")).nth(1).unwrap().lines().next().unwrap();
        for column in columns {
            assert!(section.contains(&format!("`{column}`")), "{table}: {column} is not told");
        }
        for row in &told {
            let keys = row.as_object().unwrap().keys().filter(|key| *key != "table");
            keys.for_each(|key| assert!(columns.contains(&key.as_str()), "{table}: {key}"));
        }
        let ids: BTreeSet<&str> = told.iter().map(|row| row["id"].as_str().unwrap()).collect();
        assert_eq!(ids.len(), told.len(), "{table}");
    }
    assert_eq!(rows, tablet.rows(), "ids stay");
    assert!(!tablet.done(&["logbook", "export"]).contains("Mara"));
    assert!(tablet.done(&["logbook", "export", "--names"]).contains("Mara"));
    let visit = &by_table["visits"][0];
    assert!(by_table["answers"].iter().all(|row| row["visit_id"] == visit["id"]));
    let folder = tablet.path("tables");
    tablet.done(&["logbook", "export", "--format", "csv", "-o", folder.to_str().unwrap()]);
    let answers = fs::read_to_string(folder.join("answers.csv")).unwrap();
    assert!(answers.starts_with("id,visit_id,at,symptom,answer\n"), "{answers}");
    assert_eq!(answers.lines().count(), by_table["answers"].len() + 1);
}

#[test]
fn exports_of_two_tablets_put_together_are_their_union() {
    let tablets = [Tablet::new(), Tablet::new()];
    for (tablet, left) in tablets.iter().zip(["212", "214"]) {
        tablet.visit(at_caked_rolls());
        tablet.done(&["logbook", "gather"]);
        tablet.done(&["logbook", "takeup", "OQ-04", "--left", left, "--right", "210"]);
        let file = tablet.path("all.ndjson");
        tablet.done(&["logbook", "export", "-o", file.to_str().unwrap()]);
    }
    for (one, other) in [(0, 1), (1, 0)] {
        let file = tablets[other].path("all.ndjson");
        let import = ["logbook", "import", file.to_str().unwrap()];
        assert!(tablets[one].done(&import).starts_with("2 entries were put"));
        assert!(tablets[one].done(&import).contains("2 stood there already"));
    }
    let entries = |tablet: &Tablet| -> BTreeSet<String> {
        let rows = tablet.rows();
        let entries = rows.into_iter().filter(|row| row["table"] == "entries");
        entries.map(|row| row["entry"].to_string()).collect()
    };
    assert_eq!(entries(&tablets[0]), entries(&tablets[1]));
    assert_eq!(entries(&tablets[0]).len(), 4);
    // Both readings are of today: they speak against each other, and both are shown.
    let story = tablets[0].done(&["logbook", "show", "OQ-04", "--format", "json"]);
    let story: Value = serde_json::from_str(&story).unwrap();
    assert_eq!(story["conflicts"].as_array().unwrap().len(), 1);
    let check = tablets[0].run(&["logbook", "check"]);
    assert_eq!(check.status.code(), Some(1), "{check:?}");
    assert!(String::from_utf8_lossy(&check.stderr).contains("cannot both be right"));
}

#[test]
fn a_spoilt_export_is_told_line_by_line_and_the_rest_is_taken() {
    let (tablet, other) = (Tablet::new(), Tablet::new());
    tablet.done(&["logbook", "takeup", "OQ-04", "--left", "212", "--right", "210"]);
    tablet.done(&["logbook", "takeup", "OQ-07", "--carriage", "1200"]);
    let text = tablet.done(&["logbook", "export"]);
    let file = other.path("spoilt.ndjson");
    fs::write(&file, text.replace("\"left\":212.0", "\"left\":312.0") + "rubbish\n").unwrap();
    let import = other.run(&["logbook", "import", file.to_str().unwrap()]);
    assert_eq!(import.status.code(), Some(1), "{import:?}");
    let said = String::from_utf8_lossy(&import.stderr).into_owned();
    assert!(said.contains("does not fit") && said.contains("left out"), "{said}");
    assert!(String::from_utf8_lossy(&import.stdout).starts_with("1 entry was put"), "{import:?}");
    assert!(other.done(&["logbook", "check"]).contains("all in order"));
}

/// Counted by hand from the tables, and by `rules learn` over the same folder of a thousand visits. With
/// `STRAYBELT_TABLES=FILE` the tables are kept, to be asked by other engines (`tests/oracle/ask_tables.py`).
#[test]
fn the_tables_and_rules_learn_count_the_same_over_a_thousand_visits() {
    let tablet = Tablet::new();
    let mut random = Random(18);
    let causes = [
        ("idler-build-up", "clean-idler-rolls"),
        ("stuck-roll", "free-stuck-roll"),
        ("crooked-splice", "re-splice-mechanical"),
    ];
    for conveyor in ["OQ-04", "OQ-07", "OQ-11", "OQ-15"] {
        let file = format!("examples/ostrel-quay/conveyors/{conveyor}.ron");
        let (conveyor, _) = conveyor::read(&root(&file)).unwrap();
        let visits = (0..250).map(|_| {
            // What is stated comes true about as often as it is stated.
            let first = random.below(3) as usize;
            let second = (first + 1) % 3;
            let chance = 0.05 + random.below(90) as f64 / 100.0;
            let (cause, fix) =
                causes[if random.below(100) as f64 / 100.0 < chance { first } else { second }];
            let believed = [(causes[first].0, chance), (causes[second].0, 1.0 - chance)];
            match random.below(4) {
                0 => caked(),
                _ => whole(cause, fix, &believed),
            }
        });
        tablet.visits_to(&ConveyorFacts::from(&conveyor), visits.collect());
    }
    if let Some(file) = std::env::var_os("STRAYBELT_TABLES") {
        fs::write(file, tablet.done(&["logbook", "export"])).unwrap();
    }
    let rows = tablet.rows();
    let by_table = tables(&rows);
    let ended: BTreeSet<&str> = by_table["visits"]
        .iter()
        .filter(|row| row["state"] == "true")
        .map(|row| row["id"].as_str().unwrap())
        .collect();
    let mut counted: BTreeMap<&str, u64> = BTreeMap::new();
    for row in &by_table["findings"] {
        if row["report"] == "as-suspected" && ended.contains(row["visit_id"].as_str().unwrap()) {
            *counted.entry(row["cause"].as_str().unwrap()).or_default() += 1;
        }
    }
    let learnt = tablet.done(&["rules", "learn", "--all", "--format", "json"]);
    let learnt: Value = serde_json::from_str(&learnt).unwrap();
    assert_eq!(learnt["visits"], counted.values().sum::<u64>());
    for (cause, hits) in counted {
        let lines = learnt["causes"].as_array().unwrap();
        let line = lines.iter().find(|line| line["id"] == cause).unwrap();
        assert_eq!(line["hits"], hits, "{cause}: {line}");
    }
}

/// A picture of one grey point.
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0\x3a\x7e\x9b\x55\0\0\0\nIDATx\x9cc\x68\0\0\0\x82\0\x81\x77\xcd\x72\xb6\0\0\0\0IEND\xaeB`\x82";

#[test]
fn notes_names_and_photos_belong_to_a_visit_after_it_ended_too() {
    let tablet = Tablet::new();
    let visit = tablet.visit(at_caked_rolls()).to_string();
    let picture = tablet.path("tail pulley.jpeg");
    fs::write(&picture, PNG).unwrap();
    let photo = picture.to_str().unwrap();
    let note =
        ["visits", "note", &visit, "a guard bolt is missing", "--by", "Mara", "--photo", photo];
    assert!(tablet.done(&note).starts_with("3 things are kept"));
    let copy = tablet.path("state/visits/2023/0001.photos/01.png");
    assert_eq!(fs::read(&copy).unwrap(), PNG);
    let file = tablet.path("visit.html");
    tablet.done(&["visits", "show", &visit, "--format", "html", "-o", file.to_str().unwrap()]);
    let page = fs::read_to_string(&file).unwrap();
    assert_eq!(page.matches("src=\"data:image/png;base64,iVBORw0KGgo").count(), 1);
    for piece in ["By: Mara", "Note: a guard bolt is missing", "Photo: 01.png"] {
        assert!(page.contains(piece), "{piece}");
    }
    let text = tablet.path("fake.png");
    fs::write(&text, "no picture").unwrap();
    let fake = tablet.run(&["visits", "note", &visit, "--photo", text.to_str().unwrap()]);
    assert_eq!(fake.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&fake.stderr).contains("is no picture"));
    // Nobody's name leaves with the tables.
    assert!(!tablet.done(&["logbook", "export"]).contains("Mara"));
    fs::remove_file(&copy).unwrap();
    tablet.done(&["visits", "show", &visit, "--format", "html"]);
}

/// A full disk, as near as any system can be brought to one: no file may grow past a block.
#[cfg(unix)]
#[test]
fn where_a_photo_cannot_be_kept_it_is_an_error_of_the_state_folder_and_nothing_is_kept() {
    let tablet = Tablet::new();
    let visit = tablet.visit(at_caked_rolls()).to_string();
    let before = tablet.done(&["visits", "show", &visit]);
    let mut large = PNG.to_vec();
    large.resize(5000, 0);
    let (small, large_file) = (tablet.path("small.png"), tablet.path("large.png"));
    fs::write(&small, PNG).unwrap();
    fs::write(&large_file, large).unwrap();
    let (small, large) = (small.to_str().unwrap(), large_file.to_str().unwrap());
    // The large one is too large by itself; the small one fits, and then the record does not.
    for photos in
        [vec!["--photo", large], vec!["--photo", small, "--photo", large], vec!["--photo", small]]
    {
        let output = Command::new("sh")
            .args(["-c", "ulimit -f 1; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_straybelt")])
            .args(["visits", "note", &visit])
            .args(&photos)
            .env("STRAYBELT_STATE", tablet.path("state"))
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(4), "{photos:?}: {said}");
        assert!(said.contains("No file may grow so large here"), "{said}");
        let folder = tablet.path("state/visits/2023/0001.photos");
        assert_eq!(fs::read_dir(folder).map_or(0, Iterator::count), 0, "{photos:?}");
        assert_eq!(tablet.done(&["visits", "show", &visit]), before);
    }
}
