//! The pages of courses and of progress.

use std::collections::HashMap;

use jiff::tz::TimeZone;
use roxmltree::{Document, ParsingOptions};
use straybelt::drill::learners::Learner;
use straybelt::show::drill::course::{self, Titles};
use straybelt::show::drill::progress::{self, Progress, json};
use straybelt::show::page::Screen;
use straybelt::show::paint::Paint;
use unicode_width::UnicodeWidthStr;

use super::{attempt, learner, shipped, worth};
use crate::support::SHIPPED;

fn titles() -> Titles<'static> {
    let titles = SHIPPED.0.iter().map(|drill| (drill.id.as_str(), drill.title.as_str()));
    titles.collect::<HashMap<_, _>>()
}

/// Three weeks: a hand at the belt at first, then better, with a repeat and an examination.
fn kim() -> Learner {
    let mut again = attempt(4, "caked-return-rolls", "2031-05-13", worth(|w| w.minutes = 180.0));
    again.earlier = 1;
    let mut exam = attempt(9, "two-at-once", "2031-05-21", worth(|w| (w.hidden, w.found) = (2, 2)));
    exam.exam = true;
    let mut kim = learner(
        "Kim <b>&",
        vec![
            attempt(
                2,
                "caked-return-rolls",
                "2031-05-06",
                worth(|w| {
                    (w.all_cured, w.safety_faults, w.advice) = (false, 1, 2);
                    (w.found, w.wrongly_named, w.stated) = (0, 1, vec![(0.0, true), (0.8, false)]);
                }),
            ),
            again,
            attempt(6, "crooked-splice", "2031-05-14", worth(|w| w.minutes = 430.0)),
            exam,
        ],
    );
    kim.open.push((11, "stuck-return-roll".to_owned()));
    kim
}

/// The page of somebody with a few weeks of runs.
pub(crate) fn kim_page() -> String {
    with(&[kim()], progress::html)
}

fn with<T>(learners: &[Learner], then: impl FnOnce(&Progress<'_>) -> T) -> T {
    let (courses, _) = shipped();
    let titles = titles();
    then(&Progress { learners, courses: &courses, titles: &titles, zone: &TimeZone::UTC })
}

#[test]
fn where_somebody_stands() {
    let (courses, _) = shipped();
    let screen = Screen::new(40, Paint::NONE);
    let (kim, titles) = (kim(), titles());
    let standing = courses[0].standing(&kim.attempts);
    let came = course::Came {
        course: &courses[0],
        at: 0,
        standing: &courses[0].standing(&kim.attempts[..1]),
        who: &kim.name,
        again: " --state class",
    };
    let pages = [
        course::list(screen, &courses, Some(&kim)),
        course::standing(screen, &courses[0], &titles, &kim.name, &standing),
        course::alone(screen, &courses[1], &titles),
        course::afterwards(screen, &came, &titles, &kim.attempts),
    ];
    for line in pages.iter().flat_map(|page| page.lines()) {
        // A command is not torn.
        assert!(line.width() <= 40 || line.starts_with("  straybelt "), "{line}");
    }
    insta::assert_snapshot!(pages.join("\n"));
}

/// A drill's id names its cause: no page of a course shows it.
#[test]
fn no_page_of_a_course_gives_a_cause_away() {
    let (courses, _) = shipped();
    let screen = Screen::new(80, Paint::NONE);
    for course in &courses {
        let standing = course.standing(&[]);
        let page = course::alone(screen, course, &titles())
            + &course::standing(screen, course, &titles(), "Kim", &standing);
        for step in &course.steps {
            assert!(!page.contains(&step.drill), "{}", step.drill);
        }
    }
}

#[test]
fn progress_as_text() {
    let nobody = learner("Ida", Vec::new());
    let page = |width| {
        with(&[kim(), nobody.clone()], |told| progress::text(Screen::new(width, Paint::NONE), told))
    };
    for width in [40, 80] {
        for line in page(width).lines() {
            assert!(line.width() <= width, "{line}");
        }
    }
    insta::assert_snapshot!(page(40));
}

#[test]
fn progress_as_a_page_is_whole_and_needs_nothing_from_outside() {
    let page = kim_page();
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let document = Document::parse_with_options(&page, options).unwrap();
    let elements = || document.descendants().filter(roxmltree::Node::is_element);
    for node in elements() {
        let name = node.tag_name().name();
        assert!(
            !["script", "link", "img", "iframe", "object", "use", "image", "b"].contains(&name)
        );
    }
    assert!(!page.contains("url(") && !page.contains("@import"));
    let of = |class: &str| elements().filter(|node| node.attribute("class") == Some(class)).count();
    // A dot for each run; a cross where a hand was at the belt.
    assert_eq!((of("solved"), of("open"), of("fault")), (3, 1, 1));
}

/// Both documents hold the same figures.
#[test]
fn progress_as_json_has_every_run_and_week() {
    let document: serde_json::Value = serde_json::from_str(&with(&[kim()], json::write)).unwrap();
    let kim = &document["learners"][0];
    assert_eq!(kim["who"], "Kim <b>&");
    assert_eq!(kim["weeks"].as_array().unwrap().len(), 3);
    assert_eq!(kim["weeks"][0]["monday"], "2031-05-05");
    assert_eq!(kim["together"]["runs"], 4);
    assert_eq!(kim["together"]["repeats"], 1);
    assert_eq!(kim["runs"][3]["exam"], true);
    assert_eq!(kim["not_finished"], serde_json::json!([11]));
    let reached = kim["courses"][0]["steps"][0]["reached_in"].as_u64();
    assert_eq!(reached, Some(4));
}
