//! Hostile text in every place that can hold some: arguments, the environment, replies, file names, cells, and
//! every text of every kind of file. Whatever the program writes, nothing in it steers a terminal.
//! `STRAYBELT_LONG=1` puts it into every text there is instead of every so many.

use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use clap::CommandFactory;
use straybelt::cli::Cli;

use crate::support::files::{quick_folder, root};
use crate::support::long;

/// Clears a screen, hides text, names a window, turns lines round, goes back to their beginning.
const HOSTILE: &str = "\u{1b}[2J\u{1b}[8m\u{1b}[1m\u{1b}]0;x\u{7}\u{9b}31m\u{202e}\u{2066}\u{61c}\u{200f}\u{8}\u{7f}\r\tevil";

/// The inks of our own pages, where colour is asked for.
const INKS: [&str; 5] = ["\u{1b}[1m", "\u{1b}[1;31m", "\u{1b}[32m", "\u{1b}[2m", "\u{1b}[0m"];
/// Those of the command line's own errors and help.
const USAGE_INKS: [&str; 3] = ["\u{1b}[4m", "\u{1b}[31m", "\u{1b}[33m"];

fn steers(c: char) -> bool {
    let c = u32::from(c);
    (c < 0x20 && c != 0x0a)
        || (0x7f..0xa0).contains(&c)
        || [0x61c, 0x200e, 0x200f].contains(&c)
        || (0x202a..=0x202e).contains(&c)
        || (0x2066..=0x2069).contains(&c)
}

/// Fails if there is anything in it that steers.
fn sound(bytes: &[u8], what: &str) {
    let text = std::str::from_utf8(bytes).unwrap_or_else(|e| panic!("{what}: {e}: {bytes:?}"));
    if let Some((at, c)) = text.char_indices().find(|(_, c)| steers(*c)) {
        let near: String = text[..at].chars().rev().take(60).collect();
        let near: String = near.chars().rev().collect();
        panic!("{what}: {c:?} after {near:?}");
    }
}

/// A place to be hostile in, and how many times the program was run there.
struct Walk {
    folder: tempfile::TempDir,
    runs: usize,
}

impl Walk {
    fn new() -> Self {
        Self { folder: quick_folder(), runs: 0 }
    }

    fn path(&self, inside: &str) -> PathBuf {
        self.folder.path().join(inside)
    }

    fn file(&self, inside: &str, text: &str) -> String {
        let path = self.path(inside);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, text).unwrap();
        path.display().to_string()
    }

    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
        command.current_dir(self.folder.path()).args(words);
        command.env_clear().env("STRAYBELT_STATE", self.path("state"));
        command
    }

    /// Runs the program with these replies and looks at what it writes.
    fn run(&mut self, words: &[&str], replies: &str) -> String {
        let command = self.command(words);
        self.go(command, replies, &format!("{words:?}"))
    }

    fn go(&mut self, mut command: Command, replies: &str, what: &str) -> String {
        self.runs += 1;
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let mut input = child.stdin.take().unwrap();
        let replies = replies.to_owned();
        // It may end before it has read them all.
        let typing = std::thread::spawn(move || drop(input.write_all(replies.as_bytes())));
        let ended = child.wait_with_output().unwrap();
        typing.join().unwrap();
        assert!(ended.status.code().is_some(), "{what}: {ended:?}");
        assert_ne!(ended.status.code(), Some(101), "{what}: {ended:?}");
        sound(&ended.stdout, what);
        sound(&ended.stderr, what);
        String::from_utf8(ended.stdout).unwrap() + &String::from_utf8(ended.stderr).unwrap()
    }

    /// Every file that was written below the folder.
    fn look_at_files(&self, inside: &str) {
        let mut open = vec![self.path(inside)];
        while let Some(dir) = open.pop() {
            for entry in fs::read_dir(&dir).into_iter().flatten() {
                let path = entry.unwrap().path();
                match path.is_dir() {
                    true => open.push(path),
                    false => sound(&fs::read(&path).unwrap(), &path.display().to_string()),
                }
            }
        }
    }
}

/// By default every so many of a row are tried; the long run tries all.
fn every(usual: usize) -> usize {
    if long() { 1 } else { usual }
}

