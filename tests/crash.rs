//! A hundred kills at random moments lose no answer that was acknowledged.
//!
//! A reply is acknowledged by the next question: whoever saw that one can rely on the reply before it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that cannot go on fails loudly"
)]
#![cfg(unix)]

use std::collections::BTreeSet;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// One reply to each question before the book's own, "can't tell" and skips among them. Each is one event,
/// but for the first: that the safety page was read is not kept.
const REPLIES: [&str; 15] = [
    "1", "OQ-04", "1", "1", "2", "c", "1", "walkway", "wall", "n", "no", "1", "1", "3", "s",
];
const KILLS: u64 = 100;

#[test]
fn no_acknowledged_answer_is_lost() {
    let mut random = Random(0x5eed);
    let mut moments = BTreeSet::new();
    for kill in 1..=KILLS {
        let state = tempfile::tempdir().expect("a folder");
        let questions = 2 + random.below(REPLIES.len() as u64 - 2);
        let seen = run_and_kill(state.path(), questions, random.below(4000));
        // The first question needs no reply, and that the safety page was read is not kept.
        let acknowledged = seen.saturating_sub(2);
        let text = the_visit(state.path());
        let saved = text.matches("(at:").count() as u64;
        assert!(
            saved >= acknowledged,
            "kill {kill}: saw {seen} questions, found {saved} replies in\n{text}"
        );
        if acknowledged > 0 {
            let listed = visits(state.path());
            assert!(listed.contains("Visit 1: OQ-04"), "kill {kill}: {listed}");
        }
        moments.insert(seen);
    }
    assert!(
        moments.len() > 5,
        "the kills came at different moments: {moments:?}"
    );
}

/// Types everything at once, waits for so many questions and a moment more, kills without warning, and says
/// how many questions were seen by then.
fn run_and_kill(state: &Path, questions: u64, microseconds: u64) -> u64 {
    let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["diagnose", "--state"])
        .arg(state)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut input = child.stdin.take().expect("its input");
    let mut output = child.stdout.take().expect("its output");
    let _ = input.write_all((REPLIES.join("\n") + "\n").as_bytes());
    let mut text = Vec::new();
    let mut piece = [0; 512];
    while count(&text) < questions {
        match output.read(&mut piece) {
            Ok(0) | Err(_) => break,
            Ok(n) => text.extend(&piece[..n]),
        }
    }
    std::thread::sleep(Duration::from_micros(microseconds));
    child.kill().expect("killed");
    child.wait().expect("gone");
    let _ = output.read_to_end(&mut text);
    count(&text)
}

fn count(text: &[u8]) -> u64 {
    let text = String::from_utf8_lossy(text);
    ["or a letter: ", "Name: ", "Side: "]
        .iter()
        .map(|prompt| text.matches(prompt).count() as u64)
        .sum()
}

/// What `visits` says, which reads the file as the program does.
fn visits(state: &Path) -> String {
    let listed = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["visits", "--state"])
        .arg(state)
        .output();
    let listed = listed.expect("it runs");
    assert!(listed.status.success());
    String::from_utf8_lossy(&listed.stdout).into_owned() + &String::from_utf8_lossy(&listed.stderr)
}

fn the_visit(state: &Path) -> String {
    let years = std::fs::read_dir(state.join("visits"))
        .into_iter()
        .flatten()
        .flatten();
    let texts =
        years.map(|year| std::fs::read_to_string(year.path().join("0001.ron")).unwrap_or_default());
    texts.collect()
}

/// A small generator, so that a failure can be had again.
struct Random(u64);

impl Random {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}
