//! The rooms of the program use each other in the order of the list in src/lib.rs, and no files of one room
//! form a circle. A `mod.rs` and what stands below it count as one.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Arrows between rooms that still point the wrong way. This list only ever gets shorter.
const WRONG_WAY: [(&str, &str); 0] = [];
/// Arrows that still close a circle of files. This list only ever gets shorter.
const CLOSING: [(&str, &str); 0] = [];
/// Rooms whose circles of files are still to be undone. This list only ever gets shorter.
const STILL_ROUND: [&str; 0] = [];

type Arrows = BTreeSet<(String, String)>;

/// The code of every file below a folder, without comments and tests, by the path of its module.
fn modules(folder: &Path, path: &str, into: &mut BTreeMap<String, String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let file = entry.unwrap().path();
        let stem = file.file_stem().unwrap().to_str().unwrap().to_owned();
        let inner = if path.is_empty() { stem.clone() } else { format!("{path}::{stem}") };
        if file.is_dir() {
            modules(&file, &inner, into);
        } else if file.extension().is_some_and(|kind| kind == "rs") {
            let text = fs::read_to_string(&file).unwrap();
            let code = match text.rsplit_once("\n#[cfg(test)]\n") {
                Some((code, tests)) if tests.contains("mod tests {") => code,
                _ => &text,
            };
            let lines = code.lines().map(|line| line.split("//").next().unwrap_or_default());
            let name = if stem == "mod" { path.to_owned() } else { inner };
            into.insert(name, lines.collect::<Vec<_>>().join("\n"));
        }
    }
}

/// The paths that a tree of a `use` line stands for.
fn expand(head: &str, tree: &str, into: &mut Vec<String>) {
    let Some((own, group)) = tree.split_once('{') else {
        into.push(format!("{head}{}", tree.trim()));
        return;
    };
    let group = group.trim_end().strip_suffix('}').unwrap_or(group);
    let (mut depth, mut from) = (0_i32, 0);
    for (at, c) in group.char_indices().chain([(group.len(), ',')]) {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                expand(&format!("{head}{}", own.trim()), &group[from..at], into);
                from = at + 1;
            }
            _ => {}
        }
    }
}

/// Every path of ours that the code of a module names.
fn paths(code: &str) -> Vec<String> {
    let mut paths = Vec::new();
    let mut rest = code;
    while let Some(at) = rest.find("crate::").into_iter().chain(rest.find("super::")).min() {
        let line = rest[..at].rsplit('\n').next().unwrap_or_default();
        let part = &rest[at..];
        let end = if line.trim_end().ends_with("use") {
            part.find(';').unwrap_or(part.len())
        } else {
            part.find(|c: char| !c.is_alphanumeric() && !"_:".contains(c)).unwrap_or(part.len())
        };
        expand("", &part[..end], &mut paths);
        rest = &part[end.max(1)..];
    }
    paths
}

/// Which module of ours a path leads to, seen from another.
fn leads_to(from: &str, path: &str, modules: &BTreeMap<String, String>) -> Option<String> {
    let mut here: Vec<&str> = from.split("::").collect();
    let mut steps = path.split("::").map(str::trim).peekable();
    if steps.next_if_eq(&"crate").is_some() {
        here.clear();
    }
    while steps.next_if_eq(&"super").is_some() {
        here.pop();
    }
    here.extend(steps);
    while !here.is_empty() && !modules.contains_key(&here.join("::")) {
        here.pop();
    }
    (!here.is_empty()).then(|| here.join("::"))
}

fn arrows() -> Arrows {
    let mut all = BTreeMap::new();
    modules(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), "", &mut all);
    all.retain(|module, _| !["lib", "main"].contains(&module.as_str()));
    let mut arrows = Arrows::new();
    for (from, code) in &all {
        let to = paths(code).into_iter().filter_map(|path| leads_to(from, &path, &all));
        arrows.extend(to.filter(|to| to != from).map(|to| (from.clone(), to)));
    }
    assert!(arrows.len() > 500, "only {} arrows were found", arrows.len());
    arrows
}

fn room(module: &str) -> &str {
    module.split("::").next().unwrap_or_default()
}

#[test]
fn a_room_uses_only_those_above_it() {
    let lib = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs")).unwrap();
    let (list, _) = lib.split_once("\npub mod").unwrap();
    let order: Vec<&str> = list.split("[`").skip(1).filter_map(|s| s.split('`').next()).collect();
    let place = |room: &str| {
        let place = order.iter().position(|known| *known == room);
        place.unwrap_or_else(|| panic!("src/lib.rs does not tell of {room}"))
    };
    let mut wrong = BTreeSet::new();
    for (from, to) in &arrows() {
        if place(room(to)) > place(room(from)) {
            let known = WRONG_WAY.contains(&(room(from), room(to)));
            assert!(known, "{from} uses {to}, which stands below it in src/lib.rs");
            wrong.insert((room(from).to_owned(), room(to).to_owned()));
        }
    }
    assert_eq!(wrong.len(), WRONG_WAY.len(), "take what is right now from the list: {wrong:?}");
}

/// What is left of the arrows when what leads to no circle, or comes from none, is taken away.
fn circles(mut arrows: Arrows) -> Arrows {
    loop {
        let before = arrows.len();
        let from: BTreeSet<String> = arrows.iter().map(|(from, _)| from.clone()).collect();
        let to: BTreeSet<String> = arrows.iter().map(|(_, to)| to.clone()).collect();
        arrows.retain(|(a, b)| from.contains(b) && to.contains(a));
        if arrows.len() == before {
            return arrows;
        }
    }
}

#[test]
fn no_files_of_a_room_form_a_circle() {
    let below = |a: &str, b: &str| a.strip_prefix(b).is_some_and(|rest| rest.starts_with("::"));
    let mut all = arrows();
    all.retain(|(from, to)| room(from) == room(to) && !below(from, to) && !below(to, from));
    all.retain(|(from, _)| !STILL_ROUND.contains(&room(from)));
    for (from, to) in CLOSING {
        let arrow = (from.to_owned(), to.to_owned());
        let round = circles(all.clone()).contains(&arrow);
        assert!(round, "{from} and {to} form no circle any more: take them from the list");
        all.remove(&arrow);
    }
    let left = circles(all);
    assert!(left.is_empty(), "these go round: {left:#?}");
}

#[test]
fn a_circle_would_be_seen() {
    let arrow = |(from, to): (&str, &str)| (from.to_owned(), to.to_owned());
    let straight = [("a", "b"), ("b", "c"), ("a", "c")].map(arrow);
    assert!(circles(straight.clone().into()).is_empty());
    let round: Arrows = straight.into_iter().chain([("c", "b"), ("c", "d")].map(arrow)).collect();
    assert_eq!(circles(round).len(), 2);
    assert_eq!(
        paths("use crate::a::{b, c::{D, E}};\nlet x = super::f(1);"),
        ["crate::a::b", "crate::a::c::D", "crate::a::c::E", "super::f"]
    );
}
