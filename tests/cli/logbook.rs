//! Logbooks as their users run them: readings by flags, in words and from a table; what comes back when a visit begins.

use std::process::Output;

use serde_json::Value;

use super::program::{self, on_one_line};

/// A site that keeps logbooks.
pub(super) struct Site(pub(super) program::Site);

pub(super) const OQ_04: &str = "examples/ostrel-quay/conveyors/OQ-04.ron";
const READINGS: &str = "examples/ostrel-quay/readings/oq-04-take-up.csv";

fn logbook<'a>(args: &[&'a str]) -> Vec<&'a str> {
    [&["logbook"], args].concat()
}

impl Site {
    pub(super) fn new() -> Self {
        Self(program::Site::new())
    }

    pub(super) fn path(&self, name: &str) -> String {
        self.0.path(name)
    }

    pub(super) fn typed(&self, args: &[&str], typed: &str) -> Output {
        self.0.typed(&logbook(args), typed)
    }

    pub(super) fn run(&self, args: &[&str]) -> Output {
        self.typed(args, "")
    }

    #[track_caller]
    pub(super) fn done(&self, args: &[&str]) -> String {
        on_one_line(&self.0.done(&logbook(args)))
    }

    #[track_caller]
    pub(super) fn refused(&self, args: &[&str]) -> String {
        self.0.refused(&logbook(args))
    }

    pub(super) fn story(&self, name: &str) -> Value {
        let output = self.run(&["show", name, "--format", "json"]);
        serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{e}: {output:?}"))
    }

    /// The demo conveyor with two invented years of readings.
    pub(super) fn demo(&self) {
        self.done(&["add", OQ_04, "--done", "belt-new", "--on", "2021-10-22"]);
        self.done(&["takeup", OQ_04, "--csv", READINGS]);
    }
}

/// What was said, on one line.
pub(super) fn text(output: &Output) -> String {
    on_one_line(&program::text(output))
}

pub(super) fn entries(story: &Value) -> usize {
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
        "of travel was left on the WALKWAY side on 2023-10-06. By these readings it ends about 20",
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

/// The demo site's logbook: two invented years with a ratcheted take-up and a build-up that comes back.
pub(super) const DEMO: &str = "examples/ostrel-quay/logbook/oq-04.ndjson";

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
pub(super) fn diagnosed(site: &Site, replies: &str) -> String {
    text(&site.0.typed(&["diagnose", "--plain", "--conveyor", OQ_04], replies))
}

/// To the end of what is at hand: nothing is wrong, it runs at the edge, no tool, may lock out.
pub(super) const TO_THE_LOGBOOK: &str = "1\n1\n1\n1\n1\n3\n0\n1\n";

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
        let page = site.0.done(&["visits", "show", visit, "--format", "json"]);
        let page: Value = serde_json::from_str(&page).unwrap();
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
