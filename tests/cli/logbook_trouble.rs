//! Logbooks in trouble: bad input, damage, two conveyors of one name, clocks set back, several that write at once, disks that
//! fail, kills.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use straybelt::logbook::size::Millimetres;
use straybelt::logbook::{Entry, Reading, TabletId, What};

use super::logbook::{DEMO, OQ_04, Site, TO_THE_LOGBOOK, diagnosed, entries, text};

/// The file of the first logbook that was begun.
fn first_file(site: &Site) -> PathBuf {
    let years = fs::read_dir(site.path("state/logbooks")).unwrap().flatten();
    let year = years.map(|entry| entry.path()).find(|path| path.is_dir()).unwrap();
    year.join("0001.ron")
}

/// Damages the head of the first logbook; its name can be read still.
fn damage_the_head(site: &Site) -> PathBuf {
    let file = first_file(site);
    let whole = fs::read_to_string(&file).unwrap();
    fs::write(&file, whole.replacen("format: 1", "format: one", 1)).unwrap();
    file
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
        fs::create_dir_all(site.path(name)).unwrap();
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
    let file = first_file(&site);
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
    let file = first_file(&site);
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
        let mut child = site
            .0
            .command(&["logbook", "takeup", "OQ-04", "--left", &left, "--right", "250"])
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

#[test]
fn no_second_logbook_is_begun_in_silence_beside_a_damaged_one() {
    let site = Site::new();
    site.done(&["import", DEMO]);
    let file = damage_the_head(&site);
    let aside = file.with_file_name("0001.ron.bad");
    // A visit on the way says nothing and begins nothing.
    diagnosed(&site, &format!("{TO_THE_LOGBOOK}s\n"));
    diagnosed(&site, &format!("1\n{TO_THE_LOGBOOK}s\n"));
    let list = text(&site.run(&[]));
    assert!(list.contains("A logbook of OQ-04 salt reclaim could not be read"), "{list}");
    assert!(list.contains("2 visits are in no logbook yet"), "{list}");
    assert!(aside.exists() && !file.with_file_name("0002.ron").exists());
    let check = site.run(&["check"]);
    assert_eq!(check.status.code(), Some(1), "{check:?}");
    assert!(text(&check).contains("0001.ron.bad"), "{check:?}");
    // Whoever asks for a new one gets it, and is told.
    let begun = text(&site.run(&["gather"]));
    assert!(begun.contains("may be the earlier logbook of OQ-04 salt reclaim"), "{begun}");
    assert!(begun.contains("A new one is begun") && begun.contains("Taken in: 2"), "{begun}");
    // Mended and renamed back there are two, and they can be put together.
    let mended = fs::read_to_string(&aside).unwrap().replacen("format: one", "format: 1", 1);
    fs::write(&file, mended).unwrap();
    fs::remove_file(&aside).unwrap();
    let check = text(&site.run(&["check"]));
    assert!(check.contains("logbooks 1 and 2 are both of OQ-04 salt reclaim"), "{check}");
    let all = site.path("all.ndjson");
    site.done(&["export", "-o", &all]);
    for number in ["0001.ron", "0002.ron"] {
        fs::rename(file.with_file_name(number), site.path(number)).unwrap();
    }
    site.done(&["import", &all]);
    assert!(site.done(&["check"]).contains("all in order"));
    assert_eq!(entries(&site.story(OQ_04)), 25 + 2);
}

#[test]
fn a_damaged_logbook_keeps_nobody_from_another_conveyors() {
    let site = Site::new();
    site.done(&["import", DEMO]);
    let file = damage_the_head(&site);
    site.done(&["takeup", "OQ-07", "--carriage", "300"]);
    assert!(file.exists(), "nobody wanted to write there");
    let refused = site.run(&["takeup", OQ_04, "--left", "475", "--right", "443"]);
    assert_eq!(refused.status.code(), Some(4));
    let said = text(&refused);
    assert!(said.contains("nothing was entered") && said.contains("of OQ-04"), "{said}");
    assert!(said.contains("0001.ron.bad"), "{said}");
}

#[test]
fn visits_to_another_conveyor_of_the_same_name_wait_and_it_is_said() {
    let site = Site::new();
    let other = site.path("OQ-04.ron");
    fs::write(&other, "(name: \"OQ-04 salt reclaim\", centres: \"120 m\")").unwrap();
    site.done(&["import", DEMO]);
    diagnosed(&site, &format!("{TO_THE_LOGBOOK}s\n"));
    site.0.typed(&["diagnose", "--plain", "--conveyor", &other], "1\n1\n1\ns\n");
    for _ in 0..2 {
        assert!(site.done(&[]).contains("1 visit is in no logbook yet"));
        let said = text(&site.run(&["gather"]));
        assert!(said.contains("is of another conveyor") && said.contains("visit 2"), "{said}");
    }
}

/// A row of an export: a reading of that day, written when the clock of its tablet stood so.
fn row(on: &str, written: &str) -> Value {
    let reading = Reading::Screws { left: Millimetres(212.0), right: Millimetres(210.0) };
    let what = What::TakeUp { on: on.parse().unwrap(), reading, why: None };
    let tablet = TabletId::named("quaytablettwo").unwrap();
    let entry = Entry::new(&tablet, written.parse().unwrap(), None, what);
    json!({ "table": "entries", "conveyor": "OQ-04", "entry": entry })
}

#[test]
fn a_clock_that_stands_before_the_book_gives_no_day_and_loses_nothing() {
    let site = Site::new();
    let file = site.path("all.ndjson");
    // For this book the clock of the machine that runs the test is set back, by decades.
    fs::write(&file, row("2019-03-09", "2090-03-09T08:00:00Z").to_string()).unwrap();
    site.done(&["import", &file]);
    let reading = ["takeup", "OQ-04", "--left", "214", "--right", "210"];
    let said = site.refused(&reading);
    assert!(said.contains("the book has an entry of 2090-03-09"), "{said}");
    assert!(said.contains("nothing was entered"), "{said}");
    let said = text(&site.run(&[&reading[..], &["--on", "2090-03-09"]].concat()));
    assert!(said.contains("In the logbook of OQ-04") && said.contains("Set it right"), "{said}");
    assert!(said.contains("Nothing is lost"), "{said}");
    let asked = site.typed(&["takeup", "OQ-04", "--plain"], "1\n216\n211\n\ntoday\n\n\n");
    let said = text(&asked);
    assert!(asked.status.success() && said.contains("One of them is wrong"), "{said}");
    let story = site.story("OQ-04");
    assert_eq!(entries(&story), 3);
    let page = text(&site.run(&["show", "OQ-04"]));
    assert!(page.contains("What is not known") && page.contains("this day or the clock"), "{page}");
    assert!(text(&site.run(&["check"])).contains("2090-03-09 is still to come"));
}

#[test]
fn another_kind_of_reading_than_the_conveyor_has_is_refused_and_the_watch_goes_on() {
    let site = Site::new();
    site.demo();
    let said = site.refused(&["takeup", OQ_04, "--carriage", "300"]);
    assert!(said.contains("this take-up, which is screw by the conveyor's file"), "{said}");
    assert_eq!(site.story("OQ-04")["take_up"]["tightened"], 15);
}

#[test]
fn what_was_struck_out_stays_so_and_whoever_enters_it_again_is_told() {
    let site = Site::new();
    let reading = ["takeup", OQ_04, "--left", "212", "--right", "210"];
    site.done(&reading);
    let id = site.story("OQ-04")["entries"][0]["id"].as_str().unwrap().to_owned();
    site.done(&["strike", "OQ-04", &id, "--why", "wrong side"]);
    assert!(site.done(&reading).contains("It was struck out before (wrong side)"));
    assert_eq!(entries(&site.story("OQ-04")), 0);
    site.done(&[&reading[..], &["--why", "right after all"]].concat());
    assert_eq!(entries(&site.story("OQ-04")), 1);
}
