//! What a learner measures: it agrees with what is hidden, on either side, and finds nothing where nothing is.

use std::collections::BTreeMap;

use straybelt::drill::{Done, Drill, Move, Refused, World};
use straybelt::gauge::catalogue::reading_named;
use straybelt::gauge::{self, Gauge, Keyed, Outcome, Readings, Setting, Verdict};
use straybelt::trade::MachineState;
use straybelt::trade::Side;
use straybelt::visit::{Machine, Measured};

use crate::support::{SHIPPED, begin, make, read_text, shows};

/// The two mirror images: what is left in one is right in the other.
const SIDES: [(&str, &str); 2] = [("Left", "Right"), ("Right", "Left")];

/// A drill on a middling conveyor of Ostrel Quay that hides these parts; `SIDE` and `OTHER` stand for the sides.
fn drill(parts: &str, (side, other): (&str, &str), seed: u32) -> Drill {
    let parts = parts.replace("SIDE", side).replace("OTHER", other);
    let hidden = if parts.is_empty() {
        String::new()
    } else {
        format!(r#"(cause: "idler-out-of-square", parts: [{parts}])"#)
    };
    let text = format!(
        r#"[(
            id: "x", title: "x", grade: First, briefing: "x",
            conveyor: (
                name: "OQ-04", class: "troughed-bulk", reversing: "no", crowned: "yes",
                carcass: "fabric", take_up: "screw", bearings: "roller",
                centres: "38 m", speed: "1.25 m/s",
                belt: (width: "800 mm", mass: "10 kg/m"), load: (mass: "20 kg/m"),
                idlers: (carry_pitch: "1.2 m", return_pitch: "3 m", trough_angle: "35 deg", foot_spacing: "1000 mm"),
                tail: (diameter: "400 mm", face: "950 mm", bearing_centres: "1150 mm"),
                head: (diameter: "500 mm", face: "950 mm"),
            ),
            hidden: [{hidden}], aims: ["x"], talk: ["x"], seed: {seed}, source: Memory,
        )]"#
    );
    let (mut drills, problems) = read_text(&text);
    drills.pop().unwrap_or_else(|| panic!("{problems:?}"))
}

/// Measures in the state that the gauge needs.
fn measured(world: &mut World<'_>, gauge: &'static Gauge) -> Result<Measured, Refused> {
    match (gauge.ways[0].state, world.machine()) {
        (MachineState::LockedOut, Machine::Running) => make(world, Move::LockOut),
        (MachineState::Running, Machine::LockedOut) => make(world, Move::Restore),
        _ => {}
    }
    match &world.make(Move::Measure(gauge))?.done {
        Done::Measured(measured) => Ok((**measured).clone()),
        other => panic!("{other:?}"),
    }
}

fn worked(drill: &Drill, measured: &Measured) -> (Readings, Outcome) {
    let (gauge, _, readings) = measured.readings().expect("it reads back");
    let setting = Setting::from(&drill.conveyor);
    let outcome = (gauge.work)(&readings, &setting).expect("it works out");
    (readings, outcome)
}

struct Found {
    answers: BTreeMap<String, Option<String>>,
    readings: Readings,
    outcome: Outcome,
}

fn find(gauge: &str, parts: &str, sides: (&str, &str), seed: u32) -> Found {
    let drill = drill(parts, sides, seed);
    let mut world = begin(&drill);
    let gauge = gauge::named(gauge).expect("a gauge");
    let measured = measured(&mut world, gauge).expect("there is something to measure");
    let (readings, outcome) = worked(&drill, &measured);
    Found { answers: measured.answers.into_iter().collect(), readings, outcome }
}

impl Found {
    fn figure(&self, id: &str) -> f64 {
        let figures = &self.outcome.figures;
        let found = figures.iter().find(|figure| figure.id == id);
        found.unwrap_or_else(|| panic!("no {id}")).size.si()
    }

    /// Which side a figure is on, left being above nothing.
    fn side(&self, id: &str) -> &'static str {
        Side::of_sign(self.figure(id)).expect("a side").id()
    }
}

