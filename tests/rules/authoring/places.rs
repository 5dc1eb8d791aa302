//! Every problem names the place to the character: in a site's folder too, with lines that end in CR LF, tabs,
//! letters of more than one byte, a byte order mark, raw strings and escapes.
//!
//! The marks « and » in a text say what is meant; they are taken out before it is read.

use std::fs;

use straybelt::problem::{Problem, Report};
use straybelt::proof::case;
use straybelt::rulebook::load;

/// A file with one thing wrong: its path, its text, the code.
const WRONG: &[(&str, &str, &str)] = &[
    (
        "site.ron",
        "(\n    change: [\n        Cause(id: \"«no-such-cause»\", how_common: Rare),\n    ],\n)",
        "unknown-id",
    ),
    (
        "site.ron",
        "(\n    change: [\n        Cause(id: \"old-trims\", was: \"«00000000»\", how_common: Rare),\n    ],\n)",
        "moved",
    ),
    (
        "site.ron",
        "(\n    change: [\n        Cause(id: \"old-trims\", «how_comon»: Rare),\n    ],\n)",
        "unknown-field",
    ),
    (
        "site.ron",
        "(\n    change: [\n        Cause(id: \"old-trims\", was: \"x\",\n            signs: [Sees(\"«no-such-symptom»\", Often)]),\n    ],\n)",
        "unknown-id",
    ),
    (
        "site.ron",
        "(\n    change: [\n        Symptom(id: \"noise\", was: \"x\", says: [(\"«shriek»\", \"A shriek\")]),\n    ],\n)",
        "unknown-id",
    ),
    (
        "site.ron",
        "(\n    change: [\n        Symptom(id: \"noise\", was: \"x\", by_itself: [(\"squeal\", «Oftn»)]),\n    ],\n)",
        "unknown-word",
    ),
    ("site.ron", "(\n    minutes: (lock_out: «-3.0»),\n)", "number-range"),
    (
        "site.ron",
        "(\n    switch_off: [Fix(\"turn-belt-over\"), Cause(\"«gulls»\")],\n)",
        "unknown-id",
    ),
    (
        "cautions.ron",
        "[\n    (id: \"wet-bark\", rule: \"common practice\", source: CommonPractice,\n     text: \"Keep your «{hand}» away.\"),\n]",
        "placeholder",
    ),
    (
        "cautions.ron",
        "[\n    (id: \"wet« »bark\", rule: \"r\", source: Memory, text: \"Mind.\"),\n]",
        "bad-id",
    ),
    (
        "cautions.ron",
        "[\n    (id: \"wet-bark\", rule: \"r\", source: Published(\"«nobody»\", \"p. 1\"), text: \"Mind.\"),\n]",
        "unknown-id",
    ),
    (
        "cautions.ron",
        "[\n    «(»id: \"wet-bark\", rule: \"r\", source: Memory),\n]",
        "missing-field",
    ),
    (
        "fixes/a.ron",
        "[\n    (id: \"bark-off\", title: \"Bark off\", stage: Clean, cures: [(\"idler-build-up\", Often)],\n     state: LockedOut, minutes: 9.0, steps: [Do(\"Do it.\")], done_when: (\"Done\", Memory),\n     after: [Fix(\"«no-such-fix»\")], cautions: [\"lockout\"], source: Memory),\n]",
        "unknown-id",
    ),
    (
        "fixes/a.ron",
        "[\n    (id: \"bark-off\", title: \"Bark off\", stage: «Cleen», cures: [(\"idler-build-up\", Often)],\n     state: LockedOut, minutes: 9.0, steps: [Do(\"Do it.\")], done_when: (\"Done\", Memory),\n     cautions: [\"lockout\"], source: Memory),\n]",
        "unknown-word",
    ),
    (
        "fixes/a.ron",
        "[\n    (id: \"bark-off\", title: \"Bark off\", stage: Clean, cures: [(\"idler-build-up\", Often)],\n     state: LockedOut, minutes: 9.0, steps: [Do(\"Do it.\"), Move(what: \"x\", «hov»: \"y\")],\n     done_when: (\"Done\", Memory), cautions: [\"lockout\"], source: Memory),\n]",
        "unknown-field",
    ),
    (
        "symptoms/a.ron",
        "[\n    (id: \"bark\", kind: Grade, ask: \"Bark?\", answers: [(\"no\", \"No\"), (\"some\", \"Some\")], look: \"Look.\",\n     why: \"Why.\", minutes: 1.0, state: Running, by_itself: [(\"«much»\", Seldom)], source: Memory,\n     seen_with: [(\"idler-build-up\", [(\"some\", Often)])]),\n]",
        "unknown-id",
    ),
    (
        "symptoms/a.ron",
        "[\n    (id: \"bark\", kind: Sign, ask: \"Bark?\", answers: [(\"no\", \"No\"), (\"yes\", \"Yes\")], look: \"Look.\",\n     why: \"Why.\", minutes: 1.0, state: Running, by_itself: Seldom, source: Memory,\n     only_if: [Not(Answer(\"strand\", [\"«upper»\"]))], seen_with: [(\"idler-build-up\", Often)]),\n]",
        "unknown-id",
    ),
    (
        "cases/a.ron",
        "[\n    (id: \"a\", title: \"A\", source: Memory, answers: {\"«no-such»\": \"yes\"}, expect: [Leads([\"idler-build-up\"])]),\n]",
        "unknown-id",
    ),
    (
        "cases/a.ron",
        "[\n    (id: \"a\", title: \"A\", source: Memory, answers: {\"strand\": «\"upper\"»}, expect: [Leads([\"idler-build-up\"])]),\n]",
        "unknown-word",
    ),
    (
        "cases/a.ron",
        "[\n    (id: \"a\", title: \"A\", source: Memory, answers: {\"strand\": \"return\"},\n     expect: [Above(\"idler-build-up\", \"«gone»\")]),\n]",
        "unknown-id",
    ),
    (
        "cases/a.ron",
        "[\n    (id: \"a\", title: \"A\", source: Memory, answers: {\"strand\": \"return\"},\n     expect: [Below(\"idler-build-up\", «1.5»)]),\n]",
        "chance",
    ),
    (
        "cases/a.ron",
        "[\n    (id: \"a\", title: \"A\", source: Memory, «anwsers»: {\"strand\": \"return\"}, expect: []),\n]",
        "unknown-field",
    ),
];

