//! What the person decides otherwise than the plan, an unclear picture, and something else that cured the belt.

use straybelt::reason::Outcome;
use straybelt::rulebook::index::{FixAt, Place};
use straybelt::rulebook::model::Book;
use straybelt::visit::event::{CauseFound, CuredBy, Event, How, Ran, Stamped};
use straybelt::visit::{
    ConveyorFacts, Diagnosis, ElseHow, Finding, Observations, Reply, SaidCured, VisitState, replay,
};

use super::{chances, finding, signs};
use crate::support::books::{self, fix, fixes};
use crate::support::close;

/// One cause present, with these chances; a locked-out fix of so many minutes for each.
fn book(causes: &[(f64, f64)]) -> Book {
    let priors: Vec<f64> = causes.iter().map(|(p, _)| p / (1.0 + p)).collect();
    let mut book = books::book(signs(&priors, &[]), 1);
    for (cause, (_, minutes)) in causes.iter().enumerate() {
        let mut job = fix(*minutes, &[(cause, 0.999)]);
        job.id = format!("fix-{cause}");
        book.fixes.push(job);
    }
    book
}

fn planned(finding: &Finding) -> Vec<usize> {
    let steps = finding.plan.batches.iter().flat_map(|batch| &batch.steps);
    steps.map(|step| step.fix.position()).collect()
}

/// Put off is neither done nor impossible: out of the plan, and what needs it with it; picked again it is back.
#[test]
fn a_job_put_off_waits_and_so_does_what_needs_it() {
    let mut book = book(&[(0.6, 20.0), (0.3, 20.0), (0.1, 20.0)]);
    let told = Observations { put_off: fixes(&[0]), ..Observations::none(&book) };
    assert_eq!(planned(&finding(&book, &told)), [1, 2]);
    book.fixes[FixAt::at(1)].needs = fixes(&[0]);
    assert_eq!(planned(&finding(&book, &told)), [2]);

    let off = |fix: usize| Event::PutOff { fix: book.fixes[FixAt::at(fix)].id.clone() };
    let picked = |fix: usize| Event::Picked { fix: book.fixes[FixAt::at(fix)].id.clone() };
    let now = stand(&book, &[off(0), off(1), picked(0)]);
    assert_eq!((now.observed.put_off, now.picked), (fixes(&[1]), Some(FixAt::at(0))));
    let now = stand(&book, &[picked(0), off(0)]);
    assert_eq!((now.observed.put_off, now.picked), (fixes(&[0]), None));
    assert!(now.observed.could_not.is_empty() && now.observed.done.is_empty());
    // What was picked is done before the others once; then the plan's order counts again.
    let id = book.fixes[FixAt::at(0)].id.clone();
    let begun = Event::BatchBegun { locked_out: true, fixes: vec![id.clone()] };
    let done = Event::Worked { fix: id, how: How::CouldNot, causes: Vec::new() };
    assert_eq!(stand(&book, &[picked(0), begun, done]).picked, None);
}

/// Below `clear` no long locked-out work is planned; short work is, and work that only waits however long.
#[test]
fn an_unclear_picture_holds_long_work_back() {
    let mut book = book(&[(0.26, 90.0), (0.25, 60.0), (0.25, 90.0), (0.24, 20.0)]);
    let watched = straybelt::rulebook::model::Work::Running(Vec::new());
    book.fixes[FixAt::at(2)].work = watched;
    let none = Observations::none(&book);
    let found = finding(&book, &none);
    assert!(!found.is_clear(&book));
    let mut plan = planned(&found);
    plan.sort_unstable();
    assert_eq!(plan, [1, 2, 3]);
    let unclear = Diagnosis::new(&book).unclear(&found).expect("not clear");
    assert_eq!(unclear.held_back, fixes(&[0]));

    book.thresholds.clear = 0.25;
    let found = finding(&book, &none);
    assert!(found.is_clear(&book));
    assert!(planned(&found).contains(&0));
    assert_eq!(Diagnosis::new(&book).unclear(&found), None);
}

/// The looks that would part the rest: the best for their minutes first, those that could not be told among them,
/// none that is answered or says nothing.
#[test]
fn the_looks_that_would_part_the_rest() {
    let network = signs(
        &[0.2, 0.2, 0.2],
        &[
            (0.02, &[(0, 0.9)]),
            (0.02, &[(1, 0.9)]),
            (0.02, &[(0, 0.6)]),
            (0.5, &[]),
            (0.02, &[(2, 0.9)]),
        ],
    );
    let mut book = books::book(network, 1);
    book.thresholds.clear = 0.99;
    let at = straybelt::rulebook::index::SymptomAt::at;
    for symptom in 0..5 {
        book.symptoms[at(symptom)].minutes = 2.0;
    }
    book.symptoms[at(1)].minutes = 1.0;
    let mut told = Observations::none(&book);
    told.replies[at(1)] = Reply::CantTell;
    told.replies[at(4)] = Reply::Answer(straybelt::rulebook::index::AnswerAt::at(0));
    let found = finding(&book, &told);
    let unclear = Diagnosis::new(&book).unclear(&found).expect("not clear");
    let named: Vec<_> =
        unclear.parting.iter().map(|look| (look.symptom, look.could_not_tell)).collect();
    assert_eq!(named, [(at(1), true), (at(0), false), (at(2), false)]);
}

