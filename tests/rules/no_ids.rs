//! The program knows no id of the default book: what an entry stands for is said beside it, in the rule files.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use straybelt::drill;
use straybelt::gauge;
use straybelt::problem::Report;
use straybelt::rulebook::load;

use crate::support::files::root;

/// Words that are ids of the default book and stand in the program for something else: why, and which.
const ALSO_WORDS: &[(&str, &[&str])] = &[
    ("answers that mean so by themselves, in every book", &["no", "yes", "left", "right"]),
    (
        "the trade's own: strands, ends, places, states",
        &[
            "carry",
            "return",
            "both",
            "tail",
            "head",
            "take-up",
            "load-zone",
            "carry-run",
            "return-run",
            "locked-out",
        ],
    ),
    ("values of facts of a conveyor", &["flat", "bare", "none"]),
    ("kinds of entries and of hazards", &["edge-room", "alone"]),
    ("fields of files", &["strand", "thick", "short"]),
    ("placeholders in rule texts", &["slack-side", "heavy-side"]),
    ("what hands do", &["clean", "free", "grind", "rub", "square"]),
    ("plain words of pages", &["nothing", "old", "sound"]),
    ("readings, ways, limits and bands of gauges", &["askew", "level", "worn"]),
];

/// Where the words of gauges stand; `measured_by` in the rule files ties them to answers.
const OF_GAUGES: &[&str] = &["src/gauge/", "src/drill/readings/"];

#[test]
fn the_program_names_no_id_of_the_default_book() {
    let ids = ids();
    let mut of_gauges: BTreeSet<&str> = gauge::ALL
        .iter()
        .flat_map(|gauge| gauge.tells)
        .flat_map(|tell| tell.words.iter().copied().chain([tell.id]))
        .collect();
    let book = load::default_book().unwrap();
    // Below each is held to be a source of the book.
    of_gauges.extend(book.sources.values().map(|source| source.id.as_str()));
    let also: BTreeSet<&str> = ALSO_WORDS.iter().flat_map(|(_, words)| *words).copied().collect();
    let (mut found, mut used) = (BTreeMap::new(), BTreeSet::new());
    for path in sources(&root("src")) {
        let place = path.strip_prefix(root("")).unwrap().display().to_string();
        let text = fs::read_to_string(&path).unwrap();
        for literal in literals(&text) {
            if !ids.contains(&literal) {
                continue;
            }
            let gauges = OF_GAUGES.iter().any(|room| place.starts_with(room));
            if let Some(word) = also.get(literal.as_str()) {
                used.insert(*word);
            } else if !(gauges && of_gauges.contains(literal.as_str())) {
                found.entry(place.clone()).or_insert_with(BTreeSet::new).insert(literal);
            }
        }
    }
    assert!(found.is_empty(), "say in the rule files what these stand for: {found:#?}");
    assert_eq!(used, also, "words that are allowed and stand nowhere");
}

#[test]
fn what_gauges_rest_on_are_sources_of_the_default_book() {
    let book = load::default_book().unwrap();
    let mut named = 0;
    let limits = fs::read_dir(root("rules/gauges")).unwrap().map(|file| file.unwrap().path());
    for path in sources(&root("src/gauge")).into_iter().chain(limits) {
        let text = fs::read_to_string(&path).unwrap();
        for after in text.split("Published(").skip(1) {
            let Some(id) = after.trim_start().strip_prefix('"') else { continue };
            let id = id.split('"').next().unwrap();
            assert!(book.sources.values().any(|source| source.id == id), "{path:?}: {id}");
            named += 1;
        }
    }
    assert!(named > 20, "{named}");
}

/// All ids of the default book and its drills, answers and groups among them.
fn ids() -> BTreeSet<String> {
    let checked = load::read(None);
    let book = checked.book.as_ref().unwrap();
    let drills = drill::read::read(book, &checked, &mut Report::default()).drills;
    let mut ids: BTreeSet<String> = drills.into_iter().map(|drill| drill.id).collect();
    for symptom in book.symptoms.values() {
        ids.insert(symptom.id.clone());
        ids.extend(symptom.answers.values().map(|answer| answer.id.clone()));
    }
    ids.extend(book.causes.values().map(|cause| cause.id.clone()));
    ids.extend(book.fixes.values().map(|fix| fix.id.clone()));
    ids.extend(book.cautions.values().map(|caution| caution.id.clone()));
    ids.extend(book.sources.values().map(|source| source.id.clone()));
    ids.extend(book.group_names.iter().cloned());
    for question in &book.stop_now {
        ids.insert(question.id.clone());
        ids.extend(question.answers.iter().map(|answer| answer.id.clone()));
    }
    ids.insert(book.edge_room.id.clone());
    ids.extend(book.edge_room.answers.iter().map(|answer| answer.id.clone()));
    assert!(ids.len() > 500, "{}", ids.len());
    ids
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files.extend(sources(&path));
        } else {
            files.push(path);
        }
    }
    files
}

/// The texts in quotes of a file, without its comments and its own tests.
fn literals(text: &str) -> Vec<String> {
    let text = text.split("\n#[cfg(test)]").next().unwrap();
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find(['"', '/', '\'', 'r']) {
        let from = &rest[at..];
        let raw =
            from.strip_prefix('r').map(|raw| (raw.len() - raw.trim_start_matches('#').len(), raw));
        rest = if let Some((marks, raw)) = raw.filter(|(marks, raw)| raw[*marks..].starts_with('"'))
        {
            let end = format!("\"{}", "#".repeat(marks));
            let inside = &raw[marks + 1..];
            let length = inside.find(&end).unwrap();
            found.push(inside[..length].to_owned());
            &inside[length + end.len()..]
        } else if from.starts_with("//") {
            from.split_once('\n').map_or("", |(_, rest)| rest)
        } else if let Some(inside) = from.strip_prefix("'\"'").or(from.strip_prefix("'\\\"'")) {
            inside
        } else if let Some(inside) = from.strip_prefix('"') {
            let escaped =
                |end: usize| inside[..end].len() - inside[..end].trim_end_matches('\\').len();
            let mut ends = inside.match_indices('"').map(|(end, _)| end);
            let end = ends.find(|end| escaped(*end) % 2 == 0).unwrap();
            found.push(inside[..end].to_owned());
            &inside[end + 1..]
        } else {
            &from[1..]
        };
    }
    found
}

#[test]
fn literals_are_found_and_comments_are_not() {
    let text = "let a = \"one\"; // \"two\"\nlet b = r#\"three \"x\" \"#; let c = '\"'; let d = \"f\\\"our\";\n#[cfg(test)]\nmod tests { \"five\" }";
    assert_eq!(literals(text), ["one", "three \"x\" ", "f\\\"our"]);
}