/// The commands that do something, and what may follow each: how many words, and its options with a value.
fn leaves() -> Vec<(Vec<String>, Vec<String>)> {
    let mut cli = Cli::command();
    cli.build();
    let mut open = vec![(Vec::new(), cli)];
    let mut leaves = Vec::new();
    while let Some((words, command)) = open.pop() {
        for inside in command.get_subcommands().filter(|c| c.get_name() != "help") {
            let words = [words.as_slice(), &[inside.get_name().to_owned()]].concat();
            open.push((words, inside.clone()));
        }
        if !command.has_subcommands() {
            let options = command.get_arguments().filter(|arg| arg.get_action().takes_values());
            let options = options.filter_map(|arg| Some(format!("--{}", arg.get_long()?)));
            leaves.push((words, options.collect()));
        }
    }
    leaves.sort();
    leaves
}

#[test]
fn in_the_arguments_of_every_command() {
    let mut walk = Walk::new();
    let leaves = leaves();
    assert!(leaves.len() > 30, "{leaves:?}");
    let step = every(5);
    for (nth, (words, options)) in leaves.iter().enumerate() {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        for color in ["never", "always"] {
            let look = |walk: &mut Walk, more: &[&str]| {
                let words = [words.as_slice(), more, &["--color", color]].concat();
                // What one command wrote there is nothing for the next to read.
                let _ = fs::remove_dir_all(walk.path(HOSTILE));
                let command = walk.command(&words);
                painted(walk, command, &format!("{words:?}"));
            };
            if color == "always" && nth % step != 0 {
                continue;
            }
            look(&mut walk, &[HOSTILE]);
            look(&mut walk, &[HOSTILE, HOSTILE]);
            look(&mut walk, &[&format!("--{HOSTILE}")]);
            for (at, option) in options.iter().enumerate() {
                if (nth + at) % step == 0 && option != "--color" {
                    look(&mut walk, &[option, HOSTILE]);
                    look(&mut walk, &["x", option, HOSTILE]);
                }
            }
        }
    }
    assert!(walk.runs > 100, "{}", walk.runs);
}

/// Runs it with nothing to read and looks at what is left when our own inks are taken out.
fn painted(walk: &mut Walk, mut command: Command, what: &str) {
    walk.runs += 1;
    let ended = command.stdin(Stdio::null()).output().unwrap();
    assert_ne!(ended.status.code(), Some(101), "{what}: {ended:?}");
    for stream in [ended.stdout, ended.stderr] {
        let mut text = String::from_utf8(stream).unwrap();
        if what.contains("always") {
            // Before a command line is understood nothing is known of --color.
            assert!(!text.contains("\u{1b}[8m") && !text.contains("\u{1b}[2J"), "{what}: {text:?}");
            for ink in INKS.iter().chain(&USAGE_INKS) {
                text = text.replace(ink, "");
            }
        }
        sound(text.as_bytes(), what);
    }
}

#[test]
fn in_the_environment() {
    let mut walk = Walk::new();
    let commands: [&[&str]; 5] =
        [&["visits"], &["drill", "list"], &["diagnose", "--plain"], &["gauge", "sag"], &["--help"]];
    for variable in
        ["STRAYBELT_STATE", "XDG_STATE_HOME", "HOME", "COLUMNS", "TERM", "NO_COLOR", "LANG", "USER"]
    {
        for words in commands {
            let mut command = walk.command(words);
            if variable != "STRAYBELT_STATE" {
                command.env_remove("STRAYBELT_STATE");
            }
            if variable != "HOME" {
                command.env("HOME", walk.folder.path());
            }
            command.env(variable, HOSTILE);
            walk.go(command, "1\n1\n", &format!("{variable} {words:?}"));
        }
    }
}

#[test]
fn in_what_is_typed() {
    let mut walk = Walk::new();
    let mut replies = String::new();
    for round in 0..60 {
        replies.push_str(&format!("{HOSTILE} {round}\n1\n"));
    }
    let only = format!("{HOSTILE}\n").repeat(40);
    let talks: [&[&str]; 14] = [
        &["diagnose", "--plain"],
        &["diagnose", "--plain", "--menu"],
        &["drill", "run", "--plain"],
        &["drill", "run", "--plain", "crooked-splice"],
        &["drill", "new", "drills-made", "--plain"],
        &["conveyor", "new", "made.ron"],
        &["rules", "new", "symptom", "made", "--plain"],
        &["rules", "new", "cause", "made", "--plain"],
        &["rules", "new", "fix", "made", "--plain"],
        &["rules", "new", "caution", "made", "--plain"],
        &["rules", "new", "case", "made", "--plain"],
        &["rules", "new", "site", "made", "--plain"],
        &["gauge", "sag", "--plain"],
        &["gauge", "frame", "--plain"],
    ];
    for words in talks {
        walk.run(words, &replies);
        walk.run(words, &only);
    }
    // Answers on standard input, and whatever came to be kept.
    walk.run(&["diagnose", "--answers", "-"], HOSTILE);
    walk.run(&["visits"], "");
    walk.run(&["visits", "show", "1"], "");
    walk.run(&["drill", "list"], "");
    walk.look_at_files("made");
    walk.look_at_files("state");
}

