//! Documents in files: never over anything that was not meant, whole or not at all, and through nothing.

use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::process::Command;

use super::{Said, State, names, say_in};

/// The commands that write a document.
const WRITERS: [&[&str]; 4] = [
    &["rules", "print", "--whole", "--format", "text"],
    &["rules", "graph", "--around", "old-trims", "--format", "svg"],
    &["rules", "schema", "causes"],
    &["drill", "debrief", "1", "--format", "html"],
];

/// A state folder with a run, and what a command writes into a folder.
struct Writing {
    state: State,
    folder: tempfile::TempDir,
}

impl Writing {
    fn new() -> Self {
        Self { state: State::new(), folder: tempfile::tempdir().unwrap() }
    }

    fn say(&self, umask: &str, words: &[&str], more: &[&str]) -> Said {
        let shown = self.state.shown();
        let named: &[&str] = if words[0] == "drill" { &["--state", &shown] } else { &[] };
        say_in(self.folder.path(), umask, &[words, more, named].concat())
    }

    fn mode(&self, name: &str) -> u32 {
        fs::metadata(self.folder.path().join(name)).unwrap().permissions().mode() & 0o777
    }
}

#[test]
fn a_document_is_written_once_and_again_only_by_force() {
    let writing = Writing::new();
    let path = |name: &str| writing.folder.path().join(name);
    for (words, name) in WRITERS.into_iter().zip(["a", "b", "c", "d"]) {
        // What an earlier version wrote through, and another file of that name.
        let victim = format!("victim-{name}");
        fs::write(path(&victim), "precious").unwrap();
        symlink(&victim, path(&format!("{name}.part"))).unwrap();
        let said = writing.say("umask 027", words, &["-o", name]);
        assert_eq!(said.code, Some(0), "{}", said.err);
        assert_eq!(writing.mode(name), 0o640);
        let first = fs::read_to_string(path(name)).unwrap();

        fs::write(path(name), "mine").unwrap();
        fs::set_permissions(path(name), fs::Permissions::from_mode(0o604)).unwrap();
        let said = writing.say("umask 000", words, &["-o", name]);
        assert_eq!(said.code, Some(2));
        assert!(said.err.contains("is there already and is left as it is"), "{}", said.err);
        assert!(said.err.contains("--force"), "{}", said.err);
        assert_eq!(fs::read_to_string(path(name)).unwrap(), "mine");

        let said = writing.say("umask 000", words, &["-o", name, "--force"]);
        assert_eq!(said.code, Some(0), "{}", said.err);
        assert!(fs::read_to_string(path(name)).unwrap() == first);
        assert_eq!(writing.mode(name), 0o604, "the rights of the file that was there");
        assert_eq!(fs::read_to_string(path(&victim)).unwrap(), "precious");
    }
    assert_eq!(
        names(writing.folder.path()),
        [
            "a", "a.part", "b", "b.part", "c", "c.part", "d", "d.part", "victim-a", "victim-b",
            "victim-c", "victim-d"
        ]
    );
}

#[test]
fn only_plain_files_are_replaced_with_force_too() {
    let writing = Writing::new();
    let path = |name: &str| writing.folder.path().join(name);
    fs::write(path("target"), "precious").unwrap();
    symlink("target", path("link")).unwrap();
    symlink("nowhere", path("dangling")).unwrap();
    fs::create_dir(path("folder")).unwrap();
    assert!(Command::new("mkfifo").arg(path("pipe")).status().unwrap().success());
    let before = names(writing.folder.path());
    let odd = [
        ("link", "a link"),
        ("dangling", "a link"),
        ("folder", "a folder"),
        ("pipe", "a pipe"),
        ("/dev/null", "a device"),
    ];
    for words in WRITERS {
        for (name, what) in odd {
            for force in [&["-o", name][..], &["-o", name, "--force"]] {
                let said = writing.say("true", words, force);
                assert_eq!(said.code, Some(2), "{name}: {}", said.err);
                assert!(said.err.contains(&format!("it is {what}, no plain file")), "{}", said.err);
            }
        }
        let said = writing.say("true", words, &["-o", "missing/file"]);
        assert!(said.err.contains("a folder that exists"), "{}", said.err);
    }
    assert_eq!(names(writing.folder.path()), before);
    assert_eq!(fs::read_to_string(path("target")).unwrap(), "precious");
    assert!(
        fs::symlink_metadata("/dev/null").unwrap().file_type()
            != fs::metadata(path("target")).unwrap().file_type()
    );
}
