//! rules/JSON.md is held to what the commands write: every key that comes is told there, and every
//! key that is told there comes.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use jiff::Timestamp;
use serde_json::Value;
use straybelt::drill::read;
use straybelt::drill::record::{Begun, Deed, Record, RunState, Store};
use straybelt::problem::Report;
use straybelt::rulebook::load;
use straybelt::visit::Diagnosis;
use straybelt::visit::event::{Event, NotedPlace, Ran};
use straybelt::visit::store::BookMark;

use super::new::{cured, kept};
use super::{run, shown};

const SLOW: &str = r#"[(id: "slow-look", kind: Sign, ask: "Is the frame bent?", answers: [("no", "No"), ("yes", "Yes")],
    look: "With a string, along the whole conveyor.", why: "A bent frame is low somewhere.", minutes: 580.0,
    state: LockedOut, by_itself: Often, seen_with: [("low-frame", Chance(0.6))], source: Memory)]"#;
const LOOK: &str = r#"[(id: "walk", title: "Once along", place: WholeLine, state: Running, stand: "On the walkway, outside the guards.",
    minutes: 0.5, turns: 1.0, per_50_m: 2.0, early_if: [Conveyor("place", ["outdoors"])], symptoms: ["ridges"],
    tools: ["torch"], cautions: ["alone"], source: Memory)]"#;
const CASES: &str = r#"[
    (id: "dirt", title: "Ridges", source: Memory, answers: {"what-is-off": "one-place", "ridges": "thick"},
        expect: [Leads(["dirty-rolls"])]),
    (id: "splice", title: "Jumps", source: Memory, answers: {"jumps": "yes"}, expect: [Leads(["crooked-splice"])]),
]"#;
const MORE_CASES: &str = r#"[(id: "more", title: "More", source: Memory, answers: {"jumps": "no"},
    expect: [Leads(["dirty-rolls"])])]"#;
const SITE_CASES: &str = r#"[
    (id: "unclear-comes-and-goes", title: "Here something else", source: Memory, answers: {"noise": "squeal"},
        expect: [Leads(["crooked-splice"])]),
]"#;

/// What is told under a heading: the keys, and after some the shape of the value.
type Table = Vec<(String, Option<String>)>;

/// All tables below a mark `<!-- json: NAME -->`, by name. One called "more" belongs to the one before it.
fn tables() -> BTreeMap<String, Table> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/JSON.md");
    let page = fs::read_to_string(page).unwrap();
    let mut tables: BTreeMap<String, Table> = BTreeMap::new();
    let mut name = String::new();
    let mut inside = false;
    for line in page.lines() {
        if let Some(mark) = line.strip_prefix("<!-- json: ") {
            inside = true;
            let mark = mark.trim_end_matches(" -->");
            if mark != "more" {
                name = mark.to_owned();
            }
        } else if line.is_empty() {
            inside = false;
        } else if inside && line.starts_with("| `") {
            let (keys, says) = line[1..].split_once('|').unwrap();
            let shape = says.split('*').nth(1).map(ToOwned::to_owned);
            let table = tables.entry(name.clone()).or_default();
            let keys = keys.split('`').skip(1).step_by(2);
            table.extend(keys.map(|key| (key.to_owned(), shape.clone())));
        }
    }
    tables
}

/// The keys of a table, those of shapes written out.
fn told(tables: &BTreeMap<String, Table>, name: &str) -> BTreeSet<String> {
    let mut keys = BTreeSet::new();
    for (key, shape) in &tables[name] {
        keys.insert(key.clone());
        if let Some(shape) = shape {
            let below = told(tables, &format!("shape {shape}"));
            keys.extend(below.iter().map(|below| format!("{key}.{below}")));
        }
    }
    keys
}

/// The paths of all values that are no list and no object. Where `told` has `path{}` the keys are ids.
fn came(value: &Value, path: &str, told: &BTreeSet<String>, paths: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) if by_id(path, told) => {
            for value in map.values() {
                came(value, &format!("{path}{{}}"), told, paths);
            }
        }
        Value::Object(map) => {
            for (key, value) in map {
                let dot = if path.is_empty() { "" } else { "." };
                came(value, &format!("{path}{dot}{key}"), told, paths);
            }
        }
        Value::Array(items) => {
            for item in items {
                came(item, &format!("{path}[]"), told, paths);
            }
        }
        _ => {
            paths.insert(path.to_owned());
        }
    }
}

