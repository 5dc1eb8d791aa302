//! Whatever can be wrong with what is handed in is named with its place and a remedy, ends with the agreed exit
//! code, leaves every file as it was, and takes a bounded amount of memory and time.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use super::{run, shown, told};

fn put(dir: &Path, path: &str, text: &str) {
    let path = dir.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

/// Names and sizes of everything below a folder.
fn listed(dir: &Path) -> Vec<(String, u64)> {
    let mut all = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let entry = entry.unwrap();
        let data = entry.path().symlink_metadata().unwrap();
        if data.is_dir() {
            all.extend(listed(&entry.path()));
        }
        all.push((entry.path().display().to_string(), data.len()));
    }
    all.sort();
    all
}

/// Every command that reads a book says the same of a broken one: place, remedy, exit code 3; `rules check` 1.
fn everywhere(dir: &Path, says: &[&str]) {
    let before = listed(dir);
    let commands: &[(&[&str], i32)] = &[
        (&["rules", "check", shown(dir)], 1),
        (&["rules", "test", shown(dir)], 3),
        (&["rules", "coverage", shown(dir)], 3),
        (&["rules", "export", "--format", "json", "--rules", shown(dir)], 3),
        (&["rules", "new", "caution", shown(dir)], 3),
        (&["rules", "learn", "--all", "--rules", shown(dir), "--state", shown(dir)], 3),
        (&["visits", "--rules", shown(dir), "--state", shown(dir)], 3),
        (&["diagnose", "--rules", shown(dir), "--state", shown(dir)], 3),
    ];
    for (command, code) in commands {
        let (got, said) = told(&run(command, &[]));
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(got, *code, "{command:?}\n{said}");
        for says in says {
            assert!(said.contains(says), "{command:?} does not say {says}:\n{said}");
        }
    }
    assert_eq!(listed(dir), before);
}

const CAUTION: &str = "[(id: \"wet-bark\", rule: \"r\", source: Memory, text: \"Mind.\")]";

#[test]
fn a_broken_overlay() {
    let dir = tempfile::tempdir().unwrap();
    put(dir.path(), "site.ron", "(\n    change: [Cause(id: \"old-trims\", how_common: Rare)\n)");
    everywhere(dir.path(), &["site.ron:2:13", "still open"]);
}

#[test]
fn two_files_with_one_id() {
    let dir = tempfile::tempdir().unwrap();
    put(dir.path(), "cautions/a.ron", CAUTION);
    put(dir.path(), "cautions/b.ron", CAUTION);
    everywhere(
        dir.path(),
        &["cautions/b.ron:1:8", "cautions/a.ron:1:8", "give one of them another id"],
    );
}

#[test]
fn two_case_files_with_one_id() {
    let dir = tempfile::tempdir().unwrap();
    let case = "[(id: \"a\", title: \"A\", source: Memory, answers: {}, expect: [Leads([\"idler-build-up\"])])]";
    put(dir.path(), "cases/a.ron", case);
    put(dir.path(), "cases/b.ron", case);
    for command in ["check", "test", "coverage"] {
        let (code, said) = told(&run(&["rules", command, shown(dir.path())], &[]));
        assert_eq!(code, 1, "{said}");
        assert!(said.contains("cases/b.ron:1:8") && said.contains("cases/a.ron:1:8"), "{said}");
    }
}

#[test]
fn a_file_of_50_megabytes() {
    let dir = tempfile::tempdir().unwrap();
    let file = fs::File::create(dir.path().join("cautions.ron")).unwrap();
    file.set_len(50 * 1024 * 1024).unwrap();
    let begun = Instant::now();
    let (code, said) = told(&run(&["rules", "check", shown(dir.path())], &[]));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("cautions.ron") && said.contains("larger than 4 MB"), "{said}");
    assert!(said.contains("split it into several files"), "{said}");
    assert!(begun.elapsed() < Duration::from_secs(30));
}

