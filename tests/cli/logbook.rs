//! Logbooks as their users run them: readings by flags, in words and from a table; bad input; several at once; damage.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// A state folder of its own.
struct Site(tempfile::TempDir);

const OQ_04: &str = "examples/ostrel-quay/conveyors/OQ-04.ron";
const READINGS: &str = "examples/ostrel-quay/readings/oq-04-take-up.csv";

impl Site {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> String {
        self.0.path().join(name).display().to_string()
    }

    fn typed(&self, args: &[&str], typed: &str) -> Output {
        let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .arg("logbook")
            .args(args)
            .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
            .env("STRAYBELT_STATE", self.0.path().join("state"))
            .env("COLUMNS", "80")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // It may end before all is read.
        let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
        child.wait_with_output().unwrap()
    }

    fn run(&self, args: &[&str]) -> Output {
        self.typed(args, "")
    }

    fn done(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert!(output.status.success(), "{output:?}");
        text(&output)
    }

    fn refused(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {output:?}");
        assert!(output.stdout.is_empty(), "{output:?}");
        String::from_utf8(output.stderr).unwrap()
    }

    fn story(&self, name: &str) -> Value {
        let output = self.run(&["show", name, "--format", "json"]);
        serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{e}: {output:?}"))
    }

    /// The demo conveyor with two invented years of readings.
    fn demo(&self) {
        self.done(&["add", OQ_04, "--done", "belt-new", "--on", "2021-10-22"]);
        self.done(&["takeup", OQ_04, "--csv", READINGS]);
    }
}