/// Whether the keys of the object at a path are ids.
fn by_id(path: &str, told: &BTreeSet<String>) -> bool {
    !path.is_empty() && told.iter().any(|key| key.starts_with(&format!("{path}{{}}")))
}

/// Holds the documents that a command wrote to its table.
fn held(tables: &BTreeMap<String, Table>, name: &str, documents: &[Vec<&str>]) {
    let told = told(tables, name);
    let mut paths = BTreeSet::new();
    for arguments in documents {
        let mut arguments = arguments.clone();
        arguments.extend(["--format", "json"]);
        let output = run(&arguments, &[]);
        let document = serde_json::from_slice(&output.stdout);
        let document: Value = document.unwrap_or_else(|e| panic!("{e}: {arguments:?} {output:?}"));
        came(&document, "", &told, &mut paths);
    }
    let untold: Vec<&String> = paths.difference(&told).collect();
    assert!(untold.is_empty(), "`{name}` writes what rules/JSON.md does not tell: {untold:#?}");
    let holds_others = |key: &String| {
        told.iter().any(|other| {
            let rest = other.strip_prefix(key.as_str());
            rest.is_some_and(|rest| rest.starts_with(['.', '[', '{']))
        })
    };
    let gone: Vec<&String> =
        told.iter().filter(|key| !paths.contains(*key) && !holds_others(key)).collect();
    assert!(gone.is_empty(), "rules/JSON.md tells of `{name}` what never came: {gone:#?}");
}

/// The small book with a question that is not worth its minutes, a fix of two causes, and cases.
fn small(dir: &Path) {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/small-book");
    for entry in ["symptoms", "looks", "causes", "fixes", "cases"] {
        fs::create_dir_all(dir.join(entry)).unwrap();
    }
    for file in [
        "book.ron",
        "edge-room.ron",
        "stop-now.ron",
        "cautions.ron",
        "symptoms/small.ron",
        "causes/small.ron",
    ] {
        fs::copy(from.join(file), dir.join(file)).unwrap();
    }
    let fixes = fs::read_to_string(from.join("fixes/small.ron")).unwrap();
    let two = fixes.replacen(
        "cures: [(\"dirty-rolls\", Usually)]",
        "cures: [(\"dirty-rolls\", Usually), (\"low-frame\", Sometimes)]",
        1,
    );
    assert_ne!(fixes, two);
    fs::write(dir.join("fixes/small.ron"), two).unwrap();
    fs::write(dir.join("symptoms/slow.ron"), SLOW).unwrap();
    fs::write(dir.join("looks/walk.ron"), LOOK).unwrap();
    fs::write(dir.join("cases/cases.ron"), CASES).unwrap();
}

#[test]
fn every_key_is_told_and_every_key_told_comes() {
    let tables = tables();
    let folder = tempfile::tempdir().unwrap();
    let (book, changed, site) =
        (folder.path().join("book"), folder.path().join("changed"), folder.path().join("site"));
    small(&book);
    small(&changed);
    let causes = fs::read_to_string(book.join("causes/small.ron")).unwrap();
    let causes = causes.replacen("how_common: Everyday", "how_common: Rare", 1);
    fs::write(changed.join("causes/small.ron"), causes).unwrap();
    fs::write(changed.join("cases/more.ron"), MORE_CASES).unwrap();
    fs::create_dir_all(site.join("cases")).unwrap();
    let off = r#"(name: "Quay", switch_off: [Cause("crosswind")])"#;
    fs::write(site.join("site.ron"), off).unwrap();
    fs::write(site.join("cases/cases.ron"), SITE_CASES).unwrap();
    let (book, changed, site) = (shown(&book), shown(&changed), shown(&site));

    held(&tables, "rules test", &[vec!["rules", "test", site]]);
    held(&tables, "rules coverage", &[vec!["rules", "coverage", book]]);
    let compare = vec!["rules", "compare", book, changed, "--runs", "20"];
    held(&tables, "rules compare", &[compare]);
    held(&tables, "rules pace", &[vec!["rules", "pace", book, "--runs", "5"]]);
    held(
        &tables,
        "rules diff",
        &[vec!["rules", "diff", site], vec!["rules", "diff", book, changed]],
    );
    held(&tables, "rules list", &[vec!["rules", "list", site]]);
    let pace = vec!["rules", "pace", changed, "--against", book, "--runs", "20"];
    let trial = vec!["rules", "trial", "--against", "default", "--runs", "2"];
    held(&tables, "against", &[pace, trial]);
    held(&tables, "rules trial", &[vec!["rules", "trial", "--runs", "4"]]);
    held(&tables, "rules separate", &[vec!["rules", "separate", book]]);
    let show = |id| vec!["rules", "show", id];
    let entries = [
        "crooked-frame",
        "runs-toward",
        "low-side",
        "ridges-on-rolls",
        "train-carry-run",
        "clean-idler-rolls",
        "cleaner-askew",
        "shim-idler",
        "lockout",
        "manual-handling",
        "carry strand",
        "belt-maker-guide",
        "smoke",
        "edge-room",
    ];
    let mut entries: Vec<_> = entries.into_iter().map(show).collect();
    entries[2] = vec!["rules", "show", "low-side", "--rules", book];
    entries.push(vec!["rules", "show", "walk", "--rules", book]);
    // How common a cause is on some conveyors, and what brings one on.
    let site = demo("rules");
    entries.push(vec!["rules", "show", "salt-crust-on-snub", "--rules", &site]);
    entries.extend(["idler-build-up", "belt-too-tight", "renew-bent-stringer"].map(show));
    held(&tables, "rules show", &entries);

    let state = folder.path().join("state");
    for _ in 0..9 {
        let answers = [("what-is-off", "one-place"), ("low-side", "left")];
        kept(&state, &answers, cured("level-frame", "low-frame"));
    }
    kept(&state, &[], Vec::new());
    let learn = vec!["rules", "learn", "--all", "--state", shown(&state), "--rules", book];
    held(&tables, "rules learn", &[learn]);
}

