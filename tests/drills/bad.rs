//! A drill that cannot be: what is wrong, where, and what to do. Never a panic, never a drill half read.

use std::fmt::Write as _;

use proptest::prelude::*;
use straybelt::problem::{Code, Problem, Report};
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, DrillFault};

use crate::support::{SHIPPED, read_text};

/// A sound drill, to be spoiled.
const SOUND: &str = r#"[
    (
        id: "sound",
        title: "Sound",
        grade: First,
        briefing: "It runs off.",
        conveyor: (
            name: "OQ-04 salt reclaim", class: "troughed-bulk", reversing: "no", crowned: "no",
            carcass: "fabric", take_up: "screw", place: "indoors",
            centres: "38 m", speed: "1.25 m/s",
            belt: (width: "800 mm", mass: "10 kg/m"),
            tail: (diameter: "400 mm", face: "950 mm", bearing_centres: "1150 mm"),
            head: (diameter: "500 mm", face: "950 mm"),
        ),
        hidden: [
            (
                cause: "unequal-take-up-screws",
                parts: [
                    ScrewsUneven(out: Left, by: "14 mm"),
                ],
                yields_to: ["equalise-screws"],
            ),
        ],
        shows: [("last-work", "take-up")],
        expert: ["slack-side"],
        aims: ["Both screws alike."],
        talk: ["Why?"],
        source: CommonPractice,
    ),
]
"#;

/// What is spoiled: what is wrong with it, what stands there, what is put in its place.
const SPOILED: &[(&str, &str, &str)] = &[
    ("unknown cause", "cause: \"unequal-take-up-screws\"", "cause: \"unequal-screws\""),
    ("unknown question", "\"slack-side\"", "\"slack-sides\""),
    ("unknown answer", "\"take-up\")", "\"takeup\")"),
    ("unknown fix", "\"equalise-screws\"", "\"equalize-screws\""),
    ("unknown grade", "grade: First", "grade: Easy"),
    ("unknown part", "ScrewsUneven(", "ScrewUneven("),
    ("unknown field", "talk:", "talks:"),
    ("unknown field of a part", "out: Left", "side: Left"),
    ("missing field", "        briefing: \"It runs off.\",\n", ""),
    ("no side", "out: Left", "out: Up"),
    (
        "station beyond the conveyor",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "IdlerSkewed(strand: Return, station: 99, ahead: Left, by: \"14 mm\")",
    ),
    (
        "station nought",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "IdlerSkewed(strand: Carry, station: 0, ahead: Left, by: \"14 mm\")",
    ),
    (
        "station below nothing",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "IdlerSkewed(strand: Carry, station: -1, ahead: Left, by: \"14 mm\")",
    ),
    ("negative size", "by: \"14 mm\"", "by: \"-14 mm\""),
    ("a metre", "by: \"14 mm\"", "by: \"1 m\""),
    ("no size", "by: \"14 mm\"", "by: \"a bit\""),
    (
        "frame beyond the head",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "FrameLow(from: \"30 m\", to: \"60 m\", low: Left, by: \"14 mm\")",
    ),
    (
        "frame back to front",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "FrameLow(from: \"30 m\", to: \"20 m\", low: Left, by: \"14 mm\")",
    ),
    (
        "splice beyond the belt",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "SpliceCrooked(at: \"100 m\", toward: Left, by: \"14 mm\")",
    ),
    (
        "crown more than worn",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "CrownWorn(pulley: Tail, share: 1.5)",
    ),
    ("pull of nothing", "ScrewsUneven(out: Left, by: \"14 mm\")", "Pull(times: 0.0)"),
    ("pull below nothing", "ScrewsUneven(out: Left, by: \"14 mm\")", "Pull(times: -1.0)"),
    ("pull that is no number", "ScrewsUneven(out: Left, by: \"14 mm\")", "Pull(times: NaN)"),
    (
        "wind that is no number",
        "ScrewsUneven(out: Left, by: \"14 mm\")",
        "Wind(strand: Carry, from: \"2 m\", to: \"9 m\", toward: Left, newtons_per_metre: NaN)",
    ),
    ("belt wider than the face", "face: \"950 mm\", bearing", "face: \"700 mm\", bearing"),
    (
        "belt wider than the bearings stand",
        "bearing_centres: \"1150 mm\"",
        "bearing_centres: \"700 mm\"",
    ),
    ("pulleys that overlap", "centres: \"38 m\"", "centres: \"400 mm\""),
    ("speed of nothing", "speed: \"1.25 m/s\"", "speed: \"0 m/s\""),
    ("cause that cannot be here", "take_up: \"screw\"", "take_up: \"gravity\""),
    ("no fix here", "\"equalise-screws\"", "\"ease-counterweight\""),
    ("no parts", "                    ScrewsUneven(out: Left, by: \"14 mm\"),\n", ""),
    ("no aims", "[\"Both screws alike.\"]", "[]"),
    ("an aim that says nothing", "\"Both screws alike.\"", "\" \""),
    ("an id that is none", "id: \"sound\"", "id: \"Sound one\""),
    ("a bracket left out", "shows: [(", "shows: ["),
];

