//! What applies to this conveyor after these answers.

use straybelt::conveyor::{self, facts::Facts};
use straybelt::reason::{Applicability, Truth, truth};
use straybelt::rulebook::index::{AnswerAt, CauseAt, FixAt, List, Place, SymptomAt};
use straybelt::rulebook::model::{Book, Follows};
use straybelt::visit::{Diagnosis, Observations, Stop};

use super::{signs, told};
use crate::support::books::{self, answered, conveyor_is, fix, known, not};

fn troughed_belt() -> Facts {
    known("class", "troughed-bulk")
}

fn flat_belt() -> Facts {
    known("class", "flat")
}

fn nothing_known() -> Facts {
    Facts::default()
}

fn book() -> Book {
    let sign: (f64, &[(usize, f64)]) = (0.1, &[(0, 0.8)]);
    let mut book = books::book(signs(&[0.2, 0.2], &[sign, sign, sign]), 2);
    book.fixes.push(fix(10.0, &[(0, 0.9)]));
    book
}

fn applies(book: &Book, facts: &Facts, answers: &[Option<usize>]) -> Applicability {
    let answers: List<SymptomAt, Option<AnswerAt>> =
        answers.iter().map(|a| a.map(AnswerAt::at)).collect();
    Applicability::new(book, facts, &answers)
}

