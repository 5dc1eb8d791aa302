//! Where a visit stands follows from its events alone, and "back" undoes exactly.

use std::sync::LazyLock;

use proptest::prelude::*;
use straybelt::rulebook::load;
use straybelt::rulebook::model::Book;
use straybelt::visit::event::{CauseFound, CuredBy, Event, How, NotedPlace, Ran, Stamped};
use straybelt::visit::{ConveyorFacts, ElseHow, Reply, VisitState, replay};

static BOOK: LazyLock<Book> =
    LazyLock::new(|| load::default_book().unwrap_or_else(|problems| panic!("{problems:?}")));

fn stamped(events: &[Event]) -> Vec<Stamped> {
    let at = "2026-03-04T10:15:00Z".parse().expect("a time");
    events.iter().map(|what| Stamped { at, what: what.clone() }).collect()
}

fn stand(book: &Book, events: &[Event]) -> VisitState {
    replay(book, &ConveyorFacts::default(), &stamped(events))
}

/// An event made of three numbers, so that any sequence is possible, sensible or not.
fn event(book: &Book, kind: u8, a: usize, b: usize) -> Event {
    let symptom = &book.symptoms.as_slice()[a % book.symptoms.len()];
    let answer = symptom.answers.as_slice()[b % symptom.answers.len()].id.clone();
    let fix = |at: usize| book.fixes.as_slice()[at % book.fixes.len()].id.clone();
    let cause = |at: usize| book.causes.as_slice()[at % book.causes.len()].id.clone();
    match kind % 20 {
        0 => Event::Answered { symptom: symptom.id.clone(), answer: None },
        1..=4 => Event::Answered { symptom: symptom.id.clone(), answer: Some(answer) },
        5 => Event::Fact {
            key: "class".to_owned(),
            value: b.is_multiple_of(2).then(|| "flat".to_owned()),
        },
        6 => Event::BatchBegun { locked_out: b.is_multiple_of(2), fixes: vec![fix(a), fix(b)] },
        7 => Event::Worked {
            fix: fix(a),
            how: [How::Done, How::NotNeeded, How::CouldNot][b % 3],
            causes: vec![cause(a), cause(b)],
        },
        8 => Event::Noted {
            what: format!("thing {}", a % 2),
            mark: [NotedPlace::From, NotedPlace::To][b % 2],
            place: (!a.is_multiple_of(3)).then(|| format!("{b} mm")),
        },
        9 => Event::Found {
            cause: cause(a),
            report: [Some(CauseFound::AsSuspected), Some(CauseFound::WasFine), None][b % 3],
        },
        10 => Event::Ran { outcome: [Ran::True, Ran::Better, Ran::NoChange, Ran::Worse][b % 4] },
        11 => Event::PutBack { what: format!("thing {}", a % 2), done: b.is_multiple_of(2) },
        12 => [Event::Enough, Event::AskedOn, Event::WentOn][b % 3].clone(),
        13 => Event::Believed { causes: vec![(cause(a), 0.5)] },
        14 => Event::PutOff { fix: fix(a) },
        15 => Event::Picked { fix: fix(a) },
        16 => Event::SomethingElse {
            what: (!a.is_multiple_of(3)).then(|| format!("thing {a}")),
            place: Some(format!("bay {b}")),
            part: None,
        },
        17 => Event::ElseDealtWith {
            how: [ElseHow::Watch, ElseHow::GoOn, ElseHow::Noted][a % 3],
            locked_out: b.is_multiple_of(2),
        },
        18 => Event::SaidCured {
            by: [CuredBy::Cause(cause(a)), CuredBy::SomethingElse(b % 3), CuredBy::NotClear][a % 3]
                .clone(),
        },
        _ => Event::StopNow { question: "smoke".to_owned(), yes: b.is_multiple_of(2) },
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn back_undoes_exactly(
        before in prop::collection::vec((any::<u8>(), 0..200_usize, 0..200_usize), 0..20),
        after in prop::collection::vec((any::<u8>(), 0..200_usize, 0..200_usize), 1..8),
    ) {
        let book = &*BOOK;
        let make = |list: &[(u8, usize, usize)]| -> Vec<Event> {
            list.iter().map(|(kind, a, b)| event(book, *kind, *a, *b)).collect()
        };
        let (mut before, after) = (make(&before), make(&after));
        // What the program adds by itself goes together with the reply before it.
        while before.last().is_some_and(|event| !event.is_reply()) {
            before.pop();
        }
        let replies = after.iter().filter(|event| event.is_reply()).count();
        let mut there_and_back = before.clone();
        there_and_back.extend(after.clone());
        there_and_back.push(Event::Back { steps: replies });
        // Events that are no replies and stand before the first reply stay: nobody has taken them back.
        let first_reply = after.iter().position(Event::is_reply).unwrap_or(after.len());
        let mut stays = before.clone();
        stays.extend(after.iter().take(first_reply).cloned());
        prop_assert_eq!(stand(book, &there_and_back), stand(book, &stays));

        // One step at a time is the same as all at once.
        let mut stepwise = before;
        stepwise.extend(after);
        stepwise.extend(std::iter::repeat_n(Event::Back { steps: 1 }, replies));
        prop_assert_eq!(stand(book, &stepwise), stand(book, &stays));
    }
}

#[test]
fn ids_that_the_book_no_longer_has_are_named_and_not_counted() {
    let book = &*BOOK;
    let now = stand(
        book,
        &[
            Event::Answered { symptom: "long-gone".to_owned(), answer: Some("yes".to_owned()) },
            Event::Answered {
                symptom: "first-split".to_owned(),
                answer: Some("gone-too".to_owned()),
            },
        ],
    );
    assert_eq!(now.unknown, ["long-gone", "gone-too"]);
    assert!(now.observed.replies.values().all(|reply| *reply == Reply::Unanswered));
}

#[test]
fn what_was_moved_can_be_listed_and_put_back_last_first() {
    let book = &*BOOK;
    let fix = book.fixes.values().find(|fix| fix.can_be_undone()).unwrap().id.clone();
    let note = |what: &str, mark, place: &str| Event::Noted {
        what: what.to_owned(),
        mark,
        place: Some(place.to_owned()),
    };
    let mut events = vec![
        Event::BatchBegun { locked_out: true, fixes: vec![fix.clone()] },
        Event::Worked { fix, how: How::Done, causes: Vec::new() },
        note("roll", NotedPlace::From, "12 mm"),
        note("roll", NotedPlace::To, "18 mm"),
        note("foot", NotedPlace::From, "bolt"),
        Event::Ran { outcome: Ran::Worse },
    ];
    let now = stand(book, &events);
    let left: Vec<&str> = now.to_put_back().iter().map(|moved| moved.what.as_str()).collect();
    assert_eq!(left, ["foot", "roll"]);
    assert_eq!(now.moved[0].from.as_deref(), Some("12 mm"));
    assert_eq!(now.moved[0].to.as_deref(), Some("18 mm"));
    events.push(Event::PutBack { what: "foot".to_owned(), done: true });
    assert!(stand(book, &events).batch.is_some(), "the roll is still to be put back");
    events.push(Event::PutBack { what: "roll".to_owned(), done: false });
    let now = stand(book, &events);
    assert!(now.batch.is_none() && now.to_put_back().is_empty());
    assert_eq!(now.observed.done.len(), 1);
    assert_eq!(
        book.fixes.places().next().map(straybelt::rulebook::index::Place::position),
        Some(0)
    );
}