fn told(name: &str, problems: &[Problem]) -> String {
    let mut text = format!("{name}\n");
    for problem in problems {
        let place = &problem.labels[0].place;
        writeln!(text, "  {place} {}: {}", problem.code.word(), problem.message).unwrap();
        for help in &problem.help {
            writeln!(text, "    {help}").unwrap();
        }
    }
    text
}

#[test]
fn a_sound_drill_is_read() {
    let (drills, problems) = read_text(SOUND);
    assert_eq!(problems, &[]);
    assert_eq!(drills.len(), 1);
}

#[test]
fn what_is_wrong_is_told_with_its_place_and_a_remedy() {
    let mut all = String::new();
    for (name, there, instead) in SPOILED {
        assert_eq!(SOUND.matches(there).count(), 1, "{name}");
        let (drills, problems) = read_text(&SOUND.replace(there, instead));
        assert!(drills.is_empty(), "{name} is read");
        assert!(problems.iter().any(Problem::is_error), "{name} is not told");
        for problem in &problems {
            let place = problem.labels[0].place.to_string();
            assert!(place.starts_with("drills/x.ron:"), "{name}: {place}");
            // What is expected, and between what it lies, stands in the message itself.
            let says_itself = matches!(problem.code, Code::Shape | Code::Syntax | Code::Quantity);
            let told = says_itself || !problem.help.is_empty();
            assert!(told, "{name}: {} has no remedy", problem.message);
        }
        all.push_str(&told(name, &problems));
    }
    insta::assert_snapshot!(all);
}

/// On 20 km the first page alone took more than half a minute.
#[test]
fn a_conveyor_too_long_to_be_waited_for_is_refused() {
    let (drills, problems) = read_text(&SOUND.replace("\"38 m\"", "\"20000 m\""));
    assert!(drills.is_empty());
    let told = problems.iter().find(|problem| problem.message.contains("at most 3000"));
    assert_eq!(told.map(|problem| problem.code), Some(Code::NumberRange));
}

#[test]
fn one_bad_drill_does_not_take_the_good_ones_with_it() {
    let (before, after) = SOUND.split_once('[').unwrap();
    let one = after.rsplit_once(']').unwrap().0;
    let second = one.replace("\"sound\"", "\"second\"").replace("14 mm", "-14 mm");
    let third = one.replace("\"sound\"", "\"third\"");
    let (drills, problems) = read_text(&format!("{before}[{one}{second}{third}]"));
    let ids: Vec<&str> = drills.iter().map(|drill| drill.id.as_str()).collect();
    assert_eq!(ids, ["sound", "third"]);
    assert_eq!(problems.len(), 1);
}

#[test]
fn two_drills_of_one_id_are_told_of() {
    let one = SOUND.trim().trim_start_matches('[').trim_end_matches(']');
    let (drills, problems) = read_text(&format!("[{one}{one}]"));
    assert_eq!(drills.len(), 1);
    assert_eq!(problems[0].code.word(), "twice-id");
    assert_eq!(problems[0].labels.len(), 2, "both places");
}

#[test]
fn what_hides_so_little_that_it_does_not_show_is_told_of() {
    let (drills, problems) = read_text(&SOUND.replace("14 mm", "0.1 mm"));
    assert_eq!(problems, &[]);
    let problem = straybelt::drill::read::run(&drills[0]).expect("it is told");
    assert_eq!(problem.code.word(), "drill-runs-true");
    assert!(!problem.help.is_empty());
}

/// A site that switches off what a learner can make would see advice that knows nothing of it.
#[test]
fn what_a_learner_can_make_and_no_cause_stands_for_is_told_of() {
    let checked = load::read(None);
    let mut book = checked.book.clone().unwrap();
    let told = |book: &Book| {
        let mut report = Report::default();
        straybelt::drill::read::read(book, &checked, &mut report);
        report.sorted()
    };
    assert_eq!(told(&book), []);
    for cause in book.causes.places() {
        let learners = [DrillFault::SkewedIdlers, DrillFault::TightBelt].map(Some);
        if learners.contains(&book.causes[cause].drilled_as) {
            book.causes[cause].drilled_as = None;
        }
    }
    let problems = told(&book);
    let lines: Vec<_> = problems.iter().map(|p| (p.code.word(), p.message.as_str())).collect();
    let no = "and no cause is drilled as that";
    let [skewed, tight] =
        ["SkewedIdlers", "TightBelt"].map(|fault| format!("a learner can make {fault}, {no}"));
    assert_eq!(lines, [("no-meaning", skewed.as_str()), ("no-meaning", tight.as_str())]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// A file cut short or with a character changed is told of or read; it never panics and gives no drill that
    /// cannot be begun.
    #[test]
    fn a_spoiled_file_never_panics(which in 0..4_usize, at in any::<prop::sample::Index>(), put in "[-0-9a-zN\"(),:\\[\\]]{0,3}", cut in any::<bool>()) {
        let text = format!("[{}]", SHIPPED.0[which].text);
        let at = at.index(text.len());
        if text.is_char_boundary(at) && text.is_char_boundary(at + 1) {
            let end = if cut { text.len() } else { at + 1 };
            let spoiled = format!("{}{put}{}", &text[..at], &text[end..]);
            let (drills, problems) = read_text(&spoiled);
            prop_assert!(!drills.is_empty() || !problems.is_empty() || spoiled.trim() == "[]");
        }
    }
}
