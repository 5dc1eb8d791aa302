//! What is wrong with rule files is told: what, where, and what to do. Each folder in `bad_rules/` is
//! a case: laid over the little book in `base/`, or, if its name begins with `site-`, over the default
//! book. What is told stands beside it in `told.snap`. A new case is a new folder.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use straybelt::problem::{Code, Problem};
use straybelt::rulebook::load;
use straybelt::show::paint::Paint;
use straybelt::show::problem::{line, page};

use crate::support::files::{copy, root};

/// Codes that no rule file can bring about, with where they are tested.
const ELSEWHERE: &[&str] = &[
    "folder-again",
    "contradiction",   // conveyor/mod.rs
    "unknown-fact",    // conveyor/reader.rs
    "quantity",        // conveyor/reader/sizes.rs
    "drill-runs-true", // tests/drills/bad.rs
    "drill-cause",     // tests/drills/fits.rs
    "drill-shows",     // tests/drills/fits.rs
    "drill-cure",      // tests/drills/fits.rs
    "drill-grade",     // tests/drills/fits.rs
    "encoding",        // below
    "too-large",       // below
    "too-deep",        // below
    "unreadable",      // below
    "too-many",        // below
    "moved",           // below
];

fn here() -> PathBuf {
    root("tests/rules/bad_rules")
}