/// At most 64 MB of rules are taken in, however many files there are.
#[test]
fn many_large_files() {
    let dir = tempfile::tempdir().unwrap();
    let comment = "/* bark */\n".repeat(350_000);
    for number in 0..20 {
        put(dir.path(), &format!("cautions/{number}.ron"), &format!("{comment}[]"));
    }
    let (code, said) = told(&run(&["rules", "check", shown(dir.path())], &[]));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("more than 64 MB"), "{said}");
}

#[cfg(unix)]
#[test]
fn a_folder_that_holds_itself() {
    let dir = tempfile::tempdir().unwrap();
    put(dir.path(), "cautions/a.ron", CAUTION);
    std::os::unix::fs::symlink(dir.path(), dir.path().join("cautions/round")).unwrap();
    std::os::unix::fs::symlink("round", dir.path().join("cautions/cautions")).unwrap();
    std::os::unix::fs::symlink("b.ron", dir.path().join("cautions/b.ron")).unwrap();
    let (code, said) = told(&run(&["rules", "check", shown(dir.path())], &[]));
    // The entry is read once; the link to itself is told of.
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("cautions/b.ron"), "{said}");
    assert!(!said.contains("twice-id"), "{said}");
    fs::remove_file(dir.path().join("cautions/b.ron")).unwrap();
    // A circle does no harm, but is told with its place and what to do.
    let (code, said) = told(&run(&["rules", "check", shown(dir.path())], &[]));
    assert_eq!(code, 1, "{said}");
    assert_eq!(said.matches("warning (folder-again)").count(), 2, "{said}");
    assert!(said.contains("cautions/round"), "{said}");
    assert!(said.contains("take the link away"), "{said}");
    assert!(said.contains("It can be used: 2 warnings."), "{said}");
}

#[test]
fn a_case_for_an_id_that_is_gone() {
    let dir = tempfile::tempdir().unwrap();
    put(
        dir.path(),
        "cases/a.ron",
        "[(id: \"a\", title: \"A\", source: Memory, answers: {},\n  expect: [Leads([\"idler-buildup\"])])]",
    );
    let before = listed(dir.path());
    for command in [
        &["rules", "check"][..],
        &["rules", "test"],
        &["rules", "coverage"],
        &["rules", "test", "--accept"],
    ] {
        let mut command = command.to_vec();
        command.insert(2, shown(dir.path()));
        let (code, said) = told(&run(&command, &[]));
        // Pages are wrapped at words.
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(code, 1, "{said}");
        assert!(said.contains("cases/a.ron:2:20"), "{said}");
        assert!(said.contains("did you mean `idler-build-up`?"), "{said}");
        assert!(said.contains("a case goes with the book"), "{said}");
    }
    assert_eq!(listed(dir.path()), before);
}

#[test]
fn a_case_file_that_is_no_list() {
    let dir = tempfile::tempdir().unwrap();
    put(
        dir.path(),
        "cases/a.ron",
        "// One case.\n(id: \"a\", title: \"A\", source: Memory, expect: [])",
    );
    for command in ["check", "test", "coverage"] {
        let (code, said) = told(&run(&["rules", command, shown(dir.path())], &[]));
        assert_eq!(code, 1, "{said}");
        assert!(said.contains("cases/a.ron:2:1"), "{said}");
        assert!(said.contains("a list of entries is expected here"), "{said}");
    }
}

#[test]
fn ten_thousand_cases() {
    let dir = tempfile::tempdir().unwrap();
    let cases: String = (0..10_000)
        .map(|n| {
            format!(
                "(id: \"c{n}\", title: \"A\", source: Memory, answers: {{\"strand\": \"return\"}}, \
                 expect: [Leads([\"gone-{n}\"])]),\n"
            )
        })
        .collect();
    put(dir.path(), "cases/a.ron", &format!("[{cases}]"));
    let begun = Instant::now();
    let output = run(&["rules", "check", shown(dir.path()), "--format", "plain"], &[]);
    let (code, said) = told(&output);
    assert_eq!(code, 1);
    // So many problems are told of and no more, and that is said.
    assert!(said.lines().count() < 2_000, "{}", said.lines().count());
    assert!(said.contains("more problems are not shown"));
    assert!(begun.elapsed() < Duration::from_secs(60), "{:?}", begun.elapsed());
}

