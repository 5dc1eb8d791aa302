//! Drawn visits, and what comes of playing them.

use straybelt::proof::draw::{Drawn, On};
use straybelt::proof::policy::{PolicyReport, PolicySettings, simulate};
use straybelt::proof::walk::{AskingOrder, Policy, Until};
use straybelt::reason::{Belief, Evidence, Worth};
use straybelt::rulebook::index::{AnswerAt, Place, SymptomAt};
use straybelt::rulebook::load::default_book;
use straybelt::rulebook::model::Book;
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::proof_policy::{PolicyHead, PolicyJson, page};
use straybelt::visit::{
    ConveyorFacts, Depth, Diagnosis, FoundReport, Observations, Reply, Stop, asking,
};

use crate::support::books::{answered, conveyor_is, known, not};
use crate::support::files::small;
use crate::support::pages::fits;

fn played(book: &Book, visits: usize, seed: u64, policies: &[Policy]) -> PolicyReport {
    let setting = PolicySettings { visits, seed, on: On::Any, policies, other: 0.0 };
    simulate(book, &setting, &mut |_| {})
}

fn drawn(book: &Book, facts: &ConveyorFacts, visits: usize) -> Vec<Drawn> {
    let diagnosis = Diagnosis::new(book);
    let of = |number| Drawn::new(diagnosis.engine(), book, On::This(facts), 5, number);
    (0..visits).map(|number| of(number).unwrap()).collect()
}

/// Fails unless a share of so many draws is near its chance: within four standard errors.
#[track_caller]
fn near(hits: usize, of: usize, chance: f64, what: &str) {
    let share = hits as f64 / of as f64;
    let error = (chance * (1.0 - chance) / of as f64).sqrt();
    assert!((share - chance).abs() <= 4.0 * error, "{what}: {share}, not {chance}");
}

#[test]
fn visits_are_drawn_as_often_as_the_book_says() {
    let book = small();
    let draws = drawn(&book, &ConveyorFacts::default(), 4_000);
    let diagnosis = Diagnosis::new(&book);
    let evidence = Evidence::none(book.causes.len(), book.symptoms.len());
    let belief = Belief::new(diagnosis.engine(), &evidence).unwrap();
    for (cause, chance) in belief.marginals().iter() {
        let hits = draws.iter().filter(|d| d.present.contains(&cause)).count();
        near(hits, draws.len(), *chance, &book.causes[cause].id);
    }
    for symptom in book.symptoms.places() {
        let worth = Worth::new(diagnosis.engine(), &evidence, &belief, symptom);
        for (answer, chance) in worth.chances.iter().enumerate() {
            let reply = Reply::Answer(AnswerAt::at(answer));
            let hits = draws.iter().filter(|d| d.reply(symptom) == reply).count();
            near(hits, draws.len(), *chance, &book.symptoms[symptom].id);
        }
    }
    // What work cures, and what is said of it.
    let cause = draws[0].present[0];
    let with: Vec<&Drawn> = draws.iter().filter(|d| d.present.contains(&cause)).collect();
    let cured = |d: &&&Drawn| !d.remaining(|_| 0.7).contains(&cause);
    near(with.iter().filter(cured).count(), with.len(), 0.7, "cured");
    let said = |d: &&&Drawn| d.found(&book, cause) == FoundReport::AsSuspected;
    near(with.iter().filter(said).count(), with.len(), 0.95, "as suspected");
}

#[test]
fn what_does_not_apply_is_neither_present_nor_answered() {
    let mut book = small();
    let (first, second) = (SymptomAt::at(0), SymptomAt::at(1));
    let cause = book.causes.places().next().unwrap();
    book.symptoms[second].only_if = vec![answered(0, &[0])];
    book.causes[cause].only_if = vec![conveyor_is("class", &["flat"])];
    let facts =
        |class: &str| ConveyorFacts { facts: known("class", class), ..ConveyorFacts::default() };
    for visit in drawn(&book, &facts("package"), 200) {
        assert!(!visit.present.contains(&cause));
        let open = visit.reply(first) == Reply::Answer(AnswerAt::at(0));
        assert_eq!(visit.reply(second) != Reply::CantTell, open);
    }
    // A condition on an answer holds of whatever is present.
    book.causes[cause].only_if = vec![not(answered(0, &[2]))];
    for visit in drawn(&book, &facts("flat"), 500) {
        let out = visit.reply(first) == Reply::Answer(AnswerAt::at(2));
        assert!(!(out && visit.present.contains(&cause)), "{visit:?}");
    }
}

