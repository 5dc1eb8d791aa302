//! What the questions cannot tell apart.

use std::fs;
use std::path::Path;

use straybelt::conveyor::facts::Facts;
use straybelt::proof::separate::{self, Levels};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;

use super::run;
use crate::support::files::{small, small_folder};
use crate::support::pages::held;

/// The small book with a second splice cause that shows the same, and a question that tells nothing.
fn twins(folder: &Path) -> Book {
    for entry in ["causes", "fixes", "symptoms"] {
        fs::create_dir_all(folder.join(entry)).unwrap();
    }
    let small = small_folder();
    for file in ["book.ron", "cautions.ron", "edge-room.ron", "stop-now.ron"] {
        fs::copy(small.join(file), folder.join(file)).unwrap();
    }
    for kind in ["causes", "fixes", "symptoms"] {
        for file in fs::read_dir(small.join(kind)).unwrap() {
            let file = file.unwrap();
            fs::copy(file.path(), folder.join(kind).join(file.file_name())).unwrap();
        }
    }
    let twin = r#"[
    (   id: "twin-splice", name: "Twin of the splice", how_common: Common,
        happens_because: "It shows just what the other shows.",
        signs: [Shows("what-is-off", [("one-part", Usually)]), Sees("jumps", Always)],
        source: CommonPractice,
    ),
]"#;
    fs::write(folder.join("causes/twin.ron"), twin).unwrap();
    let fix = r#"[
    (   id: "mend-twin", title: "Mend the twin", stage: Belt, cures: [("twin-splice", Usually)],
        state: LockedOut, minutes: 60.0, no_check: "A test.", steps: [Do("Mend it.")],
        done_when: ("It is mended", CommonPractice), source: CommonPractice,
    ),
]"#;
    fs::write(folder.join("fixes/twin.ron"), fix).unwrap();
    let idle = r#"[
    (   id: "colour", kind: Pattern, ask: "What colour is the belt?",
        answers: [("black", "Black"), ("white", "White")],
        look: "From outside the guards.", why: "It tells nothing.",
        minutes: 1.0, state: Running, by_itself: [("black", Usually)], source: CommonPractice,
    ),
]"#;
    fs::write(folder.join("symptoms/idle.ron"), idle).unwrap();
    load::with_site(Some(folder)).unwrap().0
}

#[test]
fn twins_an_idle_question_and_its_answers_are_found() {
    let folder = tempfile::tempdir().unwrap();
    let book = twins(folder.path());
    let found = separate::separation(&book, &Facts::default(), &Levels::default());
    assert_eq!(found.pairs.len(), 6);
    let hardest = &found.pairs[0];
    let ids = [hardest.one, hardest.other].map(|at| book.causes[at].id.as_str());
    assert_eq!(ids, ["crooked-splice", "twin-splice"]);
    assert!(!hardest.reached && hardest.best.is_none() && hardest.questions.is_empty());
    assert_eq!((hardest.decibans, hardest.minutes), (0.0, 0.0));
    let idle: Vec<_> = found
        .idle
        .iter()
        .map(|idle| {
            (
                book.symptoms[idle.symptom].id.as_str(),
                book.symptoms[idle.symptom].answers[idle.answer].id.as_str(),
            )
        })
        .filter(|(symptom, _)| *symptom == "colour")
        .collect();
    assert_eq!(idle, [("colour", "black"), ("colour", "white")]);
    let slow = found.slow.iter().filter(|slow| slow.rate < found.levels.worth);
    let slow: Vec<_> = slow.map(|slow| book.symptoms[slow.symptom].id.as_str()).collect();
    assert_eq!(slow, ["colour"]);
}

/// By hand, for the small book: the splice jumps with 0.9724, dirty rolls with 0.08.
#[test]
fn the_separation_of_two_causes_is_that_of_the_pocket_calculator() {
    let book = small();
    let found = separate::separation(&book, &Facts::default(), &Levels::default());
    let at = |id: &str| book.causes.iter().find(|(_, cause)| cause.id == id).unwrap().0;
    let pair = found
        .pairs
        .iter()
        .find(|pair| (pair.one, pair.other) == (at("dirty-rolls"), at("crooked-splice")))
        .unwrap();
    let best = pair.best.unwrap();
    assert_eq!(book.symptoms[best.symptom].id, "jumps");
    let (p, q) = (0.08_f64, 0.9724_f64);
    let mean = f64::midpoint(p, q);
    let one = p * (p / mean).log2() + (1.0 - p) * ((1.0 - p) / (1.0 - mean)).log2();
    let other = q * (q / mean).log2() + (1.0 - q) * ((1.0 - q) / (1.0 - mean)).log2();
    assert!((best.bits - f64::midpoint(one, other)).abs() < 1e-9, "{}", best.bits);
    let if_dirty = 10.0 * (p * (p / q).log10() + (1.0 - p) * ((1.0 - p) / (1.0 - q)).log10());
    let if_splice = 10.0 * (q * (q / p).log10() + (1.0 - q) * ((1.0 - q) / (1.0 - p)).log10());
    assert!((best.decibans - if_dirty.min(if_splice)).abs() < 1e-9, "{}", best.decibans);
    // It is the quickest as well: three minutes and more than ten decibans apart after one more look.
    assert_eq!(book.symptoms[pair.questions[0]].id, "jumps");
    assert!(pair.reached);
}

#[test]
fn a_voice_relative_to_a_side_is_counted_beside_that_side() {
    let book = small();
    let levels = Levels { apart: 100.0, ..Levels::default() };
    let found = separate::separation(&book, &Facts::default(), &levels);
    let at = |id: &str| book.causes.iter().find(|(_, cause)| cause.id == id).unwrap().0;
    let pair = found
        .pairs
        .iter()
        .find(|pair| (pair.one, pair.other) == (at("dirty-rolls"), at("low-frame")))
        .unwrap();
    // Which side it runs to tells nothing by itself, but beside the low side of the frame it does.
    let ids: Vec<_> = pair.questions.iter().map(|at| book.symptoms[*at].id.as_str()).collect();
    assert!(ids.contains(&"runs-toward") && ids.contains(&"low-side"), "{ids:?}");
}

#[test]
fn what_cannot_be_told_apart_reads_well() {
    let folder = tempfile::tempdir().unwrap();
    twins(folder.path());
    let name = folder.path().display().to_string();
    let page = held(|width| {
        let output = run(width, &["separate", &name]);
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        String::from_utf8(output.stdout).unwrap()
    });
    insta::assert_snapshot!("shelf-separate-40", page);
    let output = run(80, &["separate", &name, "--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["pairs"][0]["causes"], serde_json::json!(["crooked-splice", "twin-splice"]));
}
