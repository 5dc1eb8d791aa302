//! Several answers at once in the shipped book: what an answers file may say, and what its conditions make of it.

use std::sync::LazyLock;

use straybelt::conveyor::facts::Facts;
use straybelt::reason::{Truth, truth};
use straybelt::rulebook::index::{FixAt, SymptomAt};
use straybelt::rulebook::load;
use straybelt::rulebook::model::{About, Book, Meaning};
use straybelt::visit::{Observations, Reply, answers};

static BOOK: LazyLock<Book> = LazyLock::new(|| load::default_book().unwrap());

fn split() -> SymptomAt {
    BOOK.roles.first_split.unwrap()
}

fn read(value: &str) -> Result<Observations, Vec<String>> {
    let text = format!(r#"(answers: {{"first-split": {value}}})"#);
    let read = answers::parse(&BOOK, "told.ron", text);
    read.map(|answers| answers.observed).map_err(|problems| {
        let line = |problem: &straybelt::problem::Problem| {
            format!("{} {}: {}", problem.labels[0].place, problem.code.word(), problem.message)
        };
        problems.0.iter().map(line).collect()
    })
}

/// What is ticked, as the files name it.
fn ticked(value: &str) -> Vec<String> {
    let told = read(value).unwrap_or_else(|wrong| panic!("{value}: {wrong:?}"));
    let Reply::Answer(answer) = told.replies[split()] else { panic!("{value}") };
    BOOK.symptoms[split()].ticked(answer).map(|mark| mark.id.clone()).collect()
}

#[test]
fn a_list_a_lone_word_and_an_empty_list_are_read() {
    assert_eq!(ticked(r#"["one-place", "one-part"]"#), ["one-place", "one-part"]);
    assert_eq!(ticked(r#"["one-part", "one-place"]"#), ["one-place", "one-part"]);
    assert_eq!(ticked(r#"["long-stretch"]"#), ["long-stretch"]);
    assert_eq!(ticked(r#""long-stretch""#), ["long-stretch"]);
    assert!(ticked("[]").is_empty());
    assert_eq!(read(r#""unknown""#).unwrap().replies[split()], Reply::CantTell);
}

#[test]
fn a_list_that_is_wrong_is_told_with_its_place() {
    for (value, wrong) in [
        (
            r#"["one-place", "one-place"]"#,
            "told.ron:1:41 twice-named: this answer stands here twice",
        ),
        (
            r#"["one-place", "unknown"]"#,
            "told.ron:1:41 unknown-word: no such answer to `first-split` ([]: none of them): `unknown`",
        ),
        (
            r#""no-pattern""#,
            "told.ron:1:27 unknown-word: no such answer to `first-split` ([]: none of them): `no-pattern`",
        ),
        (r#""one-place+one-part""#, "no such answer to `first-split`"),
        ("[3]", "told.ron:1:28 shape: expected one of: one-place, long-stretch, one-part"),
        ("3", "told.ron:1:27 shape: expected one of: one-place, long-stretch, one-part, unknown"),
    ] {
        let said = read(value).unwrap_err();
        assert!(said.len() == 1 && said[0].contains(wrong), "{value}: {said:?}");
    }
    let list = r#"(answers: {"strand": ["carry", "return"]})"#;
    let said = answers::parse(&BOOK, "told.ron", list.to_owned()).unwrap_err();
    assert!(said.0[0].message.starts_with("expected one of: carry"), "{:?}", said.0);
}

/// Training a strand waits for all the belt off at one place or along a stretch: with a bit of belt besides it may be
/// done, with that alone it may not.
#[test]
fn a_condition_holds_if_any_of_its_answers_is_ticked() {
    let (_, fix) = BOOK.fixes.iter().find(|(_, fix)| fix.id == "train-return-run").unwrap();
    let about = |condition: &&straybelt::rulebook::model::Condition| matches!(condition.about, About::Answer { symptom, .. } if symptom == split());
    let condition = fix.only_if.iter().find(about).unwrap();
    for (value, holds) in [
        (r#"["one-place"]"#, Truth::True),
        (r#"["one-place", "one-part"]"#, Truth::True),
        (r#"["one-place", "long-stretch", "one-part"]"#, Truth::True),
        (r#"["one-part"]"#, Truth::False),
        ("[]", Truth::False),
    ] {
        let told = read(value).unwrap();
        let answer = |symptom: SymptomAt| match told.replies[symptom] {
            Reply::Answer(answer) => Some(answer),
            _ => None,
        };
        assert_eq!(truth(condition, &Facts::default(), answer), holds, "{value}");
    }
    assert_eq!(truth(condition, &Facts::default(), |_| None), Truth::Unknown);
    assert!(BOOK.fixes.places().any(|at: FixAt| BOOK.fixes[at].id == fix.id));
}

/// Drawings and drills go by what an answer means; of several ticked together by the first.
#[test]
fn nothing_ticked_means_no_pattern_and_each_mark_its_own() {
    let entry = &BOOK.symptoms[split()];
    for meaning in Meaning::FIRST_SPLIT {
        let answer = entry.meant(meaning).unwrap();
        let ticked: Vec<&str> = entry.ticked(answer).map(|mark| mark.id.as_str()).collect();
        let expected: &[&str] = match meaning {
            Meaning::OnePlace => &["one-place"],
            Meaning::LongStretch => &["long-stretch"],
            Meaning::OnePart => &["one-part"],
            _ => &[],
        };
        assert_eq!(ticked, expected, "{meaning:?}");
    }
    assert_eq!(entry.answers.len(), 8);
    let both = entry.ticking(|mark| mark != 1);
    assert_eq!(entry.answers[both].means, Some(Meaning::OnePlace));
    assert_eq!(
        entry.answers[both].says,
        "All the belt at one place, and the same bit of belt wherever it goes"
    );
}