#[test]
fn ten_thousand_good_cases_run() {
    let dir = tempfile::tempdir().unwrap();
    let cases: String = (0..10_000)
        .map(|n| {
            format!(
                "(id: \"c{n}\", title: \"A\", source: Memory, answers: {{\"first-split\": \"one-part\"}}, \
                 expect: [Never([])], todo: true),\n"
            )
        })
        .collect();
    put(
        dir.path(),
        "cases/a.ron",
        &format!("[{}]", cases.replace("Never([])", "Among(99, [\"idler-build-up\"])")),
    );
    let (code, said) = told(&run(&["rules", "test", shown(dir.path()), "--filter", "c1234"], &[]));
    assert_eq!(code, 0, "{said}");
}

#[test]
fn a_book_of_another_version() {
    for (schema, says) in [("1", "older"), ("3", "newer")] {
        let dir = tempfile::tempdir().unwrap();
        let (code, said) = told(&run(&["rules", "export", shown(&dir.path().join("book"))], &[]));
        assert_eq!(code, 0, "{said}");
        let book = dir.path().join("book");
        let path = book.join("book.ron");
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, text.replace("schema: 2,", &format!("schema: {schema},"))).unwrap();
        let line = text.lines().position(|line| line.contains("schema: 2,")).unwrap() + 1;
        everywhere(
            &book,
            &[&format!("book.ron:{line}:13"), &format!("schema {schema}"), "schema 2", says],
        );
    }
}

/// A field that only a later version knows does not hide that the version is another one.
#[test]
fn a_book_of_a_later_version_with_unknown_fields_is_named_as_such() {
    let dir = tempfile::tempdir().unwrap();
    let book = dir.path().join("book");
    run(&["rules", "export", shown(&book)], &[]);
    let path = book.join("book.ron");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("schema: 2,", "schema: 3, brand_new: (x: 1),")).unwrap();
    let (code, said) = told(&run(&["rules", "check", shown(&book)], &[]));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("error (schema)") && said.contains("newer"), "{said}");
}

#[test]
fn a_visit_of_another_version() {
    for (format, says) in [("0", "older"), ("2", "newer")] {
        let state = tempfile::tempdir().unwrap();
        let visit = super::new::kept(state.path(), &[], Vec::new());
        let path = state.path().join(format!("visits/1970/{visit:04}.ron"));
        let text = fs::read_to_string(&path).unwrap();
        // Whoever changes it by hand takes out the checksum.
        let lines: Vec<&str> = text.lines().collect();
        let text = lines[1..lines.len() - 1].join("\n");
        let text = text.replace("format: 1,", &format!("format: {format}, brand_new: 1,"));
        fs::write(&path, &text).unwrap();
        let state = shown(state.path());
        let commands: &[&[&str]] = &[
            &["visits", "show", "1", "--state", state],
            &["diagnose", "--resume", "1", "--state", state],
            &["rules", "learn", "1", "--state", state],
            &["rules", "new", "case", "/nowhere/rules", "--from", "1", "--state", state],
        ];
        for command in commands {
            let (code, said) = told(&run(command, &[]));
            assert_eq!(code, 4, "{command:?}\n{said}");
            assert!(said.contains(says) && said.contains(&format!("format {format}")), "{said}");
        }
        // The list goes on without it, and nothing is lost.
        let (code, said) = told(&run(&["visits", "--state", state], &[]));
        assert_eq!(code, 0, "{said}");
        assert!(said.contains(says), "{said}");
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
    }
}
