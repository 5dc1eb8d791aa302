//! rules/REFERENCE.md is written from the types that read the files; this fails when it is not what they say.
//!
//! To renew it:  STRAYBELT_RENEW=1 cargo test --test rules grammar

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use straybelt::conveyor::{self, facts::FactKey};
use straybelt::drill::{self, course::written::CourseEntry, written::DrillEntry};
use straybelt::problem::{Code, Report};
use straybelt::proof::written::CaseEntry;
use straybelt::rulebook::load;
use straybelt::rulebook::site::SiteFile;
use straybelt::rulebook::written as w;
use straybelt::rulebook::{fields, model};
use straybelt::visit::answers;

use super::trace::{Field, Kinds, Shape, Variant, trace};

pub(super) fn root(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

pub(super) fn text(path: &str) -> String {
    fs::read_to_string(root(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// A kind of file: heading, where it lies, whether it is a list, its entry, where its example is taken from.
pub(super) struct File {
    heading: &'static str,
    pub(super) path: &'static str,
    pub(super) list: bool,
    pub(super) kind: &'static str,
    example: Example,
}

enum Example {
    /// The piece of rules/GUIDE.md that is marked with this path.
    Guide(&'static str),
    /// A whole file.
    Whole(&'static str),
}

pub(super) const FILES: &[File] = &[
    File {
        heading: "Symptoms",
        path: "symptoms/*.ron",
        list: true,
        kind: "symptom",
        example: Example::Guide("file: symptoms/bark.ron"),
    },
    File {
        heading: "Looks",
        path: "looks/*.ron",
        list: true,
        kind: "look",
        example: Example::Guide("file: looks/bark.ron"),
    },
    File {
        heading: "Causes",
        path: "causes/*.ron",
        list: true,
        kind: "cause",
        example: Example::Guide("file: causes/bark.ron"),
    },
    File {
        heading: "Fixes",
        path: "fixes/*.ron",
        list: true,
        kind: "fix",
        example: Example::Guide("file: fixes/bark.ron"),
    },
    File {
        heading: "Cautions",
        path: "cautions.ron, cautions/*.ron",
        list: true,
        kind: "caution",
        example: Example::Guide("file: cautions.ron"),
    },
    File {
        heading: "Tools",
        path: "tools.ron",
        list: true,
        kind: "tool",
        example: Example::Guide("file: tools.ron"),
    },
    File {
        heading: "Sources",
        path: "sources.ron",
        list: true,
        kind: "source",
        example: Example::Whole("tests/rules/authoring/examples/sources.ron"),
    },
    File {
        heading: "Terms",
        path: "glossary.ron",
        list: true,
        kind: "term",
        example: Example::Whole("tests/rules/authoring/examples/glossary.ron"),
    },
    File {
        heading: "Stop now",
        path: "stop-now.ron",
        list: true,
        kind: "question",
        example: Example::Whole("tests/rules/authoring/examples/stop-now.ron"),
    },
    File {
        heading: "Edge room",
        path: "edge-room.ron",
        list: false,
        kind: "edge room",
        example: Example::Whole("tests/rules/authoring/examples/edge-room.ron"),
    },
    File {
        heading: "Limits of gauges",
        path: "gauges/*.ron",
        list: false,
        kind: "gauge sizes",
        example: Example::Guide("file: gauges/quay.ron"),
    },
    File {
        heading: "The book",
        path: "book.ron",
        list: false,
        kind: "book",
        example: Example::Whole("examples/small-book/book.ron"),
    },
    File {
        heading: "A site's changes",
        path: "site.ron",
        list: false,
        kind: "site",
        example: Example::Guide("file: site.ron"),
    },
    File {
        heading: "Cases",
        path: "cases/*.ron",
        list: true,
        kind: "case",
        example: Example::Guide("case: cases/salt.ron"),
    },
    File {
        heading: "Drills",
        path: "drills/*.ron",
        list: true,
        kind: "drill",
        example: Example::Whole("tests/rules/authoring/examples/drill.ron"),
    },
    File {
        heading: "Courses",
        path: "courses/*.ron",
        list: true,
        kind: "course",
        example: Example::Whole("tests/rules/authoring/examples/course.ron"),
    },
];

impl Example {
    fn text(&self) -> String {
        match self {
            Self::Whole(path) => text(path).trim_end().to_owned(),
            Self::Guide(mark) => {
                let guide = text("rules/GUIDE.md");
                let (_, rest) = guide.split_once(&format!("<!-- {mark} -->\n```ron\n")).unwrap();
                rest.split_once("\n```\n").unwrap().0.to_owned()
            }
        }
    }
}

/// What stands where a value is read in another way later.
const LATER: &[(&str, &str, &str)] = &[
    ("case", "conveyor", "`{\"fact\": \"value\", ..}`, see [Conveyors](#conveyors)"),
    ("case", "sides", "`{\"left\": \"text\", \"right\": \"text\"}`"),
    ("case", "answers", "`{\"symptom\": \"answer\", ..}`"),
    ("case", "found", "`{\"cause\": \"as-suspected\" or \"was-fine\", ..}`"),
    ("case", "done", "`[[\"fix\", ..], ..]`"),
    ("case", "outcomes", "`[\"true\", \"better\", \"no-change\" or .., ..]`"),
    ("case", "second", "`[(after_batch: number, answers: {\"symptom\": \"answer\", ..}), ..]`"),
    ("case", "machine", "`\"running\"` or `\"locked-out\"`"),
    ("drill", "conveyor", "`(field: value, ..)`, see [Conveyors](#conveyors)"),
    ("answers", "place", "`\"tail\"` or another [look place](#look-place), in small letters"),
    (
        "answers",
        "means",
        "`(tools: [\"text\", ..], history: true or false, lock_out: true or false)`",
    ),
    ("answers", "notes", "`[\"text\", ..]`"),
];

/// Every type that a file is read into, traced.
pub(super) fn kinds() -> Kinds {
    let mut all = Kinds::default();
    let traced = [
        trace::<w::Symptom>(),
        trace::<w::Look>(),
        trace::<w::Cause>(),
        trace::<w::Fix>(),
        trace::<w::Caution>(),
        trace::<w::SourceEntry>(),
        trace::<w::Term>(),
        trace::<w::Tool>(),
        trace::<w::GaugeFile>(),
        trace::<w::StopQuestion>(),
        trace::<w::EdgeRoom>(),
        trace::<w::BookFile>(),
        trace::<SiteFile>(),
        trace::<CaseEntry>(),
        trace::<DrillEntry>(),
        trace::<CourseEntry>(),
        // Read from the text of a row, so that tracing does not come to it.
        trace::<w::Likelihood>(),
    ];
    for kinds in traced {
        for (name, fields) in kinds.structs {
            match all.structs.get(name) {
                Some(known) => {
                    assert_eq!(known, &fields, "two kinds called {name}");
                }
                None => drop(all.structs.insert(name, fields)),
            }
        }
        for (name, words) in kinds.enums {
            let known = all.enums.insert(name, words.clone());
            assert!(known.is_none_or(|known| known == words), "two kinds of words called {name}");
        }
    }
    all
}

fn shape(shape: &Shape) -> String {
    match shape {
        Shape::Nothing => "nothing".to_owned(),
        Shape::Text => "\"text\"".to_owned(),
        Shape::Number => "number".to_owned(),
        Shape::Whole => "whole number".to_owned(),
        Shape::Truth => "true or false".to_owned(),
        Shape::List(of) => format!("[{}, ..]", self::shape(of)),
        Shape::Tuple(of) => {
            let of: Vec<String> = of.iter().map(self::shape).collect();
            format!("({})", of.join(", "))
        }
        Shape::Struct(name) => format!("( {name} )"),
        Shape::Enum(name) => name.to_lowercase(),
        Shape::WordOrRow => "likelihood, or [(\"answer\", likelihood), ..]".to_owned(),
        Shape::TextOrTexts => "\"text\", or [\"text\", ..]".to_owned(),
        Shape::Any => "anything".to_owned(),
    }
}

fn value(kind: &str, field: &Field) -> String {
    if field.shape == Shape::Any {
        let later = LATER.iter().find(|(k, f, _)| (*k, *f) == (kind, field.name));
        return later
            .unwrap_or_else(|| panic!("say in LATER what {kind} {} holds", field.name))
            .2
            .to_owned();
    }
    format!("`{}`", shape(&field.shape))
}

fn table(out: &mut String, kind: &str, fields: &[Field]) {
    out.push_str("| field | value | must be there | what it is for |\n|---|---|---|---|\n");
    for field in fields {
        let says = fields::says(kind, field.name).unwrap_or_else(|| {
            panic!("say in src/rulebook/fields/ what {kind} {} is for", field.name)
        });
        let must = if field.must { "yes" } else { "" };
        writeln!(out, "| `{}` | {} | {must} | {says} |", field.name, value(kind, field)).unwrap();
    }
    out.push('\n');
}

/// What a kind holds that has fields or words of its own, in the order in which they come.
fn below(fields: &[Field], kinds: &Kinds, found: &mut Vec<Shape>) {
    fn into(shape: &Shape, kinds: &Kinds, found: &mut Vec<Shape>) {
        match shape {
            Shape::List(of) => into(of, kinds, found),
            Shape::Tuple(of) => of.iter().for_each(|shape| into(shape, kinds, found)),
            Shape::WordOrRow => into(&Shape::Enum("likelihood"), kinds, found),
            Shape::Struct(name) if !found.contains(shape) => {
                found.push(shape.clone());
                below(&kinds.structs[name], kinds, found);
            }
            Shape::Enum(name) if !found.contains(shape) => {
                found.push(shape.clone());
                for (_, variant) in &kinds.enums[name] {
                    match variant {
                        Variant::Word => {}
                        Variant::Values(shapes) => {
                            shapes.iter().for_each(|s| into(s, kinds, found));
                        }
                        Variant::Fields(fields) => below(fields, kinds, found),
                    }
                }
            }
            _ => {}
        }
    }
    for field in fields {
        into(&field.shape, kinds, found);
    }
}

fn words(out: &mut String, name: &str, kinds: &Kinds) {
    let variants = &kinds.enums[name];
    writeln!(out, "### {}\n", name.to_lowercase()).unwrap();
    let plain: Vec<String> = variants
        .iter()
        .filter(|(_, variant)| *variant == Variant::Word)
        .map(|(word, _)| format!("`{word}`"))
        .collect();
    if !plain.is_empty() {
        writeln!(out, "{}\n", plain.join(", ")).unwrap();
    }
    for (word, variant) in variants {
        match variant {
            Variant::Word => {}
            Variant::Values(shapes) => {
                let shapes: Vec<String> = shapes.iter().map(shape).collect();
                writeln!(out, "`{word}({})`\n", shapes.join(", ")).unwrap();
            }
            Variant::Fields(fields) => {
                writeln!(out, "`{word}(..)`:\n").unwrap();
                table(out, name, fields);
            }
        }
    }
}

fn fact_lines(out: &mut String) {
    out.push_str("| field | value | must be there | what it is for |\n|---|---|---|---|\n");
    let mut line = |field: &str, value: &str| {
        let says = fields::says("conveyor", field).unwrap();
        writeln!(out, "| `{field}` | {value} | | {says} |").unwrap();
    };
    line("name", "`\"text\"`");
    let words = |values: &[&str]| {
        let words: Vec<String> = values.iter().map(|value| format!("`\"{value}\"`")).collect();
        words.join(", ")
    };
    for key in FactKey::FOR_RULES {
        line(key.word(), &words(&key.value_words()));
    }
    line("sides", "`(left: \"text\", right: \"text\")`");
    for key in FactKey::FOR_GAUGES {
        line(key.word(), &words(&key.value_words()));
    }
    line("units", "`\"metric\"`, `\"inch\"`, `\"both\"`");
    line("limits", "`(limit: \"size\", ..)`");
    for dimension in straybelt::conveyor::dimensions::ALL {
        let (path, says) = (dimension.path, dimension.ask);
        writeln!(out, "| `{path}` | a size with its unit, as text | | {says}. |").unwrap();
    }
    out.push_str(
        "\nA field with a point stands in a group: `belt.width` is `belt: (width: \"800 mm\")`.\n",
    );
}

fn reference() -> String {
    let kinds = kinds();
    let mut out = String::from(
        "# What may stand in each kind of file\n\n\
         This page is written by a test from the types that read the files, so it is what the program takes\n\
         ([how to renew it](../DEVELOPERS.md#how-to-test)). How the pieces hang together tells [GUIDE.md](GUIDE.md).\n\n\
         The format is RON: `//` comments, texts in `\"\"` or raw in `r#\"\"#`, lists in `[]`, entries in `()`, a comma after each\n\
         field. Fields stand in any order; one that is not listed here is an error. Conveyor and answer files may be JSON\n\
         as well. In the tables `likelihood` and other small words stand for what is listed under that heading;\n\
         `( .. )` for an entry of that kind.\n\n",
    );
    let headings = FILES.iter().map(|file| file.heading).chain(["Conveyors", "Answers"]);
    for heading in headings {
        let anchor = heading.to_lowercase().replace(' ', "-").replace('\'', "");
        writeln!(out, "* [{heading}](#{anchor})").unwrap();
    }
    out.push('\n');
    let mut told: BTreeSet<String> = BTreeSet::new();
    for file in FILES {
        let entry = if file.list { "a list of entries" } else { "one entry" };
        writeln!(out, "## {}\n\n`{}`: {entry}.\n", file.heading, file.path).unwrap();
        let fields = &kinds.structs[file.kind];
        table(&mut out, file.kind, fields);
        let mut parts = Vec::new();
        below(fields, &kinds, &mut parts);
        for part in parts {
            match part {
                Shape::Struct(name) if told.insert(format!("( {name} )")) => {
                    writeln!(out, "### ( {name} )\n").unwrap();
                    table(&mut out, name, &kinds.structs[name]);
                }
                Shape::Enum(name) if told.insert(name.to_owned()) => words(&mut out, name, &kinds),
                _ => {}
            }
        }
        let mark = match file.example {
            Example::Guide(mark) => mark.split_once(": ").unwrap().1,
            Example::Whole(_) => file.path,
        };
        writeln!(out, "<!-- example: {mark} -->\n```ron\n{}\n```\n", file.example.text()).unwrap();
    }
    out.push_str(
        "## Conveyors\n\nA file of its own, named with `--conveyor`: one entry, RON or JSON.\n\n",
    );
    fact_lines(&mut out);
    let conveyor = text("examples/ostrel-quay/conveyors/OQ-04.ron");
    writeln!(out, "\n<!-- example: conveyor -->\n```ron\n{}\n```\n", conveyor.trim_end()).unwrap();
    out.push_str(
        "## Answers\n\nA file of its own, named with `--answers`: one entry, RON or JSON.\n\n",
    );
    out.push_str("| field | value | must be there | what it is for |\n|---|---|---|---|\n");
    for key in answers::KEYS {
        let (_, _, value) = LATER.iter().find(|(_, field, _)| field == key).unwrap();
        let says = fields::says("answers", key).unwrap();
        writeln!(out, "| `{key}` | {value} | | {says} |").unwrap();
    }
    let told = text(ANSWERS);
    writeln!(out, "\n<!-- example: answers -->\n```ron\n{}\n```", told.trim_end()).unwrap();
    out
}

const ANSWERS: &str = "tests/rules/authoring/examples/answers.ron";

#[test]
fn the_reference_is_what_the_types_say() {
    let now = reference();
    if std::env::var_os("STRAYBELT_RENEW").is_some() {
        fs::write(root(REFERENCE), now).unwrap();
        return;
    }
    let kept = text(REFERENCE);
    if kept != now {
        let line = kept.lines().zip(now.lines()).position(|(a, b)| a != b);
        panic!(
            "{REFERENCE} is not what the types say (line {:?}). Renew it and read the difference:\n    \
             STRAYBELT_RENEW=1 cargo test --test rules grammar",
            line.map(|line| line + 1)
        );
    }
}

#[test]
fn no_line_is_kept_for_a_field_that_is_gone() {
    let kinds = kinds();
    for (kind, lines) in fields::FIELDS {
        if matches!(*kind, "conveyor" | "sides" | "answers") {
            continue;
        }
        let mut known: BTreeSet<&str> = BTreeSet::new();
        known.extend(kinds.structs.get(kind).into_iter().flatten().map(|field| field.name));
        for (_, variant) in kinds.enums.get(kind).into_iter().flatten() {
            if let Variant::Fields(fields) = variant {
                known.extend(fields.iter().map(|field| field.name));
            }
        }
        for (field, _) in lines.iter().copied().flatten() {
            assert!(known.contains(field), "{kind} has no field {field}");
        }
    }
}

const REFERENCE: &str = "rules/REFERENCE.md";

/// The examples as they stand in the reference.
fn examples() -> Vec<(String, String)> {
    let page = reference();
    let parts = page.split("<!-- example: ").skip(1).map(|part| {
        let (name, rest) = part.split_once(" -->\n```ron\n").unwrap();
        let (body, _) = rest.split_once("\n```").unwrap();
        (name.to_owned(), body.to_owned())
    });
    parts.collect()
}

#[test]
fn the_examples_of_the_reference_load() {
    let examples = examples();
    assert_eq!(examples.len(), FILES.len() + 2);
    let site = tempfile::tempdir().unwrap();
    for (name, body) in &examples {
        if matches!(name.as_str(), "book.ron" | "conveyor" | "answers") {
            continue;
        }
        let path = site.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, body).unwrap();
    }
    let checked = load::read(Some(site.path()));
    let own = site.path().display().to_string();
    let wrong: Vec<_> = checked
        .problems
        .iter()
        .filter(|problem| problem.code != Code::NoFingerprint)
        .map(|problem| (problem.labels[0].place.to_string(), &problem.message))
        .filter(|(place, _)| place.starts_with(&own))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let mut report = Report::default();
    let drills = drill::read::read(checked.book.as_ref().unwrap(), &checked, &mut report).drills;
    let wrong = report.sorted();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let own = drills.iter().find(|drill| drill.id == "wet-bark-on-a-roll");
    assert_eq!(own.and_then(drill::read::run), None);
    assert!(own.is_some());
    let book: model::Book = checked.book.unwrap();
    assert!(book.sources.values().any(|source| source.id == "yard-notes"));

    let example = |name: &str| examples.iter().find(|(n, _)| n == name).unwrap().1.clone();
    let (_, warnings) = conveyor::parse("conveyor", example("conveyor")).unwrap();
    assert_eq!(warnings, []);
    let answers = answers::parse(&book, "answers", example("answers"));
    assert!(answers.is_ok(), "{:#?}", answers.err());
    // The example book is that of the small book, whose other files stand beside it.
    assert_eq!(example("book.ron"), text("examples/small-book/book.ron").trim_end());
    assert!(load::with_site(Some(&root("examples/small-book"))).is_ok());
}
