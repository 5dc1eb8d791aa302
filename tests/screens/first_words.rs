//! What stands first: whether it may run at all, that nothing is trimmed in the wind, and after "worse" what is undone.

use straybelt::conveyor::facts::Facts;
use straybelt::rulebook::index::List;
use straybelt::rulebook::load;
use straybelt::rulebook::model::{Book, RoomMeans};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use straybelt::show::past::{self, DoneBefore};
use straybelt::show::words::{Known, Sides};
use straybelt::show::{belief, may_it_run};
use straybelt::visit::{Diagnosis, Finding, Observations, Reply};

fn book() -> &'static Book {
    static BOOK: std::sync::OnceLock<Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(|| load::default_book().unwrap())
}

fn screen() -> Screen {
    Screen::new(80, Paint::NONE)
}

/// A page's words, with a finding from these answers.
fn told(answers: &[(&str, &str)], page: impl Fn(&Diagnosis, &Known, &Finding) -> String) -> String {
    let (book, facts) = (book(), Facts::default());
    let mut told = Observations::none(book);
    for (id, answer) in answers {
        let (at, symptom) = book.symptoms.iter().find(|(_, symptom)| symptom.id == *id).unwrap();
        let given = symptom.answers.iter().find(|(_, given)| given.id == *answer).unwrap().0;
        told.replies[at] = Reply::Answer(given);
    }
    let diagnosis = Diagnosis::new(book);
    let finding = diagnosis.finding(&facts, &told);
    let sides = Sides::named(None, None);
    let known = Known::new(book, &facts, &sides, &finding.answers);
    page(&diagnosis, &known, &finding).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn may_it_run(answers: &[(&str, &str)], room: Option<RoomMeans>) -> String {
    told(answers, |_, known, finding| may_it_run::page(screen(), known, finding, room, &[]))
}

/// Who was sent to the supervisor once is told what is new, not the whole page again.
#[test]
fn a_second_reason_to_ask_whether_it_may_run_stands_alone() {
    let both = [("struck-or-moved", "yes"), ("bent-steel", "yes")];
    let second = |answers: &[(&str, &str)], first: &[(&str, &str)], room| {
        let before = std::cell::RefCell::new(Vec::new());
        told(first, |_, known, finding| {
            *before.borrow_mut() = may_it_run::reasons(known, finding, room);
            String::new()
        });
        let before = before.into_inner();
        told(answers, |_, known, finding| may_it_run::page(screen(), known, finding, room, &before))
    };
    let page = second(&both, &both[..1], None);
    assert!(page.contains("One more reason") && page.contains("bent or kinked"), "{page}");
    assert!(!page.contains("Ask this before") && !page.contains("struck or moved"), "{page}");
    assert!(!page.contains("can carry load"), "that was said already: {page}");
    assert_eq!(second(&both, &both, None), "", "nothing new, nothing said");
    // The first reason was the roll end: of the frame nothing was said yet.
    let page = second(&both[..1], &[], Some(RoomMeans::Urgent));
    assert!(page.contains("can carry load") && !page.contains("PAST the roll end"), "{page}");
}

#[test]
fn a_bent_or_struck_frame_asks_first_whether_it_may_run() {
    for (symptom, says) in [("bent-steel", "bent or kinked"), ("struck-or-moved", "Yes")] {
        let page = may_it_run(&[(symptom, "yes")], None);
        assert!(page.contains("May it run at all?") && page.contains(says), "{page}");
        assert!(
            page.contains("The supervisor decides") && page.contains("can carry load"),
            "{page}"
        );
        assert_eq!(may_it_run(&[(symptom, "no")], None), "");
    }
}

#[test]
fn a_belt_past_the_roll_ends_asks_it_too() {
    let page = may_it_run(&[], Some(RoomMeans::Urgent));
    assert!(
        page.contains("PAST the roll end") && page.contains("The supervisor decides"),
        "{page}"
    );
    assert!(!page.contains("can carry load"), "{page}");
    for room in [None, Some(RoomMeans::GoOn), Some(RoomMeans::LeaveIt)] {
        assert_eq!(may_it_run(&[], room), "");
    }
}

#[test]
fn with_wind_among_the_likely_causes_nothing_is_trimmed_in_it() {
    let finding = |answers: &[(&str, &str)]| {
        told(answers, |diagnosis, known, finding| {
            let why = |cause| diagnosis.why(finding, cause);
            belief::finding(screen(), known, finding, &why)
        })
    };
    let windy = finding(&[
        ("weather-link", "windy"),
        ("wind-from", "left"),
        ("runs-toward", "right"),
        ("loaded-or-empty", "empty-only"),
    ]);
    assert!(windy.contains("Trim nothing while it lasts"), "{windy}");
    let calm = finding(&[("weather-link", "none"), ("ridges-on-rolls", "thick")]);
    assert!(!calm.contains("Trim nothing while it lasts"), "{calm}");
}

fn done(ids: &[&str]) -> (DoneBefore, String) {
    let (book, facts, sides) = (book(), Facts::default(), Sides::named(None, None));
    let answers: List<_, _> = book.symptoms.map(|_| None);
    let known = Known::new(book, &facts, &sides, &answers);
    let fix = |id: &&str| book.fixes.iter().find(|(_, fix)| fix.id == **id).unwrap().0;
    let done = DoneBefore::of(&known, ids.iter().map(fix));
    let page = if done.goes_back.is_empty() {
        past::worse_and_stays(screen(), &done)
    } else {
        past::put_back(screen(), &[], &done)
    };
    (done, page.split_whitespace().collect::<Vec<_>>().join(" "))
}

#[test]
fn a_new_roll_is_never_taken_off_for_the_old_one() {
    let (done, page) = done(&["swap-roll"]);
    assert!(done.goes_back.is_empty(), "{done:?}");
    assert!(
        page.contains("never the old one back in") && !page.contains("undo the last change"),
        "{page}"
    );
}

#[test]
fn a_shifted_idler_goes_back_and_the_new_roll_beside_it_stays() {
    let (done, page) = done(&["square-idler", "swap-roll"]);
    assert_eq!((done.goes_back.len(), done.stays.len()), (1, 1));
    let (back, stays) =
        (page.find("Square the idler").unwrap(), page.find("Stays: Swap the roll").unwrap());
    assert!(page.contains("undo the last change") && back < stays, "{page}");
}

#[test]
fn screws_go_back_by_the_thread_that_was_marked() {
    let (_, page) = done(&["equalise-screws"]);
    assert!(page.contains("How: Never one screw alone. Tape both sides again"), "{page}");
}
