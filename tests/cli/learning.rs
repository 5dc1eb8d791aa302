//! Courses, progress, examinations, paper and replay at the program itself.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use crate::support::sitting::Sitting;

/// A folder with a site's own drill and a course over it, and a place for runs.
struct School {
    folder: tempfile::TempDir,
}

const COURSE: &str = r#"[
    (
        id: "bark", title: "Before the bark season", about: "For the night shift.",
        reach: [RunsTrue, Cured, Safe],
        steps: [(drill: "wet-bark-on-a-roll"), (drill: "crooked-splice", exam: true)],
        source: CommonPractice,
    ),
]
"#;

impl School {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let site = folder.path().join("site");
        fs::create_dir_all(site.join("drills")).unwrap();
        fs::create_dir_all(site.join("courses")).unwrap();
        let example =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rules/authoring/examples/drill.ron");
        fs::copy(example, site.join("drills/own.ron")).unwrap();
        fs::write(site.join("courses/own.ron"), COURSE).unwrap();
        Self { folder }
    }

    fn path(&self, inside: &str) -> String {
        self.folder.path().join(inside).display().to_string()
    }

    fn sit(&self, words: &[&str]) -> Sitting {
        let (site, kept) = (self.path("site"), self.path("kept"));
        let named = ["--rules", &site, "--state", &kept];
        let arguments: Vec<&str> = ["drill"].iter().chain(words).chain(&named).copied().collect();
        Sitting::begin(200, &arguments)
    }

    fn say(&self, words: &[&str]) -> Output {
        let mut command = Command::new(env!("CARGO_BIN_EXE_straybelt"));
        command.arg("drill").args(words).env("COLUMNS", "80");
        command.args(["--rules", &self.path("site"), "--state", &self.path("kept")]);
        command.output().unwrap()
    }

    fn type_in(&self, words: &[&str], typed: &str) -> Output {
        let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .arg("drill")
            .args(words)
            .args(["--rules", &self.path("site"), "--state", &self.path("kept")])
            .env("COLUMNS", "80")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(typed.as_bytes()).unwrap();
        child.wait_with_output().unwrap()
    }

    fn run_file(&self, run: u32) -> String {
        let runs = self.folder.path().join("kept/runs");
        let year = fs::read_dir(runs).unwrap().next().unwrap().unwrap().path();
        fs::read_to_string(year.join(format!("{run:04}.ron"))).unwrap()
    }
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// From the briefing to the end: the rolls cleaned, the cause named.
fn solved(sitting: &mut Sitting) {
    for _ in 0..3 {
        sitting.reply("");
    }
    sitting.choose("Lock the machine out");
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

const TAKE: [&str; 4] = ["course", "bark", "--plain", "--who=Ida"];

#[test]
fn a_course_goes_on_with_what_was_not_reached_yet() {
    let school = School::new();
    // Given up at once: it is not reached, and says what was missing.
    let mut sitting = school.sit(&TAKE);
    for _ in 0..3 {
        sitting.reply("");
    }
    sitting.choose("It runs true");
    let (seen, errors, code) = sitting.close();
    assert_eq!(code, Some(0), "{seen}{errors}");
    assert!(seen.contains("Ida: 0 of 2 reached."), "{seen}");
    assert!(seen.contains("Not reached yet."), "{seen}");
    assert!(seen.contains("The belt did not run true in the end."), "{seen}");

    let mut sitting = school.sit(&TAKE);
    solved(&mut sitting);
    let (seen, _, _) = sitting.close();
    assert!(seen.contains("1 run, not reached yet"), "{seen}");
    assert!(
        seen.contains("Reached. Next comes: The bit that comes round (examination)."),
        "{seen}"
    );
    assert!(seen.contains("straybelt drill course bark --who 'Ida'"), "{seen}");

    let shown = out(&school.say(&["course", "bark", "--who", " ida", "--show"]));
    assert!(shown.contains("1 of 2 reached."), "{shown}");
    assert!(shown.contains("reached in run 2"), "{shown}");
    let list = out(&school.say(&["course", "--who", "Ida"]));
    assert!(list.contains("Ida: 1 of 2 drills reached."), "{list}");
}

/// The second step is an examination: it is begun sealed, and gone on with as one.
#[test]
fn a_run_that_goes_on_is_gone_on_with_and_an_examination_is_sealed() {
    let school = School::new();
    let mut sitting = school.sit(&TAKE);
    solved(&mut sitting);
    sitting.close();
    let mut sitting = school.sit(&TAKE);
    sitting.reply("");
    let (seen, _, _) = sitting.close();
    assert!(seen.contains("Run 2 is saved as far as it goes"), "{seen}");
    let file = school.run_file(2);
    for telling in ["crooked-splice", "The bit that comes round", "hidden", "SpliceCrooked"] {
        assert!(!file.contains(telling), "{telling} in {file}");
    }
    let list = out(&school.say(&["list"]));
    assert!(list.contains("an examination, Ida: not finished"), "{list}");
    let mut sitting = school.sit(&TAKE);
    for _ in 0..2 {
        sitting.reply("");
    }
    let (seen, _, _) = sitting.close();
    assert!(seen.contains("Run 2 is saved as far as it goes"), "no third is begun: {seen}");
}

#[test]
fn who_is_asked_for_and_a_course_that_is_not_there_is_named() {
    let school = School::new();
    let output = school.type_in(&["course", "bark", "--plain"], "Ida\n");
    let seen = out(&output);
    let (stands, begins) = (seen.find("Ida: 0 of 2 reached."), seen.find("How this works"));
    assert!(stands.is_some() && stands < begins, "where she stands comes before the run: {seen}");
    let nobody = out(&school.type_in(&["course", "bark", "--plain"], "\n"));
    assert!(nobody.contains("Name who takes it") && !nobody.contains("How this works"), "{nobody}");
    let wrong = school.say(&["course", "barks"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(err(&wrong).contains("Did you mean bark?"), "{}", err(&wrong));
    fs::write(school.path("site/courses/own.ron"), COURSE.replace("wet-bark", "dry-bark")).unwrap();
    let wrong = school.say(&["course"]);
    let told = err(&wrong);
    assert!(told.contains("there is no drill `dry-bark-on-a-roll`"), "{told}");
    assert!(told.contains("courses with something wrong are left out"), "{told}");
    let checked = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["rules", "check", &school.path("site")])
        .output()
        .unwrap();
    assert_eq!(checked.status.code(), Some(1));
    assert!(out(&checked).contains("own.ron:5:"), "{}", out(&checked));
}

#[test]
fn progress_replay_and_class_list_of_a_learner() {
    let school = School::new();
    for _ in 0..2 {
        let mut sitting = school.sit(&TAKE);
        for _ in 0..3 {
            sitting.reply("");
        }
        sitting.choose("Ask straybelt");
        sitting.reply("2");
        sitting.choose("It runs true");
        sitting.close();
    }
    let mut sitting = school.sit(&TAKE);
    solved(&mut sitting);
    sitting.close();

    let text = out(&school.say(&["progress", "ida"]));
    assert!(text.contains("3 runs over, 1 solved"), "{text}");
    assert!(text.contains("advice 2, again 2"), "{text}");
    assert!(text.contains("Before the bark season: 1 of 2 drills reached."), "{text}");
    let nobody = school.say(&["progress", "Idas"]);
    assert_eq!(nobody.status.code(), Some(2));
    assert!(err(&nobody).contains("Did you mean Ida?"), "{}", err(&nobody));
    let page = school.path("ida.html");
    let written = school.say(&["progress", "Ida", "--format", "html", "-o", &page]);
    assert!(written.status.success(), "{}", err(&written));
    assert!(fs::read_to_string(&page).unwrap().contains("</html>"));

    let class = out(&school.say(&["debrief", "1", "2", "3"]));
    assert!(
        class.contains("2 runs of a drill that was run before. straybelt was asked 2 times."),
        "{class}"
    );

    let replay = out(&school.say(&["again", "3", "--replay"]));
    assert!(replay.contains("Before the first move"), "{replay}");
    assert_eq!(replay.matches("Carry strand, on top").count(), 2, "{replay}");
    assert!(
        replay.contains("It does not run true.") && replay.contains("It runs true."),
        "{replay}"
    );

    // What a run was worth stands in its file: it counts so though the drill is gone from the book.
    fs::write(school.path("site/drills/own.ron"), "[]\n").unwrap();
    fs::write(school.path("site/courses/own.ron"), "[]\n").unwrap();
    assert!(out(&school.say(&["progress", "Ida"])).contains("3 runs over, 1 solved"));
}

#[test]
fn sheets_for_the_class_and_for_the_trainer() {
    let school = School::new();
    for (more, holds, lacks) in
        [(&[][..], "Name:", "caked"), (&["--answers"], "for the trainer", "Name:")]
    {
        let words = [&["sheet", "wet-bark-on-a-roll"], more].concat();
        let text = out(&school.say(&words));
        assert!(text.contains(holds) && !text.contains(lacks), "{text}");
        let html = out(&school.say(&[&words[..], &["--format", "html"]].concat()));
        assert!(html.contains("</html>"), "{html}");
    }
    let wrong = school.say(&["sheet", "wet-bark"]);
    assert_eq!(wrong.status.code(), Some(2));
}

/// All fields are asked for; the file is written and checked, and the belt is shown as it will run.
#[test]
fn a_new_drill_is_asked_for_written_checked_and_previewed() {
    let school = School::new();
    let lines = [
        "odd-joint",
        "The odd joint",
        "3",
        "It jumps once a turn.",
        "",
        // A hidden cause with one part, put right by a fix of the drill's own that cannot do it.
        "crooked-splice",
        "SpliceCrooked",
        "10 m",
        "Left",
        "30 mm",
        "n",
        "clean-idler-rolls",
        "crooked-splice-work-none",
        "",
        "",
        // An answer that the parts contradict.
        "splice-out-of-square",
        "no",
        "",
        "follows-splice",
        "",
        "Look at the belt.",
        "",
        "Why?",
        "",
        "7",
        "3",
    ];
    let typed = lines.join("\n") + "\n";
    let output = school.type_in(&["new", &school.path("site"), "--plain"], &typed);
    let (seen, told) = (out(&output), err(&output));
    let file = fs::read_to_string(school.path("site/drills/odd-joint.ron"))
        .unwrap_or_else(|_| panic!("{seen}{told}"));
    for field in [
        "seed: 7",
        "source: Memory",
        "(\"splice-out-of-square\", \"no\")",
        "yields_to: [\"clean-idler-rolls\"]",
    ] {
        assert!(file.contains(field), "{field}: {file}");
    }
    for code in ["drill-grade", "drill-cure", "drill-shows"] {
        assert!(told.contains(code), "{code}: {told}");
    }
    assert!(seen.contains("Carry strand, on top"), "{seen}");
    assert!(seen.contains("What the first looks show"), "{seen}");
}