/// Gauge, what is hidden, the question, and its answer: `side` and `other` stand for the sides.
const TOLD: &[(&str, &str, &str, &str)] = &[
    (
        "splice",
        r#"SpliceCrooked(at: "20 m", toward: SIDE, by: "16 mm")"#,
        "splice-out-of-square",
        "yes",
    ),
    ("level", r#"PulleyLow(pulley: Tail, low: SIDE, by: "8 mm")"#, "pulley-low-side", "side"),
    ("level", r#"PulleyLow(pulley: Head, low: SIDE, by: "8 mm")"#, "pulley-low-side", "side"),
    (
        "height",
        r#"IdlerLeaning(strand: Carry, station: 9, low: SIDE, by: "12 mm")"#,
        "idler-low-side",
        "side",
    ),
    (
        "roll",
        r#"RollCaked(strand: Return, station: 5, thick: SIDE, by: "6 mm")"#,
        "caked-roll",
        "yes",
    ),
    (
        "bow",
        r#"BeltBowed(from: "10 m", to: "30 m", toward: SIDE, by: "400 mm")"#,
        "belt-bow",
        "one-way",
    ),
    // Nearer to the head is nearer to the other end at the tail only.
    (
        "square",
        r#"PulleySkewed(pulley: Tail, ahead: SIDE, by: "8 mm")"#,
        "end-pulley-short-side",
        "side",
    ),
    (
        "square",
        r#"PulleySkewed(pulley: Head, ahead: SIDE, by: "8 mm")"#,
        "end-pulley-short-side",
        "other",
    ),
    ("square", r#"ScrewsUneven(out: SIDE, by: "8 mm")"#, "end-pulley-short-side", "other"),
    ("takeup", r#"ScrewsUneven(out: SIDE, by: "8 mm")"#, "slack-side", "other"),
    (
        "frame",
        r#"FrameBent(from: "10 m", to: "24 m", toward: SIDE, by: "40 mm")"#,
        "frame-string",
        "bowed",
    ),
    (
        "frame",
        r#"IdlerOffCentre(strand: Carry, station: 12, toward: SIDE, by: "15 mm")"#,
        "stand-off-centre",
        "yes",
    ),
    (
        "frame",
        r#"IdlerOffCentre(strand: Return, station: 6, toward: SIDE, by: "15 mm")"#,
        "stand-off-centre",
        "yes",
    ),
    (
        "frame",
        r#"FrameLow(from: "10 m", to: "24 m", low: SIDE, by: "20 mm")"#,
        "frame-low-side",
        "side",
    ),
    (
        "frame",
        r#"FrameRacked(from: "10 m", to: "24 m", ahead: SIDE, by: "10 mm")"#,
        "frame-string",
        "racked",
    ),
    // The belt meets the end first that it comes to first: the lagging one on the carry strand.
    (
        "idlers",
        r#"IdlerSkewed(strand: Carry, station: 12, ahead: SIDE, by: "10 mm")"#,
        "idler-leads",
        "other",
    ),
    (
        "idlers",
        r#"IdlerSkewed(strand: Return, station: 6, ahead: SIDE, by: "10 mm")"#,
        "idler-leads",
        "side",
    ),
    (
        "idlers",
        r#"FrameRacked(from: "10 m", to: "24 m", ahead: SIDE, by: "10 mm")"#,
        "idler-leads",
        "other",
    ),
    (
        "idlers",
        r#"IdlerSkewed(strand: Carry, station: 12, ahead: SIDE, by: "10 mm"),
           IdlerSkewed(strand: Carry, station: 15, ahead: OTHER, by: "10 mm"),
           IdlerSkewed(strand: Carry, station: 18, ahead: SIDE, by: "10 mm")"#,
        "slots-both-ways",
        "yes",
    ),
    ("crown", "CrownWorn(pulley: Head, share: 0.9)", "crown-left", "flat-or-hollow"),
    ("sag", "Pull(times: 3.0)", "sag-measured", "too-little"),
    ("sag", "Pull(times: 0.4)", "sag-measured", "too-much"),
    ("load", r#"LoadOff(toward: SIDE, by: "75 mm")"#, "heavy-side", "side"),
];

#[test]
fn a_gauge_finds_what_is_hidden_on_either_side() {
    let mut wrong = Vec::new();
    for (gauge, parts, question, answer) in TOLD {
        for sides in SIDES {
            let found = find(gauge, parts, sides, 3);
            let answer = match *answer {
                "side" => sides.0.to_lowercase(),
                "other" => sides.1.to_lowercase(),
                word => word.to_owned(),
            };
            if found.outcome.verdict != Verdict::Beyond
                || found.answers.get(*question) != Some(&Some(answer.clone()))
            {
                wrong.push(format!(
                    "{gauge} {parts} {sides:?}: {:?} {:?}, not {question} {answer}",
                    found.outcome.verdict, found.answers
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The gauges that a step of a fix takes its amount from, in the default book.
fn amounts_named() -> std::collections::BTreeSet<String> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("rules/fixes");
    let mut named = std::collections::BTreeSet::new();
    for file in std::fs::read_dir(folder).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        for after in text.split("{amount-").skip(1) {
            named.insert(after.split('}').next().unwrap().to_owned());
        }
    }
    named
}

/// From a look, over the measurement, to an answer and to the amount that stands in the step.
#[test]
fn each_gauge_that_a_step_takes_its_amount_from_gives_one() {
    let named = amounts_named();
    assert!(named.len() >= 4, "{named:?}");
    // A drill hides no crooked snub and hangs no wrong weight: tests/gauges/wired.rs has their amounts in the steps.
    for name in named.iter().filter(|name| !matches!(name.as_str(), "snub" | "weight")) {
        let given = TOLD.iter().filter(|(gauge, ..)| gauge == name).find_map(
            |(gauge, parts, question, _)| {
                let found = find(gauge, parts, SIDES[0], 3);
                let amount = found.outcome.amount?;
                assert!(
                    found.answers.get(*question).is_some_and(Option::is_some),
                    "{gauge} {parts}"
                );
                Some(amount)
            },
        );
        let amount = given.unwrap_or_else(|| panic!("{name} gives no amount"));
        assert!(
            amount.size.si() > 0.0 && amount.error.is_some_and(|error| error.si() > 0.0),
            "{name}"
        );
        assert!(!amount.at.0.is_empty(), "{name}");
        let measured = straybelt::show::amounts::MeasuredAmount {
            gauge: gauge::named(name).unwrap().id,
            says: Vec::new(),
            size: Some(amount.size.words(straybelt::trade::Units::Metric)),
        };
        let amounts =
            straybelt::show::amounts::Amounts { measured: vec![measured], ..Default::default() };
        let step = amounts.fill(&format!("by {{amount-{name}}}"));
        assert!(step.contains("mm") && !step.contains("the difference measured"), "{step}");
    }
}

#[test]
fn sizes_come_out_as_they_were_hidden() {
    let skewed = r#"IdlerSkewed(strand: Carry, station: 12, ahead: SIDE, by: "10 mm")"#;
    let kinked = r#"SpliceCrooked(at: "20 m", toward: SIDE, by: "16 mm")"#;
    let bowed = r#"FrameBent(from: "10 m", to: "24 m", toward: SIDE, by: "40 mm")"#;
    let off = r#"LoadOff(toward: SIDE, by: "75 mm")"#;
    // Gauge, figure, what is hidden, its size in m (of the lead: over the belt's width, not the feet), to within.
    for (gauge, figure, parts, size_m, within_m) in [
        ("idlers", "lead", skewed, 0.010 * 0.8, 0.002),
        ("splice", "lead", kinked, 0.016, 0.001),
        ("splice", "kink", kinked, 0.016 / 0.8, 0.001),
        ("frame", "station", bowed, 0.040, 0.003),
        ("load", "offset", off, 0.075, 0.005),
    ] {
        for sides in SIDES {
            let found = find(gauge, parts, sides, 5);
            assert_eq!(found.side(figure), sides.0.to_lowercase(), "{gauge}");
            let read_m = found.figure(figure).abs();
            assert!((read_m - size_m).abs() <= within_m, "{gauge} {figure}: {read_m}");
        }
    }
}

#[test]
fn where_nothing_is_hidden_nothing_is_found() {
    // The question, and what it is answered with where nothing is wrong.
    let right = BTreeMap::from([
        ("splice-out-of-square", "no"),
        ("end-pulley-short-side", "equal"),
        ("slack-side", "equal"),
        ("frame-string", "straight"),
        ("stand-off-centre", "no"),
        ("frame-low-side", "level"),
        ("idler-leads", "square"),
        ("slots-both-ways", "no"),
        ("crown-left", "as-drawn"),
        ("sag-measured", "usual"),
        ("heavy-side", "centred"),
    ]);
    let mut asked = std::collections::BTreeSet::new();
    for seed in 1..=3 {
        let drill = drill("", SIDES[0], seed);
        let mut world = begin(&drill);
        for gauge in gauge::ALL {
            // Every sheet of the round.
            for _ in 0..3 {
                let Ok(measured) = measured(&mut world, gauge) else {
                    // Trimming measures nothing, and no weight hangs where screws pull.
                    assert!(matches!(gauge.id, "trim" | "weight"), "{}", gauge.id);
                    break;
                };
                let (_, outcome) = worked(&drill, &measured);
                assert_ne!(outcome.verdict, Verdict::Beyond, "{} {seed}", gauge.id);
                for (question, answer) in &measured.answers {
                    if let Some(right) = right.get(question.as_str()) {
                        assert_eq!(answer.as_deref(), Some(*right), "{question}, seed {seed}");
                        asked.insert(question.clone());
                    }
                }
            }
        }
    }
    assert_eq!(asked.len(), right.len(), "{asked:?}");
}

#[test]
fn the_running_belt_tells_a_place_from_a_piece_of_belt() {
    let skewed = r#"IdlerSkewed(strand: Return, station: 6, ahead: SIDE, by: "20 mm")"#;
    let kinked = r#"SpliceCrooked(at: "20 m", toward: SIDE, by: "26 mm")"#;
    for sides in SIDES {
        let place = find("spread", skewed, sides, 3);
        let word = place.answers["first-split"].as_deref();
        assert!(matches!(word, Some("one-place" | "long-stretch")), "{word:?}");
        // The end that it meets first is on the side that is ahead, on the return strand.
        assert_eq!(place.side("worst-station"), sides.0.to_lowercase());
        let piece = find("spread", kinked, sides, 3);
        assert_eq!(piece.answers["first-split"].as_deref(), Some("one-part"));
        let jumps = find("trace", kinked, sides, 3);
        let word = jumps.answers["how-it-moves"].as_deref();
        assert!(matches!(word, Some("jumps-each-turn" | "slow-weave")), "{word:?}");
        assert!(find("trace", skewed, sides, 3).outcome.verdict == Verdict::Within);
    }
}

#[test]
fn a_screw_turned_too_far_out_loads_and_warms_its_own_side() {
    let uneven = r#"ScrewsUneven(out: SIDE, by: "20 mm")"#;
    for sides in SIDES {
        let side = sides.0.to_lowercase();
        let load = find("side-load", uneven, sides, 3);
        assert_eq!(
            load.readings.side(reading_named("side").unwrap()).map(Side::id),
            Some(side.as_str())
        );
        assert!(
            (load.readings.si(reading_named("moved").unwrap()).unwrap() - 0.020).abs() <= 0.000_5
        );
    }
    let both = find("heat", "Pull(times: 4.5)", SIDES[0], 3);
    assert_eq!(both.answers["bearing-heat"].as_deref(), Some("both-hot"));
    let none = find("heat", "", SIDES[0], 3);
    assert_eq!(none.answers["bearing-heat"].as_deref(), Some("normal"));
}

#[test]
fn the_same_seed_reads_the_same_and_another_measurement_reads_anew() {
    let square = gauge::named("takeup").unwrap();
    let first = |seed| {
        let drill = drill("", SIDES[0], seed);
        let mut world = begin(&drill);
        let once = measured(&mut world, square).unwrap();
        (once, measured(&mut world, square).unwrap())
    };
    let (once, again) = first(7);
    assert_eq!((once.clone(), again.clone()), first(7));
    assert_ne!(once.single, again.single);
    assert_ne!(once.single, first(8).0.single);
}

#[test]
fn what_a_learner_moved_is_measured_too() {
    let drill = drill("", SIDES[0], 3);
    let mut world = begin(&drill);
    make(&mut world, Move::LockOut);
    make(&mut world, crate::support::shift_return(4, straybelt::trade::Side::Left, 0.012));
    let idlers = measured(&mut world, gauge::named("idlers").unwrap()).unwrap();
    assert_eq!(idlers.way, "return");
    assert!(idlers.answers.contains(&("idler-leads".to_owned(), Some("left".to_owned()))));
    // The other strand comes next, and the tale begins anew.
    let other = measured(&mut world, gauge::named("idlers").unwrap()).unwrap();
    assert_eq!(other.way, "carry");
    assert!(other.answers.contains(&("idler-leads".to_owned(), Some("square".to_owned()))));
    let anew = measured(&mut world, gauge::named("idlers").unwrap()).unwrap();
    assert_eq!(anew.way, "return");
    assert_ne!(anew.rows, idlers.rows);
}

/// What the parts settle for whoever looks, too: then both must say the same.
const BY_PARTS: &[&str] = &[
    "splice-out-of-square",
    "end-pulley-short-side",
    "slack-side",
    "frame-low-side",
    "idler-leads",
    "transition-short",
];

#[test]
fn every_gauge_measures_every_shipped_drill() {
    for drill in &SHIPPED.0 {
        let mut world = begin(drill);
        let mut measurements = 0;
        for gauge in gauge::ALL {
            let Ok(measured) = measured(&mut world, gauge) else {
                continue;
            };
            measurements += 1;
            let (_, outcome) = worked(drill, &measured);
            assert!(!outcome.says.0.is_empty(), "{} {}", drill.id, gauge.id);
            for (question, answer) in &measured.answers {
                let (Some(answer), true) = (answer, BY_PARTS.contains(&question.as_str())) else {
                    continue;
                };
                // A question that does not apply here has no answer to agree with.
                if let Some(seen) = shows(&world, question) {
                    assert_eq!(answer, seen, "{} {question}", drill.id);
                }
            }
        }
        assert!(measurements >= 9, "{}: {measurements}", drill.id);
    }
}