#[test]
fn the_same_seed_gives_the_same_figures() {
    let book = small();
    let once = played(&book, 60, 9, &Policy::ALL);
    assert_eq!(once, played(&book, 60, 9, &Policy::ALL));
    assert_ne!(once, played(&book, 60, 10, &Policy::ALL));
    // The other ways do not change what is drawn for the own one.
    let alone = played(&book, 60, 9, &[Policy::OWN]);
    assert_eq!(once.figures[0], alone.figures[0]);
}

/// Visits whose trouble is none of the book's causes count for themselves alone, and are as many as asked for.
#[test]
fn what_is_none_of_the_causes_counts_for_itself() {
    let mut book = small();
    book.something_else = 0.1;
    let setting =
        PolicySettings { visits: 400, seed: 3, on: On::Any, policies: &Policy::ALL, other: 0.25 };
    let report = simulate(&book, &setting, &mut |_| {});
    near(report.others, report.visits, 0.25, "others");
    for (policy, of) in &report.figures {
        assert_eq!(of.named_other.of, report.others, "{policy:?}");
        assert_eq!(of.right_first.of, report.visits - report.others, "{policy:?}");
    }
    // Whoever looks at everything knows at least as often as whoever stops sooner.
    let by = |until: Until| {
        let mut all = report.figures.iter().filter(|(policy, _)| policy.until == until);
        all.next().map(|(_, of)| of.right_first.hits).unwrap()
    };
    assert!(by(Until::Told) >= by(Until::At(60)), "{} {}", by(Until::Told), by(Until::At(60)));
}

#[test]
fn stated_minutes_agree_with_the_best_way_worked_out() {
    let book = small();
    let report = played(&book, 2_000, 3, &[Policy::OWN]);
    let (own, exact) = (&report.figures[0].1, report.exact.unwrap());
    let stated = own.minutes_expected;
    assert!(
        (stated.mean - exact.own).abs() <= 2.0 * stated.give_or_take,
        "{stated:?} stated, {} expected",
        exact.own
    );
    // And what comes agrees with what was stated.
    let came = own.minutes;
    assert!((came.mean - exact.own).abs() <= 2.0 * came.give_or_take, "{came:?}");
}

#[test]
fn visits_to_the_shipped_book_end() {
    let book = default_book().unwrap_or_else(|p| panic!("{p:?}"));
    let report = played(&book, 2, 1, &Policy::ALL);
    assert_eq!((report.visits, report.figures.len()), (2, Policy::ALL.len()));
    for (policy, of) in &report.figures {
        assert!(of.minutes.mean >= of.minutes_asking.mean, "{policy:?}");
        assert!(of.questions.mean >= 3.0, "{policy:?}");
    }
    assert_eq!(report.exact, None);
    assert!(report.figures.iter().any(|(p, _)| p.order == AskingOrder::Random));
}

/// A simulated visit takes a short way to the program's own next question.
#[test]
fn simulated_visits_ask_what_the_program_asks() {
    let book = default_book().unwrap_or_else(|p| panic!("{p:?}"));
    let diagnosis = Diagnosis::new(&book);
    let (mut asked, mut looking) = (0, 0);
    for number in 0..3 {
        let drawn = Drawn::new(diagnosis.engine(), &book, On::Any, 11, number).unwrap();
        let mut told = Observations::none(&book);
        loop {
            let applicable = diagnosis.applicability(&drawn.facts.facts, &told);
            let finding = diagnosis.finding_to(&drawn.facts.facts, &told, Depth::Questions);
            assert_eq!(diagnosis.stop(&applicable), finding.stop, "{number}, question {asked}");
            looking += usize::from(matches!(finding.stop, Stop::LookOn(_)));
            if finding.stop.now() {
                break;
            }
            let Stop::LookOn(look) = finding.stop else { panic!("{:?}", finding.stop) };
            assert_eq!(finding.next_looks[0], look);
            told.standing = told.standing.moved_to(&book, look.look);
            for symptom in look.items {
                told.machine = asking(&book, symptom, told.machine).1;
                told.replies[symptom] = drawn.reply(symptom);
                asked += 1;
            }
        }
    }
    assert!(looking > 15 && asked > looking);
}

#[test]
fn the_pages() {
    let mut book = small();
    // With less than that one look is enough.
    book.thresholds.enough = 0.9;
    let report = played(&book, 200, 1, &Policy::ALL);
    let head = PolicyHead { book: &book, seed: 1, conveyor: None };
    for width in [40, 80] {
        let text = page(Screen::new(width, Paint::NONE), head, &report);
        fits(&text, width);
        insta::assert_snapshot!(format!("policy-{width}"), text);
    }
    let json = serde_json::to_value(PolicyJson::new(head, &report)).unwrap();
    assert_eq!(json["policies"][0]["order"], "own");
    assert_eq!(json["policies"][0]["leading_cause"]["bands"].as_array().unwrap().len(), 10);
}