/// A visit that cured its cause and left a job open.
fn cured_and_left_open() -> Vec<Event> {
    let mut then = cured("clean-idler-rolls", "idler-build-up");
    let job = Event::BroughtOn {
        cause: "idler-build-up".to_owned(),
        look_for: "soft ground".to_owned(),
        job: "Drain the ground".to_owned(),
        there: Some(true),
    };
    then.insert(5, job);
    then.insert(6, Event::Cured { causes: vec![("idler-build-up".to_owned(), 0.9)] });
    then
}

/// Something was moved, and put back.
fn moved() -> Vec<Event> {
    let noted =
        |mark| Event::Noted { what: "a foot".to_owned(), mark, place: Some("x".to_owned()) };
    let mut then = cured("clean-idler-rolls", "idler-build-up");
    then.truncate(3);
    then.extend([noted(NotedPlace::From), noted(NotedPlace::To)]);
    then.push(Event::Ran { outcome: Ran::Worse });
    then.push(Event::PutBack { what: "a foot".to_owned(), done: true });
    then
}

#[test]
fn every_key_of_a_logbook_is_told() {
    let tables = tables();
    let folder = tempfile::tempdir().unwrap();
    let state = shown(folder.path());
    kept(folder.path(), &[], cured_and_left_open());
    let (csv, conveyor) = (demo("readings/oq-04-take-up.csv"), demo("conveyors/OQ-04.ron"));
    let done = |arguments: &[&str]| {
        let mut all = vec!["logbook", "--state", state];
        all.extend(arguments);
        let output = run(&all, &[]);
        assert!(output.status.success(), "{output:?}");
    };
    done(&["gather"]);
    done(&["takeup", "OQ-04", "--csv", &csv]);
    done(&["takeup", "OQ-04", "--left", "467", "--right", "437", "--on", "2023-08-11"]);
    done(&["add", "OQ-04", "--done", "cleaned", "--why", "wet salt", "--on", "2023-01-05"]);
    for (kind, size) in [("--carriage", "300"), ("--weight", "300kg"), ("--pull", "9kN")] {
        let mut reading = vec!["takeup", "other", kind, size];
        if kind != "--carriage" {
            reading.extend(["--at", "100"]);
        }
        done(&reading);
    }
    done(&["takeup", &conveyor, "--csv", &csv]);
    let document = run(&["logbook", "show", "OQ-04", "--state", state, "--format", "json"], &[]);
    let document: Value = serde_json::from_slice(&document.stdout).unwrap();
    let readings = document["entries"].as_array().unwrap();
    let last = readings.iter().rfind(|entry| entry["kind"] == "takeup").unwrap();
    done(&["strike", "OQ-04", last["id"].as_str().unwrap(), "--why", "mistyped"]);
    let job = document["open_jobs"][0]["id"].as_str().unwrap();
    done(&["add", "OQ-04", "--job", job]);
    let elsewhere = tempfile::tempdir().unwrap();
    let other = ["logbook", "--state", shown(elsewhere.path())];
    let reading = ["takeup", "OQ-04", "--left", "460", "--right", "430", "--on", "2023-08-11"];
    assert!(run(&[&other[..], &reading].concat(), &[]).status.success());
    let export = run(&[&other[..], &["export"]].concat(), &[]).stdout;
    let file = elsewhere.path().join("all.ndjson");
    fs::write(&file, export).unwrap();
    done(&["import", shown(&file)]);
    kept(folder.path(), &[], cured_and_left_open());
    done(&["gather"]);
    let show = |name| vec!["logbook", "--state", state, "show", name];
    held(&tables, "logbook show", &[show("OQ-04"), show(&conveyor), show("other")]);
    let year = folder.path().join("logbooks/1999");
    fs::create_dir(&year).unwrap();
    fs::write(year.join("0099.ron"), "spoilt").unwrap();
    fs::write(year.join("0098.ron.bad"), "(\n    name: \"OQ-09\",\n").unwrap();
    held(&tables, "logbook", &[vec!["logbook", "--state", state]]);
    kept(folder.path(), &[("runs-toward", "left")], Vec::new());
    kept(folder.path(), &[], moved());
    let visit = |number| vec!["visits", "--state", state, "show", number];
    held(&tables, "visits show", &[visit("1"), visit("3"), visit("4")]);
}

