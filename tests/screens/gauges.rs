//! Every gauge that answers, in a visit: from `g` at the plan to the answer in the record.

use std::collections::{BTreeMap, BTreeSet};

use straybelt::ask::{Ask, KeyKind, Lost, NoteReply, Pace, Prompt, PromptReply};
use straybelt::gauge::{self, Gauge, Keyed, Way};
use straybelt::rulebook::load;
use straybelt::show::words::Sides;
use straybelt::visit::Measured;
use straybelt::visit::event::Event;

use super::site::{Person, Site};
use crate::support::files::root;

/// One measurement: gauge, way, readings by key and row by row, the answer that it gives, and whether a step of the book may
/// take an amount from it.
struct Case {
    gauge: &'static str,
    way: &'static str,
    single: &'static [(&'static str, &'static str)],
    rows: &'static [&'static [&'static str]],
    answer: (&'static str, &'static str),
    amount: bool,
}

const fn case(
    named: (&'static str, &'static str),
    single: &'static [(&'static str, &'static str)],
    rows: &'static [&'static [&'static str]],
    answer: (&'static str, &'static str),
) -> Case {
    Case { gauge: named.0, way: named.1, single, rows, answer, amount: false }
}

impl Case {
    const fn with_amount(self) -> Self {
        Self { amount: true, ..self }
    }
}

/// Readings of parts that are clearly at fault; the sums stand in the tests of each gauge.
const CASES: &[Case] = &[
    case(
        ("splice", "diagonals"),
        &[("along", "2 m"), ("tail_from_left", "2150 mm"), ("tail_from_right", "2170 mm")],
        &[],
        ("splice-out-of-square", "yes"),
    ),
    case(
        ("square", "pulley"),
        &[
            ("pulley", "tail"),
            ("to", "line"),
            ("left", "2000 mm"),
            ("right", "2010 mm"),
            ("across", "1 m"),
        ],
        &[],
        ("end-pulley-short-side", "left"),
    )
    .with_amount(),
    case(
        ("frame", "level"),
        &[("bigger", "lower")],
        &[&["0", "0", "10"], &["3", "0", "10"], &["6", "0", "10"]],
        ("frame-low-side", "right"),
    )
    .with_amount(),
    case(
        ("idlers", "carry"),
        &[("datum", "tail"), ("across", "1 m")],
        &[&["7", "1200 mm", "1220 mm"], &["8", "2400 mm", "2420 mm"]],
        ("idler-leads", "left"),
    )
    .with_amount(),
    case(
        ("crown", "diameters"),
        &[("pulley", "tail")],
        &[&["0", "400 mm"], &["475 mm", "402 mm"], &["950 mm", "406 mm"]],
        ("bigger-end", "right"),
    ),
    case(
        ("sag", "return"),
        &[("sag", "20 mm"), ("spacing", "3 m")],
        &[&["1", "5 mm"]],
        ("sag-measured", "too-little"),
    ),
    case(
        ("takeup", "shaft"),
        &[("left", "120"), ("right", "132"), ("marks", "inward")],
        &[],
        ("slack-side", "left"),
    )
    .with_amount(),
    case(
        ("heat", "infrared"),
        &[("left", "85 C"), ("right", "50 C"), ("ambient", "20 C")],
        &[],
        ("bearing-heat", "one-hotter"),
    ),
    case(
        ("load", "edges"),
        &[("bare_left", "200 mm"), ("bare_right", "50 mm")],
        &[],
        ("heavy-side", "right"),
    ),
    case(
        ("transition", "tape"),
        &[("distance", "500 mm"), ("height", "centre-roll")],
        &[],
        ("transition-short", "yes"),
    ),
    case(
        ("level", "water"),
        &[("left", "104"), ("right", "100"), ("across", "1 m"), ("bigger", "lower")],
        &[],
        ("pulley-low-side", "left"),
    )
    .with_amount(),
    case(
        ("snub", "tape"),
        &[("from", "pulley"), ("left", "804"), ("right", "800"), ("across", "1 m")],
        &[],
        ("snub-leads", "right"),
    )
    .with_amount(),
    case(
        ("runout", "dial"),
        &[("hub", "moved")],
        &[
            &["0 deg", "0", "0"],
            &["60 deg", "0", "0"],
            &["120 deg", "0", "0"],
            &["180 deg", "0", "0"],
            &["240 deg", "0", "0"],
            &["300 deg", "0", "0"],
        ],
        ("shell-runout", "yes"),
    ),
    case(
        ("roll", "caliper"),
        &[("clean", "108")],
        &[&["1", "116", "", "108"]],
        ("caked-roll", "yes"),
    ),
    case(
        ("height", "level"),
        &[("bigger", "lower")],
        &[&["1", "1 m", "0", "0"], &["2", "2 m", "0", "6"], &["3", "3 m", "0", "0"]],
        ("idler-low-side", "right"),
    )
    .with_amount(),
    case(
        ("bow", "string"),
        &[("edge", "left")],
        &[&["1", "0 m", "0"], &["1", "5 m", "70"], &["1", "10 m", "0"]],
        ("belt-bow", "one-way"),
    ),
    case(
        ("slip", "speeds"),
        &[("pulley_speed", "2 m/s"), ("belt_speed", "1.7 m/s")],
        &[],
        ("start-squeal", "yes"),
    ),
];

/// Gauges that are not tried here. A film has hundreds of readings: `straybelt gauge trace --csv` reads them. What `spread` tells
/// is answered in the first look already, and a measurement at the plan takes nothing back. `tests/cli/measuring.rs` holds
/// what both answer.
const ELSEWHERE: [&str; 2] = ["trace", "spread"];

/// Somebody who answers pages as a [`Person`] does, and the lines of a form by what is asked there.
struct Measurer<'c> {
    person: Person<'c>,
    gauge: &'static Gauge,
    way: &'static Way,
    single: BTreeMap<&'c str, &'c str>,
    rows: &'c [&'c [&'c str]],
    row: usize,
    /// What was said since the last line.
    heard: String,
    /// What is typed at the first reading, before anything else.
    first: Vec<&'c str>,
    /// Whether the second reading is answered by going back first.
    back: bool,
    readings: usize,
    /// The reading asked for last: after a slip only its unit stands there again.
    last: Option<&'static str>,
    asked: usize,
}

impl<'c> Measurer<'c> {
    fn new(case: &'c Case, person: Person<'c>) -> Self {
        let gauge = gauge::named(case.gauge).unwrap();
        Self {
            person,
            gauge,
            way: gauge.way(case.way).unwrap(),
            single: case.single.iter().copied().collect(),
            rows: case.rows,
            row: 0,
            heard: String::new(),
            first: Vec::new(),
            back: false,
            readings: 0,
            last: None,
            asked: 0,
        }
    }

    /// The reading that is asked for last in what was heard, by its own words.
    fn reading(&mut self) -> String {
        let sides = Sides::named(Some("walkway"), Some("wall"));
        let columns = self.way.rows.as_ref().map_or(&[][..], |rows| rows.columns);
        let heard = self.heard.split_whitespace().collect::<Vec<_>>().join(" ");
        let at = |ask: &str| heard.rfind(&sides.fill(ask));
        let single = self.way.wanted.iter().filter_map(|it| Some((at(it.ask)?, it, None)));
        let cells = columns.iter().enumerate();
        let cells = cells.filter_map(|(place, it)| Some((at(it.ask)?, it, Some(place))));
        // Of two that stand at one place the longer is meant: "Length along" is no "Length".
        let asked = single.chain(cells).max_by_key(|(at, it, _)| (*at, it.ask.len()));
        let Some((_, wanted, column)) = asked else {
            let last = self.last.unwrap_or_else(|| panic!("nothing is asked for: {heard}"));
            return self.single.get(last).copied().unwrap_or_default().to_owned();
        };
        self.last = Some(wanted.key.as_str());
        let Some(column) = column else {
            return self.single.get(wanted.key.as_str()).copied().unwrap_or_default().to_owned();
        };
        let cell = self.rows.get(self.row).and_then(|row| row.get(column)).copied();
        if column + 1 == columns.len() {
            self.row += 1;
        }
        cell.unwrap_or_default().to_owned()
    }
}

impl Ask for Measurer<'_> {
    fn pace(&self) -> Pace {
        self.person.pace()
    }

    fn say(&mut self, page: &str) {
        self.heard.push_str(page);
        self.person.say(page);
    }

    fn choose(&mut self, prompt: &Prompt) -> PromptReply {
        self.heard.clear();
        self.person.choose(prompt)
    }

    fn note(&mut self, label: &str, keys: &[KeyKind]) -> NoteReply {
        self.heard.clear();
        self.person.note(label, keys)
    }

    fn words(&mut self, label: &str) -> Result<String, Lost> {
        self.asked += 1;
        assert!(self.asked < 120, "no end in sight:\n{}", self.person.seen);
        self.heard.push_str(label);
        let line = if label == "Number" && self.heard.contains("How is it measured?") {
            let ways = self.gauge.ways.iter().position(|way| way.id == self.way.id);
            (ways.unwrap() + 1).to_string()
        } else if !self.first.is_empty() {
            // It is heard what is asked, and something else is typed.
            self.reading();
            self.first.remove(0).to_owned()
        } else if self.readings == 1 && std::mem::take(&mut self.back) {
            self.readings = 0;
            "<".to_owned()
        } else {
            self.readings += 1;
            self.reading()
        };
        self.heard.clear();
        self.person.say(&format!("{label} {line}\n"));
        Ok(line)
    }
}

/// At the plan with what is typed there, and at the list of gauges.
fn at_the_plan<'p>(what_now: &'p [&'p str], gauge: &'p str) -> Person<'p> {
    Person::new(
        &[
            ("Look again?", &["4"]),
            ("Look 4:", &["p"]),
            ("You could not tell", &["1"]),
            ("Before you look", &["1"]),
            ("First: safety", &["no"]),
            ("How far off?", &["3"]),
            ("Lock out, point", &["1"]),
            ("Give back, point", &["1"]),
            ("Move the belt, point", &["1"]),
            ("Go to work, or look on?", &["1"]),
            ("What now?", what_now),
            ("Measure what?", &[gauge]),
            ("Keep it?", &["1"]),
            ("What runs off centre", &["1"]),
            ("Where on the conveyor is the belt", &["1"]),
            ("with load, empty", &["1"]),
        ],
        "c",
    )
}