fn stand(book: &Book, events: &[Event]) -> VisitState {
    let at = "2026-03-04T10:15:00Z".parse().expect("a time");
    let events: Vec<Stamped> =
        events.iter().map(|what| Stamped { at, what: what.clone() }).collect();
    replay(book, &ConveyorFacts::default(), &events)
}

fn told(what: &str) -> Event {
    Event::SomethingElse { what: Some(what.to_owned()), place: None, part: None }
}

fn dealt(how: ElseHow) -> Event {
    Event::ElseDealtWith { how, locked_out: true }
}

/// Something else with no job done: a batch of its own, run and watched; what it cured says nothing of the book's
/// causes, and no cause is said to be cured.
#[test]
fn something_else_is_a_change_and_no_evidence() {
    let book = book(&[(0.6, 20.0), (0.4, 20.0)]);
    let before = finding(&book, &Observations::none(&book));
    let mut events = vec![told("a plank in the chute")];
    assert_eq!(
        stand(&book, &events).else_open().map(straybelt::visit::SomethingElse::words).as_deref(),
        Some("a plank in the chute")
    );
    events.push(dealt(ElseHow::Watch));
    let now = stand(&book, &events);
    let batch = now.batch.as_ref().expect("a batch");
    assert!(batch.has_changed() && batch.locked_out && batch.goes_back(&book));
    assert!(now.else_open().is_none());
    for (ran, outcome) in [(Ran::True, Outcome::True), (Ran::Better, Outcome::Better)] {
        let mut events = events.clone();
        events.push(Event::Ran { outcome: ran });
        let now = stand(&book, &events);
        assert!(now.batch.is_none());
        assert_eq!((now.observed.done.len(), now.observed.outcomes.clone()), (1, vec![outcome]));
        let after = finding(&book, &now.observed);
        for cause in 0..2 {
            close(chances(&after, cause).1, chances(&before, cause).1, "as before");
        }
    }
    events.push(Event::Ran { outcome: Ran::True });
    events.push(Event::SaidCured { by: CuredBy::SomethingElse(0) });
    let now = stand(&book, &events);
    assert_eq!(now.observed.said_cured, Some(SaidCured::SomethingElse(0)));
    assert!(finding(&book, &now.observed).cured(&book).is_empty());
    // Worse: it is put back like any change.
    events.truncate(2);
    events.push(Event::Ran { outcome: Ran::Worse });
    assert!(stand(&book, &events).batch.is_some());
    events.push(Event::PutBack { what: "a plank in the chute".to_owned(), done: true });
    let now = stand(&book, &events);
    assert!(now.batch.is_none() && !now.observed.something_else[0].is_put_right());
}

/// With a job done in the same batch the person says which it was, and that alone is said to be cured.
#[test]
fn what_cured_it_is_what_the_person_says() {
    let book = book(&[(0.6, 20.0), (0.4, 20.0)]);
    let (job, cause) = ("fix-0".to_owned(), "cause-0".to_owned());
    let mut events = vec![
        Event::BatchBegun { locked_out: true, fixes: vec![job.clone()] },
        Event::FixBegun { fix: job.clone() },
        told("a bolt in the scraper"),
        dealt(ElseHow::GoOn),
        Event::Worked { fix: job, how: How::Done, causes: vec![cause.clone()] },
        Event::Found { cause: cause.clone(), report: Some(CauseFound::AsSuspected) },
        Event::Ran { outcome: Ran::True },
    ];
    let now = stand(&book, &events);
    assert_eq!(now.observed.done, [fixes(&[0])]);
    let names = |events: &[Event]| {
        let now = stand(&book, events);
        let cured = finding(&book, &now.observed).cured(&book);
        cured.iter().map(|cured| book.causes[cured.cause].id.clone()).collect::<Vec<_>>()
    };
    assert_eq!(names(&events), std::slice::from_ref(&cause));
    for (by, left) in [
        (CuredBy::SomethingElse(0), Vec::new()),
        (CuredBy::Cause(cause.clone()), vec![cause.clone()]),
        (CuredBy::NotClear, vec![cause.clone()]),
    ] {
        events.push(Event::SaidCured { by });
        assert_eq!(names(&events), left);
        events.pop();
    }
}

/// Only noted: nothing was changed, so nothing is to be watched.
#[test]
fn what_is_only_noted_changes_nothing() {
    let book = book(&[(0.6, 20.0), (0.4, 20.0)]);
    let now = stand(&book, &[told("a cracked lamp"), dealt(ElseHow::Noted)]);
    assert!(now.batch.is_none() && now.observed.done.is_empty());
    assert!(!now.observed.something_else[0].is_put_right());
    assert!(!now.work_begun());
}
