//! How common a cause is may hang on the conveyor: the first that holds counts, elsewhere the plain word.

use straybelt::conveyor::ConveyorSize;
use straybelt::conveyor::facts::{FactKey, Facts};
use straybelt::problem::Code;
use straybelt::rulebook::export;
use straybelt::rulebook::model::Book;
use straybelt::visit::{Diagnosis, Observations};

use super::overlay::{book, entry, over};

const SITE: &str = r#"(change: [
    Cause(id: "load-off-centre", on: [
        ([Conveyor("class", ["package"]), Conveyor("take_up", ["screw"])], Rarest),
        ([Conveyor("class", ["package", "flat"])], Occasional),
        ([Not(Conveyor("tripper", ["no", "yes"])), Conveyor("place", ["outdoors"])], Chance(0.3)),
        ([Conveyor("tripper", ["yes"])], Leading),
    ]),
])"#;

fn facts(known: &[(&str, &str)]) -> Facts {
    known.iter().map(|(key, value)| FactKey::named(key).unwrap().with(value).unwrap()).collect()
}

fn prior(book: &Book, known: &[(&str, &str)]) -> f64 {
    let document = export::document_for(book, &facts(known), ConveyorSize::default());
    let document = serde_json::to_value(document).unwrap();
    entry(&document, "causes", "load-off-centre").unwrap()["prior"].as_f64().unwrap()
}

#[test]
fn the_first_that_holds_counts_and_elsewhere_the_plain_word() {
    let plain = prior(&straybelt::rulebook::load::default_book().unwrap(), &[]);
    let book = book(&[("site.ron", SITE)]);
    let of = |known: &[(&str, &str)]| prior(&book, known);
    assert_eq!(of(&[]), plain, "nothing is known of it");
    assert_eq!(of(&[("class", "troughed-bulk")]), plain);
    assert_eq!(of(&[("class", "package")]), 0.010, "its take-up is not known");
    assert_eq!(of(&[("class", "package"), ("take_up", "screw")]), 0.002);
    assert_eq!(of(&[("class", "flat"), ("take_up", "screw")]), 0.010);
    assert_eq!(of(&[("tripper", "yes"), ("place", "outdoors")]), 0.075);
    assert_eq!(
        of(&[("place", "outdoors")]),
        plain,
        "what is not known does not hold, turned round or not"
    );
}

#[test]
fn a_visit_begins_with_the_priors_of_its_conveyor() {
    let book = book(&[("site.ron", SITE)]);
    let diagnosis = Diagnosis::new(&book);
    let chance = |known: &[(&str, &str)]| {
        let finding = diagnosis.finding(&facts(known), &Observations::none(&book));
        let mut ranked = finding.ranked.iter();
        ranked.find(|r| book.causes[r.cause].id == "load-off-centre").unwrap().probability
    };
    let bulk = ("class", "troughed-bulk");
    let (plain, with) = (chance(&[bulk]), chance(&[bulk, ("tripper", "yes")]));
    assert!(with > 1.4 * plain, "{with} against {plain}");
}

#[test]
fn a_word_of_the_site_is_meant_of_all_its_conveyors() {
    let site = r#"(change: [Cause(id: "load-off-centre", how_common: Rare)])"#;
    let whole = book(&[("site.ron", site)]);
    assert_eq!(prior(&whole, &[("class", "package")]), 0.004);
    let both = r#"(change: [Cause(id: "load-off-centre", how_common: Rare,
        on: [([Conveyor("class", ["package"])], Common)])])"#;
    let both = book(&[("site.ron", both)]);
    assert_eq!(prior(&both, &[("class", "package")]), 0.025);
    assert_eq!(prior(&both, &[("class", "flat")]), 0.004);
}

#[test]
fn an_answer_and_no_condition_at_all_are_refused() {
    for on in [r#"[([Answer("still-roll", ["yes"])], Rare)]"#, "[([], Rare)]"] {
        let site = format!("(change: [Cause(id: \"load-off-centre\", on: {on})])");
        let checked = over(&[("site.ron", &site)]);
        assert!(checked.problems.iter().any(|p| p.code == Code::PriorOn), "{:?}", checked.problems);
        assert!(checked.book.is_none());
    }
}

/// What is believable on most conveyors may not be so on one kind of them.
#[test]
fn the_sums_are_kept_for_each_kind_of_conveyor() {
    let common = |id: &str| {
        format!("Cause(id: \"{id}\", on: [([Conveyor(\"take_up\", [\"winch\"])], Chance(0.3))])")
    };
    let changes: Vec<String> = ["load-off-centre", "stuck-roll", "old-trims"].map(common).into();
    let site = format!("(change: [{}])", changes.join(", "));
    let checked = over(&[("site.ron", &site)]);
    for code in [Code::PriorSum, Code::MassLeftOut] {
        let told: Vec<_> = checked.problems.iter().filter(|p| p.code == code).collect();
        assert_eq!(told.len(), 1, "{:?}", checked.problems);
        assert!(told[0].message.contains("take_up winch"), "{}", told[0].message);
    }
}
