//! What applies to this conveyor after these answers.

use straybelt::conveyor;
use straybelt::reason::{Applicability, Truth, truth};
use straybelt::rulebook::index::{AnswerAt, CauseAt, FixAt, List, Place, SymptomAt};
use straybelt::rulebook::model::Book;
use straybelt::visit::{Diagnosis, Observations, Stop};

use super::{signs, told};
use crate::support::books::{self, Known, NOTHING_KNOWN, answered, conveyor_is, fix, not};

const TROUGHED: Known = Known(&[("class", "troughed")]);
const FLAT: Known = Known(&[("class", "flat")]);

fn book() -> Book {
    let sign: (f64, &[(usize, f64)]) = (0.1, &[(0, 0.8)]);
    let mut book = books::book(signs(&[0.2, 0.2], &[sign, sign, sign]), 2);
    book.fixes.push(fix(10.0, &[(0, 0.9)]));
    book
}

fn applies(book: &Book, facts: &Known, answers: &[Option<usize>]) -> Applicability {
    let answers: List<SymptomAt, Option<AnswerAt>> =
        answers.iter().map(|a| a.map(AnswerAt::at)).collect();
    Applicability::new(book, facts, &answers)
}

#[test]
fn conditions_are_true_false_or_unknown() {
    let nothing = |_: SymptomAt| None;
    let yes = |_: SymptomAt| Some(AnswerAt::at(1));
    let class = conveyor_is("class", &["troughed", "steep"]);
    let said = answered(0, &[1, 2]);
    for (condition, facts, answer, plain) in [
        (&class, &TROUGHED, None, Truth::True),
        (&class, &FLAT, None, Truth::False),
        (&class, &NOTHING_KNOWN, None, Truth::Unknown),
        (&said, &NOTHING_KNOWN, Some(()), Truth::True),
        (&said, &NOTHING_KNOWN, None, Truth::Unknown),
    ] {
        let holds = |c| match answer {
            Some(()) => truth(c, facts, yes),
            None => truth(c, facts, nothing),
        };
        let turned = match plain {
            Truth::True => Truth::False,
            Truth::False => Truth::True,
            Truth::Unknown => Truth::Unknown,
        };
        assert_eq!(holds(condition), plain, "{condition:?}");
        assert_eq!(holds(&not(condition.clone())), turned, "not {condition:?}");
    }
    let no = |_: SymptomAt| Some(AnswerAt::at(0));
    assert_eq!(truth(&said, &NOTHING_KNOWN, no), Truth::False);
    assert_eq!(truth(&not(said), &NOTHING_KNOWN, no), Truth::True);
}

/// Unknown about the conveyor: causes and symptoms apply, fixes do not.
#[test]
fn an_unknown_conveyor_has_causes_and_symptoms_but_no_such_fixes() {
    for turned in [false, true] {
        let condition = conveyor_is("class", &["troughed"]);
        let condition = if turned { not(condition) } else { condition };
        let mut book = book();
        book.causes[CauseAt::at(0)].only_if = vec![condition.clone()];
        book.symptoms[SymptomAt::at(0)].only_if = vec![condition.clone()];
        book.fixes[FixAt::at(0)].only_if = vec![condition];
        for (facts, causes_and_symptoms, fixes) in
            [(&TROUGHED, !turned, !turned), (&FLAT, turned, turned), (&NOTHING_KNOWN, true, false)]
        {
            let applies = applies(&book, facts, &[None; 3]);
            assert_eq!(applies.causes[CauseAt::at(0)], causes_and_symptoms);
            assert_eq!(applies.symptoms[SymptomAt::at(0)], causes_and_symptoms);
            assert_eq!(applies.fixes[FixAt::at(0)], fixes);
            assert!(applies.causes[CauseAt::at(1)] && applies.symptoms[SymptomAt::at(1)]);
        }
    }
}

/// Not yet answered: the symptom stays closed, the cause believed, the fix out.
#[test]
fn an_open_question_keeps_what_hangs_on_it_closed() {
    for turned in [false, true] {
        let condition = answered(0, &[1]);
        let condition = if turned { not(condition) } else { condition };
        let mut book = book();
        book.causes[CauseAt::at(0)].only_if = vec![condition.clone()];
        book.symptoms[SymptomAt::at(1)].only_if = vec![condition.clone()];
        book.fixes[FixAt::at(0)].only_if = vec![condition];
        for (answer, cause, symptom, fix) in [
            (None, true, false, false),
            (Some(1), !turned, !turned, !turned),
            (Some(0), turned, turned, turned),
        ] {
            let applies = applies(&book, &NOTHING_KNOWN, &[answer, None, None]);
            assert_eq!(applies.causes[CauseAt::at(0)], cause, "{answer:?} {turned}");
            assert_eq!(applies.symptoms[SymptomAt::at(1)], symptom);
            assert_eq!(applies.fixes[FixAt::at(0)], fix);
        }
    }
}