/// Ways of writing the same file.
fn ways(text: &str) -> Vec<(&'static str, String)> {
    let quote = |from: &str, open: &str, close: &str| {
        let (before, rest) = from.split_once("\"«")?;
        let (inside, after) = rest.split_once("»\"")?;
        Some(format!("{before}{open}«{inside}»{close}{after}"))
    };
    let mut ways = vec![
        ("as it is", text.to_owned()),
        ("CR LF", text.replace('\n', "\r\n")),
        ("byte order mark", format!("\u{feff}{text}")),
        ("mark and CR LF", format!("\u{feff}{}", text.replace('\n', "\r\n"))),
        ("tabs", text.replace("    ", "\t")),
        ("letters of several bytes", text.replace("\n", "\n/* Größe, 皮带, 🙂, e\u{301} */ ")),
        ("comments", format!("// Größe \"[({{\r\n/* » « */ {text}").replace("» «", "")),
        ("on one line", text.replace('\n', " ")),
    ];
    ways.extend(quote(text, "r\"", "\"").map(|text| ("raw string", text)));
    ways.extend(quote(text, "r##\"", "\"##").map(|text| ("raw string with marks", text)));
    let before = text.find('«').unwrap();
    if text[..before].contains('"') {
        // A text with escapes before it on the way.
        let escaped = text.replacen(", rule: \"", ", rule: \"\\\"\\u{e4}\\\\ ", 1);
        ways.push((
            "escapes before it",
            escaped.replacen("title: \"", "title: \"\\\"\\u{e4}\\t", 1),
        ));
    }
    ways
}

/// The text without its marks, with line, column and width of what they enclose.
fn meant(marked: &str) -> (String, (usize, usize, usize)) {
    let (before, rest) = marked.split_once('«').unwrap();
    let (inside, after) = rest.split_once('»').unwrap();
    let visible = before.strip_prefix('\u{feff}').unwrap_or(before);
    let line = visible.matches('\n').count() + 1;
    let column = visible.rsplit('\n').next().unwrap().chars().count() + 1;
    let width = inside.chars().count();
    (format!("{before}{inside}{after}"), (line, column, width))
}

fn problems(path: &str, text: &str) -> Vec<Problem> {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join(path);
    fs::create_dir_all(file.parent().unwrap()).unwrap();
    fs::write(&file, text).unwrap();
    let checked = load::read(Some(dir.path()));
    let mut problems = checked.problems.clone();
    if let Some(book) = &checked.book {
        let mut report = Report::default();
        case::read(book, &checked, &mut report);
        problems.extend(report.sorted());
    }
    problems.retain(|problem| problem.labels[0].place.file.ends_with(path));
    problems
}

#[test]
fn the_place_is_exact_however_the_file_is_written() {
    let mut wrong = Vec::new();
    for (path, marked, code) in WRONG {
        for (way, marked) in ways(marked) {
            let (text, place) = meant(&marked);
            let found = problems(path, &text);
            let at = |problem: &Problem| {
                let at = problem.labels[0].place.at.as_ref()?;
                Some((at.line, at.column, at.width))
            };
            let told = found.iter().find(|problem| problem.code.word() == *code);
            let got = told.and_then(at);
            if got != Some(place) {
                let all: Vec<String> = found
                    .iter()
                    .map(|p| format!("{} {}: {}", p.labels[0].place, p.code.word(), p.message))
                    .collect();
                wrong.push(format!(
                    "{code}, {way}: {place:?} meant, {got:?} told of\n{text}\n{}",
                    all.join("\n")
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong\n\n{}", wrong.len(), wrong.join("\n\n"));
}

/// A text with escapes has no bytes of its own to point into: the whole of it is meant, quotes included.
#[test]
fn a_text_with_escapes_is_meant_as_a_whole() {
    for (path, marked, code) in [
        (
            "site.ron",
            "(\n  change: [Cause(id: «\"no\\u{2d}such\"», how_common: Rare)],\n)",
            "unknown-id",
        ),
        (
            "cautions.ron",
            "[\n  (id: \"wet-bark\", rule: \"r\", source: Memory, text: «\"Keep \\\"your\\\" {hand} away.\"»),\n]",
            "placeholder",
        ),
    ] {
        let (text, place) = meant(marked);
        let found = problems(path, &text);
        let told = found.iter().find(|p| p.code.word() == code).unwrap();
        let at = told.labels[0].place.at.as_ref().unwrap();
        assert_eq!((at.line, at.column, at.width), place, "{text}");
    }
}
