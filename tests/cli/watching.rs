//! `rules check --watch` and `rules test --watch`: again whenever a file changes, here or in a folder below, until Ctrl-C.

use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::os::unix::process::ExitStatusExt;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use serde_json::Value;

use super::program::Site;

/// So long at most a line is waited for; it comes within a second where the machine has nothing else to do.
const PATIENCE: Duration = Duration::from_secs(120);

const GOOD: &str = "(name: \"Quay\", minutes: (lock_out: 25.0))";

/// The program, watching, and its lines as they come.
struct Watching {
    child: Child,
    lines: Receiver<String>,
}

impl Watching {
    fn begin(site: &Site, args: &[&str]) -> Self {
        let mut command: Command = site.command(args);
        let mut child = command
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (to, lines) = channel();
        let out = BufReader::new(child.stdout.take().unwrap());
        std::thread::spawn(move || {
            // Whoever has seen enough hears no more.
            out.lines().map_while(Result::ok).all(|line| to.send(line).is_ok())
        });
        Self { child, lines }
    }

    /// All lines up to one that begins so.
    fn up_to(&self, begins: &str) -> Vec<String> {
        let mut all = Vec::new();
        while !all.last().is_some_and(|line: &String| line.starts_with(begins)) {
            let line = self.lines.recv_timeout(PATIENCE);
            all.push(line.unwrap_or_else(|_| panic!("no line {begins}... after {all:#?}")));
        }
        all
    }

    /// Ends it as Ctrl-C does, and gives what it said on standard error.
    fn end(mut self) -> String {
        let ended = Command::new("kill").args(["-INT", &self.child.id().to_string()]).status();
        assert!(ended.unwrap().success());
        let status = self.child.wait().unwrap();
        let mut said = String::new();
        self.child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        assert!(status.signal() == Some(2) || status.code() == Some(130), "{status}");
        said
    }
}

#[test]
fn each_change_of_a_file_is_one_more_round() {
    let site = Site::new();
    fs::create_dir(site.at("rules")).unwrap();
    fs::write(site.at("rules/site.ron"), GOOD).unwrap();
    let folder = site.path("rules");
    let watching =
        Watching::begin(&site, &["rules", "check", "--format", "plain", "--watch", &folder]);
    // One line a problem, and none without.
    assert_eq!(watching.up_to("Watching ").len(), 1);
    fs::write(site.at("rules/site.ron"), GOOD.replace("lock_out", "lokc_out")).unwrap();
    let round = watching.up_to("Watching ");
    assert_eq!(round[..2], ["", "A file has changed."], "{round:?}");
    assert!(round[2].contains("site.ron:1:26: error (unknown-field)"), "{round:?}");
    assert_eq!(round.len(), 4, "{round:?}");
    // A new file, and a file that goes.
    fs::write(site.at("rules/sources.ron"), "[").unwrap();
    assert!(watching.up_to("Watching ").iter().any(|line| line.contains("sources.ron")));
    fs::remove_file(site.at("rules/sources.ron")).unwrap();
    assert!(!watching.up_to("Watching ").iter().any(|line| line.contains("sources.ron")));
    fs::write(site.at("rules/site.ron"), GOOD).unwrap();
    assert_eq!(watching.up_to("Watching ").len(), 3);
    assert_eq!(watching.end(), "");
}

#[test]
fn a_change_in_the_folder_below_counts_too() {
    let site = Site::new();
    for (folder, text) in [("company", GOOD), ("plant", "(over: \"../company\")")] {
        fs::create_dir(site.at(folder)).unwrap();
        fs::write(site.at(folder).join("site.ron"), text).unwrap();
    }
    let folder = site.path("plant");
    let watching =
        Watching::begin(&site, &["rules", "check", "--format", "plain", "--watch", &folder]);
    watching.up_to("Watching ");
    fs::write(site.at("company/site.ron"), GOOD.replace("25.0", "-1.0")).unwrap();
    let round = watching.up_to("Watching ");
    assert!(round.iter().any(|line| line.contains("company/site.ron:1:")), "{round:?}");
    watching.end();
}

#[test]
fn of_json_each_round_is_one_document_and_the_rest_is_said_elsewhere() {
    let site = Site::new();
    fs::create_dir(site.at("rules")).unwrap();
    fs::write(site.at("rules/site.ron"), GOOD).unwrap();
    let folder = site.path("rules");
    let watching =
        Watching::begin(&site, &["rules", "check", "--format", "json", "--watch", &folder]);
    let document = || -> Value { serde_json::from_str(&watching.up_to("}").join("\n")).unwrap() };
    assert_eq!(document()["errors"], 0);
    fs::write(site.at("rules/site.ron"), GOOD.replace("25.0", "-1.0")).unwrap();
    assert_eq!(document()["errors"], 1);
    let said = watching.end();
    assert!(said.contains("A file has changed.") && said.contains("Watching "), "{said}");
}