/// Two runs of one person: one that goes on, and one that is over and whose drill can no longer be read.
fn left_open_and_spoilt(state: &Path) {
    let checked = load::read(None);
    let book = checked.book.as_ref().unwrap();
    let drill = read::read(book, &checked, &mut Report::default()).drills.swap_remove(0);
    let now: Timestamp = "2031-05-06T07:08:09Z".parse().unwrap();
    for spoilt in [false, true] {
        let begun =
            Begun { drill: &drill, who: Some("Mara".to_owned()), book: BookMark::new(book), now };
        let begin = |run| {
            let mut record = Record::begun(run, begun);
            if spoilt {
                (record.state, record.text) = (RunState::Over, "no drill".to_owned());
            }
            record
        };
        Store::at(state).begin(begin, now).unwrap();
    }
}

/// A run with a hand at the moving belt, a right and a wrong name, and a cause left in the conveyor.
fn ran(state: &Path) {
    let checked = load::read(None);
    let book = checked.book.as_ref().unwrap();
    let drill = read::read(book, &checked, &mut Report::default()).drills.swap_remove(0);
    let now: Timestamp = "2031-05-06T07:08:09Z".parse().unwrap();
    let begun =
        Begun { drill: &drill, who: Some("Mara".to_owned()), book: BookMark::new(book), now };
    let mut kept = Store::at(state).begin(|run| Record::begun(run, begun), now).unwrap();
    let named = |cause: &str| Deed::Name { cause: cause.to_owned(), certainty: 0.7 };
    let work = |fix: &str| Deed::Work { fix: fix.to_owned() };
    let hidden = &book.causes[drill.hidden[0].cause].id;
    let moves = [
        work("square-idler"),
        Deed::LockOut,
        work("square-idler"),
        named(hidden),
        named("crooked-splice"),
        Deed::Restore,
        Deed::Declare,
    ];
    for what in moves {
        kept.add(what, now).unwrap();
    }
    let diagnosis = Diagnosis::new(book);
    let world = kept.record().replay(&drill, &diagnosis).unwrap();
    kept.end(&world).unwrap();
}

#[test]
fn every_key_of_a_debrief_is_told() {
    let tables = tables();
    let folder = tempfile::tempdir().unwrap();
    ran(folder.path());
    ran(folder.path());
    let state = ["--state", shown(folder.path())];
    let debrief = |runs: &[&'static str]| {
        let mut arguments = vec!["drill", "debrief"];
        arguments.extend(runs);
        arguments.extend(state);
        arguments
    };
    held(&tables, "drill debrief", &[debrief(&["1"])]);
    held(&tables, "drill debrief of several", &[debrief(&["1", "2"])]);
    left_open_and_spoilt(folder.path());
    let progress = [&["drill", "progress"], &state[..]].concat();
    held(&tables, "drill progress", &[progress]);
}