/// What was said, on one line, so that wrapping does not count.
fn text(output: &Output) -> String {
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    let said = said + &String::from_utf8_lossy(&output.stderr);
    said.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn entries(story: &Value) -> usize {
    story["entries"].as_array().unwrap().len()
}

#[test]
fn a_ratcheted_take_up_is_warned_of_with_its_grounds() {
    let site = Site::new();
    site.demo();
    let list = site.done(&[]);
    assert!(list.contains("! take-up only ever tightened"), "{list}");
    let page = site.done(&["show", "OQ-04"]);
    for piece in [
        "tightened 15 times since 2021-10-22 (new belt put on), and never slackened",
        "WALKWAY stands 21 mm further out than WALL",
        "They may differ by 2.0 mm [common practice, no published source]",
        "of travel is left on the WALKWAY side. It ends about 20",
        "A belt of this kind may stretch 1.5 % in its life [article on take-ups and stretch",
        "The WALKWAY side carries, times the WALL side",
        "L WALKWAY, R WALL, = both, - end of the travel. Higher is tighter.",
    ] {
        assert!(page.contains(piece), "{piece}: {page}");
    }
    let take_up = &site.story("OQ-04")["take_up"];
    // 460.5 mm at the mean of both screws less 408, by hand.
    assert_eq!(take_up["moved_mm"], 42.5);
    let all = take_up["warnings"].as_array().unwrap();
    assert_eq!(all.len(), 3, "{all:?}");
    site.done(&["takeup", "OQ-04", "--left", "420", "--right", "420"]);
    let take_up = &site.story("OQ-04")["take_up"];
    assert_eq!((&take_up["since"], &take_up["tightened"]), (&"slackened".into(), &0.into()));
    assert!(take_up["warnings"].as_array().unwrap().is_empty());
}

#[test]
fn the_page_for_a_browser_is_whole_and_needs_nothing_from_outside() {
    let site = Site::new();
    site.demo();
    let path = site.path("oq-04.html");
    let show = ["show", "OQ-04", "--format", "html", "-o", &path];
    site.done(&show);
    let page = fs::read_to_string(&path).unwrap();
    let options =
        roxmltree::ParsingOptions { allow_dtd: true, ..roxmltree::ParsingOptions::default() };
    let tree = roxmltree::Document::parse_with_options(&page, options).unwrap();
    let drawn = |name: &str| {
        tree.descendants()
            .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", name)))
            .count()
    };
    assert_eq!((drawn("svg"), drawn("circle")), (1, 32));
    for outside in ["http:", "https:", "src=", "@import", "<script"] {
        let rest = page.replace("http://www.w3.org/", "");
        assert!(!rest.contains(outside), "{outside}");
    }
    assert!(site.refused(&show).contains("is there already"));
}

#[test]
fn readings_are_asked_for_in_words_and_what_cannot_be_is_asked_again() {
    let site = Site::new();
    let lines = "612\n212\n215 mm\n2099-01-01\nyesterday\nJ\nslip at the start\n";
    let output = site.typed(&["takeup", OQ_04, "--plain"], lines);
    let said = text(&output);
    assert!(output.status.success(), "{said}");
    assert!(said.contains("its travel is 500 mm"), "{said}");
    assert!(said.contains("still to come"), "{said}");
    assert!(said.contains("locked out"), "{said}");
    let story = site.story("OQ-04");
    let reading = &story["entries"][0];
    assert_eq!((&reading["reading"]["left_mm"], &reading["by"]), (&212.0.into(), &"J".into()));
    let output = site.typed(&["add", "OQ-04", "--plain"], "2\n\n\n\n");
    assert!(output.status.success(), "{output:?}");
    assert_eq!(site.story("OQ-04")["take_up"], Value::Null, "a new splice begins it anew");
    let left = site.typed(&["takeup", "OQ-04", "--plain"], "212\n");
    assert_eq!(left.status.code(), Some(2));
    assert!(text(&left).contains("nothing was entered"));
    assert_eq!(entries(&site.story("OQ-04")), 2);
}

#[test]
fn other_take_ups_and_units_are_read_too() {
    let site = Site::new();
    site.done(&["takeup", "OQ-07", "--carriage", "1200"]);
    site.done(&["takeup", "OQ-07 weight", "--weight", "700 lb", "--at", "2 ft"]);
    site.done(&["takeup", "OQ-07 winch", "--pull", "12kN"]);
    site.done(&["takeup", "inches", "--left", "8-3/8", "--right", "8.5", "--units", "inch"]);
    assert_eq!(site.story("inches")["entries"][0]["reading"]["left_mm"], 212.725);
    // 700 lb of 0.45359237 kg.
    assert_eq!(site.story("OQ-07 weight")["entries"][0]["reading"]["mass_kg"], 317.515);
}

#[test]
fn bad_input_is_told_in_clear_words_and_nothing_is_entered() {
    let site = Site::new();
    site.done(&["takeup", OQ_04, "--left", "212", "--right", "210"]);
    let both = |left, right| vec!["takeup", "OQ-04", "--left", left, "--right", right];
    let with = |mut args: Vec<&'static str>, more: &[&'static str]| {
        args.extend(more);
        args
    };
    let tried = [
        (with(both("212", "210"), &["--on", "2999-01-01"]), "still to come"),
        (with(both("212", "210"), &["--on", "1.3.2026"]), "no day"),
        (both("512", "510"), "its travel is 500 mm"),
        (both("212 kg", "210"), "Write it such as 12, 12 mm or 1/2 in"),
        (with(both("212", "210"), &["--by", "J\u{7}"]), "cannot be printed"),
        (with(both("212", "210"), &["--at", "5"]), "--at goes with --weight or --pull"),
        (vec!["takeup", "OQ\u{1b}[2J", "--carriage", "5"], "cannot be printed"),
        (vec!["add", "OQ-04", "--done", "other"], "say with --why"),
        (vec!["add", "OQ-04", "--job", "ffff"], "no open job begins with ffff"),
        (vec!["strike", "OQ-04", "zzzz", "--why", "x"], "no entry begins with zzzz"),
        (vec!["show", "OQ-99"], "there is no logbook of OQ-99"),
        (vec!["takeup", "OQ-04", "--csv", "examples/README.md"], "names a column"),
        (vec!["takeup", "OQ-04", "--csv", "nowhere.csv"], "nowhere.csv"),
    ];
    for (args, piece) in tried {
        let said = site.refused(&args);
        assert!(said.contains(piece), "{args:?}: {said}");
    }
    assert_eq!(entries(&site.story("OQ-04")), 1);
    assert!(site.refused(&["takeup", "OQ-04", "--left", "5"]).contains("--right"));
}

#[test]
fn names_with_slashes_are_names_and_two_conveyors_of_one_name_are_told() {
    let site = Site::new();
    site.done(&["takeup", "OQ/04 ../x", "--carriage", "1200"]);
    assert_eq!(site.story("oq/04  ../X")["conveyor"], "OQ/04 ../x");
    let file = |name: &str, centres: &str| {
        fs::create_dir_all(site.0.path().join(name)).unwrap();
        let path = site.path(&format!("{name}/OQ-30.ron"));
        fs::write(&path, format!("(name: \"OQ-30\", centres: \"{centres}\")")).unwrap();
        path
    };
    let (one, other) = (file("north", "38 m"), file("south", "120 m"));
    site.done(&["takeup", &one, "--carriage", "300"]);
    let said = site.refused(&["takeup", &other, "--carriage", "300"]);
    assert!(said.contains("38 m from pulley to pulley, this one 120 m"), "{said}");
    for name in ["OQ-31 yard", "OQ-31 quay"] {
        site.done(&["takeup", name, "--carriage", "300"]);
    }
    assert!(site.refused(&["show", "OQ-31"]).contains("OQ-31 quay; OQ-31 yard"));
}