/// The places of the texts in double quotes.
fn texts(file: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut open = None;
    let mut after = false;
    for (at, c) in file.char_indices() {
        match (c, open) {
            _ if after => after = false,
            ('\\', Some(_)) => after = true,
            ('"', None) => open = Some(at + 1),
            ('"', Some(from)) => {
                found.push((from, at));
                open = None;
            }
            _ => {}
        }
    }
    found
}

/// The file with hostile text in place of this text of it, raw and as escapes.
fn spoilt(file: &str, (from, to): (usize, usize)) -> [String; 2] {
    let escapes: String = HOSTILE.chars().map(|c| format!("\\u{{{:x}}}", u32::from(c))).collect();
    [HOSTILE.to_owned(), escapes].map(|text| format!("{}{text}{}", &file[..from], &file[to..]))
}

/// Every so many of these, from a start of its own for each file.
fn some(file: &str, usual: usize) -> Vec<(usize, usize)> {
    let step = every(usual);
    let texts = texts(file);
    texts.into_iter().skip(file.len() % step).step_by(step).collect()
}

#[test]
fn in_a_kept_visit() {
    let seed = fs::read_to_string(root("tests/fuzz/seeds/visit.ron")).unwrap();
    let rules = root("examples/small-book").display().to_string();
    let mut walk = Walk::new();
    let mut read = 0;
    for place in some(&seed, 6) {
        for text in spoilt(&seed, place) {
            let open = text.replace("state: Over(True)", "state: Open");
            let open = open
                .replace("        (at: \"2026-03-04T12:40:01Z\", what: Ended(how: True)),\n", "");
            for text in [text, open] {
                walk.file("state/visits/2026/0001.ron", &text);
                walk.run(&["visits"], "");
                let shown = walk.run(&["visits", "show", "1", "--rules", &rules], "");
                read += usize::from(shown.contains("--- "));
                walk.run(&["diagnose", "--resume", "1", "--plain", "--rules", &rules], "m\nf\n");
                walk.run(&["rules", "learn", "--all", "--rules", &rules], "");
                let json = ["rules", "learn", "1", "--format", "json", "--rules", &rules];
                walk.run(&json, "");
                fs::remove_dir_all(walk.path("state")).unwrap();
            }
        }
    }
    // Most of them are read: otherwise nothing was tried.
    assert!(read * 3 > walk.runs / 5, "{read} of {} were read", walk.runs / 5);
}

#[test]
fn in_a_kept_run() {
    let seed = fs::read_to_string(root("tests/fuzz/seeds/run.ron")).unwrap();
    let mut walk = Walk::new();
    for place in some(&seed, 5) {
        for text in spoilt(&seed, place) {
            walk.file("state/runs/2026/0001.ron", &text);
            walk.run(&["drill", "list"], "");
            walk.run(&["drill", "again", "1", "--plain"], "");
            for format in ["text", "json", "html"] {
                walk.run(&["drill", "debrief", "1", "--format", format], "");
            }
            fs::remove_dir_all(walk.path("state")).unwrap();
        }
    }
}

#[test]
fn in_a_document_it_reads_back_as_it_was() {
    let seed = fs::read_to_string(root("tests/fuzz/seeds/run.ron")).unwrap();
    let who = seed.find("who: Some(\"").unwrap() + "who: Some(\"".len();
    let [_, text] = spoilt(&seed, (who, who + seed[who..].find('"').unwrap()));
    let mut walk = Walk::new();
    walk.file("state/runs/2026/0001.ron", &text);
    for runs in [&["1"] as &[&str], &["1", "1"]] {
        let words = [&["drill", "debrief", "--format", "json"], runs].concat();
        let shown = walk.run(&words, "");
        let document: serde_json::Value = serde_json::from_str(&shown).unwrap();
        assert_eq!(document["who"], HOSTILE, "{shown}");
    }
    for format in ["text", "json", "html"] {
        fs::create_dir_all(walk.path("out")).unwrap();
        walk.run(
            &["drill", "debrief", "1", "--format", format, "-o", &format!("out/{format}")],
            "",
        );
    }
    walk.look_at_files("out");
    assert_eq!(fs::read_dir(walk.path("out")).unwrap().count(), 3);
}