#[test]
fn conditions_are_true_false_or_unknown() {
    let nothing = |_: SymptomAt| None;
    let yes = |_: SymptomAt| Some(AnswerAt::at(1));
    let class = conveyor_is("class", &["troughed-bulk", "package"]);
    let said = answered(0, &[1, 2]);
    for (condition, facts, answer, plain) in [
        (&class, &troughed_belt(), None, Truth::True),
        (&class, &flat_belt(), None, Truth::False),
        (&class, &nothing_known(), None, Truth::Unknown),
        (&said, &nothing_known(), Some(()), Truth::True),
        (&said, &nothing_known(), None, Truth::Unknown),
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
    assert_eq!(truth(&said, &nothing_known(), no), Truth::False);
    assert_eq!(truth(&not(said), &nothing_known(), no), Truth::True);
}

/// Unknown about the conveyor: causes and symptoms apply, fixes do not.
#[test]
fn an_unknown_conveyor_has_causes_and_symptoms_but_no_such_fixes() {
    for turned in [false, true] {
        let condition = conveyor_is("class", &["troughed-bulk"]);
        let condition = if turned { not(condition) } else { condition };
        let mut book = book();
        book.causes[CauseAt::at(0)].only_if = vec![condition.clone()];
        book.symptoms[SymptomAt::at(0)].only_if = vec![condition.clone()];
        book.fixes[FixAt::at(0)].only_if = vec![condition];
        for (facts, causes_and_symptoms, fixes) in [
            (&troughed_belt(), !turned, !turned),
            (&flat_belt(), turned, turned),
            (&nothing_known(), true, false),
        ] {
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
            let applies = applies(&book, &nothing_known(), &[answer, None, None]);
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
    let fact = conveyor_is("class", &["troughed-bulk"]);
    book.symptoms[SymptomAt::at(1)].only_if = vec![fact.clone(), answered(0, &[1])];
    book.symptoms[SymptomAt::at(2)].only_if = vec![answered(1, &[1])];
    let all_yes = [Some(1); 3];

    let good = applies(&book, &troughed_belt(), &all_yes);
    assert_eq!(good.counted.as_slice(), [Some(AnswerAt::at(1)); 3]);
    assert!(good.ignored.is_empty());

    let flat = applies(&book, &flat_belt(), &all_yes);
    let yes = Some(AnswerAt::at(1));
    assert_eq!(flat.counted.as_slice(), [yes, None, None]);
    let second = (SymptomAt::at(1), fact);
    let third = (SymptomAt::at(2), answered(1, &[1]));
    assert_eq!(flat.ignored, [second, third.clone()]);

    let first_no = applies(&book, &troughed_belt(), &[Some(0), Some(1), Some(1)]);
    let second = (SymptomAt::at(1), answered(0, &[1]));
    assert_eq!(first_no.ignored, [second, third]);
    assert!(first_no.symptoms[SymptomAt::at(0)] && !first_no.symptoms[SymptomAt::at(1)]);

    // And they are no evidence: the finding is that of the first answer alone.
    let diagnosis = Diagnosis::new(&book);
    let with = diagnosis.finding(&flat_belt(), &told(&book, &[(0, 1), (1, 1), (2, 1)]));
    let alone = diagnosis.finding(&flat_belt(), &told(&book, &[(0, 1)]));
    assert_eq!(with.ranked, alone.ranked);
    assert_eq!(with.ignored.len(), 2);
    assert!(with.next.is_empty(), "neither of them is offered");
}

/// What follows from another answer is known to conditions and to words; it is not asked, and no evidence of its own.
#[test]
fn what_follows_from_another_answer_counts_once() {
    let mut book = book();
    let follows = Follows { from: answered(0, &[1]), is: AnswerAt::at(1) };
    book.symptoms[SymptomAt::at(1)].follows = vec![follows];
    book.symptoms[SymptomAt::at(2)].only_if = vec![answered(1, &[1])];
    book.fixes[FixAt::at(0)].only_if = vec![answered(1, &[1])];
    let second = SymptomAt::at(1);

    let open = applies(&book, &nothing_known(), &[None; 3]);
    assert!(open.symptoms[second] && !open.symptoms[SymptomAt::at(2)]);
    let other = applies(&book, &nothing_known(), &[Some(0), None, None]);
    assert!(other.symptoms[second] && other.told[second].is_none());

    let known = applies(&book, &nothing_known(), &[Some(1), None, None]);
    assert!(!known.symptoms[second], "nobody is asked what is known");
    assert_eq!((known.counted[second], known.told[second]), (None, Some(AnswerAt::at(1))));
    assert!(known.symptoms[SymptomAt::at(2)] && known.fixes[FixAt::at(0)]);

    let contradicted = applies(&book, &nothing_known(), &[Some(1), Some(0), None]);
    assert_eq!(contradicted.told[second], Some(AnswerAt::at(1)));
    assert_eq!(contradicted.ignored, [(second, not(answered(0, &[1])))]);
    let diagnosis = Diagnosis::new(&book);
    let with = diagnosis.finding(&nothing_known(), &told(&book, &[(0, 1), (1, 1)]));
    let alone = diagnosis.finding(&nothing_known(), &told(&book, &[(0, 1)]));
    assert_eq!(with.ranked, alone.ranked);
}

/// A question that was never answered cannot be ignored, whether it applies or not.
#[test]
fn only_answers_are_ignored() {
    let mut book = book();
    book.symptoms[SymptomAt::at(1)].only_if = vec![answered(0, &[1])];
    for first in [None, Some(0), Some(1)] {
        let applies = applies(&book, &nothing_known(), &[first, None, None]);
        assert!(applies.ignored.is_empty(), "{first:?}");
    }
}

/// A fix waits when all that keeps it out are questions not yet answered; it is told which.
#[test]
fn a_fix_waits_for_answers_alone() {
    let mut book = book();
    let (class, first, second) =
        (conveyor_is("class", &["troughed-bulk"]), answered(0, &[1]), not(answered(1, &[1])));
    book.fixes[FixAt::at(0)].only_if = vec![class.clone(), first.clone(), second.clone()];
    let waiting = |book: &Book, facts: &Facts, a: Option<usize>, b: Option<usize>| {
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
        (&troughed_belt(), None, None, Some(vec![first.clone(), second.clone()])),
        (&troughed_belt(), yes, None, Some(vec![second])),
        (&troughed_belt(), None, no, Some(vec![first])),
        (&troughed_belt(), yes, no, None),  // it applies
        (&troughed_belt(), no, None, None), // it never will
        (&troughed_belt(), None, yes, None),
        (&flat_belt(), None, None, None),
        (&nothing_known(), None, None, None), // the conveyor is not known
        (&nothing_known(), yes, no, None),
    ] {
        assert_eq!(waiting(&book, facts, a, b), expected, "{a:?} {b:?}");
    }
    book.fixes[FixAt::at(0)].only_if = Vec::new();
    assert_eq!(waiting(&book, &nothing_known(), None, None), None);
}

/// What a conveyor's own file says is known of it, and nothing else.
#[test]
fn a_file_tells_what_is_known_of_a_conveyor() {
    let text = "(class: \"flat\", crowned: \"yes\")".to_owned();
    let (conveyor, problems) = conveyor::parse("a.ron", text).unwrap();
    assert!(problems.is_empty(), "{problems:?}");
    let is =
        |key: &str, value: &str| truth(&conveyor_is(key, &[value]), conveyor.facts(), |_| None);
    assert_eq!(is("class", "flat"), Truth::True);
    assert_eq!(is("class", "package"), Truth::False);
    assert_eq!(is("crowned", "yes"), Truth::True);
    assert_eq!(is("take_up", "screw"), Truth::Unknown);
}

#[test]
fn without_a_cause_that_applies_there_is_no_belief() {
    let mut book = book();
    for cause in book.causes.places() {
        book.causes[cause].only_if = vec![conveyor_is("class", &["troughed-bulk"])];
    }
    let finding = Diagnosis::new(&book).finding(&flat_belt(), &Observations::none(&book));
    assert_eq!(finding.stop, Stop::NoCause);
    assert!(finding.stop.now());
    assert!(finding.ranked.is_empty() && finding.next.is_empty() && finding.sets.is_empty());
    assert_eq!(finding.log_evidence, None);
    assert!(finding.plan.batches.is_empty());
    assert!(Diagnosis::new(&book).fits(&finding).is_none());
}