/// What the record of the only visit holds of measuring.
fn kept(site: &Site) -> Vec<Measured> {
    let store = site.store();
    let visit = store.open(1).unwrap();
    let events = visit.record().events.iter();
    let measured = events.filter_map(|stamped| match &stamped.what {
        Event::Measured(measured) => Some(measured.clone()),
        _ => None,
    });
    measured.collect()
}

fn number(gauge: &str) -> String {
    (gauge::ALL.iter().position(|known| known.id == gauge).unwrap() + 1).to_string()
}

/// One visit in which this is measured at the plan: what was seen, and what was kept.
fn visit(site: &Site, case: &Case, first: &[&'static str]) -> (String, Vec<Measured>) {
    let number = number(case.gauge);
    let mut measurer = Measurer::new(case, at_the_plan(&["g", "2", "s"], &number));
    measurer.first = first.to_vec();
    measurer.back = !first.is_empty();
    site.sit_with(80, Some("OQ-04.ron"), &mut measurer);
    (measurer.person.seen, kept(site))
}

fn on_one_line(seen: &str) -> String {
    seen.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn each_gauge_that_answers_does_so_in_a_visit() {
    let book = load::default_book().unwrap();
    let mut in_steps = BTreeSet::new();
    for case in CASES {
        let site = Site::with(book.clone());
        let (seen, kept) = visit(&site, case, &[]);
        let measured = kept.iter().find(|measured| measured.gauge == case.gauge);
        let measured = measured.unwrap_or_else(|| panic!("{}: not kept\n{seen}", case.gauge));
        let (symptom, answer) = case.answer;
        let answer = (symptom.to_owned(), Some(answer.to_owned()));
        let own = |answers: &[(String, Option<String>)]| answers.contains(&answer);
        assert!(own(&measured.answers), "{}: {:?}\n{seen}", case.gauge, measured.answers);
        let in_step = on_one_line(&seen).contains(&format!("(gauge {}:", case.gauge));
        assert!(case.amount || !in_step, "{}: an amount it does not have\n{seen}", case.gauge);
        in_steps.extend(in_step.then_some(case.gauge));
    }
    // Of the others the job is in a later batch; `tests/gauges/wired.rs` has their amounts in the steps.
    println!("amounts in the first batch: {in_steps:?}");
    assert!(in_steps.contains("square"), "{in_steps:?}");
}

#[test]
fn no_gauge_that_answers_is_left_out() {
    let book = load::default_book().unwrap();
    let symptoms = book.symptoms.values();
    let answers = symptoms.flat_map(|symptom| &symptom.measured).map(|by| by.gauge.id);
    let answers: BTreeSet<&str> = answers.collect();
    let tried: BTreeSet<&str> = CASES.iter().map(|case| case.gauge).chain(ELSEWHERE).collect();
    assert_eq!(answers, tried);
}

#[test]
fn a_racked_bay_answers_the_question_that_a_string_answers() {
    let site = Site::new();
    let bay = case(
        ("square", "bay"),
        &[
            ("left", "3 m"),
            ("right", "3 m"),
            ("tail", "1 m"),
            ("head", "1 m"),
            ("from_left", "3152 mm"),
            ("from_right", "3172 mm"),
        ],
        &[],
        ("frame-string", "racked"),
    );
    let (seen, kept) = visit(&site, &bay, &[]);
    let racked = ("frame-string".to_owned(), Some("racked".to_owned()));
    assert!(kept[0].answers.contains(&racked), "{:?}\n{seen}", kept[0].answers);
}

/// Back, a wrong unit and help at the first reading of each of the newer gauges, and what they answer all the same.
#[test]
fn the_forms_of_the_newer_gauges_take_back_slips_and_help() {
    let newer = ["bow", "level", "snub", "roll", "runout", "height", "slip"];
    for case in CASES.iter().filter(|case| newer.contains(&case.gauge)) {
        let site = Site::new();
        let (seen, kept) = visit(&site, case, &["?", "12 parsec"]);
        let said = on_one_line(&seen);
        assert!(said.contains("At every line: ? for help"), "{}\n{seen}", case.gauge);
        let refused = ["is not understood", "must be", "No number is found"];
        assert!(seen.contains(" <\n"), "{}: never back\n{seen}", case.gauge);
        assert!(refused.iter().any(|part| said.contains(part)), "{}\n{seen}", case.gauge);
        let (symptom, answer) = case.answer;
        let answer = (symptom.to_owned(), Some(answer.to_owned()));
        assert!(kept[0].answers.contains(&answer), "{}\n{seen}", case.gauge);
    }
}

/// Several readings on one line in a visit: the mean is kept, and the error out of their spread.
#[test]
fn readings_are_taken_several_times_in_a_visit() {
    let site = Site::new();
    let thrice = case(
        ("snub", "tape"),
        &[
            ("from", "pulley"),
            ("left", "804; 805; 803"),
            ("right", "800; 801; 799"),
            ("across", "1 m; 1 m; 1 m"),
        ],
        &[],
        ("snub-leads", "right"),
    );
    let (seen, kept) = visit(&site, &thrice, &[]);
    let (_, _, readings) = kept[0].readings().unwrap();
    let si = |name: &str| readings.si(gauge::catalogue::reading_named(name).unwrap()).unwrap();
    assert!((si("left") - 0.804).abs() < 1e-9, "{seen}");
    // Squares of 4 mm² with 6 freedoms: 2.447 times root of 4/6/3 mm.
    assert!((si("error") - 0.001_153_5).abs() < 1e-6, "{}", si("error"));
}

/// A site's rule folder holds in a visit too.
#[test]
fn a_sites_limit_holds_at_the_gauge_in_a_visit() {
    let rules = root("examples/ostrel-quay/rules");
    let site = Site::with(load::with_site(Some(&rules)).unwrap().0);
    let snub = CASES.iter().find(|case| case.gauge == "snub").unwrap();
    let (seen, _) = visit(&site, snub, &[]);
    let seen = on_one_line(&seen);
    assert!(seen.contains("taken as 1 mm, set by this site"), "{seen}");
    assert!(seen.contains("That is set by this site's rules"), "{seen}");
}
