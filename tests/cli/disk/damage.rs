//! Every cut and every flipped bit of what is kept is told, and the file stays.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use straybelt::drill::record;
use straybelt::visit::store;

use super::State;
use crate::support::{Random, long};

/// Flips tried of each kind of file; every one in the long run.
const FLIPS: usize = 5_000;

/// What a file holds, or why it is refused.
type Look = fn(&Path) -> Result<String, String>;

/// Two of a kind are the same if they are written the same.
fn written<T: serde::Serialize>(kept: T) -> String {
    ron::to_string(&kept).expect("it can be written")
}

fn visit(state: &Path) -> Result<String, String> {
    let seen = store::VisitStore::at(state).look(1);
    seen.map(written).map_err(|error| error.to_string())
}

fn run(state: &Path) -> Result<String, String> {
    let seen = record::Store::at(state).look(1);
    seen.map(written).map_err(|error| error.to_string())
}

/// Each kind of file there is.
fn kinds(state: &State) -> [(PathBuf, Look); 2] {
    [(state.visit(), visit), (state.run(), run)]
}

fn flipped(whole: &[u8], bit: usize) -> Vec<u8> {
    let mut bytes = whole.to_vec();
    bytes[bit / 8] ^= 1 << (bit % 8);
    bytes
}

/// Writes a file in place: some file systems wait for the disk whenever one is emptied and written again.
fn put(path: &Path, bytes: &[u8]) {
    let mut file = fs::OpenOptions::new().write(true).open(path).unwrap();
    file.write_all(bytes).unwrap();
    file.set_len(bytes.len() as u64).unwrap();
}

#[test]
fn every_cut_and_flip_is_refused_in_words_and_kept() {
    let state = State::new();
    let mut random = Random(0x5eed);
    for (path, look) in kinds(&state) {
        let whole = fs::read(&path).unwrap();
        look(state.path()).expect("whole it is read");
        let bits = whole.len() * 8;
        let every = long() || bits <= FLIPS;
        let flips: Vec<usize> = match every {
            true => (0..bits).collect(),
            false => (0..FLIPS).map(|_| random.below(bits as u64) as usize).collect(),
        };
        let flips = flips.into_iter().map(|bit| (format!("bit {bit}"), flipped(&whole, bit)));
        let cuts = (0..whole.len()).map(|end| (format!("cut at {end}"), whole[..end].to_vec()));
        for (what, bytes) in flips.chain(cuts) {
            put(&path, &bytes);
            let why = look(state.path()).err();
            let why = why.unwrap_or_else(|| panic!("{what} of {} is accepted", path.display()));
            assert!(why.contains(&path.display().to_string()), "{what}: {why}");
            assert!(!why.chars().any(|c| c.is_control() && c != '\n'), "{what}: {why}");
            assert!(fs::read(&path).unwrap() == bytes, "{what}: the file was changed");
        }
    }
}

#[test]
fn files_of_before_there_were_checksums_still_open() {
    let state = State::new();
    for (path, look) in kinds(&state) {
        let told = look(state.path()).unwrap();
        let text = fs::read_to_string(&path).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        fs::write(&path, lines[1..lines.len() - 1].join("\n") + "\n").unwrap();
        assert_eq!(look(state.path()), Ok(told), "{}", path.display());
    }
}

#[test]
fn each_command_tells_of_damage_and_only_who_opens_it_to_write_sets_it_aside() {
    let state = State::new();
    let mut random = Random(0xbad);
    let looks: [(PathBuf, &[&[&str]]); 2] = [
        (state.visit(), &[&["visits", "show", "1"], &["rules", "learn", "1"], &["visits"]]),
        (state.run(), &[&["drill", "again", "1"], &["drill", "debrief", "1"], &["drill", "list"]]),
    ];
    for (path, commands) in looks {
        let whole = fs::read(&path).unwrap();
        for words in commands {
            let bytes = flipped(&whole, random.below(whole.len() as u64 * 8) as usize);
            fs::write(&path, &bytes).unwrap();
            let said = state.say(words);
            let told = format!("{}{}", said.out, said.err);
            assert!(told.contains("cannot be understood"), "{words:?}: {told}");
            assert!(!told.contains("panicked"), "{words:?}: {told}");
            let listing = words.last() != Some(&"1");
            assert_eq!(said.code, Some(if listing { 0 } else { 4 }), "{words:?}: {told}");
            assert!(fs::read(&path).unwrap() == bytes, "{words:?} changes the file");
        }
    }
    let path = state.visit();
    let spoilt = fs::read(&path).unwrap();
    let older = path.with_extension("ron.bad");
    fs::write(&older, "set aside before").unwrap();
    let said = state.say(&["diagnose", "--plain", "--resume", "1"]);
    assert_eq!(said.code, Some(4), "{}", said.err);
    assert!(said.err.contains("0001.ron.bad2; mend it"), "{}", said.err);
    assert_eq!(fs::read_to_string(&older).unwrap(), "set aside before");
    assert!(fs::read(path.with_extension("ron.bad2")).unwrap() == spoilt);
}
