//! From a gauge to the visit: what it tells answers the book's question, and its amount stands in the step.

use std::sync::OnceLock;

use straybelt::conveyor::facts::Facts;
use straybelt::gauge::{Outcome, named};
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::show::amounts::{Amounts, MeasuredAmount};
use straybelt::show::steps::{self, Preface};
use straybelt::show::words::{Known, Sides};
use straybelt::trade::Units;
use straybelt::visit::{Diagnosis, Observations, Reply, answer_id, answered};

use crate::support::work;

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    BOOK.get_or_init(|| load::default_book().unwrap())
}

/// What a measurement answers: each question with its answer, or with none where it is too close to call.
fn answers(gauge: &str, outcome: &Outcome) -> Vec<(String, Option<String>)> {
    let book = book();
    answered(book, named(gauge).unwrap(), outcome)
        .into_iter()
        .map(|(symptom, answer)| {
            let answer = answer.map(|answer| answer_id(book, symptom, answer));
            (book.symptoms[symptom].id.clone(), answer)
        })
        .collect()
}

/// The steps of a fix once that was measured and the question was answered by it.
fn steps_of(fix: &str, gauge: &'static str, outcome: &Outcome, told: (&str, &str)) -> String {
    let (book, facts, sides) = (book(), Facts::default(), Sides::named(None, None));
    let mut observed = Observations::none(book);
    let (at, symptom) = book.symptoms.iter().find(|(_, symptom)| symptom.id == told.0).unwrap();
    let given = symptom.answers.iter().find(|(_, given)| given.id == told.1).unwrap().0;
    observed.replies[at] = Reply::Answer(given);
    let finding = Diagnosis::new(book).finding(&facts, &observed);
    let amount = outcome.amount.as_ref().unwrap();
    let amounts = Amounts {
        measured: vec![MeasuredAmount {
            gauge,
            says: vec!["measured".to_owned()],
            size: Some(amount.size.words(Units::Metric)),
        }],
        ..Amounts::default()
    };
    let known = Known::new(book, &facts, &sides, &finding.answers).with_amounts(&amounts);
    let fix = book.fixes.iter().find(|(_, known)| known.id == fix).unwrap().0;
    let words = steps::fix_text(book, &known, fix, Preface::place(1));
    format!("{words:?}")
}

type Told = (
    &'static str,
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static [&'static [&'static str]],
);

fn told((gauge, way, _, single, rows): Told) -> Outcome {
    work(named(gauge).unwrap(), way, single, rows).unwrap()
}

/// Gauge, way, what it answers, readings and rows.
const TELLS: &[Told] = &[
    (
        "bow",
        "string",
        "belt-bow=one-way",
        &[("edge", "left")],
        &[&["1", "0 m", "0"], &["1", "5 m", "70"], &["1", "10 m", "0"]],
    ),
    (
        "level",
        "water",
        "pulley-low-side=left",
        &[("left", "104"), ("right", "100"), ("across", "1 m"), ("bigger", "lower")],
        &[],
    ),
    (
        "snub",
        "tape",
        "snub-leads=right",
        &[("from", "pulley"), ("left", "804"), ("right", "800"), ("across", "1 m")],
        &[],
    ),
    (
        "runout",
        "dial",
        "shell-runout=yes",
        &[("hub", "moved")],
        &[
            &["0 deg", "0", "0"],
            &["60 deg", "0", "0"],
            &["120 deg", "0", "0"],
            &["180 deg", "0", "0"],
            &["240 deg", "0", "0"],
            &["300 deg", "0", "0"],
        ],
    ),
    ("roll", "caliper", "caked-roll=yes", &[("clean", "108")], &[&["1", "116", "", "108"]]),
    (
        "height",
        "level",
        "idler-low-side=right",
        &[("bigger", "lower")],
        &[&["1", "1 m", "0", "0"], &["2", "2 m", "0", "6"], &["3", "3 m", "0", "0"]],
    ),
    (
        "slip",
        "speeds",
        "start-squeal=yes",
        &[("pulley_speed", "2 m/s"), ("belt_speed", "1.7 m/s")],
        &[],
    ),
];

#[test]
fn each_measurement_answers_the_question_that_the_book_wires_to_it() {
    for told_so in TELLS {
        let (gauge, _, expected, ..) = *told_so;
        let (question, answer) = expected.split_once('=').unwrap();
        let got = answers(gauge, &told(*told_so));
        assert!(got.contains(&(question.to_owned(), Some(answer.to_owned()))), "{gauge}: {got:?}");
    }
}

#[test]
fn what_was_not_measured_is_not_answered() {
    // A shell that reads true says nothing of its hub; a level that was never turned says nothing of the pulley.
    let marks: &[&[&str]] = TELLS[3].4;
    let shell = work(named("runout").unwrap(), "dial", &[], marks).unwrap();
    assert_eq!(answers("runout", &shell), [("shell-runout".to_owned(), None)]);
    let packing = [("base", "500"), ("left_packing", "2"), ("right_packing", "0")];
    let once = work(named("level").unwrap(), "spirit", &packing, &[]).unwrap();
    assert_eq!(answers("level", &once), [("pulley-low-side".to_owned(), None)]);
    // Without the clean diameter nothing is said of cake.
    let rolls: &[&[&str]] = &[&["1", "116", "", "108"]];
    let cone = work(named("roll").unwrap(), "caliper", &[], rolls).unwrap();
    assert!(answers("roll", &cone).is_empty());
}

#[test]
fn the_amount_stands_in_the_step() {
    for (gauge, fix, question) in [
        ("level", "level-pulley", ("pulley-low-side", "left")),
        ("level", "level-hung-pulley", ("pulley-low-side", "left")),
        ("snub", "square-snub", ("snub-leads", "right")),
        ("height", "shim-idler", ("idler-low-side", "right")),
    ] {
        let told_so = TELLS.iter().find(|told| told.0 == gauge).unwrap();
        let outcome = told(*told_so);
        let amount = outcome.amount.as_ref().unwrap().size.words(Units::Metric);
        let page = steps_of(fix, gauge, &outcome, question);
        assert!(page.contains(&amount), "{fix}: no {amount} in {page}");
    }
}

#[test]
fn a_weight_measured_at_the_plan_stands_in_both_its_jobs() {
    let weight = |drawn| {
        let single = [("weight", "10 kN"), ("drawn", drawn)];
        work(named("weight").unwrap(), "hung", &single, &[]).unwrap()
    };
    for (drawn, fix) in [("8 kN", "ease-counterweight"), ("12 kN", "restore-take-up-weight")] {
        let page = steps_of(fix, "weight", &weight(drawn), ("return-sag", "flat"));
        let amount = weight(drawn).amount.unwrap().size.words(Units::Metric);
        assert!(page.contains(&amount), "{fix}: no {amount} in {page}");
    }
}
