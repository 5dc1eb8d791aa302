//! What README, DEVELOPERS.md and the examples say is true.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

use std::fs;
use std::path::{Path, PathBuf};

use straybelt::problem::{Code, Problem, Report, Severity};
use straybelt::proof::{case, run};
use straybelt::reason::Facts;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::visit::{Diagnosis, Finding, Reply, Told};

fn root(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn text(path: &str) -> String {
    fs::read_to_string(root(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// The book with a folder, and the warnings that the folder itself gives.
fn book(folder: &Path) -> (Book, Vec<Problem>) {
    let (book, warnings) = load::with_site(Some(folder)).unwrap_or_else(|problems| {
        let all: Vec<_> = problems.0.iter().map(|p| &p.message).collect();
        panic!("{}: {all:#?}", folder.display())
    });
    let own = |problem: &Problem| {
        let file = problem.labels.first().map(|label| &label.place.file);
        file.is_some_and(|file| Path::new(file).starts_with(folder))
    };
    (book, warnings.into_iter().filter(own).collect())
}

struct NothingKnown;

impl Facts for NothingKnown {
    fn fact(&self, _: &str) -> Option<&str> {
        None
    }
}

/// The pieces of the guide that are marked as files, as a folder of rules.
#[test]
fn the_examples_of_the_guide_load() {
    let guide = text("DEVELOPERS.md");
    let folder = tempfile::tempdir().unwrap();
    let mut files = 0;
    for part in guide.split("<!-- file: ").skip(1) {
        let (name, rest) = part.split_once(" -->\n```ron\n").unwrap();
        let (body, _) = rest.split_once("\n```\n").unwrap();
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, body).unwrap();
        files += 1;
    }
    assert_eq!(files, 6);
    let (_, warnings) = book(folder.path());
    // The guide itself tells to leave the fingerprints out the first time.
    for warning in &warnings {
        assert_eq!(warning.code, Code::NoFingerprint, "{warning:#?}");
    }
}

#[test]
fn the_case_of_the_guide_holds() {
    let guide = text("DEVELOPERS.md");
    let (_, rest) = guide.split_once("<!-- case: cases/").unwrap();
    let (_, rest) = rest.split_once("```ron\n").unwrap();
    let (body, _) = rest.split_once("\n```\n").unwrap();
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir_all(folder.path().join("cases")).unwrap();
    fs::write(folder.path().join("cases/guide.ron"), body).unwrap();
    let mut checked = load::read(Some(folder.path()));
    let book = checked.book.take().unwrap();
    let mut report = Report::default();
    let cases = case::read(&book, &checked, &mut report);
    let problems = report.sorted();
    assert!(problems.is_empty(), "{problems:#?}");
    let case = cases.cases.iter().find(|c| c.id == "salt-on-the-return-rolls");
    let verdict = run::run(&Diagnosis::new(&book), case.unwrap());
    assert!(verdict.holds(), "{:#?}", verdict.failures);
}

#[test]
fn the_guide_lists_every_problem_code_as_the_program_has_it() {
    let guide = text("DEVELOPERS.md");
    let (_, rest) = guide.split_once("<!-- codes -->").unwrap();
    let (table, _) = rest.split_once("<!-- /codes -->").unwrap();
    let listed: Vec<[&str; 3]> = table
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .map(|line| {
            let mut cells = line.split(" | ");
            [(); 3].map(|()| cells.next().unwrap().trim_matches('`'))
        })
        .collect();
    let known: Vec<[&str; 3]> = Code::ALL
        .iter()
        .map(|code| {
            let severity = match code.severity() {
                Severity::Error => "error",
                Severity::Warning => "warning",
            };
            [code.word(), severity, code.says()]
        })
        .collect();
    assert_eq!(listed, known);
}

#[test]
fn the_words_of_the_guide_have_the_numbers_of_the_book() {
    let guide = text("DEVELOPERS.md");
    let (_, rest) = guide.split_once("## 2. The words and their numbers").unwrap();
    let table: Vec<&str> = rest.lines().filter(|line| line.starts_with("| `")).take(6).collect();
    let book = text("rules/book.ron");
    let mut words = 0;
    for cells in table
        .iter()
        .flat_map(|line| {
            line.split('|')
                .collect::<Vec<_>>()
                .windows(2)
                .map(|w| (w[0].trim().to_owned(), w[1].trim().to_owned()))
                .collect::<Vec<_>>()
        })
        .filter(|(word, number)| word.starts_with('`') && number.starts_with("0."))
    {
        let line = format!("{}: {},", cells.0.trim_matches('`').to_lowercase(), cells.1);
        assert!(book.contains(&line), "book.ron does not say {line}");
        words += 1;
    }
    assert_eq!(words, 10);
}

/// The numbers of "A small example, with its numbers".
#[test]
fn the_small_book_gives_the_numbers_of_the_guide() {
    let guide = text("DEVELOPERS.md");
    let (book, warnings) = book(&root("examples/small-book"));
    assert_eq!(warnings, []);
    let sets = [
        ["dirty-rolls"].as_slice(),
        &["crooked-splice"],
        &["low-frame"],
        &["dirty-rolls", "crooked-splice"],
        &["dirty-rolls", "low-frame"],
        &["crooked-splice", "low-frame"],
    ];
    let stages = [
        ("before any answer, %", None),
        ("then, %", Some(("what-is-off", "one-part"))),
        ("then, %", Some(("jumps", "yes"))),
        ("then, %", Some(("ridges", "clean"))),
    ];
    let mut answers = Vec::new();
    for (label, answer) in stages {
        answers.extend(answer);
        let finding = finding(&book, &answers);
        let per_cent = sets.map(|set| format!("{:.2}", 100.0 * chance(&book, &finding, set)));
        let row = format!("| {label} | {} |", per_cent.join(" | "));
        assert!(guide.contains(&row), "the guide does not hold: {row}");
    }
    let finding = finding(&book, &answers);
    let of = |id: &str| {
        let ranked = finding.ranked.iter().find(|r| book.causes[r.cause].id == id);
        format!("{:.1} %", 100.0 * ranked.unwrap().probability)
    };
    assert_eq!(
        [of("crooked-splice"), of("low-frame"), of("dirty-rolls")],
        ["98.7 %", "1.5 %", "1.0 %"]
    );
    assert_eq!(format!("{:.5}", finding.mass_left_out), "0.00015");
    assert_eq!(format!("{:.0}", finding.plan.expected_minutes), "1197");
    assert_eq!(finding.plan.batches.len(), 1);
}

fn finding(book: &Book, answers: &[(&str, &str)]) -> Finding {
    let mut told = Told::nothing(book);
    for (symptom, answer) in answers {
        let (at, entry) = book.symptoms.iter().find(|(_, entry)| entry.id == *symptom).unwrap();
        let (answer, _) = entry.answers.iter().find(|(_, a)| a.id == *answer).unwrap();
        told.replies[at] = Reply::Answer(answer);
    }
    Diagnosis::new(book).finding(&NothingKnown, &told)
}

fn chance(book: &Book, finding: &Finding, set: &[&str]) -> f64 {
    let is = |causes: &[straybelt::rulebook::index::CauseAt]| {
        causes.iter().map(|c| book.causes[*c].id.as_str()).eq(set.iter().copied())
    };
    let found = finding.sets.iter().find(|(causes, _)| is(causes));
    found.unwrap_or_else(|| panic!("no set {set:?}")).1
}

/// The demo site adds, changes and switches off; a moved fingerprint shows here first.
#[test]
fn the_demo_site_lies_cleanly_over_the_default_book() {
    let (site, warnings) = book(&root("examples/ostrel-quay/rules"));
    assert_eq!(warnings, []);
    let default = load::default_book().unwrap();
    let prior = |book: &Book, id: &str| book.causes.values().find(|c| c.id == id).map(|c| c.prior);
    assert_eq!(prior(&default, "salt-crust-on-snub"), None);
    assert_eq!(prior(&site, "salt-crust-on-snub"), Some(0.010));
    assert!(prior(&site, "object-or-spillage") > prior(&default, "object-or-spillage"));
    let has = |book: &Book, id: &str| book.fixes.values().any(|fix| fix.id == id);
    assert!(has(&default, "turn-belt-over") && !has(&site, "turn-belt-over"));
    assert!(site.minutes.lock_out > default.minutes.lock_out);
}

/// Every path that the pages name in backticks is there.
#[test]
fn the_paths_that_are_named_exist() {
    for page in ["README.md", "DEVELOPERS.md", "examples/README.md"] {
        let text = text(page);
        let named = text.split('`').skip(1).step_by(2).filter(|name| {
            ["src/", "tests/", "rules/", "examples/", ".ci/"]
                .iter()
                .any(|folder| name.starts_with(folder))
                && !name.contains(' ')
        });
        for name in named {
            assert!(root(name).exists(), "{page} names {name}, which is not there");
        }
    }
}

/// The commands in the heads of the answer files, and the one for the JSON file, which holds no comments:
/// conveyor, answers, site's folder.
fn commands() -> Vec<(PathBuf, PathBuf, Option<PathBuf>)> {
    let mut commands = vec![(
        root("examples/ostrel-quay/conveyors/OQ-11.ron"),
        root("examples/ostrel-quay/answers/09-reversing-shuttle.json"),
        None,
    )];
    for entry in fs::read_dir(root("examples/ostrel-quay/answers")).unwrap() {
        let path = entry.unwrap().path();
        let before = commands.len();
        if path.extension().is_some_and(|kind| kind == "json") {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap().replace("\\\n//", "");
        for line in text.lines().filter_map(|line| line.strip_prefix("// straybelt diagnose ")) {
            let words: Vec<&str> = line.split_whitespace().collect();
            let after = |flag: &str| {
                let at = words.iter().position(|word| *word == flag)?;
                words.get(at + 1).map(|word| root(word))
            };
            let answers = after("--answers").unwrap();
            assert_eq!(answers, path, "the command runs another file");
            assert_eq!(after("--format").unwrap(), root("text"));
            commands.push((after("--conveyor").unwrap(), answers, after("--rules")));
        }
        assert!(commands.len() > before, "{} tells no command", path.display());
    }
    commands
}

#[test]
fn every_answer_file_fits_the_book_and_its_conveyor() {
    let default = load::default_book().unwrap();
    let commands = commands();
    assert!(commands.len() >= 12);
    for (conveyor, answers, rules) in commands {
        let (_, warnings) = straybelt::conveyor::read(&conveyor).unwrap();
        assert_eq!(warnings, [], "{}", conveyor.display());
        let site = rules.map(|folder| book(&folder).0);
        let read = straybelt::visit::answers::read(site.as_ref().unwrap_or(&default), &answers);
        assert!(read.is_ok(), "{}: {:#?}", answers.display(), read.err());
    }
}

/// The gate of file 02: fasteners for a fabric belt, never for steel cord.
#[test]
fn the_gate_of_the_splice_story_is_as_its_head_says() {
    let book = load::default_book().unwrap();
    let site = root("examples/ostrel-quay");
    let answers = site.join("answers/02-jumps-at-the-splice.ron");
    let answers = straybelt::visit::answers::read(&book, &answers).unwrap();
    let diagnosis = Diagnosis::new(&book);
    let fasteners = |conveyor: &str| {
        let (conveyor, _) = straybelt::conveyor::read(&site.join(conveyor)).unwrap();
        let finding = diagnosis.finding(&conveyor, &answers.told);
        let first = finding.ranked.first().unwrap();
        assert_eq!(book.causes[first.cause].id, "crooked-splice");
        let fix = book.fixes.iter().find(|(_, fix)| fix.id == "re-splice-mechanical");
        finding.fixes_apply[fix.unwrap().0]
    };
    assert!(fasteners("conveyors/OQ-01.ron"));
    assert!(!fasteners("conveyors/OQ-07.ron"));
}

/// What stands before causes and plans stands alone in the text too, as in the conversation.
#[test]
fn a_stop_or_a_belt_best_left_alone_comes_without_a_plan() {
    for (file, says) in [
        ("13-splice-opening.ron", "STOP. Nothing more is asked."),
        ("08-inside-the-edge-room.ron", "leave it, watch it"),
    ] {
        let ended = std::process::Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(["diagnose", "--answers"])
            .arg(root("examples/ostrel-quay/answers").join(file))
            .output()
            .unwrap();
        let page = String::from_utf8(ended.stdout).unwrap();
        assert!(page.contains(says), "{file}: {page}");
        assert!(!page.contains("Batch 1"), "{file}: {page}");
    }
}
