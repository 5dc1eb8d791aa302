//! A drill run at the program itself: to its end, killed midway, gone on with, shown again, and what is refused.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use crate::support::pages::same_words;
use crate::support::sitting::Sitting;

/// A folder with a site's own drill in it, and a place for runs.
struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let drills = folder.path().join("site/drills");
        fs::create_dir_all(&drills).unwrap();
        let example =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rules/authoring/examples/drill.ron");
        fs::copy(example, drills.join("own.ron")).unwrap();
        Self { folder }
    }

    fn path(&self, inside: &str) -> String {
        self.folder.path().join(inside).display().to_string()
    }

    fn drill(&self) -> PathBuf {
        self.folder.path().join("site/drills/own.ron")
    }

    fn sit(&self, columns: usize, words: &[&str]) -> Sitting {
        let (site, kept) = (self.path("site"), self.path("kept"));
        let named = ["--rules", &site, "--state", &kept];
        let arguments: Vec<&str> = ["drill"].iter().chain(words).chain(&named).copied().collect();
        Sitting::begin(columns, &arguments)
    }

    fn say(&self, words: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
        command.arg("drill").args(words).env("COLUMNS", "200");
        command.args(["--rules", &self.path("site"), "--state", &self.path("kept")]);
        command.output().unwrap()
    }

    fn run_file(&self, run: u32) -> PathBuf {
        let runs = self.folder.path().join("kept/runs");
        let year = fs::read_dir(runs).unwrap().next().unwrap().unwrap().path();
        year.join(format!("{run:04}.ron"))
    }
}

const RUN: [&str; 4] = ["run", "wet-bark-on-a-roll", "--plain", "--who=Ida"];

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Past the pages that come first.
fn read_on(sitting: &mut Sitting) {
    for _ in 0..3 {
        sitting.reply("");
    }
}

fn look(sitting: &mut Sitting, kind: &str, question: &str) {
    sitting.choose("Look, listen or ask");
    sitting.choose(kind);
    sitting.choose(question);
}

/// From the first look to the declaration: a hand too early, then in order.
fn whole_run(sitting: &mut Sitting) {
    read_on(sitting);
    look(sitting, "The first six looks", "What is off centre");
    look(sitting, "Look and listen while it runs", "How dirty are the idler rolls");
    sitting.choose("Clean, mend, set or renew");
    sitting.choose("Clean");
    sitting.choose("Clean the idler rolls");
    sitting.choose("Lock the machine out");
    look(sitting, "Look closely", "does cake make a roll thicker");
    sitting.choose("Say what the cause is");
    sitting.choose("Material caked on idler rolls");
    sitting.reply("90 %");
    sitting.choose("Clean, mend, set or renew");
    sitting.choose("Clean");
    sitting.choose("Clean the idler rolls");
    sitting.choose("Give it back");
    sitting.reply("");
    sitting.reply("");
    sitting.choose("It runs true");
}

/// Paths of this test are no words of the program.
fn checked(seen: &str, place: &Place, columns: usize) -> String {
    let kept = place.folder.path().display().to_string();
    let seen = seen.replace(&kept, "FOLDER");
    for line in seen.lines().filter(|line| !line.contains("FOLDER")) {
        assert!(line.chars().count() <= columns, "too wide: {line}");
    }
    seen
}

#[test]
fn a_run_from_the_briefing_to_the_end() {
    let [narrow, wide] = [40, 80].map(|columns| {
        let place = Place::new();
        let mut sitting = place.sit(columns, &RUN);
        whole_run(&mut sitting);
        let (seen, errors, code) = sitting.close();
        assert_eq!(code, Some(0), "{seen}{errors}");
        checked(&seen, &place, columns)
    });
    insta::assert_snapshot!("whole-run-40", narrow);
    same_words(&narrow, &wide);
}

#[test]
fn a_hand_at_a_moving_belt_is_refused_and_counted() {
    let place = Place::new();
    let mut sitting = place.sit(200, &RUN);
    whole_run(&mut sitting);
    let (seen, _, _) = sitting.end();
    assert!(seen.contains("NOT DONE: safety fault"), "{seen}");
    assert!(seen.contains("1 safety fault."), "{seen}");
    assert!(
        seen.contains("The belt runs true, and everything that was hidden is put right."),
        "{seen}"
    );
}

#[test]
fn a_run_that_was_killed_goes_on_where_it_was() {
    let place = Place::new();
    let mut sitting = place.sit(80, &RUN);
    read_on(&mut sitting);
    look(&mut sitting, "The first six looks", "What is off centre");
    sitting.choose("Lock the machine out");
    let stood = |seen: &str| -> String {
        let from = seen.rfind("Locked out: the belt stands.").expect("it is locked out");
        seen[from..].lines().next().unwrap_or_default().to_owned()
    };
    let left = stood(&sitting.seen);
    assert!(left.ends_with(" min gone."), "{left}");
    sitting.kill();
    let listed = out(&place.say(&["list"]));
    assert!(listed.contains("wet-bark-on-a-roll, Ida: not finished"), "{listed}");
    let mut again = place.sit(80, &["again", "1", "--plain"]);
    again.reply("");
    again.reply("");
    assert_eq!(stood(&again.seen), left);
    again.reply("f");
    again.reply("s");
    let (seen, _, code) = again.end();
    assert_eq!(code, Some(0), "{seen}");
    assert!(seen.contains("saved as far as it goes"), "{seen}");
}