/// All conditions must hold, and the answer to a question that does not apply opens nothing.
#[test]
fn answers_that_do_not_apply_are_ignored_with_the_reason() {
    let mut book = book();
    let fact = conveyor_is("class", &["troughed"]);
    book.symptoms[SymptomAt::at(1)].only_if = vec![fact.clone(), answered(0, &[1])];
    book.symptoms[SymptomAt::at(2)].only_if = vec![answered(1, &[1])];
    let all_yes = [Some(1); 3];

    let good = applies(&book, &TROUGHED, &all_yes);
    assert_eq!(good.counted.as_slice(), [Some(AnswerAt::at(1)); 3]);
    assert!(good.ignored.is_empty());

    let flat = applies(&book, &FLAT, &all_yes);
    let yes = Some(AnswerAt::at(1));
    assert_eq!(flat.counted.as_slice(), [yes, None, None]);
    let second = (SymptomAt::at(1), fact);
    let third = (SymptomAt::at(2), answered(1, &[1]));
    assert_eq!(flat.ignored, [second, third.clone()]);

    let first_no = applies(&book, &TROUGHED, &[Some(0), Some(1), Some(1)]);
    let second = (SymptomAt::at(1), answered(0, &[1]));
    assert_eq!(first_no.ignored, [second, third]);
    assert!(first_no.symptoms[SymptomAt::at(0)] && !first_no.symptoms[SymptomAt::at(1)]);

    // And they are no evidence: the finding is that of the first answer alone.
    let diagnosis = Diagnosis::new(&book);
    let with = diagnosis.finding(&FLAT, &told(&book, &[(0, 1), (1, 1), (2, 1)]));
    let alone = diagnosis.finding(&FLAT, &told(&book, &[(0, 1)]));
    assert_eq!(with.ranked, alone.ranked);
    assert_eq!(with.ignored.len(), 2);
    assert!(with.next.is_empty(), "neither of them is offered");
}

/// A question that was never answered cannot be ignored, whether it applies or not.
#[test]
fn only_answers_are_ignored() {
    let mut book = book();
    book.symptoms[SymptomAt::at(1)].only_if = vec![answered(0, &[1])];
    for first in [None, Some(0), Some(1)] {
        let applies = applies(&book, &NOTHING_KNOWN, &[first, None, None]);
        assert!(applies.ignored.is_empty(), "{first:?}");
    }
}

/// A fix waits when all that keeps it out are questions not yet answered; it is told which.
#[test]
fn a_fix_waits_for_answers_alone() {
    let mut book = book();
    let (class, first, second) =
        (conveyor_is("class", &["troughed"]), answered(0, &[1]), not(answered(1, &[1])));
    book.fixes[FixAt::at(0)].only_if = vec![class.clone(), first.clone(), second.clone()];
    let waiting = |book: &Book, facts: &Known, a: Option<usize>, b: Option<usize>| {
        let applies = applies(book, facts, &[a, b, None]);
        let at = |(fix, conditions)| {
            assert_eq!(fix, FixAt::at(0));
            conditions
        };
        let mut waiting = applies.waiting.into_iter().map(at);
        let conditions = waiting.next();
        assert!(waiting.next().is_none());
        conditions
    };
    let (yes, no) = (Some(1), Some(0));
    for (facts, a, b, expected) in [
        (&TROUGHED, None, None, Some(vec![first.clone(), second.clone()])),
        (&TROUGHED, yes, None, Some(vec![second])),
        (&TROUGHED, None, no, Some(vec![first])),
        (&TROUGHED, yes, no, None),  // it applies
        (&TROUGHED, no, None, None), // it never will
        (&TROUGHED, None, yes, None),
        (&FLAT, None, None, None),
        (&NOTHING_KNOWN, None, None, None), // the conveyor is not known
        (&NOTHING_KNOWN, yes, no, None),
    ] {
        assert_eq!(waiting(&book, facts, a, b), expected, "{a:?} {b:?}");
    }
    book.fixes[FixAt::at(0)].only_if = Vec::new();
    assert_eq!(waiting(&book, &NOTHING_KNOWN, None, None), None);
}

/// What a conveyor's own file says is known of it, and nothing else.
#[test]
fn a_file_tells_what_is_known_of_a_conveyor() {
    let text = "(class: \"flat\", crowned: \"yes\")".to_owned();
    let (conveyor, problems) = conveyor::parse("a.ron", text).unwrap();
    assert!(problems.is_empty(), "{problems:?}");
    let is = |key: &str, value: &str| truth(&conveyor_is(key, &[value]), &conveyor, |_| None);
    assert_eq!(is("class", "flat"), Truth::True);
    assert_eq!(is("class", "package"), Truth::False);
    assert_eq!(is("crowned", "yes"), Truth::True);
    assert_eq!(is("take_up", "screw"), Truth::Unknown);
}

#[test]
fn without_a_cause_that_applies_there_is_no_belief() {
    let mut book = book();
    for cause in book.causes.places() {
        book.causes[cause].only_if = vec![conveyor_is("class", &["troughed"])];
    }
    let finding = Diagnosis::new(&book).finding(&FLAT, &Observations::none(&book));
    assert_eq!(finding.stop, Stop::NoCause);
    assert!(finding.stop.now());
    assert!(finding.ranked.is_empty() && finding.next.is_empty() && finding.sets.is_empty());
    assert_eq!(finding.log_evidence, None);
    assert!(finding.plan.batches.is_empty());
    assert!(Diagnosis::new(&book).fits(&finding).is_none());
}