#[test]
fn an_entry_is_entered_once_and_a_wrong_one_is_struck_out() {
    let site = Site::new();
    site.done(&["takeup", OQ_04, "--csv", READINGS]);
    let said = site.done(&["takeup", OQ_04, "--csv", READINGS]);
    assert!(said.contains("16 of them stood there already"), "{said}");
    let story = site.story("OQ-04");
    assert_eq!(entries(&story), 16);
    let id = story["entries"][3]["id"].as_str().unwrap();
    site.done(&["strike", "OQ-04", &id[..8], "--why", "read on the wrong side"]);
    let story = site.story("OQ-04");
    assert_eq!((entries(&story), &story["struck"][0]["id"]), (15, &id.into()));
    assert!(site.refused(&["strike", "OQ-04", "", "--why", "x"]).contains("no entry"));
}

#[test]
fn several_that_write_at_once_lose_nothing() {
    let site = Site::new();
    let entered: usize = std::thread::scope(|scope| {
        let writers: Vec<_> = (0..12)
            .map(|place| {
                let (site, left) = (&site, format!("{}", 200 + place));
                scope.spawn(move || {
                    let output = site.run(&["takeup", "OQ-04", "--left", &left, "--right", "200"]);
                    let busy = text(&output).contains("open in another terminal");
                    assert!(output.status.success() || busy, "{output:?}");
                    usize::from(output.status.success())
                })
            })
            .collect();
        writers.into_iter().map(|writer| writer.join().unwrap()).sum()
    });
    assert!(entered > 0);
    assert_eq!(entries(&site.story("OQ-04")), entered);
    let list = site.run(&["--format", "json"]);
    let list: Value = serde_json::from_slice(&list.stdout).unwrap();
    assert_eq!(list["logbooks"].as_array().unwrap().len(), 1, "one begins it");
}

#[test]
fn a_damaged_logbook_is_told_set_aside_by_whoever_writes_and_never_deleted() {
    let site = Site::new();
    site.demo();
    let years = fs::read_dir(site.path("state/logbooks")).unwrap().flatten();
    let year = years.map(|entry| entry.path()).find(|path| path.is_dir()).unwrap();
    let file = year.join("0001.ron");
    let whole = fs::read_to_string(&file).unwrap();
    let damaged = whole.replacen("left: 411", "left: 417", 1);
    assert_ne!(whole, damaged);
    fs::write(&file, &damaged).unwrap();
    let show = site.run(&["show", "OQ-04"]);
    assert_eq!(show.status.code(), Some(4));
    assert!(text(&show).contains("its checksum does not fit"), "{show:?}");
    assert_eq!(fs::read_to_string(&file).unwrap(), damaged, "looking changes nothing");
    let reading = ["takeup", "OQ-04", "--left", "475", "--right", "443"];
    let refused = site.run(&reading);
    assert_eq!(refused.status.code(), Some(4));
    assert!(text(&refused).contains("It was kept as"), "{refused:?}");
    let aside = file.with_file_name("0001.ron.bad");
    assert_eq!(fs::read_to_string(aside).unwrap(), damaged);
    site.done(&reading);
    assert_eq!(entries(&site.story("OQ-04")), 1, "a new one is begun");
}

#[test]
fn a_logbook_of_a_newer_program_is_named_and_none_is_begun_beside_it() {
    let site = Site::new();
    site.demo();
    let years = fs::read_dir(site.path("state/logbooks")).unwrap().flatten();
    let year = years.map(|entry| entry.path()).find(|path| path.is_dir()).unwrap();
    let file = year.join("0001.ron");
    let whole = fs::read_to_string(&file).unwrap();
    let lines: Vec<&str> = whole.lines().collect();
    let newer = lines[1..lines.len() - 1].join("\n").replacen("format: 1", "format: 9", 1);
    fs::write(&file, &newer).unwrap();
    for command in [vec!["show", "OQ-04"], vec!["takeup", "OQ-04", "--carriage", "5"]] {
        let output = site.run(&command);
        assert_eq!(output.status.code(), Some(4), "{output:?}");
        assert!(text(&output).contains("written by a newer straybelt"), "{output:?}");
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), newer);
    assert_eq!(site.run(&["check"]).status.code(), Some(1));
}

#[cfg(unix)]
#[test]
fn where_nothing_can_be_written_nothing_is_lost_and_it_is_said() {
    let site = Site::new();
    site.demo();
    let before = site.story("OQ-04");
    let output = Command::new("sh")
        .args(["-c", "ulimit -f 1; exec \"$@\"", "sh", env!("CARGO_BIN_EXE_straybelt")])
        .args(["logbook", "takeup", "OQ-04", "--left", "475", "--right", "443"])
        .env("STRAYBELT_STATE", site.path("state"))
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(4), "{output:?}");
    assert!(text(&output).contains("nothing was entered"), "{output:?}");
    assert_eq!(site.story("OQ-04"), before);
}