/// The text of a file for somebody who changes it by hand: without its first and last line, the checksum.
fn by_hand(file: &Path) -> String {
    let text = fs::read_to_string(file).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    lines[1..lines.len() - 1].join("\n")
}

#[test]
fn a_run_that_is_over_comes_out_the_same_again_and_says_so_if_it_does_not() {
    let place = Place::new();
    let mut sitting = place.sit(80, &RUN);
    whole_run(&mut sitting);
    sitting.close();
    let again = out(&place.say(&["again", "1"]));
    assert!(again.contains("it came out to the same numbers"), "{again}");
    let file = place.run_file(1);
    let text = by_hand(&file);
    let tampered = text.replace("safety_faults: 1", "safety_faults: 0");
    assert_ne!(text, tampered);
    fs::write(&file, tampered).unwrap();
    let again = out(&place.say(&["again", "1"]));
    assert!(again.contains("it came out differently"), "{again}");
}

#[test]
fn a_run_keeps_its_drill_though_the_file_changes() {
    let place = Place::new();
    let mut sitting = place.sit(80, &RUN);
    whole_run(&mut sitting);
    sitting.close();
    fs::write(place.drill(), "[]\n").unwrap();
    let again = out(&place.say(&["again", "1"]));
    assert!(again.contains("it came out to the same numbers"), "{again}");
}

#[test]
fn wrong_words_are_asked_for_again() {
    let place = Place::new();
    let mut sitting = place.sit(200, &RUN);
    read_on(&mut sitting);
    for wrong in ["99", "xyzzy", "", "-1"] {
        sitting.reply(wrong);
    }
    sitting.choose("Lock the machine out");
    sitting.choose("Move one end of an idler");
    sitting.choose("Return strand");
    sitting.reply("0");
    sitting.reply("NaN");
    sitting.reply("4");
    sitting.choose("The STAIR one");
    sitting.choose("Toward the head");
    sitting.reply("-3 mm");
    sitting.reply("1 m");
    sitting.choose("Move one end of an idler");
    sitting.choose("Return strand");
    sitting.reply("4");
    sitting.choose("The STAIR one");
    sitting.choose("Toward the head");
    sitting.reply("3");
    let (seen, errors, code) = sitting.end();
    assert_eq!(code, Some(0), "{seen}{errors}");
    assert!(seen.contains("There is no answer 99 here."), "{seen}");
    assert!(seen.contains("\"xyzzy\" is not known here."), "{seen}");
    assert!(seen.contains("That is no number that fits here."), "{seen}");
    assert!(seen.contains("Give a size above 0"), "{seen}");
    assert!(seen.contains("It does not go that far"), "{seen}");
}

#[test]
fn run_files_of_another_version_or_cut_short_are_named_and_nothing_is_lost() {
    let place = Place::new();
    let mut sitting = place.sit(80, &RUN);
    read_on(&mut sitting);
    sitting.reply("s");
    sitting.close();
    let file = place.run_file(1);
    let text = by_hand(&file);

    fs::write(&file, text.replace("format: 1", "format: 2")).unwrap();
    let newer = place.say(&["again", "1"]);
    assert!(err(&newer).contains("run 1 was written by a newer straybelt"), "{}", err(&newer));
    assert_eq!(newer.status.code(), Some(4));
    assert!(file.exists());

    fs::write(&file, text.replace("format: 1", "format: 0")).unwrap();
    let older = err(&place.say(&["again", "1"]));
    assert!(older.contains("run 1 was written by an older straybelt"), "{older}");

    fs::write(&file, &text[..text.len() / 2]).unwrap();
    let cut = place.say(&["again", "1"]);
    assert!(err(&cut).contains("cannot be understood"), "{}", err(&cut));
    assert_eq!(cut.status.code(), Some(4));
    assert_eq!(fs::read_to_string(&file).unwrap(), text[..text.len() / 2]);

    let gone = place.say(&["again", "7"]);
    assert!(err(&gone).contains("there is no run 7 here"), "{}", err(&gone));
    assert_eq!(gone.status.code(), Some(2));
}

#[test]
fn a_drill_that_is_not_there_or_wrong_is_named() {
    let place = Place::new();
    let missing = place.say(&["show", "wet-bark-on-a-rol"]);
    assert_eq!(missing.status.code(), Some(2));
    assert!(err(&missing).contains("Did you mean wet-bark-on-a-roll?"), "{}", err(&missing));

    let text = fs::read_to_string(place.drill()).unwrap();
    fs::write(place.drill(), text.replace("idler-build-up", "idler-bild-up")).unwrap();
    let wrong = place.say(&["list"]);
    assert!(err(&wrong).contains("the book has no cause `idler-bild-up`"), "{}", err(&wrong));
    assert!(err(&wrong).contains("drills with something wrong are left out"), "{}", err(&wrong));
    assert_eq!(wrong.status.code(), Some(0));
}

#[test]
fn runs_that_cannot_be_kept_are_not_begun() {
    let place = Place::new();
    fs::write(place.path("kept"), "not a folder").unwrap();
    let refused = place.say(&RUN);
    assert_eq!(refused.status.code(), Some(4));
    assert!(err(&refused).contains("A file stands where a folder should be"), "{}", err(&refused));
}