/// The little book with these files put into it.
fn laid(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(&here().join("base"), dir.path());
    for (path, text) in files {
        let path = dir.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    dir
}

fn told(dir: &Path) -> Vec<String> {
    let problems = load::read(Some(dir)).problems;
    problems.iter().map(|p| short(p, dir)).collect()
}

/// `causes/x.ron:2:5 unknown-id`, the folder left out.
fn short(problem: &Problem, dir: &Path) -> String {
    let place = problem.labels[0].place.to_string();
    let place = place.strip_prefix(&format!("{}/", dir.display())).unwrap_or(&place).to_owned();
    format!("{place} {}", problem.code.word())
}

#[test]
fn the_little_book_is_sound() {
    assert_eq!(told(&here().join("base")), Vec::<String>::new());
}

#[test]
fn what_is_wrong_is_told_as_it_was() {
    let mut seen = BTreeSet::new();
    let mut cases: Vec<PathBuf> =
        fs::read_dir(here()).unwrap().map(|entry| entry.unwrap().path()).collect();
    cases.sort();
    for case in cases.iter().filter(|path| path.is_dir() && !path.ends_with("base")) {
        let name = case.file_name().unwrap().to_string_lossy().into_owned();
        let site = name.starts_with("site-");
        let book = tempfile::tempdir().unwrap();
        if !site {
            copy(&here().join("base"), book.path());
        }
        copy(case, book.path());
        let checked = load::read(Some(book.path()));
        seen.extend(checked.problems.iter().map(|problem| problem.code.word()));
        assert_eq!(
            checked.book.is_none(),
            checked.problems.iter().any(Problem::is_error),
            "{name}"
        );
        let mut text: Vec<String> = checked
            .problems
            .iter()
            // The default book's lines change too often to be shown here.
            .map(|problem| if site { line(problem) } else { page(problem, 100, Paint::NONE) })
            .collect();
        if checked.problems.is_empty() {
            text.push("nothing".to_owned());
        }
        let text = text.join("\n").replace(&book.path().display().to_string(), "BOOK");
        let mut settings = insta::Settings::clone_current();
        settings.set_snapshot_path(case);
        settings.set_prepend_module_to_snapshot(false);
        settings.set_omit_expression(true);
        settings.add_filter(r#"was: "[0-9a-f]{8}""#, r#"was: "(fingerprint)""#);
        settings.bind(|| insta::assert_snapshot!("told", text));
    }
    let all: BTreeSet<_> =
        Code::ALL.iter().map(|code| code.word()).filter(|word| !ELSEWHERE.contains(word)).collect();
    let missing: Vec<_> = all.difference(&seen).collect();
    assert!(missing.is_empty(), "codes without a case: {missing:?}");
}

/// What a fix waits for is answered without it: the check that it begins with asks nothing that the fix must come
/// before, so no circle can be closed through one. `only_if` and a check may look at the same answer.
#[test]
fn a_fix_may_wait_for_the_answer_that_its_own_check_asks() {
    let fix = r#"[
        (id: "silence", title: "Silence the roll", stage: Clean, cures: [("caked-rolls", Often)], state: LockedOut, minutes: 90.0,
            only_if: [Answer("squeal", ["yes"])], needs: [Fix("clean-rolls")],
            begins_with: [(symptom: "squeal", needs: "It squeals", go_on: ["yes"])], work: "silence it",
            steps: [Do("Do it.")], done_when: ("It is silent", Memory), source: Memory),
    ]"#;
    let dir = laid(&[("fixes/x.ron", fix.as_bytes())]);
    assert_eq!(told(dir.path()), Vec::<String>::new());
}

#[test]
fn places_are_right_whatever_the_line_ends_and_tabs() {
    let good = "[\n// Größe: 5 µm\n\t(id: \"a\", name: \"Größe\", how_common: Rare,\n\thappens_because: \"It does.\", signs: [Sees(\"sqeal\", Often)], source: Memory),\n]\n";
    let crlf = good.replace('\n', "\r\n");
    let bom = format!("\u{feff}{good}");
    for text in [good, &crlf, &bom] {
        let dir = laid(&[("causes/x.ron", text.as_bytes())]);
        assert_eq!(told(dir.path())[0], "causes/x.ron:4:45 unknown-id");
    }
    // The same after a refusal of the whole file.
    let broken = crlf.replace("Often)]", "Often]");
    let dir = laid(&[("causes/x.ron", broken.as_bytes())]);
    let both = ["causes/x.ron:4:43 syntax", "causes/x.ron:4:45 unknown-id"];
    assert_eq!(told(dir.path()), both);
}

#[test]
fn files_that_are_no_text_are_refused_with_a_place() {
    let latin1 = b"[\n  // Gr\xf6\xdfe\n]";
    let utf16 = b"\xff\xfe[\0]\0";
    let big = vec![b' '; 4 * 1024 * 1024 + 1];
    let deep = "[".repeat(300_000);
    let nested = format!("[(id: \"a\", signs: {}{})]", "[".repeat(500), "]".repeat(500));
    let dir = laid(&[
        ("causes/a.ron", latin1),
        ("causes/b.ron", utf16),
        ("causes/c.ron", &big),
        ("causes/d.ron", deep.as_bytes()),
        ("causes/e.ron", nested.as_bytes()),
        ("causes/f.ron", b"\0\0\0\0"),
        ("causes/g.ron", b"%PDF-1.4 \x01\x02"),
    ]);
    assert_eq!(
        told(dir.path()),
        [
            "causes/a.ron:2:8 encoding",
            "causes/b.ron:1:1 encoding",
            "causes/c.ron too-large",
            "causes/d.ron:1:65 too-deep",
            // It has no name and so on either.
            "causes/e.ron:1:2 missing-field",
            "causes/e.ron:1:2 missing-field",
            "causes/e.ron:1:2 missing-field",
            "causes/e.ron:1:2 missing-field",
            "causes/e.ron:1:20 shape",
            "causes/f.ron:1:1 syntax",
            "causes/g.ron:1:2 syntax",
        ]
    );
}

#[test]
fn a_folder_that_is_none_is_told_of() {
    let dir = laid(&[]);
    let none = dir.path().join("no-such");
    let problems = load::read(Some(&none)).problems;
    assert_eq!(problems[0].code, Code::Unreadable);
    let file = dir.path().join("book.ron");
    assert_eq!(load::read(Some(&file)).problems[0].code, Code::Unreadable);
}

#[cfg(unix)]
#[test]
fn pipes_and_circles_of_links_do_not_hold_us_up() {
    let dir = laid(&[]);
    std::os::unix::fs::symlink(dir.path(), dir.path().join("causes/round")).unwrap();
    std::os::unix::fs::symlink("/dev/zero", dir.path().join("causes/endless.ron")).unwrap();
    std::os::unix::fs::symlink("nowhere", dir.path().join("causes/gone.ron")).unwrap();
    let told = told(dir.path());
    assert_eq!(
        told,
        [
            "causes/endless.ron unreadable",
            "causes/gone.ron unreadable",
            "causes/round folder-again"
        ]
    );
}

#[test]
fn a_thousand_problems_are_enough() {
    let entries = "(id: \"X\"),\n".repeat(3_000);
    let dir = laid(&[("causes/x.ron", format!("[{entries}]").as_bytes())]);
    let problems = load::read(Some(dir.path())).problems;
    assert_eq!(problems.len(), 1_001);
    assert_eq!(problems.last().unwrap().code, Code::TooMany);
}

#[test]
fn a_change_warns_when_the_entry_below_has_moved() {
    let dir = tempfile::tempdir().unwrap();
    let site = |was: &str| format!("(change: [Cause(id: \"old-trims\", {was} how_common: Rare)])");
    fs::write(dir.path().join("site.ron"), site("")).unwrap();
    let problems = load::read(Some(dir.path())).problems;
    assert_eq!(problems[0].code, Code::NoFingerprint);
    let help = &problems[0].help[0];
    let was = help.split('"').nth(1).unwrap();
    fs::write(dir.path().join("site.ron"), site(&format!("was: \"{was}\","))).unwrap();
    let checked = load::read(Some(dir.path()));
    assert!(checked.problems.is_empty() && checked.book.is_some());
    fs::write(dir.path().join("site.ron"), site("was: \"00000000\",")).unwrap();
    assert_eq!(load::read(Some(dir.path())).problems[0].code, Code::Moved);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// Whatever is done to a file: no panic, and every place lies in a file.
    #[test]
    fn a_spoilt_file_never_ends_in_a_panic(at in 0.0..1.0_f64, cut in 0_usize..40, put in "[\\[\\](){}\",:a-zäR#/*'\\\\\u{0}\u{1b} .0-9\n-]{0,12}", which in 0_usize..7) {
        let names = ["book.ron", "symptoms/base.ron", "causes/base.ron", "fixes/base.ron", "cautions.ron", "stop-now.ron", "edge-room.ron"];
        let mut text: Vec<char> = fs::read_to_string(here().join("base").join(names[which])).unwrap().chars().collect();
        let start = (at * text.len() as f64) as usize;
        let end = (start + cut).min(text.len());
        text.splice(start..end, put.chars());
        let text: String = text.into_iter().collect();
        let dir = laid(&[(names[which], text.as_bytes())]);
        let checked = load::read(Some(dir.path()));
        for problem in &checked.problems {
            for width in [30, 80] {
                prop_assert!(page(problem, width, Paint::NONE).chars().all(|c| c == '\n' || !c.is_control()));
            }
            if let Some(at) = &problem.labels[0].place.at {
                prop_assert!(at.line <= text.lines().count() + 1 || !problem.labels[0].place.file.ends_with(names[which]));
            }
        }
        prop_assert_eq!(checked.book.is_none(), checked.problems.iter().any(Problem::is_error));
    }
}