/// The demo site's logbook: two invented years with a ratcheted take-up and a build-up that comes back.
const DEMO: &str = "examples/ostrel-quay/logbook/oq-04.ndjson";

#[test]
fn the_demo_logbook_tells_of_a_ratchet_and_of_a_build_up_that_comes_back() {
    let site = Site::new();
    assert!(site.done(&["import", DEMO]).starts_with("25 entries were put"));
    assert!(site.done(&["import", DEMO]).contains("25 stood there already"));
    let page = site.done(&["show", OQ_04]);
    assert!(page.contains("Visit 7: runs true, 1 h 30 min. Cured: Material caked on idler rolls."));
    assert!(page.contains("only ever") || page.contains("never slackened"), "{page}");
    let story = site.story(OQ_04);
    let visits = story["entries"].as_array().unwrap().iter();
    let caked = visits.filter(|entry| entry["cured"][0] == "idler-build-up");
    assert_eq!(caked.count(), 5);
    assert_eq!(story["take_up"]["tightened"], 15);
    assert!(site.done(&["check"]).contains("all in order"));
}

/// What `diagnose` says to these replies at OQ-04.
fn diagnosed(site: &Site, replies: &str) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
        .args(["diagnose", "--plain", "--conveyor", OQ_04])
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .env("STRAYBELT_STATE", site.path("state"))
        .env("COLUMNS", "80")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(replies.as_bytes()).unwrap();
    text(&child.wait_with_output().unwrap())
}

/// To the end of what is at hand: nothing is wrong, it runs at the edge, no tool, may lock out.
const TO_THE_LOGBOOK: &str = "1\n1\n1\n1\n1\n3\n0\n1\n";

#[test]
fn a_visit_begins_with_what_comes_back_and_offers_what_the_logbook_answers() {
    let site = Site::new();
    site.done(&["import", DEMO]);
    let said = diagnosed(&site, &format!("{TO_THE_LOGBOOK}1\ns\n"));
    for piece in [
        "Still an open job: Renew the cleaner blade",
        "Warning: take-up only ever tightened.",
        "By the logbook one screw runs ahead of the other",
        "Confirm: Yes: one screw is used to steer the belt",
    ] {
        assert!(said.contains(piece), "{piece}: {said}");
    }
    let happened = |visit: &str| {
        let show = ["visits", "show", visit, "--state", &site.path("state"), "--format", "json"];
        let output = Command::new(env!("CARGO_BIN_EXE_straybelt")).args(show).output().unwrap();
        let page: Value = serde_json::from_slice(&output.stdout).unwrap();
        page["happened"].to_string()
    };
    assert!(happened("1").contains("turning one take-up screw? - Yes"), "{}", happened("1"));
    let left_open = diagnosed(&site, &format!("1\n{TO_THE_LOGBOOK}2\ns\n"));
    assert!(left_open.contains("Leave it open: it is asked later"), "{left_open}");
    assert!(!happened("2").contains("take-up screw"), "{}", happened("2"));
    // Both visits stand in the logbook by now.
    let list = site.done(&[]);
    assert!(list.contains("9 visits") && !list.contains("in no logbook"), "{list}");
}

#[test]
fn a_visit_to_a_conveyor_without_a_logbook_says_nothing_of_one() {
    let site = Site::new();
    let said = diagnosed(&site, &format!("{TO_THE_LOGBOOK}s\n"));
    assert!(!said.contains("From the logbook"), "{said}");
    assert!(site.done(&[]).contains("OQ-04 salt reclaim: 1 visit"));
}

/// Killed at any moment, a logbook is what it was before an entry or after it; what was said to be entered is.
#[test]
fn a_kill_at_any_moment_leaves_a_whole_logbook() {
    let site = Site::new();
    site.demo();
    let before = entries(&site.story("OQ-04"));
    let mut random = crate::support::Random(0x106);
    let mut acknowledged = 0;
    let kills = if crate::support::long() { 300 } else { 25 };
    for place in 0..kills {
        let left = format!("{}", 300 + place);
        let mut child = Command::new(env!("CARGO_BIN_EXE_straybelt"))
            .args(["logbook", "takeup", "OQ-04", "--left", &left, "--right", "250"])
            .env("STRAYBELT_STATE", site.path("state"))
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_micros(1 << random.below(18)));
        let _ = child.kill();
        let output = child.wait_with_output().unwrap();
        acknowledged +=
            usize::from(String::from_utf8_lossy(&output.stdout).contains("In the logbook of"));
        let now = entries(&site.story("OQ-04"));
        assert!(now >= before + acknowledged, "{now} {before} {acknowledged}");
    }
    let check = site.run(&["check"]);
    assert!(check.status.success(), "{check:?}");
}