/// A path inside the demo site.
fn demo(path: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/ostrel-quay").join(path);
    shown(&path).to_owned()
}

#[test]
fn every_key_of_book_and_finding_is_told() {
    let tables = tables();
    let looks = tempfile::tempdir().unwrap();
    small(looks.path());
    let with_looks = vec!["rules", "export", "--rules", shown(looks.path())];
    held(&tables, "rules export", &[vec!["rules", "export"], with_looks]);
    let visits = [
        ("OQ-04", "06-after-the-first-batch.ron"),
        ("OQ-07", "08-inside-the-edge-room.ron"),
        ("OQ-11", "09-reversing-shuttle.json"),
        ("OQ-01", "07-does-not-fit.ron"),
        ("OQ-07", "13-splice-opening.ron"),
        ("OQ-01", "14-one-idler-after-the-joint.ron"),
    ];
    let visits = visits.map(|(conveyor, answers)| {
        (demo(&format!("conveyors/{conveyor}.ron")), demo(&format!("answers/{answers}")))
    });
    // In the second look something is told that does not apply any more.
    let folder = tempfile::tempdir().unwrap();
    let anew = folder.path().join("anew.ron");
    let told = r#"(answers: {"first-split": "one-part"}, done: [["clean-idler-rolls"]], outcomes: ["better"],
        second: [(after_batch: 1, answers: {"first-split": "one-place", "length-of-part": "short"})])"#;
    fs::write(&anew, told).unwrap();
    // And one that runs true: what commonly brings on what was cured.
    let cured = folder.path().join("cured.ron");
    let told = r#"(answers: {"caked-roll": "yes"}, found: {"idler-build-up": "as-suspected"},
        done: [["clean-idler-rolls"]], outcomes: ["true"])"#;
    fs::write(&cured, told).unwrap();
    let own = [&anew, &cured].map(|file| (demo("conveyors/OQ-04.ron"), shown(file).to_owned()));
    let visits = visits.into_iter().chain(own);
    let visits: Vec<_> = visits.collect();
    let documents: Vec<_> = visits
        .iter()
        .map(|(conveyor, answers)| vec!["diagnose", "--conveyor", conveyor, "--answers", answers])
        .collect();
    held(&tables, "diagnose", &documents);
}

#[test]
fn every_key_of_a_problem_is_told() {
    let tables = tables();
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("site.ron"), r#"(minuts: 4, switch_off: [])"#).unwrap();
    held(&tables, "rules check", &[vec!["rules", "check", shown(folder.path())]]);
}

#[test]
fn every_key_of_a_gauge_and_a_conveyor_is_told() {
    let tables = tables();
    let folder = tempfile::tempdir().unwrap();
    let limited = folder.path().join("limited.ron");
    fs::write(&limited, r#"(name: "OQ-30", limits: {"frame-stretch": "2 mm"})"#).unwrap();
    let conveyor = demo("conveyors/OQ-04.ron");
    let conveyors = [&conveyor, shown(&limited)].map(|file| vec!["conveyor", "show", file]);
    held(&tables, "conveyor show", &conveyors);
    let (idlers, edges) =
        (demo("readings/oq-04-return-idlers.csv"), demo("readings/oq-07-edges.csv"));
    let idlers =
        ["idlers", "--by", "return", "--datum", "tail", "--across", "950mm", "--csv", &idlers];
    let spread = ["spread", "--csv", &edges];
    let side = ["side-load", "--side", "left", "--moved", "12mm"];
    let documents: Vec<Vec<&str>> = [&idlers[..], &spread, &side]
        .iter()
        .map(|gauge| [&["gauge"], *gauge, &["--conveyor", &conveyor]].concat())
        .collect();
    // What a site's rule folder sets: a limit and the error of a reading.
    let (rules, stands) = (demo("rules"), demo("readings/oq-04-frame.csv"));
    let by_rules = ["gauge", "frame", "--by", "string", "--line", "left", "--of", "stands"];
    let by_rules = [&by_rules[..], &["--csv", &stands, "--rules", &rules]].concat();
    let taped = ["gauge", "snub", "--from", "pulley", "--left", "806", "--right", "800"];
    let taped = [&taped[..], &["--across", "1m", "--rules", &rules]].concat();
    let documents = [documents, vec![by_rules, taped]].concat();
    held(&tables, "gauge", &documents);
}
