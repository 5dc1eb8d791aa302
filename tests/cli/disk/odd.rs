//! Pipes, sockets, links and devices in the state folder: no command waits for them or follows them, each that needs
//! one tells of it.

use std::fs;
use std::os::unix::fs::symlink;
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::{Said, State, find, small_book, typed_in};

/// What something is called that is no plain file, and what makes one.
type Maker = (&'static str, fn(&Path));

const MAKERS: [Maker; 5] = [
    ("a pipe", |path| made("mkfifo", &[path.as_os_str()])),
    ("a socket", |path| drop(UnixListener::bind(path).unwrap())),
    ("a link", |path| symlink("0001.ron", path).unwrap()),
    ("a link", |path| symlink("/dev/zero", path).unwrap()),
    ("a folder", |path| fs::create_dir(path).unwrap()),
];

fn made(program: &str, arguments: &[&std::ffi::OsStr]) {
    assert!(Command::new(program).args(arguments).status().unwrap().success());
}

fn clear(path: &Path) {
    let _ = fs::remove_file(path).or_else(|_| fs::remove_dir(path));
}

fn whole(said: &Said) -> String {
    format!("{}{}", said.out, said.err)
}

#[test]
fn in_the_place_of_a_record_they_are_told_and_passed_by() {
    let state = State::new();
    let rules = small_book();
    let beside = |file: PathBuf| file.with_file_name("0002.ron");
    let (visit, run) = (beside(state.visit()), beside(state.run()));
    let site = tempfile::tempdir().unwrap();
    let site = site.path().join("site").display().to_string();
    let mut makers = MAKERS.to_vec();
    // Only who may do all can make one.
    let device = state.path().join("zero");
    if Command::new("mknod").arg(&device).args(["c", "1", "5"]).status().is_ok_and(|s| s.success())
    {
        fs::remove_file(&device).unwrap();
        makers.push(("a device", |path| {
            made("mknod", &[path.as_os_str(), "c".as_ref(), "1".as_ref(), "5".as_ref()]);
        }));
    }
    let target = fs::read(state.visit()).unwrap();
    for (what, make) in makers {
        for path in [&visit, &run] {
            make(path);
        }
        let told: [(&[&str], i32); 8] = [
            (&["visits", "--rules", &rules], 0),
            (&["visits", "show", "2"], 4),
            (&["diagnose", "--plain", "--resume", "2"], 4),
            (&["rules", "learn", "2"], 4),
            (&["rules", "new", "case", &site, "--from", "2"], 4),
            (&["drill", "list"], 0),
            (&["drill", "again", "2"], 4),
            (&["drill", "debrief", "2"], 4),
        ];
        for (words, code) in told {
            let said = state.say(words);
            assert!(
                whole(&said).contains(&format!("0002.ron is {what}")),
                "{words:?}: {}",
                whole(&said)
            );
            assert_eq!(said.code, Some(code), "{words:?}: {}", whole(&said));
        }
        // Whoever begins, or goes on with another, is not held up.
        for words in [&["diagnose", "--plain"][..], &["diagnose", "--plain", "--resume"]] {
            let said = state.say(words);
            assert_eq!(said.code, Some(0), "{what} {words:?}: {}", whole(&said));
        }
        for path in [&visit, &run] {
            clear(path);
        }
        assert!(fs::read(state.visit()).unwrap() == target, "{what}");
    }
}

#[test]
fn in_any_other_place_they_hold_nobody_up_and_nothing_is_written_through_them() {
    let victim = tempfile::NamedTempFile::new().unwrap();
    fs::write(victim.path(), "precious").unwrap();
    let rules = small_book();
    for (what, make) in MAKERS {
        let state = State::new();
        let year = state.visit().parent().unwrap().to_owned();
        let planted = |name: &str| {
            let path = year.join(name);
            clear(&path);
            match what {
                "a link" => symlink(victim.path(), &path).unwrap(),
                _ => make(&path),
            }
        };
        // As the first versions wrote beside a record, with and without a lock on it.
        planted("0001.ron.new");
        let shown = state.shown();
        let words = ["diagnose", "--plain", "--rules", &rules, "--state", &shown, "--resume", "1"];
        let said = typed_in(Path::new("."), "true", &words, "1\n1\ns\n");
        assert_eq!(said.code, Some(0), "{what}: {}", whole(&said));
        // In the place of a lock.
        planted("0001.lock");
        let said = state.say(&["diagnose", "--plain", "--resume", "1"]);
        assert_eq!(said.code, Some(4), "{what}: {}", whole(&said));
        assert!(said.err.contains("0001.lock"), "{what}: {}", said.err);
        // In the place of what keeps numbers apart.
        for (place, words) in [
            ("visits/numbers.lock", &["diagnose", "--plain", "--rules", &rules][..]),
            ("runs/numbers.lock", &["drill", "run", "crooked-splice", "--plain"]),
        ] {
            let path = state.path().join(place);
            fs::remove_file(&path).unwrap();
            make(&path);
            let all = [words, &["--state", &shown]].concat();
            let said = typed_in(Path::new("."), "true", &all, "1\n1\nno\n");
            assert_eq!(said.code, Some(4), "{what}: {}", whole(&said));
            assert!(whole(&said).contains("numbers.lock"), "{what}: {}", whole(&said));
        }
        assert_eq!(fs::read_to_string(victim.path()).unwrap(), "precious", "{what}");
    }
}

#[test]
fn a_relative_folder_in_the_environment_is_passed_over() {
    let (home, here) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let set = format!(
        "export XDG_STATE_HOME=somewhere HOME='{}'; unset STRAYBELT_STATE",
        home.path().display()
    );
    let said = typed_in(here.path(), &set, &["diagnose", "--plain"], "1\n1\nno\n");
    assert!(find(home.path(), "numbers.lock").len() == 1, "{}", whole(&said));
    assert_eq!(fs::read_dir(here.path()).unwrap().count(), 0);
}
