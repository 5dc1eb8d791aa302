//! Many visits: page by page, each once, newest first.

use std::fs;
use std::path::Path;

use super::{State, small_book};

const MANY: u32 = 95;

/// Copies of the first record, in the folders of two years, with the numbers up to [`MANY`].
fn copies(first: &Path, kind: &str) {
    let text = fs::read_to_string(first).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let text = lines[1..lines.len() - 1].join("\n");
    let other = first.parent().unwrap().with_file_name("1999");
    fs::create_dir(&other).unwrap();
    for number in 2..=MANY {
        let text = text.replacen(&format!("{kind}: 1,"), &format!("{kind}: {number},"), 1);
        let folder = if number % 2 == 0 { other.as_path() } else { first.parent().unwrap() };
        fs::write(folder.join(format!("{number:04}.ron")), text).unwrap();
    }
}

/// The numbers on all pages, and how many pages there were. Each page names the command for the next.
fn leafed(state: &State, words: &[&str], number: fn(&str) -> Option<u32>) -> (Vec<u32>, usize) {
    let mut numbers = Vec::new();
    let mut before = None;
    for page in 1.. {
        let next: Option<String> = before.take();
        let named = next.as_ref().map_or(Vec::new(), |next| vec!["--before", next.as_str()]);
        let said = state.say(&[words, &named].concat());
        assert_eq!(said.code, Some(0), "{}", said.err);
        numbers.extend(said.out.lines().filter_map(number));
        before = said
            .out
            .split("--before ")
            .nth(1)
            .and_then(|rest| rest.split(' ').next())
            .map(str::to_owned);
        if before.is_none() {
            return (numbers, page);
        }
    }
    unreachable!("pages end");
}

#[test]
fn pages_hold_every_visit_and_run_once_and_the_newest_first() {
    let state = State::new();
    copies(&state.visit(), "visit");
    copies(&state.run(), "run");
    let all: Vec<u32> = (1..=MANY).rev().collect();
    let rules = small_book();
    let visit = |line: &str| line.strip_prefix(" - Visit ")?.split(':').next()?.parse().ok();
    assert_eq!(leafed(&state, &["visits", "--rules", &rules], visit), (all.clone(), 5));
    let run = |line: &str| line.split_once("  crooked-splice: ")?.0.trim().parse().ok();
    assert_eq!(leafed(&state, &["drill", "list"], run), (all, 5));
}