#[test]
fn in_conveyors_answers_and_tables() {
    let mut walk = Walk::new();
    let site = root("examples/ostrel-quay");
    for (folder, words) in [
        ("conveyors", &["conveyor", "check"] as &[&str]),
        ("conveyors", &["conveyor", "show"]),
        ("conveyors", &["conveyor", "show", "--format", "json"]),
        ("conveyors", &["diagnose", "--plain", "--conveyor"]),
        ("answers", &["diagnose", "--answers"]),
        ("answers", &["diagnose", "--format", "json", "--answers"]),
    ] {
        for entry in fs::read_dir(site.join(folder)).unwrap().take(every(3).max(1) * 3) {
            let entry = entry.unwrap();
            let file = fs::read_to_string(entry.path()).unwrap();
            // Texts, and what stands without quotes: keys and words.
            let first = file.find(|c: char| c.is_ascii_alphabetic()).unwrap();
            for place in some(&file, 9).into_iter().chain([(first, first + 2)]) {
                for text in spoilt(&file, place) {
                    let name = format!("{HOSTILE}{}", entry.file_name().to_string_lossy());
                    let path = walk.file(&name, &text);
                    walk.run(&[words, &[&path]].concat(), "1\n");
                }
            }
        }
    }
    let table = fs::read_to_string(site.join("readings/oq-04-frame.csv")).unwrap();
    for spoilt in [
        table.replacen("gap", HOSTILE, 1),
        table.replacen("mm", HOSTILE, 1),
        table.replacen("50", HOSTILE, 1),
        table.replacen("50", &format!("\"{HOSTILE}\""), 1),
        table.replacen("50", &format!("50,{HOSTILE}"), 1),
        format!("{table}\n{HOSTILE},{HOSTILE}\n"),
        HOSTILE.to_owned(),
    ] {
        let path = walk.file(&format!("{HOSTILE}.csv"), &spoilt);
        for format in ["text", "json"] {
            walk.run(&["gauge", "frame", "--table", &path, "--format", format], "");
        }
    }
}

#[test]
fn in_the_rules_of_a_site_and_of_a_whole_book() {
    let mut walk = Walk::new();
    for (which, usual) in [("examples/ostrel-quay/rules", 12), ("examples/small-book", 17)] {
        let mut files = Vec::new();
        let mut open = vec![root(which)];
        while let Some(dir) = open.pop() {
            for entry in fs::read_dir(dir).unwrap() {
                let path = entry.unwrap().path();
                match path.is_dir() {
                    true => open.push(path),
                    false => files.push((
                        path.strip_prefix(root(which)).unwrap().display().to_string(),
                        fs::read_to_string(&path).unwrap(),
                    )),
                }
            }
        }
        files.sort();
        let book = format!("{HOSTILE}-book");
        for (spoilt_file, text) in &files {
            for place in some(text, usual) {
                for spoilt in spoilt(text, place) {
                    for (name, text) in &files {
                        let text = if name == spoilt_file { &spoilt } else { text };
                        walk.file(&format!("{book}/{name}"), text);
                    }
                    let dir = walk.path(&book).display().to_string();
                    for format in ["human", "plain", "json"] {
                        walk.run(&["rules", "check", &dir, "--format", format], "");
                    }
                    fs::remove_dir_all(walk.path(&book)).unwrap();
                }
            }
        }
        // Sound rules in a folder of a hostile name, with a file of one.
        for (name, text) in &files {
            walk.file(&format!("{book}/{name}"), text);
        }
        walk.file(&format!("{book}/{HOSTILE}.ron"), "[]");
        let dir = walk.path(&book).display().to_string();
        for words in [
            &["rules", "check", &dir] as &[&str],
            &["rules", "test", &dir],
            &["rules", "test", &dir, "--format", "json"],
            &["rules", "coverage", &dir],
            &["rules", "show", "nothing", "--rules", &dir],
            &["rules", "print", "--rules", &dir],
            &["rules", "graph", "--rules", &dir],
            &["rules", "compare", &dir, &dir, "--visits", "1"],
            &["diagnose", "--plain", "--rules", &dir],
            &["drill", "list", "--rules", &dir],
        ] {
            walk.run(words, "1\ns\n");
        }
    }
}
